"""Why a rule answered as it did: a code for machines, the deciding values, a sentence for people."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

Value = str | int | float

# One sentence a code, in English, with named places for the values. Pages translate the sentence before they fill it in;
# see ``web.templatetags``. Grouped by the module that gives the code.
SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # Hard rules of a plan (design: H1 to H11).
        "H1": "Nobody works in water alone.",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One reason of a result.

    ``code`` is a key of SENTENCES; ``values`` fill the sentence's named places. Raises KeyError at once for an unknown
    code or a missing value, so that no reason without words can leave a rule.
    """

    code: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __post_init__(self) -> None:
        SENTENCES[self.code].format(**self.values)

    @property
    def text(self) -> str:
        """The sentence in English, filled in."""
        return SENTENCES[self.code].format(**self.values)


def reason(code: str, **values: Value) -> Reason:
    """Short form of Reason for the rules that give many."""
    return Reason(code=code, values=values)

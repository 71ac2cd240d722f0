"""Why a rule answered as it did: a code for machines, the deciding values, a sentence for people."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from reedcrew.trade.month_day import MonthDay
from reedcrew.trade.reasons.day import DAY_SENTENCES
from reedcrew.trade.reasons.gear import GEAR_SENTENCES
from reedcrew.trade.reasons.identification import IDENTIFICATION_SENTENCES
from reedcrew.trade.reasons.plan import PLAN_SENTENCES
from reedcrew.trade.reasons.site import SITE_SENTENCES
from reedcrew.trade.reasons.stand import STAND_SENTENCES
from reedcrew.trade.reasons.water import WATER_SENTENCES

Value = str | int | float | MonthDay | datetime.date

WORDS = frozenset({"item", "size", "role", "effort", "band", "result", "found"})

# One sentence a code, in English, with named places for the values. Pages translate it before they fill it in;
# see ``web.sentences``. Grouped in this folder by subject, and there by the module that gives the code.
SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        **PLAN_SENTENCES,
        **WATER_SENTENCES,
        **SITE_SENTENCES,
        **STAND_SENTENCES,
        **IDENTIFICATION_SENTENCES,
        **GEAR_SENTENCES,
        **DAY_SENTENCES,
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
    def sentence(self) -> str:
        """The sentence with its places still open, for translating it before it is filled in."""
        return SENTENCES[self.code]

    @property
    def words(self) -> frozenset[str]:
        """The values that are words of the trade themselves: in English, and translated before they are filled in."""
        return WORDS

    @property
    def text(self) -> str:
        """The sentence in English, filled in."""
        return self.sentence.format(**{name: _in_english(value) for name, value in self.values.items()})


def reason(code: str, **values: Value) -> Reason:
    """Short form of Reason for the rules that give many."""
    return Reason(code=code, values=values)


def as_record(given: Reason) -> dict[str, Any]:
    """A reason as JSON keeps it: a day of any year is a pair of numbers, a date an object with its ISO 8601 text."""
    return {"code": given.code, "values": {name: _kept(value) for name, value in given.values.items()}}


def from_record(record: Mapping[str, Any]) -> Reason:
    """The reason that ``as_record`` wrote."""
    return Reason(code=record["code"], values={name: _unkept(value) for name, value in record["values"].items()})


def _kept(value: Value) -> object:
    if isinstance(value, MonthDay):
        return list(value)
    return {"date": value.isoformat()} if isinstance(value, datetime.date) else value


def _unkept(value: Any) -> Value:
    if isinstance(value, list):
        return MonthDay(*value)
    return datetime.date.fromisoformat(value["date"]) if isinstance(value, dict) else value


def _in_english(value: Value) -> Value:
    return f"{MonthDay(value.month, value.day)} {value.year}" if isinstance(value, datetime.date) else value

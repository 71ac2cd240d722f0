"""Why a rule answered as it did: a code for machines, the deciding values, a sentence for people."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

Value = str | int | float

# One sentence a code, in English, with named places for the values. Pages translate it before they fill it in;
# see ``web.templatetags``. Grouped by the module that gives the code.
SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # Hard rules of a plan (design: H1 to H11).
        "H1": "Nobody works in water alone.",
        "H7": "Depth × current is {product_m2_s} m²/s; the zone is open only under {limit_m2_s} m²/s.",
        # trade.water
        "water.no_gauge": "Depth is {depth_cm} cm as surveyed: there is no gauge to correct it by.",
        "water.no_gauge_at_survey": "Depth is {depth_cm} cm as surveyed: the gauge was not read at the survey.",
        "water.no_gauge_today": "Depth is {depth_cm} cm as surveyed: the gauge was not read today.",
        "water.depth_by_gauge": (
            "Depth today is {depth_cm} cm: {surveyed_cm} cm surveyed, with the gauge at {at_survey_cm} cm then and "
            "{today_cm} cm today."
        ),
        "water.wading_open": "Depth × current is {product_m2_s} m²/s, under the limit of {limit_m2_s} m²/s.",
        # trade.method
        "method.cut_at_bed": (
            "{depth_cm} cm of water is over {limit_cm} cm: cut as near the bed as possible with a hand sickle or a "
            "long-handled cane cutter."
        ),
        "method.spade_at_base": (
            "{depth_cm} cm of water is not over {limit_cm} cm: set a sharpened spade at about 45° to the base of the "
            "stem and disturb as little soil as possible."
        ),
        "wear.water_work": (
            "{depth_cm} cm of water is over {limit_cm} cm: chest waders, a life jacket, gloves and eye protection, "
            "in pairs."
        ),
        "wear.shallow": (
            "{depth_cm} cm of water: rubber boots or water shoes, never bare feet, for old stubs are sharp; gloves and "
            "eye protection; still in pairs."
        ),
        "wear.dry": "On dry land: sturdy closed shoes, gloves and eye protection.",
        # trade.season; days are written month-day
        "season.open": "Inside the permitted weeks, {opens} to {closes}.",
        "season.first_week": (
            "The first week of the permitted days: birds may still nest and fish may still spawn here."
        ),
        "season.last_week": "The last week of the permitted days: the plant is ceasing to move reserves.",
        "season.nesting": "Until {until} birds may be nesting: check for active nests before cutting.",
        "season.outside": "Outside the permitted weeks, {opens} to {closes}, which are common practice.",
        "season.outside_by": "Outside the permitted weeks, {opens} to {closes}, set by {authority}.",
        "season.forbidden": "Work is forbidden from {opens} to {closes} by {issuer}.",
        "season.not_permitted": "Work is permitted only from {opens} to {closes} by {issuer}.",
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

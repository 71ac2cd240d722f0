"""One thing that could be otherwise on a day. ``what_if.altered`` makes the day in which it is."""

from dataclasses import dataclass

from reedcrew.trade.items import Item


@dataclass(frozen=True, slots=True, kw_only=True)
class StockChange:
    """So many sets more (or fewer, below 0) of one item and size. No line falls below none."""

    item: Item
    size: str = ""
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterChange:
    """Water higher by so many cm (lower, below 0) in one zone, or in all that have water. No depth falls below 0."""

    by_cm: int
    zone: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomChange:
    """So many units more (fewer, below 0) in a zone."""

    zone: str
    units: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleChange:
    """So many adults more, of typical size and with their own boots; no sets of waders or jackets of their own.

    ``languages`` are spoken by all of them; empty means the language that most of the roster speak.
    """

    count: int = 1
    water_ready: bool = True
    experienced: bool = False
    first_aider: bool = False
    languages: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardianChange:
    """The guardian of a person under 18 comes along, ready for water, in boots of their own."""

    ward: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerChange:
    """A person whose stature, boot size, body mass or languages are unknown says what is typical of the roster."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentChange:
    """The current of a zone is measured and found to be this, in m/s."""

    zone: str
    current_m_s: float = 0.0


Change = StockChange | WaterChange | RoomChange | PeopleChange | GuardianChange | AnswerChange | CurrentChange

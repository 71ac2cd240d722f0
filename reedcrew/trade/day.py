"""What is known of one work day before it is planned: the input of trade.pairing and trade.gear."""

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from reedcrew.trade.effort import Rates
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.pins import Pin
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.told import Told


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """A forecast for the hours of the day, from any source. Unknown values are None."""

    temp_c: float | None = None
    rh_percent: float | None = None  # 0 to 100
    wind_km_h: float | None = None
    water_temp_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of a stand that is worked in one way. ``depth_cm`` is today's; 0 is dry land.

    An unknown current is None and closes a zone that has water.
    """

    name: str
    depth_cm: int
    current_m_s: float | None = 0.0
    stems: int = 0
    units_max: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Volunteer:
    """One person of the roster. Unknown measures are None and keep the person out of water work, never in."""

    id: str
    adult: bool
    guardian: str | None = None
    stature_cm: int | None = None
    jacket_class: JacketClass | None = None
    boot_eu: Decimal | None = None
    hand_mm: int | None = None
    water_ready: bool = False
    water_days: int = 0
    lead: bool = False
    first_aider: bool = False
    wishes: frozenset[str] = frozenset()
    apart: frozenset[str] = frozenset()
    languages: frozenset[str] = frozenset()
    own: frozenset[Item] = frozenset()
    recent: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """Sets of one item and size that are clean, dry and not promised to another day.

    ``size`` is "" where the item has none.
    """

    item: Item
    size: str = ""
    count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One work day as the planner sees it. ``start`` and ``end`` are aware; end is later than start.

    ``pins`` are the organizer's; ``told`` is what people know of an earlier plan of this day, see trade.told.
    ``rates`` are those that the group's records show; None starts from the policy's.
    """

    start: datetime.datetime
    end: datetime.datetime
    zones: tuple[Zone, ...]
    volunteers: tuple[Volunteer, ...]
    stock: tuple[StockLine, ...] = ()
    weather: Weather | None = None
    policy: Policy = field(default=DEFAULT_POLICY)
    pins: tuple[Pin, ...] = ()
    told: Told | None = None
    rates: Rates | None = None

    @property
    def hours(self) -> float:
        """Length of the day in hours, also where the clocks change meanwhile."""
        return (self.end.astimezone(datetime.UTC) - self.start.astimezone(datetime.UTC)).total_seconds() / 3600

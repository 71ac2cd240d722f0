"""What the answers hold, field by field; units stand in the names. Times are RFC 3339 with their distance from UTC."""

import datetime
from typing import Any, Generic, Literal, TypeVar

from ninja import Schema
from pydantic import Field, JsonValue

from reedcrew.api.scopes import Scope
from reedcrew.grants.models.grants import ACTIVITIES, KINDS, ROLES
from reedcrew.stands.models import Stand as StandRow
from reedcrew.stands.queries import StemsHow
from reedcrew.trade.plan import Role, Status
from reedcrew.trade.season import SeasonState
from reedcrew.workdays.models import WorkDay

Item = TypeVar("Item")
UPDATED = "When it last changed, as far as that is recorded; null where nobody knows."


def _one_of(values: Any, description: str) -> Any:
    """A field whose words the schema lists."""
    words: list[JsonValue] = [*sorted(str(value) for value in values)]
    return Field(description=description, json_schema_extra={"enum": words})


class Page(Schema, Generic[Item]):
    """One page of a list."""

    data: list[Item]
    next_cursor: str | None = Field(description="Cursor of the next page; null on the last one.")


class Named(Schema):
    """A row of another list, by its id there."""

    id: int
    name: str


class SiteOfRow(Named):
    """The site that a stand lies at; dates and times are its own."""

    time_zone: str = Field(description="Name in the IANA time zone database.")


class Geometry(Schema):
    """A geometry of GeoJSON (RFC 7946): longitude and latitude in degrees, WGS 84."""

    type: Literal["Polygon", "MultiPolygon"]
    coordinates: list[Any]


class TokenFacts(Schema):
    """What the token may read, and until when."""

    group: Named = Field(description="The group; name and id.")
    group_slug: str = Field(description="The group's short name in addresses.")
    name: str
    scopes: list[str] = Field(json_schema_extra={"items": {"type": "string", "enum": [*Scope.values]}})
    expires_at: datetime.datetime


class Density(Schema):
    """Live stems on an area, from the quadrats of the latest survey of the zone, with a 95 % interval."""

    stems_per_m2: float
    stems_per_m2_low: float | None = Field(description="Null where the quadrats are too few to claim an interval.")
    stems_per_m2_high: float | None
    confidence_percent: int
    quadrats: int
    quadrat_m2: float
    surveyed_on: datetime.date


class Zone(Schema):
    """A part of a stand that is worked in one way."""

    id: int
    name: str
    surveyed_depth_cm: int = Field(description="Depth at the survey; 0 is dry land. Not the depth of today.")
    depth_surveyed_on: datetime.date
    gauge_at_survey_cm: int | None
    current_m_s: float
    bed: str = Field(description="firm, soft, peat or dry.")
    most_units: int = Field(description="Most units that work there at once.")
    area_m2: float | None
    stems: int
    stems_low: int | None
    stems_high: int | None
    stems_known_by: str = _one_of([how.value for how in StemsHow], "Whether quadrats were counted.")
    density: Density | None
    outline: Geometry | None = Field(description="With the scope “outlines” only, and where it is drawn.")


class StemsOfStand(Schema):
    """Stems of all zones; the interval is that of the zones that were counted."""

    stems: int
    counted_stems: int
    counted_stems_low: int | None
    counted_stems_high: int | None
    estimated_by_eye_stems: int
    confidence_percent: int


class Stand(Schema):
    """A patch of reed that is followed until it is gone."""

    id: int
    name: str
    site: SiteOfRow
    identification: str = _one_of([value for value, _label in StandRow.IDENTIFICATIONS], "Which reed it is.")
    may_be_cut: bool = Field(description="True only where it is confirmed as the introduced subspecies.")
    first_cut_year: int | None
    area_m2: float | None
    stems: StemsOfStand
    zones: list[Zone]
    outline: Geometry | None = Field(description="With the scope “outlines” only, and where it is drawn.")
    updated_at: datetime.datetime | None = Field(description=UPDATED)


class Window(Schema):
    """The permitted weeks of the site, and what its calendar says to the date."""

    state: str = _one_of([state.value for state in SeasonState], "What the calendar says to the day.")
    water_closed: bool = Field(description="Nobody may work in water, though dry ground may be open.")
    opens: str = Field(description="First permitted day of a year, month-day.")
    closes: str = Field(description="Last permitted day of a year, month-day.")
    codes: list[str] = Field(description="Codes of the reasons.")


class Day(Schema):
    """A work day: when, where, how many places, how many people. Never who they are."""

    id: int
    title: str
    status: str = _one_of(WorkDay.Status.values, "Where the day stands.")
    stand: Named
    site: SiteOfRow
    zones: list[Named]
    date: datetime.date = Field(description="The site's date.")
    starts_at: datetime.datetime
    ends_at: datetime.datetime
    window: Window
    water_places: int
    land_places: int
    water_confirmed: int = Field(description="People with a place in water.")
    land_confirmed: int = Field(description="People with a place on land.")
    waiting: int = Field(description="People on the waiting list, and those who are asked to take a place.")
    worked_in_water: int | None = Field(description="Of a closed day only, as the next three.")
    worked_on_land: int | None
    did_not_come: int | None
    stems_cut: int | None = Field(description="Sum of the tallies; null where nobody counted.")
    public_page: str = Field(description="The page on which people sign up.")
    updated_at: datetime.datetime | None = Field(description=UPDATED)


class DayOfRow(Schema):
    """The day that a row belongs to."""

    id: int
    title: str
    date: datetime.date


class Person(Schema):
    """A person by the code in their group, which stays the same."""

    code: str
    name: str | None = Field(description="With the scope “names” only, and only of adults.")


class Unit(Schema):
    """Two people, or once in a plan three, who stay together in a zone with water."""

    number: int
    zone: Named | None
    depth_cm: int | None = Field(description="Depth that the plan was made for.")
    people: list[Person]
    stands: bool = Field(description="False where a hard rule no longer holds: the unit must not enter the water.")
    fallen_codes: list[str] = Field(description="Codes of the rules that no longer hold.")


class ShoreRole(Schema):
    """One person's role out of the water."""

    role: str = _one_of([role.value for role in Role], "What the person does.")
    zone: Named | None
    person: Person
    stands: bool


class ClosedZone(Schema):
    """A zone that nobody may enter, and the codes of the reasons."""

    zone: Named
    codes: list[str]


class GearLine(Schema):
    """One line of the gear list. Counts are pieces, or litres and millilitres where the unit says so."""

    item: str
    size: str
    unit: str
    needed: float
    own: float
    in_stock: float
    short: float


class Plan(Schema):
    """The plan of a day that counts: what people were told, or before that the latest proposal."""

    id: int
    day: DayOfRow
    told: bool = Field(description="Whether people were told it; else it is a proposal.")
    status: str = _one_of([status.value for status in Status], "How good the plan is known to be.")
    made_at: datetime.datetime
    accepted_at: datetime.datetime | None
    units: list[Unit]
    shore: list[ShoreRole]
    not_placed: list[Person]
    closed_zones: list[ClosedZone]
    gear: list[GearLine]
    updated_at: datetime.datetime | None = Field(description=UPDATED)


class Hours(Schema):
    """One line of the hours ledger. Lines never change: a correction is a line that names the one it corrects."""

    id: int
    person: Person
    day: DayOfRow
    stand: Named
    date: datetime.date = Field(description="The site's date of the work.")
    kind: str = _one_of([value for value, _label in KINDS], "What the time was spent on.")
    activity: str = _one_of([value for value, _label in ACTIVITIES], "Where it was spent.")
    role: str = _one_of([value for value, _label in ROLES], "As what it is valued.")
    started_at: datetime.datetime
    ended_at: datetime.datetime
    minutes: int = Field(description="Whole minutes, not rounded.")
    counts: bool = Field(description="False where a later line corrects this one: leave it out of sums.")
    corrects: int | None = Field(description="Id of the line that this one corrects.")
    corrected_by: int | None = Field(description="Id of the line that corrects this one.")
    approved: bool = Field(description="Whether the coordinator has approved the lines of the day.")
    entered_at: datetime.datetime
    updated_at: datetime.datetime | None = Field(description=UPDATED)


class GroupOfMessage(Schema):
    """The group whose day it is."""

    slug: str
    name: str


class DayMessage(Schema):
    """What a webhook is sent when a day is posted or closed."""

    message: str = Field(description="Id of the message, the same in every try.")
    event: Literal["day.posted", "day.closed"]
    at: datetime.datetime = Field(description="When it happened.")
    group: GroupOfMessage
    day: Day

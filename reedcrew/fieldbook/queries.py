"""Reads of the fieldbook for its pages and for the ledger."""

import datetime
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Sum
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.crews.gear.forms import pieces_text
from reedcrew.crews.gear.queries import PersonGear, gear_sheet
from reedcrew.crews.models import Assignment
from reedcrew.fieldbook.hours import OPENS_BEFORE, TAKES_UNTIL
from reedcrew.fieldbook.models import Attendance, BriefingHeard, FieldEntryQuerySet, Incident, KioskLink, Load, Tally
from reedcrew.fieldbook.tokens import digest_of
from reedcrew.people.models import Group
from reedcrew.stands.models import Zone
from reedcrew.stock.models import GearSet
from reedcrew.stock.services import Pieces
from reedcrew.trade.briefing import Item
from reedcrew.workdays.models import SignUp, WorkDay

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

GRACE = datetime.timedelta(minutes=15)  # (cp) around start and end, within which nobody is called late or early


class Where(models.TextChoices):
    """Where somebody of the roster is."""

    EXPECTED = "expected", _("not here yet")
    HERE = "here", _("on site")
    LEFT = "left", _("left")
    ABSENT = "absent", _("did not come")


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonOfDay:
    """One confirmed person on the sign-in page, with the plan's word for them and the stays so far."""

    sign_up: SignUp
    task: str
    in_water: bool
    here: Attendance | None
    past: Sequence[Attendance]

    @property
    def name(self) -> str:
        return self.sign_up.member.name

    @property
    def where(self) -> Where:
        if self.here:
            return Where.HERE
        if self.past:
            return Where.LEFT
        return Where.ABSENT if self.is_absent else Where.EXPECTED

    @property
    def is_absent(self) -> bool:
        """Whether somebody said that they did not come; not signed in yet is not the same."""
        return self.sign_up.outcome == SignUp.Outcome.ABSENT and not self.here and not self.past


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadCount:
    """How many people are where."""

    expected: int
    absent: int
    on_site: int
    in_water: int
    left: int


def people_of(day: WorkDay) -> list[PersonOfDay]:
    """The confirmed people by name, with the unit or role that counts, told or proposed. Three queries at any size."""
    assignments = {
        assignment.sign_up_id: assignment
        for assignment in Assignment.objects.in_force().filter(plan__day=day).select_related("zone")
    }
    stays: dict[int, list[Attendance]] = {}
    for stay in Attendance.objects.standing().filter(day=day):
        stays.setdefault(stay.member_id, []).append(stay)
    return [
        _person(sign_up, assignments.get(sign_up.pk), stays.get(sign_up.member_id, []))
        for sign_up in day.sign_ups.confirmed().for_roster().order_by("member__name", "member_id")
    ]


def head_count(people: Sequence[PersonOfDay]) -> HeadCount:
    """Count the people of a day by where they are."""
    here = [person.here for person in people if person.here]
    return HeadCount(
        expected=sum(not person.is_absent for person in people),
        absent=sum(person.is_absent for person in people),
        on_site=len(here),
        in_water=sum(stay.in_water for stay in here),
        left=sum(bool(person.past) and person.here is None for person in people),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonCard:
    """A person of the sign-in page with what they are handed, and the hidden words of the press that hands it out."""

    person: PersonOfDay
    remark: "StrOrPromise"
    gear: Sequence[str]
    has_gear: Sequence[str]
    sets: Sequence[GearSet]
    pieces: str
    submission: uuid.UUID


def cards_of(day: WorkDay, people: Sequence[PersonOfDay], now: datetime.datetime) -> list[PersonCard]:
    """The people with their gear and whether they are late or left early. The queries do not grow with the roster."""
    sheet = gear_sheet(day)
    found = {each.member.pk: each for each in sheet.people}
    return [_card(day, person, found.get(person.sign_up.member_id), now) for person in people]


def days_taking_entries(group: Group, now: datetime.datetime) -> list[WorkDay]:
    """Posted days whose fieldbook takes times of now, the first to start first."""
    days = WorkDay.objects.of_group(group).posted().with_stand()
    return list(
        days.filter(starts_at__lte=now + OPENS_BEFORE, ends_at__gte=now - TAKES_UNTIL).order_by("starts_at", "pk")
    )


def who_heard(day: WorkDay) -> set[int]:
    """The members of a day who heard every item of the briefing, in one round or several."""
    heard: dict[int, set[str]] = {}
    for member, items in BriefingHeard.objects.standing().filter(day=day).values_list("member", "items"):
        heard.setdefault(member, set()).update(items)
    return {member for member, items in heard.items() if items.issuperset(item.value for item in Item)}


def briefings_of(day: WorkDay) -> FieldEntryQuerySet[BriefingHeard]:
    """Who heard the briefing, the latest round first."""
    return (
        BriefingHeard.objects.standing()
        .filter(day=day)
        .select_related("member")
        .order_by("-entered_at", "member__name")
    )


def open_kiosk_link(day: WorkDay, token: str, now: datetime.datetime) -> KioskLink | None:
    """The link of the day with this token, unless it was revoked or is over."""
    links = KioskLink.objects.filter(day=day, digest=digest_of(token), revoked_at=None, ends_at__gt=now)
    return links.select_related("made_by").first()


def incidents_of(day: WorkDay) -> FieldEntryQuerySet[Incident]:
    """The incidents of a day, the latest first."""
    return Incident.objects.filter(day=day).select_related("entered_by", "struck_by").order_by("-happened_at", "-pk")


def incidents_of_group(group: Group) -> FieldEntryQuerySet[Incident]:
    """The incidents of every day of a group, the latest first."""
    found = Incident.objects.standing().filter(day__stand__site__group=group)
    return found.select_related("day__stand__site__group", "entered_by").order_by("-happened_at", "-pk")


@dataclass(frozen=True, slots=True, kw_only=True)
class BagsInSun:
    """A load of bags in the sun, and whether its time is over by the site's date."""

    load: Load
    due: bool


def bags_in_sun(group: Group, now: datetime.datetime) -> list[BagsInSun]:
    """What lies in the sun, the first to be due first. One query."""
    loads = Load.objects.in_sun().filter(day__stand__site__group=group).select_related("day__stand__site__group")
    return [
        BagsInSun(
            load=load,
            due=load.sun_until is not None and now.astimezone(load.day.zone_info).date() >= load.sun_until,
        )
        for load in loads.order_by("sun_until", "pk")
    ]


def bags_moved_on(group: Group) -> list[Load]:
    """The last 20 loads of bags that somebody took on."""
    gone = Load.objects.standing().filter(day__stand__site__group=group, moved_on_at__isnull=False)
    return list(gone.select_related("day__stand__site__group", "moved_on_by").order_by("-moved_on_at", "-pk")[:20])


def tallies_of(day: WorkDay) -> FieldEntryQuerySet[Tally]:
    """Every tally of a day, struck ones too, with what its line shows."""
    return Tally.objects.filter(day=day).select_related("zone", "entered_by", "struck_by")


def loads_of(day: WorkDay) -> FieldEntryQuerySet[Load]:
    """Every load of a day, struck ones too, with what its line shows."""
    return Load.objects.filter(day=day).select_related("entered_by", "struck_by")


@dataclass(frozen=True, slots=True, kw_only=True)
class CountingUnit:
    """Who counts in a zone: a unit of the accepted plan, or everybody else where ``number`` is None."""

    number: int | None
    names: str
    stems: int
    entry_id: uuid.UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class CountingZone:
    """A zone of the day with its sum and those who count in it."""

    zone: Zone
    stems: int
    units: Sequence[CountingUnit]


def counting_zones(day: WorkDay) -> list[CountingZone]:
    """The zones of a day with the units that cut there, for pages of big buttons. Three queries."""
    sums: dict[tuple[int, int | None], int] = {}
    for key, unit, stems in Tally.objects.standing().filter(day=day).values_list("zone", "unit_number", "stems"):
        sums[key, unit] = sums.get((key, unit), 0) + stems
    told = Assignment.objects.in_water().filter(plan__day=day, plan__told=True).select_related("sign_up__member")
    names: dict[tuple[int | None, int | None], list[str]] = {}
    for each in told.order_by("unit_number", "pk"):
        names.setdefault((each.zone_id, each.unit_number), []).append(each.sign_up.member.given_name)
    found = []
    for zone in day.zones.order_by("name", "pk"):
        numbers = dict.fromkeys([unit for place, unit in (*names, *sums) if place == zone.pk and unit is not None])
        units = [
            CountingUnit(
                number=number,
                names=", ".join(names.get((zone.pk, number), ())),
                stems=sums.get((zone.pk, number), 0),
                entry_id=uuid.uuid4(),
            )
            for number in (*sorted(numbers), None)
        ]
        found.append(CountingZone(zone=zone, stems=sum(unit.stems for unit in units), units=units))
    return found


def stems_of(day: WorkDay) -> int:
    """Stems of a day's standing tallies."""
    return Tally.objects.standing().filter(day=day).aggregate(stems=Sum("stems"))["stems"] or 0


def minutes_of(people: Sequence[PersonOfDay]) -> int:
    """Whole minutes of the stays that are over."""
    return sum(stay.minutes or 0 for person in people for stay in person.past)


def _card(day: WorkDay, person: PersonOfDay, gear: PersonGear | None, now: datetime.datetime) -> PersonCard:
    return PersonCard(
        person=person,
        remark=_remark(day, person, now),
        gear=[*map(str, gear.sets_booked), *map(_pieces, gear.counted_wanted)] if gear else (),
        has_gear=[*map(str, gear.sets_out), *map(_pieces, gear.counted_out)] if gear else (),
        sets=gear.sets_booked if gear else (),
        pieces=pieces_text(gear.counted_wanted) if gear else "",
        submission=uuid.uuid4(),
    )


def _pieces(pieces: Pieces) -> str:
    return f"{pieces.line} × {pieces.number}" if pieces.number > 1 else str(pieces.line)


def _remark(day: WorkDay, person: PersonOfDay, now: datetime.datetime) -> "StrOrPromise":
    """Late and early, in words; nothing where people keep the day's hours."""
    stays = [*person.past, *([person.here] if person.here else [])]
    if not stays:
        return _("late") if day.is_open and not person.is_absent and now > day.starts_at + GRACE else ""
    words = []
    if min(stay.signed_in_at for stay in stays) > day.starts_at + GRACE:
        words.append(gettext("came late"))
    last = max((stay.signed_out_at for stay in person.past if stay.signed_out_at), default=None)
    if person.here is None and last is not None and last < day.ends_at - GRACE:
        words.append(gettext("left before the end"))
    return ", ".join(words)


def _person(sign_up: SignUp, assignment: Assignment | None, stays: Sequence[Attendance]) -> PersonOfDay:
    here = next((stay for stay in stays if stay.signed_out_at is None), None)
    task, in_water = "", False
    if assignment is not None and assignment.kind == Assignment.Kind.UNIT:
        zone = assignment.zone.name if assignment.zone else ""
        task, in_water = _("unit %(number)d, %(zone)s") % {"number": assignment.unit_number, "zone": zone}, True
        if assignment.fallen:
            task, in_water = _("%(task)s, which does not stand any more") % {"task": task}, False
    elif assignment is not None:
        task = assignment.get_role_display() or assignment.get_kind_display()
    return PersonOfDay(
        sign_up=sign_up,
        task=task,
        in_water=in_water,
        here=here,
        past=[stay for stay in stays if stay is not here],
    )

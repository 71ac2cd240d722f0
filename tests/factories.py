"""Rows for tests: one plain function a model, valid by default, every fact that matters to a test given by the test."""

import datetime
import itertools
from decimal import Decimal
from typing import Any

from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.people.models import Account, Group, Member, PrivateRecord, Profile
from reedcrew.people.roles import Role
from reedcrew.stands.models import (
    Gauge,
    IdentificationCheck,
    IdentificationDecision,
    Quadrat,
    Site,
    SiteNotice,
    Stand,
    Survey,
    WaterLevel,
    Zone,
)
from reedcrew.stock.models import Entry, GearSet, Kind, Movement, Place, StockLine
from reedcrew.trade.identification import (
    Authority,
    Identification,
    Internodes,
    Observation,
    Sheaths,
    Spots,
    identify,
    to_record,
)
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.season import Effect, MonthDay
from reedcrew.workdays.models import SignUp, WorkDay

_numbers = itertools.count(1)

# A Saturday inside the permitted weeks, 09:00 to 13:00 in Toronto, and a moment in the week before it.
NOW = datetime.datetime(2026, 8, 10, 12, 0, tzinfo=datetime.UTC)
START = datetime.datetime(2026, 8, 15, 13, 0, tzinfo=datetime.UTC)
END = datetime.datetime(2026, 8, 15, 17, 0, tzinfo=datetime.UTC)


def make_account(email: str | None = None) -> Account:
    return Account.objects.create_user(email or f"person{next(_numbers)}@example.org")


def make_group(**fields: Any) -> Group:
    number = next(_numbers)
    return Group.objects.create(
        **{"name": f"Reed group {number}", "slug": f"group-{number}", "contact_email": "group@example.org", **fields}
    )


def make_member(
    group: Group, *, role: Role = Role.VOLUNTEER, profile: dict[str, Any] | None = None, **fields: Any
) -> Member:
    """A member with an account and the profile of an adult who told nothing else."""
    name = fields.pop("name", f"Person {next(_numbers)}")
    account = fields.pop("account") if "account" in fields else make_account()
    member = Member.objects.create(group=group, account=account, name=name, role=role, **fields)
    Profile.objects.create(member=member, **{"adult": True, "languages": ["en"], **(profile or {})})
    PrivateRecord.objects.create(member=member)
    return member


def make_water_member(group: Group, **fields: Any) -> Member:
    """An adult with everything told that water work asks for, experienced and without own gear."""
    profile = {
        "water_ready": True,
        "stature_cm": 175,
        "jacket_class": JacketClass.ADULT.value,
        "boot_eu": Decimal(43),
        "hand_mm": 210,
        "earlier_water_days": 3,
        **fields.pop("profile", {}),
    }
    return make_member(group, profile=profile, **fields)


def make_child(guardian: Member, **fields: Any) -> Member:
    """A minor without an account, reached through the guardian."""
    profile = {"adult": False, "born_on": datetime.date(2013, 5, 4), **fields.pop("profile", {})}
    return make_member(guardian.group, account=None, guardian=guardian, profile=profile, **fields)


def make_site(group: Group, **fields: Any) -> Site:
    return Site.objects.create(
        group=group,
        **{
            "name": f"Site {next(_numbers)}",
            "latitude": Decimal("44.250000"),
            "longitude": Decimal("-76.500000"),
            "time_zone": "America/Toronto",
            "meeting_place": "Gravel lot at the boat landing",
            "emergency_entrance": "North gate",
            **fields,
        },
    )


def make_stand(group: Group, *, site: Site | None = None, **fields: Any) -> Stand:
    """A stand that an organizer has confirmed as introduced, by a genetic test; ``identification`` says otherwise."""
    stand = Stand.objects.create(
        site=site or make_site(group),
        **{"name": f"Stand {next(_numbers)}", "identification": Identification.INTRODUCED.value, **fields},
    )
    if stand.identification != Identification.UNCHECKED:
        make_decision(stand, Identification(stand.identification))
    return stand


def make_decision(stand: Stand, result: Identification, **fields: Any) -> IdentificationDecision:
    """A decision that covers the checks that the stand has."""
    organizer = Member.objects.filter(group=stand.site.group, role=Role.ORGANIZER, account__isnull=False).first()
    return IdentificationDecision.objects.create(
        stand=stand,
        result=result.value,
        **{
            "authority": Authority.GENETIC_TEST.value,
            "authority_name": "Leaf test 7, a laboratory",
            "latest_known": stand.checks.order_by("-pk").first(),
            "reason": "The test says so.",
            "decided_by": organizer.account if organizer else make_account(),
            "decided_at": NOW,
            **fields,
        },
    )


# What two observers see who find the introduced reed, the native one, and nothing that decides.
SEES_INTRODUCED = Observation(sheaths=Sheaths.RETAINED, internodes=Internodes.TAN, spots=Spots.NONE)
SEES_NATIVE = Observation(sheaths=Sheaths.FALL_OFF, internodes=Internodes.RED, spots=Spots.SEEN)
SEES_LITTLE = Observation(sheaths=Sheaths.RETAINED)


def make_check(stand: Stand, observation: Observation = SEES_INTRODUCED, **fields: Any) -> IdentificationCheck:
    """A check as a row alone: the stand stays what it is."""
    finding = identify(observation)
    return IdentificationCheck.objects.create(
        stand=stand,
        observation=to_record(observation),
        result=finding.result.value,
        native_sign=finding.native_sign,
        **{
            "checked_on": NOW.date(),
            "checked_by": fields.pop("checked_by", None) or make_account(),
            "recorded_at": NOW,
            **fields,
        },
    )


def make_zone(stand: Stand, **fields: Any) -> Zone:
    return Zone.objects.create(
        stand=stand,
        **{
            "name": f"Zone {next(_numbers)}",
            "depth_cm": 60,
            "surveyed_on": datetime.date(2026, 7, 1),
            "stems": 3000,
            "units_max": 5,
            **fields,
        },
    )


def make_day(
    stand: Stand, *, posted_by: Account | None = None, zones: list[Zone] | None = None, **fields: Any
) -> WorkDay:
    """A posted day on all zones of the stand."""
    day = WorkDay.objects.create(
        stand=stand,
        posted_by=posted_by or make_account(),
        **{
            "title": "Morning at the reed",
            "date": START.date(),
            "starts_at": START,
            "ends_at": END,
            "water_places": 10,
            "land_places": 10,
            "posted_at": NOW,
            **fields,
        },
    )
    day.zones.set(list(stand.zones.all()) if zones is None else zones)
    return day


def make_sign_up(day: WorkDay, member: Member, **fields: Any) -> SignUp:
    return SignUp.objects.create(
        day=day,
        member=member,
        **{
            "place": SignUp.Place.WATER,
            "state": SignUp.State.CONFIRMED,
            "number": next(_numbers),
            "signed_up_by": member.mail_account or make_account(),
            "signed_up_at": NOW,
            "changed_at": NOW,
            **fields,
        },
    )


def make_stock(group: Group, item: Item, count: int, *, size: str = "") -> StockLine:
    """So many counted pieces in stock."""
    line, _created = StockLine.objects.get_or_create(group=group, item=item.value, size=size)
    if count:
        entry = Entry.objects.create(group=group, made_by=make_account(), made_at=NOW)
        Movement.objects.create(
            entry=entry, line=line, kind=Kind.RECEIVED, number=count, source=Place.OUTSIDE, target=Place.SHELF
        )
    return line


def make_sets(group: Group, item: Item, count: int, *, size: str = "", **fields: Any) -> list[GearSet]:
    """So many sets in stock, with labels."""
    line, _created = StockLine.objects.get_or_create(group=group, item=item.value, size=size)
    entry = Entry.objects.create(group=group, made_by=make_account(), made_at=NOW)
    made = [GearSet.objects.create(group=group, line=line, number=next(_numbers), **fields) for _set in range(count)]
    for gear_set in made:
        Movement.objects.create(
            entry=entry,
            line=line,
            gear_set=gear_set,
            kind=Kind.RECEIVED,
            number=1,
            source=Place.OUTSIDE,
            target=Place.SHELF,
        )
    return made


def account_of(member: Member) -> Account:
    """The account of a member that has one."""
    assert member.account is not None
    return member.account


def make_survey(
    stand: Stand,
    counts: dict[Zone, list[int]],
    *,
    depths: dict[Zone, list[int]] | None = None,
    recorded_by: Account | None = None,
    **fields: Any,
) -> Survey:
    """A survey of a month before NOW with these stems in quadrats of 1 m², and these depths beside the counts."""
    survey = Survey.objects.create(
        stand=stand,
        recorded_by=recorded_by or make_account(),
        **{"surveyed_on": datetime.date(2026, 7, 10), "quadrat_m2": Decimal(1), "recorded_at": NOW, **fields},
    )
    for zone, stems in counts.items():
        deep: list[int | None] = [*(depths or {}).get(zone, []), *([None] * len(stems))]
        Quadrat.objects.bulk_create(
            Quadrat(survey=survey, zone=zone, number=number, stems=count, depth_cm=deep[number - 1])
            for number, count in enumerate(stems, 1)
        )
    return survey


def make_gauge(site: Site, **fields: Any) -> Gauge:
    """A gauge that is read since before any survey of a test."""
    return Gauge.objects.create(
        site=site,
        **{
            "name": f"Staff {next(_numbers)}",
            "datum": "gauge zero is 74.20 m above the invented datum",
            "since": datetime.date(2020, 1, 1),
            **fields,
        },
    )


def make_level(gauge: Gauge, level_cm: int, read_at: datetime.datetime = NOW, **fields: Any) -> WaterLevel:
    return WaterLevel.objects.create(
        gauge=gauge, level_cm=level_cm, read_at=read_at, **{"read_by": make_account(), **fields}
    )


def make_notice(site: Site, **fields: Any) -> SiteNotice:
    """A yearly prohibition of all work from 15 March to 31 August."""
    return SiteNotice.objects.create(
        site=site,
        **{
            "kind": SiteNotice.Kind.NESTING,
            "effect": Effect.FORBIDS.value,
            "opens": MonthDay(3, 15),
            "closes": MonthDay(8, 31),
            "issuer": "Lake wardens",
            "recorded_by": make_account(),
            "recorded_at": NOW,
            **fields,
        },
    )


def make_closed_day(
    stand: Stand,
    date: datetime.date,
    *,
    tallies: dict[Zone, int],
    in_water: int = 0,
    on_land: int = 0,
    hours: float = 4,
) -> WorkDay:
    """A closed day from 13:00 UTC with one tally a zone, and so many people in water and on land for so many hours."""
    start = datetime.datetime.combine(date, datetime.time(13), tzinfo=datetime.UTC)
    end = start + datetime.timedelta(hours=hours)
    day = make_day(stand, date=date, starts_at=start, ends_at=end, status=WorkDay.Status.CLOSED, zones=list(tallies))
    account = make_account()
    for number in range(in_water + on_land):
        Attendance.objects.create(
            day=day,
            member=make_member(stand.site.group),
            signed_in_at=start,
            signed_out_at=end,
            in_water=number < in_water,
            entered_by=account,
            entered_at=start,
        )
    for zone, stems in tallies.items():
        Tally.objects.create(day=day, zone=zone, method="counted", stems=stems, entered_by=account, entered_at=end)
    return day

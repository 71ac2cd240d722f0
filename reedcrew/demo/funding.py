"""The demo group's grants, what an hour is worth, travel and preparation, and the hours that count and are approved."""

import datetime
from collections.abc import Mapping, Sequence
from decimal import Decimal

from reedcrew.demo.dates import Season, at_site
from reedcrew.demo.places import BOATHOUSE, LANDING, QUARRY
from reedcrew.grants import services
from reedcrew.grants.models import Grant, HourEntry, Licence
from reedcrew.grants.services import ExtraHours, GrantFacts, RateFacts
from reedcrew.people.models import Account, Group, Member
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import Activity, Kind, Role, Rounding
from reedcrew.workdays.models import WorkDay

REPORT_AFTER = datetime.timedelta(days=31)
CORRECTED_BY = datetime.timedelta(minutes=45)
CORRECTION = "Left before the tidying up and forgot to sign out; said so by phone on the same evening."
LATELY = datetime.timedelta(days=2)
CURRENCY = "CAD"
RATES = {Role.CREW: "21.50", Role.LEAD: "29.80", Role.SAFETY: "24.40", Role.SUPPORT: "22.10"}
RATES_THIS_YEAR = {Role.CREW: "22.15", Role.LEAD: "30.70"}
RATE_SOURCE = "Larkholm County wage table, grounds and parks work"
ON_THE_WAY = datetime.timedelta(minutes=35)
BEFORE, AFTER = datetime.timedelta(minutes=90), datetime.timedelta(minutes=75)  # the day: sign-in and -out lie nearer
TOGETHER = 3  # people in the car
TRAVEL_EVIDENCE = "34 km from Ternwater in one car, noted in its logbook"
GEAR_EVIDENCE = "Cleaning list of the shed, both names on it"


def enter_grants(
    group: Group, stands: Mapping[str, Stand], season: Season, coordinator: Account, now: datetime.datetime
) -> list[Grant]:
    """Enter three grants of invented funders, two of them of one family, and the values of an hour.

    The first has claimed all of its hours and was reported. The second counts those of one day, of which one entry is
    corrected afterwards, for which the day is opened again; the third counts the quarry. The latest day waits for
    approval.
    """
    lately = now - LATELY
    _enter_rates(group, season, coordinator, lately)
    days = list(WorkDay.objects.of_group(group).filter(status=WorkDay.Status.CLOSED).with_stand().order_by("date"))
    for day in days:
        _enter_extra(day, coordinator, lately)
    grants = _record(group, stands, season, coordinator, lately)
    first, second, third = grants
    services.claim_eligible(grant=first, actor=coordinator, now=lately)
    services.claim_eligible(grant=third, actor=coordinator, now=lately)
    first_day = next(day for day in days if day.stand == stands[LANDING] and day.date >= second.starts_on)
    services.claim_eligible(grant=second, days=[first_day], actor=coordinator, now=lately)
    for day in days[:-1]:
        services.approve_day(day=day, actor=coordinator, now=lately)
    _correct(first_day, coordinator, now - LATELY / 2)
    return grants


# --- Private ---------------------------------------------------------------------------------------------------------


def _enter_rates(group: Group, season: Season, actor: Account, now: datetime.datetime) -> None:
    for year, rates in ((season.year - 2, RATES), (season.year, RATES_THIS_YEAR)):
        for role, hourly in rates.items():
            facts = RateFacts(
                role=role,
                since=datetime.date(year, 1, 1),
                hourly=Decimal(hourly),
                currency=CURRENCY,
                source=RATE_SOURCE,
                source_date=datetime.date(year - 1, 11, 15),
            )
            services.record_rate(group=group, facts=facts, actor=actor, now=now)


def _enter_extra(day: WorkDay, actor: Account, now: datetime.datetime) -> None:
    """Three people share a car there and back, and two of them clean gear on the evening before."""
    lines = HourEntry.objects.filter(day=day).select_related("member").order_by("member__name", "pk")
    people = list({line.member_id: line.member for line in lines}.values())[:TOGETHER]
    for start in (day.starts_at - BEFORE, day.ends_at + AFTER):
        _extra(day, people, Activity.ON_THE_WAY, start, ON_THE_WAY, TRAVEL_EVIDENCE, actor, now)
    evening = at_site(day.date - datetime.timedelta(days=1), 18)
    _extra(day, people[:2], Activity.GEAR, evening, datetime.timedelta(minutes=80), GEAR_EVIDENCE, actor, now)


def _extra(
    day: WorkDay,
    people: Sequence[Member],
    activity: Activity,
    start: datetime.datetime,
    length: datetime.timedelta,
    evidence: str,
    actor: Account,
    now: datetime.datetime,
) -> None:
    travels = activity is Activity.ON_THE_WAY
    hours = ExtraHours(
        members=people,
        kind=Kind.TRAVEL if travels else Kind.PREPARATION,
        activity=activity,
        role=Role.CREW if travels else Role.SUPPORT,
        started_at=start,
        ended_at=start + length,
        evidence=evidence,
    )
    services.enter_extra_hours(day=day, hours=hours, actor=actor, now=now)


def _record(
    group: Group, stands: Mapping[str, Stand], season: Season, actor: Account, now: datetime.datetime
) -> list[Grant]:
    family = services.record_family(
        group=group,
        name="Ternwater lake programme",
        note="One programme to its funder: the shore grant, and what is passed on from it for the quarry.",
        actor=actor,
        now=now,
    )
    first, last = datetime.date(season.year - 1, 4, 1), datetime.date(season.year, 12, 31)
    facts = [
        GrantFacts(
            name="First cut at Quillet Bay",
            funder="Larkholm County Fund for Wet Places",
            number="WP-0117",
            starts_on=datetime.date(season.year - 2, 4, 1),
            ends_on=datetime.date(season.year - 1, 3, 31),
            stands=[stands[LANDING], stands[BOATHOUSE]],
            currency=CURRENCY,
            award=Decimal(4000),
            match_target=Decimal(2500),
            rounding=Rounding.QUARTER,
            note="Final report was sent. Hours are matched one to one.",
        ),
        GrantFacts(
            name="Open water for marsh birds",
            funder="Ternwater Shore Grants",
            number="TS-24-08",
            starts_on=first,
            ends_on=last,
            family=family,
            stands=[stands[LANDING], stands[QUARRY]],
            kinds=[Kind.FIELD, Kind.TRAVEL],
            currency=CURRENCY,
            award=Decimal(12000),
            match_target=Decimal(6000),
            licence=Licence.CC_BY,
            note="Report due in January. Evidence: sign-in times and stems for each work day.",
        ),
        GrantFacts(
            name="Quarry pool, passed on",
            funder="Ternwater Shore Grants",
            number="TS-24-08b",
            starts_on=first,
            ends_on=last,
            family=family,
            stands=[stands[QUARRY]],
            kinds=[Kind.FIELD],
            currency=CURRENCY,
            match_target=Decimal(900),
            rounding=Rounding.TENTH,
            names_required=True,
        ),
    ]
    grants = [services.record_grant(group=group, facts=each, actor=actor, now=now) for each in facts]
    for grant in grants:
        for covers_to in _reported_to(grant):
            due_on = covers_to + REPORT_AFTER
            date = services.add_reporting_date(grant=grant, due_on=due_on, covers_to=covers_to, actor=actor, now=now)
            if due_on < now.date():
                services.mark_report_sent(date=date, actor=actor, now=now)
    return grants


def _reported_to(grant: Grant) -> list[datetime.date]:
    """The last days of its reports: those of the years that end within it, and its own."""
    years = (datetime.date(year, 12, 31) for year in range(grant.starts_on.year, grant.ends_on.year))
    return [*(day for day in years if grant.starts_on < day < grant.ends_on), grant.ends_on]


def _correct(day: WorkDay, actor: Account, now: datetime.datetime) -> None:
    """Shorten the longest stay of an approved day: it is opened again with the reason, and approved anew."""
    services.reopen_day(day=day, reason="One sign-out is too late.", actor=actor, now=now)
    stays = HourEntry.objects.standing().filter(day=day, kind=Kind.FIELD)
    longest = stays.order_by("-minutes", "pk")[0]
    services.correct_entry(
        entry=longest,
        started_at=longest.started_at,
        ended_at=longest.ended_at - CORRECTED_BY,
        reason=CORRECTION,
        actor=actor,
        now=now,
    )
    services.approve_day(day=day, actor=actor, now=now)

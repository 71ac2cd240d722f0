"""How far a grant has come toward its match, what the planned days may add, and what its next report still lacks."""

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from reedcrew.grants.models import Approval, Grant, HourEntry, ReportingDate
from reedcrew.grants.queries.values import MissingRate, Worth, missing_rate, worth_of
from reedcrew.grants.reports.pricing import NO_RATE, Pricing, money
from reedcrew.trade.valuation import Activity, Kind, Role
from reedcrew.web.times import day_text
from reedcrew.workdays.models import SignUp, WorkDay

DAYS_OF_SHARE = 10  # latest closed days of the group that tell how many of the confirmed come (convention)
MINUTE = datetime.timedelta(minutes=1)
_ACTIVITY_AT: Mapping[str, Activity] = MappingProxyType(
    {SignUp.Place.WATER: Activity.WATER, SignUp.Place.LAND: Activity.LAND}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What posted days on the grant's stands may add: confirmed people × planned hours × the share who come.

    All of it is valued as work in the crew. Days without a rate add hours and no value; ``missing`` names the rate.
    """

    days: int
    people: int  # confirmed on these days, each counted once a day
    share: Decimal | None  # of confirmed people who came, 0 to 1; None while no closed day tells: then all are counted
    share_days: int
    minutes: int
    value: Decimal
    missing: MissingRate | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    """Something that a report needs, and where it is put right."""

    code: str
    text: str
    url: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A grant's match: what counts, what could be claimed, what may come."""

    claimed: Worth
    unclaimed: Worth
    forecast: Forecast
    target: Decimal | None

    @property
    def open(self) -> Decimal | None:
        """Match that is still to bring; None without a target."""
        return None if self.target is None else max(self.target - self.claimed.value, Decimal(0))

    @property
    def expected(self) -> Decimal:
        """Value at the end if what could be claimed is claimed and the planned days go as forecast."""
        return self.claimed.value + self.unclaimed.value + self.forecast.value

    @property
    def is_expected_to_suffice(self) -> bool:
        return self.target is not None and self.expected >= self.target

    @property
    def missing(self) -> list[MissingRate]:
        """Every rate that is missing, each role once, for its earliest date."""
        found: dict[str, MissingRate] = {}
        lacking = [*self.claimed.missing, *self.unclaimed.missing, *filter(None, [self.forecast.missing])]
        for each in lacking:
            if each.role not in found or each.date < found[each.role].date:
                found[each.role] = each
        return list(found.values())


def progress_of(grant: Grant, now: datetime.datetime) -> Progress:
    """How far the grant has come; the number of queries does not grow with its hours or days."""
    pricing = Pricing(grant)
    lines = HourEntry.objects.of_group(grant.group)
    return Progress(
        claimed=worth_of(grant, lines.standing().claimed_by(grant), pricing),
        unclaimed=worth_of(grant, lines.claimable(grant), pricing),
        forecast=forecast_of(grant, now, pricing),
        target=grant.match_target,
    )


def share_who_come(grant: Grant) -> tuple[Decimal | None, int]:
    """Of those who were confirmed on the group's latest closed days the share who came, and of how many days."""
    latest = WorkDay.objects.of_group(grant.group).filter(status=WorkDay.Status.CLOSED).order_by("-date", "-pk")
    came = Q(outcome__in=[SignUp.Outcome.WATER, SignUp.Outcome.LAND])
    counted = (
        SignUp.objects.confirmed()
        .filter(day__in=list(latest.values_list("pk", flat=True)[:DAYS_OF_SHARE]))
        .aggregate(came=Count("pk", filter=came), all=Count("pk"), days=Count("day", distinct=True))
    )
    if not counted["all"]:
        return None, 0
    return Decimal(counted["came"]) / counted["all"], counted["days"]


def forecast_of(grant: Grant, now: datetime.datetime, pricing: Pricing) -> Forecast:
    """What posted days to come, on the grant's stands and in its period, may add by their sign-ups so far."""
    share, share_days = share_who_come(grant)
    places = [place for place, activity in _ACTIVITY_AT.items() if activity.value in grant.activities]
    days = WorkDay.objects.upcoming(now).filter(
        stand__in=grant.stands.all(), date__range=(grant.starts_on, grant.ends_on)
    )
    counted = Count("sign_ups", filter=Q(sign_ups__state=SignUp.State.CONFIRMED, sign_ups__place__in=places))
    rows = list(days.annotate(people=counted).values_list("date", "starts_at", "ends_at", "people"))
    if Kind.FIELD.value not in grant.kinds:
        rows = []
    minutes, cents, lacking = 0, 0, None
    for date, starts_at, ends_at, people in rows:
        expected = round(people * ((ends_at - starts_at) // MINUTE) * (1 if share is None else share))
        rate = pricing.rate(Role.CREW.value, date)
        minutes += expected
        cents += pricing.cents(expected, rate)
        if rate == NO_RATE and expected and lacking is None:
            lacking = missing_rate(grant, Role.CREW.value, date)
    return Forecast(
        days=len(rows),
        people=sum(people for *_day, people in rows),
        share=share,
        share_days=share_days,
        minutes=minutes,
        value=money(cents),
        missing=lacking,
    )


def next_report(grant: Grant) -> ReportingDate | None:
    """The earliest report that was not sent."""
    return grant.reporting_dates.open().first()


def lacks_of(grant: Grant, report: ReportingDate, progress: Progress, now: datetime.datetime) -> Iterator[Lack]:
    """What the report still lacks: days to close, days to approve, hours to claim, values to enter."""
    slug = grant.group.slug
    days = WorkDay.objects.filter(
        stand__in=grant.stands.all(), date__range=(grant.starts_on, min(grant.ends_on, report.covers_to))
    )
    for day in days.posted().filter(ends_at__lte=now).with_stand().order_by("date", "pk"):
        text = _("Close %(day)s of %(date)s in the fieldbook.") % {"day": day.title, "date": day_text(day.date)}
        yield Lack(code="day_not_closed", text=text, url=day.get_absolute_url())
    approved = Approval.objects.standing().values("day")
    waiting = days.filter(status=WorkDay.Status.CLOSED, hour_entries__isnull=False).exclude(pk__in=approved)
    if number := waiting.distinct().count():
        text = ngettext("Approve the hours of %(number)d day.", "Approve the hours of %(number)d days.", number) % {
            "number": number
        }
        yield Lack(code="not_approved", text=text, url=reverse("grants:approvals", args=[slug]))
    lines = HourEntry.objects.of_group(grant.group).claimable(grant).filter(date__lte=report.covers_to)
    if number := lines.count():
        text = ngettext(
            "Claim %(number)d line of hours, or leave it to another grant.",
            "Claim %(number)d lines of hours, or leave them to another grant.",
            number,
        ) % {"number": number}
        yield Lack(code="unclaimed", text=text, url=reverse("grants:claims", args=[slug, grant.pk]))
    counted = HourEntry.objects.of_group(grant.group).standing().claimed_by(grant)
    if number := counted.exclude(pk__in=HourEntry.objects.eligible(grant).values("pk")).count():
        text = ngettext(
            "Release %(number)d line that no longer fits the grant.",
            "Release %(number)d lines that no longer fit the grant.",
            number,
        ) % {"number": number}
        yield Lack(code="outside", text=text, url=f"{reverse('grants:hours', args=[slug])}?grant={grant.pk}")
    for rate in progress.missing:
        if rate.date <= report.covers_to:
            text = _("Enter what an hour of “%(role)s” is worth in %(currency)s on %(date)s.") % {
                "role": rate.role_name,
                "currency": rate.currency,
                "date": day_text(rate.date),
            }
            yield Lack(code="rate_missing", text=text, url=rate.where)

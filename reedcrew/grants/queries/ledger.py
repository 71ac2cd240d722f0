"""What the hours page, a grant's page and the exports read."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, QuerySet, Sum

from reedcrew.fieldbook.models import Tally
from reedcrew.grants.models import Grant, HourEntry
from reedcrew.grants.models.hours import HourEntryQuerySet
from reedcrew.grants.reports.codes import UNKNOWN_PERSON, codes_of_accounts
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay

Row = list[str | int]

HOURS_HEAD = (
    "entry",
    "corrects",
    "date",
    "work day",
    "site",
    "stand",
    "person",
    "kind",
    "start",
    "end",
    "minutes",
    "hours",
    "grant",
    "reason",
    "entered by",
    "entered at",
)
STEMS_HEAD = (
    "entry",
    "date",
    "work day",
    "site",
    "stand",
    "zone",
    "stems",
    "lower 95 %",
    "upper 95 %",
    "method",
    "bundles",
    "stems in sampled bundles",
    "entered at",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """Which part of the ledger is asked for. None leaves that side open; both dates belong to it."""

    group: Group
    grant: Grant | None = None
    stand: Stand | None = None
    kind: str = ""  # a value of trade.valuation.Kind
    unclaimed: bool = False
    first: datetime.date | None = None
    last: datetime.date | None = None

    def hours(self) -> HourEntryQuerySet:
        """Entries that count, with what a line shows, in the ledger's order."""
        entries = (
            HourEntry.objects.of_group(self.group)
            .standing()
            .in_period(self.first, self.last)
            .of_stand(self.stand)
            .claimed_by(self.grant)
        )
        if self.kind:
            entries = entries.filter(kind=self.kind)
        if self.unclaimed:
            entries = entries.filter(claim=None)
        return entries.for_list()

    def tallies(self) -> QuerySet[Tally]:
        """Standing tallies of closed days; with a grant those on its stands in its period."""
        tallies = Tally.objects.standing().filter(day__stand__site__group=self.group, day__status=WorkDay.Status.CLOSED)
        if self.grant is not None:
            tallies = tallies.filter(
                day__stand__in=self.grant.stands.all(),
                day__date__range=(self.grant.starts_on, self.grant.ends_on),
            )
        if self.stand is not None:
            tallies = tallies.filter(day__stand=self.stand)
        if self.first is not None:
            tallies = tallies.filter(day__date__gte=self.first)
        if self.last is not None:
            tallies = tallies.filter(day__date__lte=self.last)
        return tallies.select_related("zone", "day", "day__stand", "day__stand__site").order_by("day__date", "pk")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The sums of a slice."""

    minutes: int
    entries: int
    people: int
    days: int
    stems: int

    @property
    def hours(self) -> Decimal:
        return hours_of(self.minutes)


def hours_of(minutes: int) -> Decimal:
    """Minutes as hours with two decimals, rounded half to even."""
    return (Decimal(minutes) / 60).quantize(Decimal("0.01"))


def sums_of(part: Slice) -> Sums:
    """The sums of a slice, in two queries."""
    hours = part.hours().aggregate(
        minutes=Sum("minutes"),
        entries=Count("pk"),
        people=Count("member", distinct=True),
        days=Count("day", distinct=True),
    )
    return Sums(
        minutes=hours["minutes"] or 0,
        entries=hours["entries"],
        people=hours["people"],
        days=hours["days"],
        stems=part.tallies().aggregate(stems=Sum("stems"))["stems"] or 0,
    )


def hours_rows(part: Slice) -> Iterator[Row]:
    """The hours of a slice as rows under HOURS_HEAD. People are named by their code; times are the site's, ISO 8601."""
    authors = codes_of_accounts(part.group.pk)
    for entry in part.hours().iterator(chunk_size=500):
        zone = entry.stand.site.zone_info
        claim = getattr(entry, "claim", None)
        yield [
            entry.pk,
            entry.corrects_id or "",
            entry.date.isoformat(),
            entry.day.title,
            entry.stand.site.name,
            entry.stand.name,
            entry.member.code,
            entry.get_kind_display(),
            entry.started_at.astimezone(zone).isoformat(timespec="minutes"),
            entry.ended_at.astimezone(zone).isoformat(timespec="minutes"),
            entry.minutes,
            str(hours_of(entry.minutes)),
            claim.grant.name if claim else "",
            entry.reason,
            authors.get(entry.entered_by_id, UNKNOWN_PERSON),
            entry.entered_at.isoformat(timespec="seconds"),
        ]


def stems_rows(part: Slice) -> Iterator[Row]:
    """The stems of a slice as rows under STEMS_HEAD."""
    for tally in part.tallies().iterator(chunk_size=500):
        yield [
            str(tally.pk),
            tally.day.date.isoformat(),
            tally.day.title,
            tally.day.stand.site.name,
            tally.day.stand.name,
            tally.zone.name,
            tally.stems,
            "" if tally.stems_low is None else tally.stems_low,
            "" if tally.stems_high is None else tally.stems_high,
            tally.get_method_display(),
            tally.bundles or "",
            " ".join(str(stems) for stems in tally.sample),
            tally.entered_at.isoformat(timespec="seconds"),
        ]

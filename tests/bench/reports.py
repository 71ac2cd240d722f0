"""A grant's report for a long period: its page's queries; its lines as files beside the database's own copy."""

import datetime
import os
import time
from decimal import Decimal

from django.test import Client
from django.urls import reverse

from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.grants.models import Approval, Claim, Grant, HourEntry, HourlyRate
from reedcrew.people.models import Member
from reedcrew.people.roles import Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.bench.database import empty_database, queries_of
from tests.bench.ledgers import measured, server
from tests.bench.measure import Benchmark, Outcome

FEW, MANY = 10, 500  # days of a period
PEOPLE = 30  # a day
LINES = int(os.environ.get("REEDCREW_BENCH_LINES", "1000000"))
SMALL = 10  # times fewer lines, for memory
KIB_A_MIB = 1024


def page_of_many_over_few() -> Outcome:
    """Queries of the page for 500 days with 30 people each against those for 10 days; bound 1: not one more.

    Prints the page's seconds of CPU too.
    """
    with empty_database():
        table = [("period", "queries", "CPU s")]
        counts = []
        for days in (FEW, MANY):
            client, grant = make_period(days)
            counts.append(queries_of(client, address(grant)))
            begun = time.process_time()
            client.get(address(grant))
            table.append((f"{days} days", str(counts[-1]), f"{time.process_time() - begun:.2f}"))
    return Outcome(table=table, ratio=counts[1] / counts[0])


def csv_over_copy() -> Outcome:
    """Seconds of the report's lines as CSV ÷ those of the database's COPY of the same lines; bound 4.

    The number of lines is 1,000,000, or that of REEDCREW_BENCH_LINES. Medians of three rounds in one process, one side
    after the other.
    """
    with server() as database:
        found = measured("csv", LINES, database)
    table = [("side", "lines", "median s"), *((name, str(LINES), f"{found[name]:.2f}") for name in ("copy", "csv"))]
    return Outcome(table=table, ratio=found["csv"] / found["copy"])


def memory_of_many_over_few() -> Outcome:
    """Peak memory of writing the lines as CSV, and as XLSX, ÷ that for a tenth of the lines; bound 1.2."""
    table = [("file", "lines", "peak MiB")]
    ratios = []
    with server() as database:
        for form in ("lines", "workbook"):
            peaks = []
            for lines in (LINES // SMALL, LINES):
                peaks.append(measured(f"memory-{form}", lines, database)["peak_kib"])
                table.append((form, str(lines), f"{peaks[-1] / KIB_A_MIB:.0f}"))
            ratios.append(peaks[1] / peaks[0])
    return Outcome(table=table, ratio=max(ratios))


BENCHMARKS = (
    Benchmark(
        name="report",
        about="queries of a report's page for a period of 500 days ÷ those for 10 days",
        bound=1,
        run=page_of_many_over_few,
    ),
    Benchmark(
        name="export",
        about="writing 1,000,000 lines of the ledger as CSV ÷ PostgreSQL's COPY of the same lines",
        bound=4,
        run=csv_over_copy,
    ),
    Benchmark(
        name="export-memory",
        about="peak memory of writing 1,000,000 lines as CSV or XLSX ÷ that of 100,000",
        bound=1.2,
        run=memory_of_many_over_few,
    ),
)


def address(grant: Grant) -> str:
    return reverse("grants:report", args=[grant.group.slug, grant.pk])


def make_period(days: int) -> tuple[Client, Grant]:
    """A grant over so many work days in a row, and its coordinator's browser."""
    group = factories.make_group()
    keeper = factories.account_of(factories.make_member(group, role=Role.COORDINATOR))
    stand = factories.make_stand(group)
    zone = factories.make_zone(stand, area_m2=Decimal(100))
    first = datetime.date(2024, 6, 1)
    start = datetime.datetime(2024, 6, 1, 13, tzinfo=datetime.UTC)
    end = start + datetime.timedelta(hours=4)
    steps = [datetime.timedelta(days=number) for number in range(days)]
    made = WorkDay.objects.bulk_create(
        WorkDay(
            **{"stand": stand, "title": "Cutting day", "date": first + step, "starts_at": start + step},
            **{"ends_at": end + step, "water_places": 10, "land_places": 10, "posted_by": keeper, "posted_at": start},
            status=WorkDay.Status.CLOSED,
        )
        for step in steps
    )
    people = Member.objects.bulk_create(Member(group=group, name=f"Person {number}") for number in range(PEOPLE))
    grant = Grant.objects.create(
        group=group, name="Shore grant", funder="Lake fund", starts_on=first, ends_on=first + steps[-1]
    )
    grant.stands.add(stand)
    source = {"source": "Wage statistics", "source_date": first, "recorded_by": keeper, "recorded_at": start}
    HourlyRate.objects.create(group=group, role="crew", since=first, hourly=15, currency="USD", **source)
    stays = Attendance.objects.bulk_create(
        Attendance(
            **{"day": day, "member": member, "signed_in_at": day.starts_at, "signed_out_at": day.ends_at},
            **{"entered_by": keeper, "entered_at": day.ends_at},
        )
        for day in made
        for member in people
    )
    entries = HourEntry.objects.bulk_create(
        HourEntry(
            **{"group": group, "member_id": stay.member_id, "day_id": stay.day_id, "stand": stand, "attendance": stay},
            **{"date": stay.signed_in_at.date(), "started_at": stay.signed_in_at, "ended_at": stay.signed_out_at},
            **{"minutes": 240, "entered_by": keeper, "entered_at": stay.entered_at},
        )
        for stay in stays
    )
    Claim.objects.bulk_create(Claim(entry=entry, grant=grant, claimed_by=keeper, claimed_at=start) for entry in entries)
    Tally.objects.bulk_create(
        Tally(day=day, zone=zone, method="counted", stems=500, entered_by=keeper, entered_at=day.ends_at)
        for day in made
    )
    Approval.objects.bulk_create(
        Approval(day=day, entries=PEOPLE, minutes=240 * PEOPLE, approved_by=keeper, approved_at=day.ends_at)
        for day in made
    )
    client = Client()
    client.force_login(keeper)
    return client, grant

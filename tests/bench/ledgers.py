"""A ledger as large as asked for, and what is measured on it; each measurement is a process of its own.

``python -m tests.bench.ledgers WHAT LINES`` prints its figures as JSON. The database is that of DATABASE_URL, in which
a new one is made and dropped.
"""

import datetime
import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any

from tests.bench.measure import in_turn

DAYS, PEOPLE = 500, 1_000  # the same for every number of lines, so that lines alone make a difference
STANDS = 4
ROUNDS = 3


@contextmanager
def server() -> Iterator[str]:
    """Address of a PostgreSQL that is started for the measurement, or that DATABASE_URL names."""
    from tests.services import postgres

    given = os.environ.get("DATABASE_URL", "")
    if given.startswith("postgres"):
        yield given
        return
    with tempfile.TemporaryDirectory(prefix="reedcrew-bench-") as folder:
        Path(folder).chmod(0o711)  # the server runs as another user where the measurement runs as root
        with postgres(Path(folder) / "postgres") as address:
            yield address


def measured(what: str, lines: int, database: str) -> Mapping[str, float]:
    """Figures of one measurement in a fresh process."""
    command = [sys.executable, "-m", "tests.bench.ledgers", what, str(lines)]
    environment = {**os.environ, "DATABASE_URL": database}
    done = subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE, text=True)  # own code
    return json.loads(done.stdout.splitlines()[-1])  # type: ignore[no-any-return]


# --- In the process that measures ------------------------------------------------------------------------------------
def fill(lines: int) -> Any:
    """A grant that claims so many lines of 500 days; returns it. Rows are made inside the database."""
    from django.db import connection

    from reedcrew.grants.models import Claim, Grant, HourEntry, HourlyRate
    from reedcrew.people.models import Member
    from reedcrew.people.roles import Role
    from reedcrew.workdays.models import WorkDay
    from tests import factories

    group = factories.make_group()
    keeper = factories.account_of(factories.make_member(group, role=Role.COORDINATOR))
    stands = [factories.make_stand(group) for _number in range(STANDS)]
    first = datetime.date(2024, 6, 1)
    start = datetime.datetime(2024, 6, 1, 13, tzinfo=datetime.UTC)
    a_day = datetime.timedelta(days=1)
    days = WorkDay.objects.bulk_create(
        WorkDay(
            stand=stands[number % STANDS],
            title=f"Cutting day {number}",
            date=first + number * a_day,
            starts_at=start + number * a_day,
            ends_at=start + number * a_day + datetime.timedelta(hours=6),
            water_places=10,
            land_places=10,
            posted_by=keeper,
            posted_at=start,
            status=WorkDay.Status.CLOSED,
        )
        for number in range(DAYS)
    )
    people = Member.objects.bulk_create(Member(group=group, name=f"Person {number}") for number in range(PEOPLE))
    grant = Grant.objects.create(
        group=group, name="Shore grant", funder="Lake fund", starts_on=first, ends_on=first + DAYS * a_day
    )
    grant.stands.set(stands)
    HourlyRate.objects.create(
        group=group,
        role="crew",
        since=first,
        hourly=Decimal("15.84"),
        currency="USD",
        source="Wage statistics, an invented one",
        source_date=first,
        recorded_by=keeper,
        recorded_at=start,
    )
    with connection.cursor() as cursor:
        cursor.execute(
            f"""
            INSERT INTO {HourEntry._meta.db_table} (group_id, member_id, day_id, stand_id, kind, activity, role, date,
                started_at, ended_at, minutes, reason, evidence, evidence_file, entered_by_id, entered_at)
            SELECT %s, %s + n %% {PEOPLE}, day.id, day.stand_id, 'field', 'land', 'crew', day.date,
                day.starts_at + (n %% 47) * interval '1 minute',
                day.starts_at + (n %% 47 + 120 + n %% 173) * interval '1 minute',
                120 + n %% 173, '', '', '', %s, day.ends_at
            FROM generate_series(0, %s) AS n
            JOIN {WorkDay._meta.db_table} AS day ON day.id = %s + n %% {DAYS}
            """,  # names of our own tables
            [group.pk, people[0].pk, keeper.pk, lines - 1, days[0].pk],
        )
        cursor.execute(
            f"INSERT INTO {Claim._meta.db_table} (entry_id, grant_id, claimed_by_id, claimed_at)"
            f" SELECT id, %s, %s, entered_at FROM {HourEntry._meta.db_table}",  # as above
            [grant.pk, keeper.pk],
        )
        for model in (HourEntry, Claim):
            cursor.execute(f"ANALYZE {model._meta.db_table}")
    return grant


def report_of(grant: Any) -> Any:
    from reedcrew.grants.reports import make_report
    from tests.factories import NOW

    return make_report(grant, first=grant.starts_on, last=grant.ends_on, at=NOW)


def copied(grant: Any, path: Path) -> float:
    """Seconds of the database's own COPY of the same lines, with the same words beside them, into a file."""
    from django.db import connection

    from reedcrew.grants.models import Claim, HourEntry
    from reedcrew.people.models import Member
    from reedcrew.stands.models import Site, Stand
    from reedcrew.workdays.models import WorkDay

    tables = {
        name: model._meta.db_table
        for name, model in {
            **{"entry": HourEntry, "claim": Claim, "person": Member},
            **{"stand": Stand, "site": Site, "day": WorkDay},
        }.items()
    }
    query = """
        COPY (
            SELECT e.id, e.corrects_id, e.date, e.day_id, d.title, i.name, s.name, p.code, e.kind, e.activity, e.role,
                e.started_at, e.ended_at, e.minutes, e.minutes, round(e.minutes / 60.0, 2), 'R1',
                round(e.minutes * 15.84 / 60, 2), 'USD', '', '', e.reason, e.evidence, a.code, e.entered_at
            FROM {entry} e
            JOIN {claim} c ON c.entry_id = e.id AND c.grant_id = %s
            JOIN {day} d ON d.id = e.day_id
            JOIN {stand} s ON s.id = e.stand_id
            JOIN {site} i ON i.id = s.site_id
            JOIN {person} p ON p.id = e.member_id
            LEFT JOIN {person} a ON a.account_id = e.entered_by_id
            WHERE NOT EXISTS (SELECT 1 FROM {entry} l WHERE l.corrects_id = e.id)
            ORDER BY e.date, e.started_at, e.id
        ) TO STDOUT WITH (FORMAT csv, HEADER)
        """.format(**tables)
    begun = time.perf_counter()
    with connection.cursor() as cursor, path.open("wb") as file, cursor.cursor.copy(query, [grant.pk]) as copy:
        for data in copy:
            file.write(data)
    return time.perf_counter() - begun


def written(grant: Any, path: Path) -> float:
    """Seconds of the report's lines as a CSV file."""
    from reedcrew.grants.exports.csv_file import write_lines

    report = report_of(grant)
    begun = time.perf_counter()
    write_lines(report, path)
    return time.perf_counter() - begun


def peak_kib() -> int:
    """The most memory that this process ever had, in KiB as Linux counts it."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def main(what: str, lines: int) -> dict[str, float]:
    """One measurement in an empty database."""
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
    django.setup()
    from reedcrew.grants.exports.making import WRITERS
    from tests.bench.database import empty_database

    with empty_database(), tempfile.TemporaryDirectory(prefix="reedcrew-bench-") as folder:
        grant = fill(lines)
        path = Path(folder) / "file"
        if what == "csv":
            sides = {"copy": lambda: copied(grant, path), "csv": lambda: written(grant, path)}
            seconds = in_turn(sides, ROUNDS)
            return {name: statistics.median(each) for name, each in seconds.items()}
        WRITERS[what.removeprefix("memory-")](report_of(grant), path)
        return {"peak_kib": peak_kib()}


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1], int(sys.argv[2]))))

"""Whether a sync of many entries asks the database more often than one of few."""

import datetime
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from random import Random

import django

from tests.bench.measure import Benchmark, Outcome
from tests.services import postgres_server

FEW, MANY = 100, 1_000  # entries of one request
PHONES, PEOPLE = 5, 40


def many_over_few() -> Outcome:
    """Queries of a sync of 1,000 entries over those of one of 100, on PostgreSQL; bound 1.

    On a PostgreSQL of its own: SQLite takes rows in pieces of 999 values, whoever asks.
    """
    with tempfile.TemporaryDirectory(prefix="reedcrew-bench-") as made:
        folder = Path(made)
        folder.chmod(0o711)  # the database server runs as another user when this runs as root
        (folder / "var").mkdir()
        with postgres_server(folder / "postgres") as database:
            own = {"DATABASE_URL": database.address, "REEDCREW_VAR": str(folder / "var")}
            command = [sys.executable, "-m", "tests.bench.sync"]
            counted = subprocess.run(command, env={**os.environ, **own}, check=True, capture_output=True).stdout
    queries = json.loads(counted.splitlines()[-1])
    table = [
        ("entries", "queries", "of them again"),
        *((number, str(first), str(again)) for number, first, again in queries),
    ]
    (_few, few, few_again), (_many, many, many_again) = queries
    return Outcome(table=table, ratio=max(many / few, many_again / few_again))


BENCHMARKS = (
    Benchmark(
        name="sync",
        about=f"queries of a sync of {MANY:,} entries of {PHONES} phones ÷ those of {FEW}, on PostgreSQL",
        bound=1,
        run=many_over_few,
    ),
)


def _count() -> list[tuple[str, int, int]]:
    """For each number of entries: queries of the sync, and of the same request once more."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from reedcrew.fieldbook.sync.contract import read_batch
    from reedcrew.fieldbook.sync.taking import take
    from reedcrew.people.roles import Role
    from tests import factories
    from tests.bench.database import empty_database
    from tests.fieldbook.sync.crowds import entries_of_phones
    from tests.fieldbook.sync.phones import Phone

    found = []
    with empty_database():
        group = factories.make_group()
        lead = factories.account_of(factories.make_member(group, role=Role.CREW_LEAD))
        stand = factories.make_stand(group)
        zone = factories.make_zone(stand).pk
        for number in (FEW, MANY):
            day = factories.make_day(stand)
            members = [factories.make_water_member(group).pk for _person in range(PEOPLE)]
            for member in group.members.filter(pk__in=members):
                factories.make_sign_up(day, member)
            crowd = entries_of_phones(Random(number), number=number, phones=PHONES, members=members, zones=[zone])
            entries = [entry for _phone, entry in crowd if entry["kind"] != "absent"][:number]
            now = factories.END + datetime.timedelta(hours=1)
            body = json.dumps(Phone().request(entries, now)).encode()
            counts = []
            for _time in range(2):
                with CaptureQueriesContext(connection) as taken:
                    take(day=day, batch=read_batch(body), author=lead, now=now)
                counts.append(len(taken))
            found.append((str(number), counts[0], counts[1]))
    return found


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
    django.setup()
    print(json.dumps(_count()))

"""The whole service under a steady load for ten minutes: web server, worker and beat."""

import os
import statistics
import time
from typing import Any

from tests.bench.measure import Benchmark, Outcome
from tests.bench.served import measured

MINUTES = float(os.environ.get("REEDCREW_BENCH_MINUTES", "10"))
LOOK_EVERY_S = 2.0
CONNECTIONS = 4
PARTS = 3  # web server, worker, beat: each has its own connections
FIFTHS = 5
MIB = 1024 * 1024


def memory_at_the_end_over_before() -> Outcome:
    """Memory of the service in the last fifth of the time ÷ that in the second fifth; bound 1.1.

    The first fifth warms up. Ten minutes, or as many as REEDCREW_BENCH_MINUTES says. Raises RuntimeError where an
    answer is an error of the server, or where connections to the database go past those of the pools.
    """
    found = measured("soak")
    fifths = _fifths(found["mib"])
    table = [
        ("measure", "value"),
        ("answers", str(found["answers"])),
        ("most connections to the database", f"{found['connections']} of {found['allowed']}"),
        *((f"MiB in fifth {number}", f"{mib:.0f}") for number, mib in enumerate(fifths, start=1)),
    ]
    return Outcome(table=table, ratio=fifths[-1] / fifths[1])


BENCHMARKS = (
    Benchmark(
        name="soak",
        about="memory of the service at the end of ten minutes under load ÷ after two minutes",
        bound=1.1,
        run=memory_at_the_end_over_before,
    ),
)


def _fifths(values: list[float]) -> list[float]:
    size = len(values) // FIFTHS
    return [statistics.mean(values[number * size : (number + 1) * size]) for number in range(FIFTHS)]


# --- In the process that measures ------------------------------------------------------------------------------------
def measure() -> dict[str, Any]:
    """Memory in MiB at each look, the number of answers, and the most connections that were open at once."""
    import subprocess
    import sys

    import psutil
    from django.conf import settings
    from django.db import connection
    from django.urls import reverse

    from tests.bench.served.clients import Press, answers, press_all
    from tests.bench.served.groups import make_groups
    from tests.services import wait_until
    from tests.sessions import session_of

    made = make_groups(groups=2, people=200, days=40)
    day, slug, keeper = made.days[0], made.group.slug, session_of(made.organizer)
    paths = [
        reverse("people:home"),
        made.group.get_absolute_url(),
        reverse("workdays:days", args=[slug]),
        day.get_absolute_url(),
        reverse("workdays:roster", args=[slug, day.pk]),
        day.get_public_url(),
        reverse("people:members", args=[slug]),
    ]
    presses = [Press(path=path, session=keeper) for path in paths]
    allowed = PARTS * settings.DATABASES["default"]["OPTIONS"]["pool"]["max_size"]
    service = subprocess.Popen([sys.executable, "manage.py", "serve"], stdout=sys.stderr)
    try:
        wait_until(answers, what="the service answers")
        mib, answered, most = [], 0, 0
        end, looked = time.monotonic() + 60 * MINUTES, 0.0
        while time.monotonic() < end:
            given, _seconds = press_all(presses * CONNECTIONS, CONNECTIONS)
            answered += len(given)
            for answer in given:
                if answer.status != 200:
                    raise RuntimeError(f"{answer.press.path} answered {answer.status}")
            now = time.monotonic()
            if now - looked >= LOOK_EVERY_S:
                looked = now
                family = psutil.Process(service.pid).children(recursive=True)
                mib.append(sum(part.memory_info().rss for part in family) / MIB)
                with connection.cursor() as cursor:
                    cursor.execute("SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()")
                    most = max(most, cursor.fetchone()[0] - 1)  # without that of this process
    finally:
        service.terminate()
        service.wait()
    if most > allowed:
        raise RuntimeError(f"{most} connections to the database where {allowed} are allowed")
    return {"mib": mib, "answers": answered, "connections": most, "allowed": allowed}

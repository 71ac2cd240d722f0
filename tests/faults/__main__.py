"""Kills, replaces and cuts off real servers on a PostgreSQL of its own under load; exits with 1 when something is lost.

``python -m tests.faults`` takes some minutes. Of sign-ups that counts which a page told somebody, of mails the rows
that the database acknowledged to whoever wrote them. ``REEDCREW_FAULTS_PEOPLE`` sets how many sign up in each scene.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import django

from tests.bench.__main__ import printed
from tests.services import PostgresServer, postgres_server, redis_server, wait_until

PEOPLE = int(os.environ.get("REEDCREW_FAULTS_PEOPLE", "600"))
PLACES, AT_ONCE = PEOPLE // 10, 16
MAILS = 200
RESTART_AFTER = (50, 120)  # mails accepted: first a restart in order, then one as after a crash
SWEEP_S = 1.0  # beat's minute, made short


def main() -> int:
    """Exit status: 0, or 1 when a sign-up or a mail was lost."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="reedcrew-faults-")))
        folder.chmod(0o711)  # the database server runs as another user when this runs as root
        database = stack.enter_context(postgres_server(folder / "postgres", safe=True))
        os.environ |= {
            "DATABASE_URL": database.address,
            "REDIS_URL": stack.enter_context(redis_server(folder / "redis")),
            "REEDCREW_VAR": str(folder / "var"),
            "MAIL_DOMAIN_A_MINUTE": str(10 * MAILS),
            "DJANGO_SETTINGS_MODULE": "reedcrew.settings",
        }
        (folder / "var").mkdir()
        django.setup()

        from django.core.management import call_command  # it knows models: not before Django is set up

        call_command("migrate", verbosity=0)
        wrong = _sign_ups(folder, database)
        return _mails(stack, database) or wrong


def _sign_ups(folder: Path, database: PostgresServer) -> int:
    from django.db import connection

    from tests.faults import sign_ups
    from tests.webserver import open_site

    crashes = iter((False, True))  # first a restart in order, then one as after a crash

    def restart() -> None:
        database.restart(crash=next(crashes))
        connection.close()

    def deployed(place: Path, **size: int) -> sign_ups.SignedUp:
        with open_site(place) as site:
            return sign_ups.deployed(site, **size)

    scenes: dict[str, Callable[..., sign_ups.SignedUp]] = {
        "web processes killed": lambda place, **size: sign_ups.web_killed(place, processes=2, **size),
        "PostgreSQL restarted": lambda place, **size: sign_ups.database_away(place, restart, **size),
        "update in a stampede": deployed,
    }
    table = [("scene", "people", "acknowledged", "held", "lost", "doubled", "confirmed", "seen besides")]
    wrong = 0
    for number, (name, scene) in enumerate(scenes.items()):
        place = folder / f"scene{number}"
        place.mkdir()
        found = scene(place, people=PEOPLE, places=PLACES, at_once=AT_ONCE)
        wrong |= not found.is_whole(people=PEOPLE, places=PLACES)
        numbers = (PEOPLE, found.acknowledged, found.held, found.lost, found.doubled, found.confirmed)
        seen = ", ".join(f"{count} × {what}" for what, count in sorted(found.seen.items())) or "nothing"
        table.append((name, *map(str, numbers), seen))
    print(printed(table))
    return int(wrong)


def _mails(stack: ExitStack, database: PostgresServer) -> int:
    from django.db import DatabaseError, close_old_connections  # these know models: not before Django is set up

    from tests.faults import scenes
    from tests.faults.smtp import faulty_mail_server
    from tests.worker import live_broker, run_worker

    server = stack.enter_context(faulty_mail_server())
    broker = stack.enter_context(live_broker(redis_url=os.environ["REDIS_URL"]))
    day = scenes.make_open_day()
    stack.enter_context(run_worker(broker, {"EMAIL_URL": server.email_url}))
    acknowledged: list[str] = []
    restarts = [(after, crash) for after, crash in zip(RESTART_AFTER, (False, True), strict=True)]
    refused = 0
    while len(acknowledged) < MAILS:
        if restarts and len(server.received) >= restarts[0][0]:
            database.restart(crash=restarts.pop(0)[1])
        try:
            acknowledged += [mail.message_id for mail in scenes.make_mails(day)]
        except DatabaseError:
            refused += 1
            close_old_connections()
    swept = 0.0

    def through() -> bool:
        nonlocal swept
        if time.monotonic() - swept > SWEEP_S:
            swept = time.monotonic()
            scenes.let_time_pass()
        return scenes.all_sent()

    wait_until(through, what="every mail is sent")
    counted = scenes.count(server.received, scenes.message_ids())
    lost = len(set(acknowledged) - set(scenes.message_ids())) + counted.lost
    table = [
        ("restarts", "rows", "acknowledged", "writes refused", "accepted", "repeats", "lost"),
        (
            *(str(len(RESTART_AFTER) - len(restarts)), str(counted.mails), str(len(acknowledged)), str(refused)),
            *(str(counted.accepted), str(counted.repeats), str(lost)),
        ),
    ]
    print(printed(table))
    return 1 if lost or restarts else 0


if __name__ == "__main__":
    sys.exit(main())

"""Restarts a PostgreSQL of its own under a worker that sends, and exits with 1 when a mail is lost.

``python -m tests.faults`` takes some minutes. Rows count that the database acknowledged to whoever wrote them.
"""

import os
import sys
import tempfile
import time
from contextlib import ExitStack
from pathlib import Path

import django

from tests.bench.__main__ import printed
from tests.services import PostgresServer, postgres_server, redis_server, wait_until

MAILS = 200
RESTART_AFTER = (50, 120)  # mails accepted: first a restart in order, then one as after a crash
SWEEP_S = 1.0  # beat's minute, made short


def main() -> int:
    """Exit status: 0, or 1 when a mail was lost."""
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
        return _run(stack, database)


def _run(stack: ExitStack, database: PostgresServer) -> int:
    from django.core.management import call_command  # these know models: not before Django is set up
    from django.db import DatabaseError, close_old_connections

    from tests.faults import scenes
    from tests.faults.smtp import faulty_mail_server
    from tests.worker import live_broker, run_worker

    call_command("migrate", verbosity=0)
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

"""Two beats at once, both killed, one started again on what was left: work that is asked for twice is done once."""

import datetime
import os
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.conf import settings
from django.utils import timezone

from reedcrew.celery import app
from reedcrew.invites.models import Mailing, OutgoingMail
from reedcrew.web.beat import Scheduler
from reedcrew.web.lifeline import die_with_parent
from tests.faults.scenes import all_sent, count, make_mails, make_open_day, message_ids
from tests.faults.smtp import FaultyMailServer
from tests.worker import Worker, database_url, live_broker, run_worker

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

PEOPLE = 5
LONG_AGO = datetime.timedelta(days=2)
TASKS = {str(entry["task"]) for entry in settings.CELERY_BEAT_SCHEDULE.values()}


def make_overdue_schedule(path: Path) -> Path:
    """A file of beat that says of every task that it was sent two days ago."""
    schedule = Scheduler(app=app, schedule_filename=str(path), lazy=True)
    schedule.setup_schedule()
    for entry in schedule.schedule.values():
        entry.last_run_at = timezone.now() - LONG_AGO
    schedule.close()
    return path


@contextmanager
def running_beats(*schedules: Path) -> Iterator[None]:
    """Beats as on as many machines, each with a schedule of its own; killed at the end without a chance to end."""
    environment = {
        name: value for name, value in os.environ.items() if name not in {"REDIS_URL", "DJANGO_SETTINGS_MODULE"}
    }
    environment |= {"DATABASE_URL": database_url(), "REEDCREW_VAR": str(settings.VAR_DIR)}
    command = [sys.executable, "-m", "celery", "--quiet", "--skip-checks", "--app", "reedcrew", "beat", "--schedule"]
    beats = []
    try:
        for schedule in schedules:
            with schedule.with_suffix(".log").open("wb") as log:
                beats.append(
                    subprocess.Popen(
                        [*command, str(schedule)],
                        cwd=settings.BASE_DIR,
                        env=environment,
                        stdin=subprocess.DEVNULL,
                        stdout=log,
                        stderr=log,
                        preexec_fn=die_with_parent,
                    )
                )
        yield
    finally:
        for beat in beats:
            beat.kill()
            beat.wait()


def done(worker: Worker) -> dict[str, int]:
    """How often the worker has done each task of beat."""
    told = re.findall(r"Task (\S+)\[\S+\] succeeded", worker.log.read_text())
    return {task: told.count(task) for task in TASKS}


def test_two_beats_that_are_killed_and_one_started_again_repeat_no_work(
    tmp_path: Path, faulty_server: FaultyMailServer, report: Callable[[object], None]
) -> None:
    day = make_open_day(starts_in=datetime.timedelta(hours=3))  # the evening before is past: its reminders are due
    make_mails(day, PEOPLE)
    first, second = (make_overdue_schedule(tmp_path / name) for name in ("first", "second"))
    with live_broker(redis_url="") as broker, run_worker(broker, {"EMAIL_URL": faulty_server.email_url}) as worker:
        with running_beats(first, second):
            worker.until(lambda: min(done(worker).values()) >= 2, what="both beats' tasks are done")
        before = sum(done(worker).values())
        with running_beats(first):
            worker.until(lambda: sum(done(worker).values()) > before, what="the beat that was killed goes on")
            worker.until(all_sent, what="every mail is sent")
    counted = count(faulty_server.received, message_ids())
    assert (counted.accepted, counted.repeats, counted.lost) == (counted.mails, 0, 0)
    kinds = Counter(OutgoingMail.objects.values_list("kind", flat=True))
    assert (kinds[OutgoingMail.Kind.REMINDER], counted.mails) == (PEOPLE, 2 * PEOPLE), kinds
    assert Mailing.objects.filter(day=day).count() == 1
    assert day.plans.count() == 1
    report(counted)

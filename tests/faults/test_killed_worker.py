"""A worker killed between the row and the server's answer: the next one sends, and may repeat, the same mail."""

from collections.abc import Callable

import pytest
from celery import Celery
from django.db import transaction

from reedcrew.invites.models import OutgoingMail
from tests.faults.scenes import all_sent, count, let_time_pass, make_mails, make_open_day, message_ids
from tests.faults.smtp import FaultyMailServer, Step
from tests.worker import Worker, run_worker

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

STEPS = (Step.SENDER, Step.RECEIVED, Step.ACCEPTED)  # before the server has it, before it decides, after it took it


def kill(worker: Worker) -> None:
    worker.process.kill()
    worker.process.wait()


def test_a_worker_killed_at_any_step_leaves_each_mail_to_the_next_worker(
    broker: Celery, faulty_server: FaultyMailServer, report: Callable[[object], None]
) -> None:
    day, environment = make_open_day(), {"EMAIL_URL": faulty_server.email_url}
    for step in STEPS:
        with run_worker(broker, environment) as worker:
            faulty_server.hold_at(step)
            make_mails(day)
            worker.until(faulty_server.held.is_set, what=f"a mail is at the step {step}")
            kill(worker)
    with run_worker(broker, environment) as worker:
        faulty_server.hold_at(Step.RECEIVED)
        (mail,) = make_mails(day)
        worker.until(faulty_server.held.is_set, what="a mail is received")
        with transaction.atomic():  # the row, on SQLite the file, is held: the answer comes and cannot be marked
            OutgoingMail.objects.select_for_update().get(pk=mail.pk)
            faulty_server.go_on()
            worker.until(faulty_server.answered.is_set, what="the server has answered")
            kill(worker)
    assert len(faulty_server.received) == 2  # the last step of the server, and the answer that was not marked

    with run_worker(broker, environment) as worker:
        let_time_pass()
        worker.until(all_sent, what="another worker sends what is left")
    counted = count(faulty_server.received, message_ids())
    assert (counted.mails, counted.lost) == (len(STEPS) + 1, 0)
    assert counted.repeats >= 1  # the server had the mail, the worker died before it knew
    report(counted)

"""A mail server that refuses, delays and hangs up while a worker sends; and two workers at once."""

import threading
from collections.abc import Callable
from typing import Any

import pytest
from celery import Celery
from django.db import connection
from django.utils import timezone

from reedcrew.invites import outbox, tasks
from reedcrew.invites.addresses import is_marked
from reedcrew.invites.models import OutgoingMail
from tests.faults.scenes import (
    State,
    all_sent,
    all_tried,
    count,
    let_time_pass,
    make_mails,
    make_open_day,
    message_ids,
)
from tests.faults.smtp import HANG_UP, FaultyMailServer, Step
from tests.services import LOOPBACK, MailServer
from tests.worker import run_worker

pytestmark = pytest.mark.django_db(transaction=True)

# What a server may say or do at each step before it takes the mail after all (RFC 5321 sections 3.8 and 4.2.1).
PASSING = {
    Step.GREETING: [HANG_UP],
    Step.SENDER: ["421 4.7.0 Too many", "451 4.3.0 Try later", "530 5.7.0 Sign in first", HANG_UP],
    Step.RECEIVER: ["450 4.2.1 Mailbox busy", HANG_UP],
    Step.TEXT: [HANG_UP],
    Step.RECEIVED: ["451 4.3.0 Try later", HANG_UP],
    Step.ACCEPTED: [HANG_UP, HANG_UP],
}


def test_a_server_that_refuses_and_hangs_up_at_every_step_gets_every_mail_in_the_end(
    broker: Celery, faulty_server: FaultyMailServer, report: Callable[[object], None]
) -> None:
    day = make_open_day()
    for step, answers in PASSING.items():
        faulty_server.answers[step].extend(answers)
    faults = sum(len(answers) for answers in PASSING.values())
    with run_worker(broker, {"EMAIL_URL": faulty_server.email_url}) as worker:
        make_mails(day, 4)
        for _round in range(faults + 1):
            let_time_pass()
            worker.until(all_tried, what="every mail has been tried")
        worker.until(all_sent, what="every mail is sent")
    counted = count(faulty_server.received, message_ids())
    assert (counted.mails, counted.lost, counted.repeats) == (4, 0, len(PASSING[Step.ACCEPTED]))
    assert sum(OutgoingMail.objects.values_list("tries", flat=True)) == 4 + faults
    assert not any(is_marked(mail.to_address) for mail in OutgoingMail.objects.all())
    report(counted)


def test_a_refusal_for_good_is_not_tried_again_and_marks_the_address_where_it_is_wrong(
    broker: Celery, faulty_server: FaultyMailServer, report: Callable[[object], None]
) -> None:
    day = make_open_day()
    faulty_server.answers[Step.RECEIVER].append("550 5.1.1 No such mailbox")
    with run_worker(broker, {"EMAIL_URL": faulty_server.email_url}) as worker:
        wrong, right = make_mails(day)[0], None
        worker.until(lambda: OutgoingMail.objects.filter(state=State.REFUSED).exists(), what="the refusal is noted")
        faulty_server.answers[Step.RECEIVED].append("554 5.7.1 Not wanted here")
        (right,) = make_mails(day)
        worker.until(lambda: OutgoingMail.objects.filter(state=State.REFUSED).count() == 2, what="the second, too")
        let_time_pass()
        (sent,) = make_mails(day)
        worker.until(lambda: OutgoingMail.objects.filter(state=State.SENT).exists(), what="the next mail is sent")
    assert OutgoingMail.objects.get(state=State.SENT) == sent
    assert (is_marked(wrong.to_address), is_marked(right.to_address)) == (True, False)  # 5.1.1 at once, RFC 3463
    report(count(faulty_server.received, [sent.message_id]))


def test_a_server_slower_than_our_patience_gets_the_same_mail_again(
    faulty_server: FaultyMailServer, settings: Any, report: Callable[[object], None]
) -> None:
    """It has accepted when we hang up: RFC 5321 section 4.5.3.2.6 names this as the cause of repeats."""
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_TIMEOUT = LOOPBACK, faulty_server.port, 0.3
    (mail,) = make_mails(make_open_day())
    faulty_server.hold_at(Step.ACCEPTED)
    first = outbox.deliver(mail_pk=mail.pk, now=timezone.now())
    assert (first.state, first.last_error.partition(":")[0]) == (State.WAITING, "SMTPServerDisconnected")
    settings.EMAIL_TIMEOUT = 60
    assert outbox.deliver(mail_pk=mail.pk, now=first.next_try_at).state == State.SENT
    counted = count(faulty_server.received, message_ids())
    assert (counted.accepted, counted.repeats) == (2, 1)
    report(counted)


def test_two_workers_at_once_send_each_mail_once(smtp_server: MailServer, report: Callable[[object], None]) -> None:
    make_mails(make_open_day(), 30)
    together = threading.Barrier(2)

    def sweep() -> None:
        together.wait()
        tasks.send_due()
        connection.close()

    threads = [threading.Thread(target=sweep) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    counted = count(smtp_server.received, message_ids())
    assert (counted.mails, counted.accepted, counted.lost) == (30, 30, 0)
    assert all_sent()
    report(counted)

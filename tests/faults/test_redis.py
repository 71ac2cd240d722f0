"""Redis emptied and stopped under a running worker, slow and silent before people: wake-ups are lost, mails are not."""

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest
import redis

from reedcrew.web.wake import WakeUp
from tests.faults.scenes import all_sent, count, let_time_pass, make_mails, make_open_day, message_ids
from tests.faults.slow_line import slow_line
from tests.faults.smtp import FaultyMailServer
from tests.services import LOOPBACK, free_port, redis_server, wait_until
from tests.worker import live_broker, run_worker

pytestmark = pytest.mark.django_db(transaction=True)

SLOW_S = 0.1  # for each answer of Redis; a wake-up takes several


def test_redis_emptied_and_stopped_costs_wake_ups_and_no_mail(
    transactional_db: None, tmp_path: Path, faulty_server: FaultyMailServer, report: Callable[[object], None]
) -> None:
    day, port = make_open_day(), free_port()
    with ExitStack() as stack:
        first = stack.enter_context(ExitStack())
        url = first.enter_context(redis_server(tmp_path / "redis", port=port))
        broker = stack.enter_context(live_broker(redis_url=f"{url}/0"))
        make_mails(day, 3)
        with redis.Redis(port=port) as client:
            assert client.llen("celery") >= 3  # a sign-up also wakes the planning
            client.flushall()  # before a worker saw them
        worker = stack.enter_context(run_worker(broker, {"EMAIL_URL": faulty_server.email_url}))
        let_time_pass()
        worker.until(all_sent, what="the sweep finds what nobody was woken for")
        with redis.Redis(port=port) as client:
            client.flushall()  # under the worker's feet
        make_mails(day, 3)
        worker.until(all_sent, what="the worker goes on")
        first.close()
        make_mails(day, 3)
        assert not all_sent()
        stack.enter_context(redis_server(tmp_path / "redis", port=port))
        let_time_pass()
        worker.until(all_sent, what="the worker comes back with Redis")
    counted = count(faulty_server.received, message_ids())
    assert (counted.mails, counted.accepted, counted.lost) == (9, 9, 0)
    report(counted)


def test_redis_that_is_slow_or_never_answers_keeps_people_waiting_once_and_costs_no_sign_up(
    transactional_db: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(WakeUp, "silent_until", WakeUp.silent_until)  # put back for the tests that follow
    day, port = make_open_day(), free_port()
    with ExitStack() as stack:
        stack.enter_context(redis_server(tmp_path / "redis", port=port))
        client = stack.enter_context(redis.Redis(port=port))
        line = stack.enter_context(slow_line(port))
        stack.enter_context(live_broker(redis_url=f"redis://{LOOPBACK}:{line.port}/0"))
        line.delay_s = SLOW_S
        acknowledged = make_mails(day, 1)
        assert client.llen("celery") == 2  # the sender of mails, and the planner
        line.silent = True
        acknowledged += make_mails(day, 3)
        assert line.swallowed == 1  # the first of six wake-ups waited in vain, the others did not ask
        line.delay_s, line.silent = 0, False
        client.flushall()
        let_time_pass()
        assert client.llen("celery") == 0  # a sweep would find them
        WakeUp.silent_until = 0

        def woken() -> bool:
            let_time_pass()
            return bool(client.llen("celery"))

        wait_until(woken, what="wake-ups come through again")
    assert message_ids() == [mail.message_id for mail in acknowledged]

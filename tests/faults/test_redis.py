"""Redis emptied and stopped under a running worker: wake-ups are lost, mails are not."""

from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest
import redis

from tests.faults.scenes import all_sent, count, let_time_pass, make_mails, make_open_day, message_ids
from tests.faults.smtp import FaultyMailServer
from tests.services import free_port, redis_server
from tests.worker import live_broker, run_worker

pytestmark = pytest.mark.django_db(transaction=True)


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

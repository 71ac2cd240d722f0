"""Waking background work by name, after the transaction that made the row has been committed."""

import logging
from dataclasses import dataclass
from time import monotonic
from typing import ClassVar

from celery import current_app
from django.db import transaction
from kombu.exceptions import OperationalError
from redis.exceptions import TimeoutError as RedisSlow

logger = logging.getLogger(__name__)

# For so long a process leaves a broker alone that kept it waiting in vain; sweeps come every minute (convention).
SILENCE_S = 10.0


@dataclass(frozen=True, slots=True)
class WakeUp:
    """One task to run for the rows of these keys; sent when it is called."""

    task: str
    ids: tuple[int | str, ...]

    silent_until: ClassVar[float] = float("-inf")  # on the clock of time.monotonic

    def __call__(self) -> None:
        if monotonic() < WakeUp.silent_until:
            return
        try:
            current_app.send_task(self.task, args=self.ids, ignore_result=True, retry=False)
        except (OperationalError, OSError) as error:
            if isinstance(error.__cause__, RedisSlow):
                WakeUp.silent_until = monotonic() + SILENCE_S
            logger.warning("Could not wake %s; its sweep will find the row: %s", self.task, error)


def wake(task: str, *ids: int | str) -> None:
    """Ask a worker to run ``task`` for rows that this transaction wrote, once however often the transaction asks.

    A broker that does not answer loses nothing: the row stays, and the task's periodic sweep finds it. Nor does it keep
    many pages waiting: after one that waited in vain, the next wake-ups are left to the sweep at once.
    """
    wake_up = WakeUp(task, ids)
    waiting = (callback for _savepoints, callback, _robust in transaction.get_connection().run_on_commit)
    if wake_up not in waiting:
        transaction.on_commit(wake_up)

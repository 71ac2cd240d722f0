"""Waking background work by name, after the transaction that made the row has been committed."""

import logging
from dataclasses import dataclass

from celery import current_app
from django.db import transaction
from kombu.exceptions import OperationalError

logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class WakeUp:
    """One task to run for the rows of these keys; sent when it is called."""

    task: str
    ids: tuple[int | str, ...]

    def __call__(self) -> None:
        try:
            current_app.send_task(self.task, args=self.ids, ignore_result=True, retry=False)
        except (OperationalError, OSError) as error:
            logger.warning("Could not wake %s; its sweep will find the row: %s", self.task, error)


def wake(task: str, *ids: int | str) -> None:
    """Ask a worker to run ``task`` for rows that this transaction wrote, once however often the transaction asks.

    A broker that does not answer loses nothing: the row stays, and the task's periodic sweep finds it.
    """
    wake_up = WakeUp(task, ids)
    waiting = (callback for _savepoints, callback, _robust in transaction.get_connection().run_on_commit)
    if wake_up not in waiting:
        transaction.on_commit(wake_up)

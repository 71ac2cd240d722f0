"""Waking background work by name, after the transaction that made the row has been committed."""

import logging
from functools import partial

from celery import current_app
from django.db import transaction
from kombu.exceptions import OperationalError

logger = logging.getLogger(__name__)


def wake(task: str, *ids: int | str) -> None:
    """Ask a worker to run ``task`` for rows that this transaction wrote.

    A broker that does not answer loses nothing: the row stays, and the task's periodic sweep finds it.
    """
    transaction.on_commit(partial(_send, task, ids))


def _send(task: str, ids: tuple[int | str, ...]) -> None:
    try:
        current_app.send_task(task, args=ids, ignore_result=True, retry=False)
    except (OperationalError, OSError) as error:
        logger.warning("Could not wake %s; its sweep will find the row: %s", task, error)

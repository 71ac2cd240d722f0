"""The parts that every page and every task needs, and whether they answer within seconds."""

import logging
from collections.abc import Callable
from typing import TypeVar

from celery import current_app
from django.db import DatabaseError, connection
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from kombu.exceptions import OperationalError
from redis.exceptions import RedisError

logger = logging.getLogger(__name__)

PATIENCE_S = 2  # for one part; who asks gives up after five to ten seconds
QUEUE = "celery"
Answer = TypeVar("Answer")


class PartFails(Exception):
    """A part does not do its work; the words say how, without a secret."""


def check_database() -> None:
    """The database answers on a new connection. Raises PartFails."""
    _ask(lambda fresh: fresh.cursor().execute("SELECT 1"))


def check_migrations() -> None:
    """The tables are at least as new as this code. Raises PartFails."""
    if missing := _ask(_missing_migrations):
        raise PartFails(f"{missing} not applied")


def waiting_wake_ups() -> int:
    """How many wake-ups wait for a worker. Raises PartFails when the broker does not answer."""
    impatient = {"socket_timeout": PATIENCE_S}
    try:
        with (
            current_app.connection_for_write(transport_options=impatient) as broker,
            broker.SimpleQueue(QUEUE) as queue,
        ):
            return int(queue.qsize())
    except (OperationalError, RedisError, OSError) as error:
        logger.warning("The broker does not answer: %s", type(error).__name__)
        raise PartFails("does not answer") from error


def check_broker() -> None:
    """The broker answers. Raises PartFails."""
    waiting_wake_ups()


CHECKS: dict[str, Callable[[], None]] = {
    "database": check_database,
    "migrations": check_migrations,
    "broker": check_broker,
}


def faults() -> dict[str, str]:
    """How each part fails that does; empty where all is well."""
    found = {}
    for name, check in CHECKS.items():
        try:
            check()
        except PartFails as fault:
            found[name] = str(fault)
    return found


def _missing_migrations(fresh: BaseDatabaseWrapper) -> int:
    executor = MigrationExecutor(fresh)
    return len(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _ask(question: Callable[[BaseDatabaseWrapper], Answer]) -> Answer:
    """Ask on a connection beside the pool: one that is broken or used up would let whoever asks wait for a minute."""
    fresh = connection.copy()
    options = dict(fresh.settings_dict["OPTIONS"])
    if fresh.vendor == "postgresql":
        options |= {"pool": False, "connect_timeout": PATIENCE_S}
    else:
        options["timeout"] = PATIENCE_S
    fresh.settings_dict["OPTIONS"] = options
    try:
        return question(fresh)
    except (DatabaseError, OSError) as error:
        logger.warning("The database does not answer: %s", type(error).__name__)
        raise PartFails("does not answer") from error
    finally:
        fresh.close()

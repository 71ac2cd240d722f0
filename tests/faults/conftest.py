"""Fixtures of the fault tests, and their numbers at the end of a run."""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from celery import Celery
from django.db import connection

from tests.faults.smtp import FaultyMailServer, faulty_mail_server
from tests.worker import live_broker

COUNTED = "counted"


@pytest.fixture(autouse=True)
def own_pool(transactional_db: None) -> None:
    """A pool of connections without what threads of earlier tests took and did not give back."""
    if connection.vendor == "postgresql":
        connection.close()
        connection.close_pool()  # type: ignore[attr-defined]  # of the backend for PostgreSQL


@pytest.fixture
def faulty_server() -> Iterator[FaultyMailServer]:
    with faulty_mail_server() as server:
        yield server


@pytest.fixture
def broker(transactional_db: None) -> Iterator[Celery]:
    """The broker of the run: Redis beside PostgreSQL, the folder beside SQLite."""
    with live_broker(redis_url=os.environ.get("REDIS_URL", "")) as live:
        yield live


@pytest.fixture
def report(record_property: Callable[[str, object], None]) -> Callable[[object], None]:
    """A function that puts a test's numbers into the summary of the run."""
    return lambda counted: record_property(COUNTED, str(counted))


def pytest_terminal_summary(terminalreporter: Any) -> None:
    told = [
        (report.nodeid.rpartition("::")[2], value)
        for report in terminalreporter.stats.get("passed", [])
        for name, value in report.user_properties
        if name == COUNTED
    ]
    if told:
        terminalreporter.section("counted under faults")
        for test, numbers in told:
            terminalreporter.line(f"{test}: {numbers}")

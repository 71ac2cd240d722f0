"""An empty database for one measurement, and a visitor who reads pages from it."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import (
    CaptureQueriesContext,
    override_settings,
    setup_databases,
    setup_test_environment,
    teardown_databases,
    teardown_test_environment,
)

# Pages name their static files plainly: nothing is collected for a measurement.
PLAIN_FILES = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}


@contextmanager
def empty_database() -> Iterator[None]:
    """A database of its own beside that of the installation, which is not touched; dropped at the end."""
    setup_test_environment()
    made = setup_databases(verbosity=0, interactive=False)
    try:
        with override_settings(STORAGES={**settings.STORAGES, "staticfiles": PLAIN_FILES}):
            yield
    finally:
        teardown_databases(made, verbosity=0)
        teardown_test_environment()


def queries_of(client: Client, address: str, *, status: int = 200) -> int:
    """How many queries a page takes, its stream read to the end. It is asked for once before."""
    _read(client, address, status)
    with CaptureQueriesContext(connection) as taken:
        _read(client, address, status)
    return len(taken)


def _read(client: Client, address: str, status: int) -> None:
    response = client.get(address)
    if response.status_code != status:
        raise RuntimeError(f"{address} answered {response.status_code}")
    b"".join(response)  # which reads a stream to its end

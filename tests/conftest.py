"""What every test stands on: an own folder and database for each process, real servers, no outside network.

``REEDCREW_TEST_DATABASE=postgres`` runs on a PostgreSQL and a Redis that this file starts; else the run is on SQLite.
This file is read before Django's settings (pyproject.toml names none for that reason), which read the environment once.
"""

import atexit
import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import django
import hypothesis
import psycopg
import pytest
from celery import Celery, current_app
from django.conf import settings as django_settings
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import translation

from reedcrew.web.words.catalogs import compile_stale
from tests.network import refuse_outside
from tests.services import Mailbox, MailServer, imap_server, mail_server, postgres, redis_server
from tests.worker import Worker, live_broker, run_worker

HERE = Path(__file__).parent
ON_POSTGRES = os.environ.get("REEDCREW_TEST_DATABASE", "sqlite") == "postgres"
WORKER = os.environ.get("PYTEST_XDIST_WORKER", "")
DECIDED_BY_OPERATORS = (
    *("SITE_URL", "PORT", "BIND", "DEBUG", "EMAIL_URL", "MAIL_FROM", "SUPPORT_EMAIL", "SECRET_KEY", "FIELD_KEYS"),
    *("ALLOWED_HOSTS", "STATIC_ROOT", "REEDCREW_MEDIA", "LOG_LEVEL", "LOG_FORMAT", "DATABASE_POOL"),
    *("METRICS_TOKEN", "SECOND_STEP_DAYS", "BACKUP_KEY", "BACKUP_DIR", "BACKUP_KEEP_DAYS"),
    *("MAP_TILES_URL", "MAP_ATTRIBUTION"),
)

if "reedcrew.settings" in sys.modules:
    raise pytest.UsageError(
        "Unset DJANGO_SETTINGS_MODULE: the tests set it themselves, after preparing the environment."
    )

_run = ExitStack()
atexit.register(_run.close)
_folder = Path(tempfile.mkdtemp(prefix="reedcrew-tests-"))
_run.callback(shutil.rmtree, _folder, ignore_errors=True)
_folder.chmod(0o711)  # the database server runs as another user when the tests run as root

for _name in DECIDED_BY_OPERATORS:
    os.environ.pop(_name, None)
if not WORKER:  # workers inherit the addresses of the servers, so that there is one of each
    for _name in ("DATABASE_URL", "REDIS_URL"):
        os.environ.pop(_name, None)
    if ON_POSTGRES:
        # Rows that tests roll back would be counted as pages without rows, and such a count leads to absurd plans.
        os.environ["DATABASE_URL"] = _run.enter_context(postgres(_folder / "postgres", autovacuum="off"))
        os.environ["REDIS_URL"] = _run.enter_context(redis_server(_folder / "redis"))
elif ON_POSTGRES:
    os.environ["REDIS_URL"] += f"/{int(WORKER.removeprefix('gw')) % 16}"
os.environ["REEDCREW_VAR"] = str(_folder / "var")
(_folder / "var" / "static").mkdir(parents=True)  # WhiteNoise warns of a folder for collected files that is missing
os.environ["DJANGO_SETTINGS_MODULE"] = "reedcrew.settings"

compile_stale()
sys.addaudithook(refuse_outside)

# No example fails for being slow on a busy machine, and CI judges every change by the same examples.
hypothesis.settings.register_profile(
    "reedcrew",
    deadline=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
    derandomize=bool(os.environ.get("CI")),
    print_blob=True,
)
hypothesis.settings.load_profile("reedcrew")


def pytest_configure() -> None:
    django.setup()


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """Modules and collected tests stay to the end: looking through them for garbage again and again took a tenth."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def pytest_report_header() -> str:
    return "database: PostgreSQL and Redis, started by this run" if ON_POSTGRES else "database: SQLite"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_setupnodes() -> None:
    """Each worker process prepares its own environment before it reads the settings, as this one did."""
    os.environ.pop("DJANGO_SETTINGS_MODULE", None)


def pytest_unconfigure() -> None:
    _run.close()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """On PostgreSQL leave out what the run on SQLite has already shown and no database changes."""
    if not ON_POSTGRES:
        return
    again = [item for item in items if _has_rows(item) and not _looks_the_same(item)]
    config.hook.pytest_deselected(items=[item for item in items if item not in again])
    items[:] = again


def _has_rows(item: pytest.Item) -> bool:
    """Whether a test writes or reads rows: it asks for a database by its mark or by a fixture."""
    fixtures = {"db", "transactional_db", "live_server"}
    return item.get_closest_marker("django_db") is not None or not fixtures.isdisjoint(item.fixturenames)  # type: ignore[attr-defined]


def _looks_the_same(item: pytest.Item) -> bool:
    """The demo, which lives in the embedded database, and pages in a browser but for the one that runs a season."""
    if item.get_closest_marker("once"):
        return True
    shown = any(item.path.is_relative_to(HERE / folder) for folder in ("demo", "browser"))
    return shown and item.path.name != "test_season_loop.py"


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    if _skipped(session.config) and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if skipped := _skipped(terminalreporter.config):
        terminalreporter.section("skipped tests fail this run, because CI is set", red=True)
        terminalreporter.line(f"{skipped} skipped: everything must run here, so install what the reasons above name.")


def _skipped(config: pytest.Config) -> int:
    """How many tests were skipped though the run is one where none may be."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return len(reporter.stats.get("skipped", ())) if reporter and os.environ.get("CI") else 0


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix: None) -> None:
    """SQLite in a file, as in use: several threads and processes share it, which a database in memory cannot show."""
    if not ON_POSTGRES:
        test = django_settings.DATABASES["default"].setdefault("TEST", {})
        test["NAME"] = str(django_settings.VAR_DIR / "test.sqlite3")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """The databases of the run. PostgreSQL drops none that somebody is in: who stayed behind is shown out first."""
    yield
    if ON_POSTGRES:
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                "WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


@pytest.fixture(scope="session")
def redis_url() -> Iterator[str]:
    """The run's Redis, or one started for the tests that need it when the run is on SQLite."""
    if "REDIS_URL" in os.environ:
        yield os.environ["REDIS_URL"]
        return
    with redis_server(_folder / "redis") as url:
        yield url


@pytest.fixture
def smtp_server(settings: Any) -> Iterator[MailServer]:
    """A real mail server on this machine, to which Django's mail goes during the test."""
    with mail_server() as server:
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_TIMEOUT = "127.0.0.1", server.port, 10
        yield server


@pytest.fixture
def imap_mailbox(settings: Any, tmp_path: Path) -> Iterator[Mailbox]:
    """A mailbox on a real IMAP server, from which the service reads during the test."""
    with imap_server(tmp_path) as mailbox:
        settings.IMAP_URL = mailbox.imap_url
        yield mailbox


@pytest.fixture
def woken() -> Callable[[], list[tuple[str, tuple[Any, ...]]]]:
    """A function that takes the wake-ups sent since it was last called: (task name, arguments), in order."""

    def take() -> list[tuple[str, tuple[Any, ...]]]:
        taken = []
        with current_app.connection_for_read() as broker, broker.SimpleQueue("celery") as queue:
            while queue.qsize():
                message = queue.get_nowait()
                message.ack()
                taken.append((message.headers["task"], tuple(message.payload[0])))
        return taken

    take()
    return take


@pytest.fixture
def running_worker(transactional_db: None, request: pytest.FixtureRequest) -> Iterator[Callable[..., Worker]]:
    """A function that starts a real worker process on the test's database; its keywords are the worker's environment.

    The broker is the one of the run: Redis beside PostgreSQL, the folder beside SQLite. While a worker runs, wake-ups
    of this process go to that broker.
    """
    with ExitStack() as stack:

        def start(**environment: str) -> Worker:
            broker: Celery = stack.enter_context(live_broker(redis_url=os.environ.get("REDIS_URL", "")))
            return stack.enter_context(run_worker(broker, environment))

        yield start


@pytest.fixture
def empty_database(db: None, tmp_path: Path) -> Iterator[str]:
    """A DATABASE_URL of a database without tables, beside that of the run."""
    if connection.vendor == "sqlite":
        yield f"sqlite:///{tmp_path / 'empty.sqlite3'}"
        return
    server = os.environ["DATABASE_URL"].replace("postgres://", "postgresql://")
    name = f"empty_{os.getpid()}"
    with psycopg.connect(server, autocommit=True) as running:
        running.execute(f"CREATE DATABASE {name}")
        yield urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
        running.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(autouse=True)
def in_english() -> None:
    """Each test begins in the site's own language, whatever a page of the test before was shown in."""
    translation.deactivate()


@pytest.fixture
def group() -> Any:
    """A group without people."""
    from tests.factories import make_group  # the models are not there before Django is set up

    return make_group()


@pytest.fixture
def count_queries() -> Callable[[Callable[[], object]], int]:
    """A function that calls what it is given and answers with the number of its queries."""

    def count(deed: Callable[[], object]) -> int:
        with CaptureQueriesContext(connection) as queries:
            deed()
        return len(queries)

    return count

"""Databases of earlier versions come through every migration with all their rows."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.test.utils import override_settings

from reedcrew.operation.models import BackupRun
from reedcrew.people.models import PrivateRecord
from tests import factories
from tests.upgrade import rows

pytestmark = pytest.mark.django_db


def check(path: Path, database: str, **environment: str) -> str:
    """What ``python -m tests.upgrade check`` says of a kept database."""
    inherited = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
    done = subprocess.run(
        [sys.executable, "-m", "tests.upgrade", "check", path],
        cwd=settings.BASE_DIR,
        env={**inherited, "DATABASE_URL": database, "LOG_LEVEL": "WARNING", **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_rows_that_were_kept_come_through_later_migrations_and_back(empty_database: str, tmp_path: Path) -> None:
    day = factories.make_day(factories.make_stand(factories.make_group()))
    factories.make_sign_up(day, factories.make_water_member(day.group, name="Zoë Ångström"))
    PrivateRecord.objects.update(health_note="wasps")
    at = factories.NOW
    BackupRun.objects.create(started_at=at, finished_at=at, file_name="a.age")
    with override_settings(MIGRATION_MODULES={}):
        today = list(MigrationLoader(connection).graph.nodes)
    path = tmp_path / "today.jsonl.gz"
    kept = rows.keep(path, apps, today)
    assert kept > 15
    told = check(path, empty_database, DJANGO_SETTINGS_MODULE="tests.upgrade.later_settings")
    assert told.splitlines() == [
        f"{kept} rows, 2 migrations forward, {kept} rows in today's models",
        "2 migrations backward, every row as it was",
    ]


RELEASES = sorted(rows.KEPT.glob("*.jsonl.gz"))

if RELEASES:  # none before the first one

    @pytest.mark.parametrize("path", RELEASES, ids=lambda path: path.name)
    def test_the_database_of_a_release_comes_through_every_later_migration(empty_database: str, path: Path) -> None:
        assert "rows in today's models" in check(path, empty_database)

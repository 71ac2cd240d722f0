"""The migrations, run for real on an empty database: they end at the models, and come back from there."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from django.conf import settings


@pytest.fixture
def manage(empty_database: str, tmp_path: Path) -> Callable[..., str]:
    """A function that runs a command of manage.py on the empty database."""
    own = {"DATABASE_URL": empty_database, "REEDCREW_VAR": str(tmp_path)}

    def run(*arguments: str) -> str:
        command = [sys.executable, "manage.py", *arguments]
        done = subprocess.run(
            command, cwd=settings.BASE_DIR, env={**os.environ, **own}, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


def test_the_migrations_lead_to_the_models_and_nothing_is_left_to_migrate(manage: Callable[..., str]) -> None:
    manage("migrate", "--verbosity=0")
    manage("migrate", "--check")
    manage("makemigrations", "--check", "--dry-run")
    assert manage("inspectdb", "workdays_workday").startswith("# This is an auto-generated")

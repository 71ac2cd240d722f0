"""The migrations, run for real on an empty database: they end at the models, and come back from there."""

import os
import subprocess
import sys
from pathlib import Path

from django.conf import settings

# One process for all commands: starting one takes as long as the migrations.
COMMANDS = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("migrate", check_unapplied=True)
call_command("makemigrations", check_changes=True, dry_run=True)
call_command("inspectdb", "workdays_workday")
"""


def test_the_migrations_lead_to_the_models_and_nothing_is_left_to_migrate(empty_database: str, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "shell", "--no-imports", "--command", COMMANDS],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DATABASE_URL": empty_database, "REEDCREW_VAR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "No changes detected" in done.stdout
    assert "class WorkdaysWorkday(models.Model):" in done.stdout

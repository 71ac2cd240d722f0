"""Brings the demo up to date in one process: tables, static files, the invented season, the plan of its next day.

Run by demo.sh with the Python of .venv, from the top of the project. Each step does nothing when there is nothing to
do, so a second start takes little longer than loading the code once.
"""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(TOP))
os.environ["DJANGO_SETTINGS_MODULE"] = "reedcrew.settings"

import django  # noqa: E402 - the two lines above come first
from django.conf import settings  # noqa: E402
from django.core.exceptions import ImproperlyConfigured  # noqa: E402
from django.core.management import CommandError, call_command  # noqa: E402
from django.db import DatabaseError  # noqa: E402

from reedcrew.web.words.catalogs import compile_stale  # noqa: E402


def steps() -> Iterator[tuple[str, str]]:
    """Commands of manage.py, each with the sentence for when it fails."""
    yield "migrate", "The database could not be brought up to date"
    if not _collected():
        yield "collectstatic", "The static files could not be collected"
    yield "load_demo", "The demo season could not be loaded"
    yield "plan_next", "The next day of the demo could not be planned"
    yield "demo_accounts", "The accounts of the demo could not be listed"


QUIET = {"migrate": {"verbosity": 0}, "collectstatic": {"verbosity": 0, "interactive": False}}


def _collected() -> bool:
    """Whether the collected static files are newer than all that they are collected from."""
    collected = Path(settings.STATIC_ROOT) / "staticfiles.json"
    if not collected.exists():
        return False
    since = collected.stat().st_mtime
    sources = [*TOP.glob("reedcrew/*/static/**/*"), *TOP.glob(".venv/installed-*")]
    return all(source.stat().st_mtime < since for source in sources)


def main() -> None:
    try:
        compile_stale()
    except (ValueError, OSError) as error:
        sys.exit(f"Reedcrew: The translations could not be compiled: {error}")
    try:
        django.setup()
    except ImproperlyConfigured as error:
        sys.exit(f"Reedcrew: the settings are not usable: {error}")
    for command, sentence in steps():
        try:
            call_command(command, **QUIET.get(command, {}))
        except (CommandError, DatabaseError, OSError) as error:
            sys.exit(f"Reedcrew: {sentence}: {error}")


main()

"""Which versions run here."""

import platform
import tomllib
from functools import cache
from importlib.metadata import version

from django.conf import settings
from django.db import connection


@cache
def reedcrew_version() -> str:
    """Our own, as pyproject.toml tells it."""
    with (settings.BASE_DIR / "pyproject.toml").open("rb") as file:
        return str(tomllib.load(file)["project"]["version"])


def versions() -> dict[str, str]:
    """By name of the part. One query."""
    number = ".".join(str(part) for part in connection.get_database_version())
    return {
        "Reedcrew": reedcrew_version(),
        "Python": platform.python_version(),
        "Django": version("django"),
        "Celery": version("celery"),
        {"postgresql": "PostgreSQL", "sqlite": "SQLite"}.get(connection.vendor, connection.vendor): number,
    }

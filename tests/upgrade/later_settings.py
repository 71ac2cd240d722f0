"""The settings, with an invented later version of one app."""

from reedcrew.settings import *  # noqa: F403

MIGRATION_MODULES = {"operation": "tests.upgrade.later"}

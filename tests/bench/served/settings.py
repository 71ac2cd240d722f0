"""The settings of the installation, with one more address to compare with."""

from reedcrew.settings import *  # noqa: F403 - all of them

ROOT_URLCONF = "tests.bench.served.urls"

"""Faults in the middle of a sign-up stampede, of any size: each answers with what was acknowledged and what is held."""

import os
import signal
import time
from collections.abc import Callable
from pathlib import Path

import psycopg
from django.db import connection

from tests.faults.crowd import SignedUp, make_crowd, signed_up, stampede
from tests.faults.scenes import make_open_day
from tests.webserver import READY, Site, open_site

AWAY_S = 2  # long enough that people press meanwhile


def web_killed(folder: Path, *, people: int, places: int, at_once: int = 8, processes: int = 1) -> SignedUp:
    """kill -9 of one process of a web server, which gets a new one; then of the server, which is started again."""
    day = make_open_day(places=places)
    crowd = make_crowd(day, people)
    with open_site(folder) as site:
        server = site.start(processes=processes)
        with stampede(site.port, day, crowd, at_once=at_once) as running:
            running.come()
            running.until(people // 4)
            os.kill(server.processes()[0], signal.SIGKILL)
            server.until(READY, times=processes + 1)
            running.until(people // 2)
            server.kill()
            site.start(processes=processes)
        return signed_up(running)


def deployed(site: Site, *, people: int, places: int, at_once: int = 8) -> SignedUp:
    """A new web server beside the old one, which then finishes what it has begun: the update of deploy/README.md."""
    day = make_open_day(places=places)
    crowd = make_crowd(day, people)
    old = site.start()
    with stampede(site.port, day, crowd, at_once=at_once) as running:
        running.come(4)
        running.until(people // 4)
        site.start()
        running.come(2)
        running.until(people // 2)
        old.retire()
    return signed_up(running)


def database_away(folder: Path, restart: Callable[[], None], *, people: int, places: int, at_once: int = 8) -> SignedUp:
    """The database ends every connection, lets nobody in for a while and comes back, twice, as ``restart`` does it."""
    day = make_open_day(places=places)
    crowd = make_crowd(day, people)
    with open_site(folder) as site:
        site.start()
        with stampede(site.port, day, crowd, at_once=at_once) as running:
            running.come()
            for share in (4, 2):
                running.until(people // share)
                restart()
        return signed_up(running)


def cut_and_shut() -> None:
    """What a restart of PostgreSQL does to this one database: all connections end, and new ones are refused a while."""
    name = connection.settings_dict["NAME"]
    server = os.environ["DATABASE_URL"].replace("postgres://", "postgresql://")
    with psycopg.connect(server, autocommit=True) as others:
        others.execute(f'ALTER DATABASE "{name}" ALLOW_CONNECTIONS false')
        try:
            others.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s", [name])
            time.sleep(AWAY_S)
        finally:
            others.execute(f'ALTER DATABASE "{name}" ALLOW_CONNECTIONS true')
    connection.close()

"""A new version takes over in a sign-up stampede: nobody meets a closed door, and everybody has what they were told.

Two web servers share one socket, as deploy/systemd has it; one is replaced while the other answers.
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from django.db import connection
from prometheus_client.parser import text_string_to_metric_families

from tests.faults import sign_ups
from tests.faults.crowd import ask
from tests.webserver import WebServer, open_site

pytestmark = pytest.mark.django_db(transaction=True)

PEOPLE, PLACES = 32, 12


def answered(server: WebServer) -> int:
    return server.log.read_text().count("workdays:sign_up: 302")


if connection.vendor == "postgresql":  # SQLite's installations have one web server, which stops for an update

    def test_a_web_server_is_replaced_in_a_stampede_and_nobody_sees_an_error(
        tmp_path: Path, record_property: Callable[[str, object], None]
    ) -> None:
        with open_site(tmp_path) as site:
            counted = sign_ups.deployed(site, people=PEOPLE, places=PLACES)
            record_property("counted", str(counted))
            assert counted.is_whole(people=PEOPLE, places=PLACES), counted
            assert not counted.seen, counted
            first, second = site.servers
            assert (answered(first) > 0, answered(second) > 0) == (True, True)  # before the start, after the end
            assert answered(first) + answered(second) == PEOPLE

            # Each start has numbers of its own, beginning at zero, and takes them away with it.
            _answer, numbers = ask(site.port, "GET", "/metrics")
            samples = [s for family in text_string_to_metric_families(numbers) for s in family.samples]
            told = {tuple(s.labels.values()): s.value for s in samples if "_requests" in s.name}
            assert told["302", "workdays:sign_up"] == answered(second)
            second.retire()
            assert list(tmp_path.glob("reedcrew-metrics-*")) == []

"""What the test run promises: no other machine is reached, and under CI nothing is left out."""

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from tests.network import OutsideNetwork

ONE_LEFT_OUT = """
import pytest

def test_that_runs():
    pass

def test_that_does_not_run():
    pytest.{word}("there is no such thing here")
""".format(word="sk" + "ip")


@pytest.mark.parametrize(
    ("family", "address"),
    [(socket.AF_INET, ("192.0.2.1", 80)), (socket.AF_INET6, ("2001:db8::1", 80))],
    ids=["IPv4", "IPv6"],
)
def test_other_machines_are_out_of_reach(family: socket.AddressFamily, address: tuple[str, int]) -> None:
    # Addresses of RFC 5737 and RFC 3849, kept for documents.
    with socket.socket(family) as asking, pytest.raises(OutsideNetwork, match=address[0]):
        asking.connect(address)


def test_no_name_server_is_asked_for_another_machine() -> None:
    with pytest.raises(OutsideNetwork, match="days"):
        socket.getaddrinfo("days.local", 443)  # of RFC 6762


def test_the_names_of_documents_belong_to_no_machine() -> None:  # RFC 2606
    with pytest.raises(socket.gaierror):
        socket.getaddrinfo("days.example", 443)


def test_this_machine_is_in_reach() -> None:
    with (
        socket.create_server(("127.0.0.1", 0)) as server,
        socket.create_connection(server.getsockname(), timeout=5) as client,
    ):
        assert client.getpeername() == server.getsockname()


@pytest.mark.parametrize(("ci", "status"), [("true", pytest.ExitCode.TESTS_FAILED), ("", pytest.ExitCode.OK)])
def test_test_that_is_left_out_fails_a_run_under_ci_only(tmp_path: Path, ci: str, status: int) -> None:
    (tmp_path / "test_left_out.py").write_text(ONE_LEFT_OUT)
    command = [sys.executable, "-m", "pytest", "-p", "tests.conftest", "-p", "no:cacheprovider", "-n", "0"]
    inherited = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTEST_", "DJANGO_SETTINGS"))
    }
    done = subprocess.run(
        [*command, f"--rootdir={settings.BASE_DIR}", "-c", "pyproject.toml", str(tmp_path)],
        cwd=settings.BASE_DIR,
        env={**inherited, "CI": ci, "REEDCREW_TEST_DATABASE": "sqlite"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout.splitlines()[-1].strip("=").strip().startswith("1 passed, 1 skipped"), done.stdout + done.stderr
    assert done.returncode == status
    assert ("skipped tests fail this run" in done.stdout) is bool(ci)

"""Image, compose file and units hang together: what they name exists, and every process is as confined as the others.

There is no container engine and no systemd where the tests run, so the files are read as these programs read them.
"""

import re
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.conf import settings
from django.core.management import get_commands
from gunicorn.config import Config

from reedcrew.celery import app
from reedcrew.operation.probes import PROBES
from tests.deploy.test_instructions import DEPLOY, UNITS, documented

pytestmark = pytest.mark.once

ROOT = Path(settings.BASE_DIR)
COMPOSE: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
OURS = {name: service for name, service in COMPOSE["services"].items() if service.get("image") == "reedcrew"}
CONFINED = (
    *("NoNewPrivileges=yes", "ProtectSystem=strict", "ProtectHome=yes", "PrivateTmp=yes", "PrivateDevices=yes"),
    *("ProtectKernelTunables=yes", "ProtectKernelModules=yes", "ProtectControlGroups=yes", "RestrictSUIDSGID=yes"),
    *("RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6", "CapabilityBoundingSet=", "UMask=0077", "User=reedcrew"),
)


def assert_runs(words: list[str]) -> None:
    """A command that this project can run: python with one of its commands, or with a module and options it knows."""
    python, *rest = words
    assert Path(python).name == "python"
    match rest:
        case ["manage.py", command, *_options]:
            assert command in get_commands()
        case ["-c", code]:
            compile(code, "healthcheck", "exec")
            assert set(re.findall(r"http://127\.0\.0\.1:8000(/\w+)", code)) <= PROBES.keys()
        case ["-m", "gunicorn", *options]:
            parsed = Config().parser().parse_args(options)
            assert parsed.args == ["reedcrew.wsgi"]
            assert find_spec(parsed.config.removeprefix("python:"))
        case ["-m", "celery", "--app" | "--app=reedcrew", *options]:
            named = [word for word in options if word in {"worker", "beat"}]
            assert len(named) == 1
            assert app.main == "reedcrew"
        case _:
            pytest.fail(f"Nothing of ours: {words}")


def test_everything_that_the_compose_file_names_is_in_it() -> None:
    for name, service in COMPOSE["services"].items():
        assert set(service.get("depends_on", {})) <= COMPOSE["services"].keys(), name
        assert {volume.partition(":")[0] for volume in service.get("volumes", [])} <= COMPOSE["volumes"].keys(), name
        assert "image" in service
        assert name not in OURS or (DEPLOY / service["build"]["context"]).resolve() == ROOT
    conditions = [condition for service in OURS.values() for condition in service["depends_on"].items()]
    for needed, condition in conditions:
        assert condition["condition"] != "service_healthy" or "healthcheck" in COMPOSE["services"][needed]


@pytest.mark.parametrize("name", OURS)
def test_a_container_runs_a_command_of_ours_and_is_confined(name: str) -> None:
    service = OURS[name]
    assert_runs(service["command"])
    if "healthcheck" in service:
        assert_runs(service["healthcheck"]["test"][1:])
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert service["environment"].keys() <= documented()
    for port in service.get("ports", []):
        assert port.startswith("127.0.0.1:")


def test_what_the_compose_file_asks_of_the_environment_is_documented() -> None:
    asked = set(re.findall(r"\$\{([A-Z_]+)", (DEPLOY / "compose.yaml").read_text()))
    assert asked - {"POSTGRES_PASSWORD"} <= documented()


def test_the_image_is_built_of_files_that_exist_and_reach_the_builder() -> None:
    lines = (DEPLOY / "Containerfile").read_text().splitlines()
    copied = [word for line in lines if line.startswith("COPY ") for word in line.split()[1:-1]]
    sent = {line[1:] for line in (DEPLOY / "Containerfile.dockerignore").read_text().splitlines() if line[:1] == "!"}
    assert set(copied) == sent
    assert all((ROOT / place).exists() for place in copied)
    for command in re.findall(r"python manage\.py (\w+)", "\n".join(lines)):
        assert command in get_commands()
    assert any(line.startswith("USER reedcrew") for line in lines)
    assert re.search(r"^FROM python:3\.1[1-4]-slim$", "\n".join(lines), re.MULTILINE)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_a_unit_runs_commands_of_ours_and_is_confined(unit: Path) -> None:
    lines = unit.read_text().splitlines()
    commands = [line.partition("=")[2].split() for line in lines if line.startswith("Exec")]
    assert commands
    for command in commands:
        if command[0].endswith(".sh"):
            script = ROOT / Path(command[0]).relative_to("/opt/reedcrew")
            assert script.stat().st_mode & 0o100
        else:
            assert_runs(command)
    assert [line for line in CONFINED if line not in lines] == []


def test_sockets_and_timers_belong_to_units_that_exist() -> None:
    names = {unit.name for unit in UNITS}
    socket = (DEPLOY / "systemd" / "reedcrew-web.socket").read_text()
    assert "Service=reedcrew-web@1.service" in socket
    assert {"reedcrew-web@.service", "reedcrew-backup.service"} <= names
    assert "Sockets=reedcrew-web.socket" in (DEPLOY / "systemd" / "reedcrew-web@.service").read_text().splitlines()
    assert "OnCalendar=" in (DEPLOY / "systemd" / "reedcrew-backup.timer").read_text()

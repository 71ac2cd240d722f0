"""deploy/README.md tells operators what is so: every variable that is read, every command that is run."""

import re
from pathlib import Path

import pytest
from django.conf import settings

from reedcrew.celery import app

pytestmark = pytest.mark.once

DEPLOY = Path(settings.BASE_DIR) / "deploy"
README = (DEPLOY / "README.md").read_text()
UNITS = sorted((DEPLOY / "systemd").glob("*.service"))


def documented() -> set[str]:
    table = README.partition("\n## Environment\n")[2]
    return set(re.findall(r"^\| ([A-Z_]+) \|", table, re.MULTILINE))


def test_every_variable_that_the_settings_read_is_documented_and_no_other() -> None:
    source = (Path(settings.BASE_DIR) / "reedcrew" / "settings.py").read_text()
    read = set(re.findall(r"""env\.\w+\(\s*["']([A-Z_]+)["']""", source))
    assert len(read) > 10
    assert documented() == read


def test_containers_get_every_variable_that_a_hosted_installation_needs() -> None:
    compose = (DEPLOY / "compose.yaml").read_text()
    for name in ("SITE_URL", "SECRET_KEY", "FIELD_KEYS", "EMAIL_URL", "MAIL_FROM", "DATABASE_URL", "REDIS_URL"):
        assert f"{name}: " in compose


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.name)
def test_unit_is_named_in_the_instructions_and_stops_its_main_process_only(unit: Path) -> None:
    names = [unit.stem, unit.name, *(f"{unit.stem}{number}" for number in (1, 2) if unit.stem.endswith("@"))]
    assert any(f"`{name}`" in README for name in names)
    assert "KillMode=mixed" in unit.read_text().splitlines()


@pytest.mark.parametrize(("process", "unit"), [("web", "web@"), ("worker", "worker"), ("beat", "beat")])
def test_unit_runs_the_command_of_the_instructions(process: str, unit: str) -> None:
    row = next(line for line in README.splitlines() if line.startswith(f"| {process} |"))
    command = row.split("`")[1].removeprefix("python ")
    lines = (DEPLOY / "systemd" / f"reedcrew-{unit}.service").read_text().splitlines()
    assert f"ExecStart=/opt/reedcrew/.venv/bin/python {command}" in lines


def test_application_that_the_commands_name_is_ours() -> None:
    assert app.main == "reedcrew"
    assert settings.WSGI_APPLICATION.startswith("reedcrew.wsgi")


def test_what_the_security_table_points_to_exists() -> None:
    table = (DEPLOY / "asvs.md").read_text()
    places = re.findall(r"`((?:reedcrew|tests|deploy|\.ci)/[\w./*-]+)`", table)
    assert len(places) > 40
    root = Path(settings.BASE_DIR)
    assert [place for place in places if not list(root.glob(place))] == []
    rows = [line for line in table.splitlines() if line.startswith("| V")]
    assert [row.split()[1] for row in rows] == [f"V{number}" for number in range(1, 18)]
    assert {row.count("|") for row in rows} == {6}

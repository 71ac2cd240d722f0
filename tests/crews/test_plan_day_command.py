"""``manage.py plan_day`` as scripts run it: another process, a file or standard input, JSON out, an exit status."""

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = Path(__file__).parent / "examples"


def run(*arguments: str, stdin: bytes = b"") -> tuple[int, Any]:
    """Exit status and the JSON that was printed. Nothing may stand on standard error."""
    command = [sys.executable, "manage.py", "plan_day", *arguments]
    done = subprocess.run(command, cwd=ROOT, input=stdin, capture_output=True, check=False)
    assert done.stderr == b""
    return done.returncode, json.loads(done.stdout)


@pytest.fixture
def run_here(monkeypatch: pytest.MonkeyPatch):
    """The same in this process: a process of its own takes as long to start as twenty answers."""

    def run_it(argument: str, stdin: bytes = b"") -> tuple[int, Any]:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin)))
        printed = io.StringIO()
        try:
            call_command("plan_day", argument, stdout=printed)
        except SystemExit as end:
            return int(end.code), json.loads(printed.getvalue())
        return 0, json.loads(printed.getvalue())

    return run_it


def test_a_file_is_planned():
    status, plan = run(str(EXAMPLES / "calm_day.json"))
    assert status == 0
    assert plan["status"] == "optimal"
    assert plan["objective"] == plan["bound"]


def test_standard_input_is_planned_to_the_same_plan(run_here):
    name = EXAMPLES / "mixed_day.json"
    assert run("-", stdin=name.read_bytes()) == run_here(str(name))


def test_a_process_ends_with_1_where_the_input_is_unusable(run_here):
    answer = run("-", stdin=b"[]")
    assert answer[0] == 1
    assert answer == run_here("-", stdin=b"[]")


@pytest.mark.parametrize(
    ("stdin", "where"),
    [
        (b"", ""),
        (b"\xff\xfe{}", "FILE"),
        (b'{"day": NaN}', ""),
        (b"[]", ""),
        (b'{"zones": [], "volunteers": []}', "day"),
        (
            b'{"day": {"date": "2025-08-02", "start": "09:00", "end": "12:00", "timezone": "UTC"}, "zones": [],'
            b' "volunteers": [{"id": "\\ud800", "adult": 1e999}]}',
            "volunteers[0].adult",
        ),
    ],
)
def test_unusable_input_is_one_error_with_its_place(run_here, stdin: bytes, where: str):
    status, answer = run_here("-", stdin=stdin)
    assert status == 1
    assert set(answer) == {"error"}
    assert set(answer["error"]) == {"code", "message", "where"}
    assert answer["error"]["where"] == where


@pytest.mark.parametrize("name", ["no such file.json", "."])
def test_a_file_that_cannot_be_read_is_an_error(run_here, name: str):
    status, answer = run_here(name)
    assert status == 1
    assert answer["error"]["where"] == "FILE"


def test_an_empty_day_has_an_empty_plan(run_here):
    day = {
        "day": {"date": "2025-08-02", "start": "09:00", "end": "12:00", "timezone": "UTC"},
        "zones": [],
        "volunteers": [],
    }
    status, plan = run_here("-", stdin=json.dumps(day).encode())
    assert status == 0
    assert (plan["status"], plan["units"], plan["shore"], plan["not_placed"]) == ("no_water_work", [], [], [])

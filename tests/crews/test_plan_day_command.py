"""``manage.py plan_day`` as scripts run it: another process, a file or standard input, JSON out, an exit status."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = Path(__file__).parent / "examples"


def run(*arguments: str, stdin: bytes = b"") -> tuple[int, Any]:
    """Exit status and the JSON that was printed. Nothing may stand on standard error."""
    command = [sys.executable, "manage.py", "plan_day", *arguments]
    done = subprocess.run(command, cwd=ROOT, input=stdin, capture_output=True, check=False)
    assert done.stderr == b""
    return done.returncode, json.loads(done.stdout)


def test_a_file_is_planned():
    status, plan = run(str(EXAMPLES / "calm_day.json"))
    assert status == 0
    assert plan["status"] == "optimal"
    assert plan["objective"] == plan["bound"]


def test_standard_input_is_planned_to_the_same_plan():
    name = EXAMPLES / "mixed_day.json"
    assert run("-", stdin=name.read_bytes()) == run(str(name))


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
def test_unusable_input_is_one_error_with_its_place(stdin: bytes, where: str):
    status, answer = run("-", stdin=stdin)
    assert status == 1
    assert set(answer) == {"error"}
    assert set(answer["error"]) == {"code", "message", "where"}
    assert answer["error"]["where"] == where


@pytest.mark.parametrize("name", ["no such file.json", "."])
def test_a_file_that_cannot_be_read_is_an_error(name: str):
    status, answer = run(name)
    assert status == 1
    assert answer["error"]["where"] == "FILE"


def test_an_empty_day_has_an_empty_plan():
    day = {
        "day": {"date": "2025-08-02", "start": "09:00", "end": "12:00", "timezone": "UTC"},
        "zones": [],
        "volunteers": [],
    }
    status, plan = run("-", stdin=json.dumps(day).encode())
    assert status == 0
    assert (plan["status"], plan["units"], plan["shore"], plan["not_placed"]) == ("no_water_work", [], [], [])

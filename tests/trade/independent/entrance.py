"""The planner by its public entrances, JSON in and JSON out: the only module of this package that calls the product."""

import json
import subprocess
import sys
from pathlib import Path

from reedcrew.crews.contract import day_from_json, plan_as_json, refusal_as_json
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.pins import PinsRefused
from tests.trade.independent.limits import Json

_ROOT = Path(__file__).parents[3]


def planned(day: Json, *, remedies: bool = True) -> Json:
    """The plan of this day, made in this process and passed through JSON text in both directions.

    Without ``remedies`` it comes much sooner; the judge knows nothing of them.
    """
    read, warnings = day_from_json(json.loads(json.dumps(day)))
    plan: Json = json.loads(json.dumps(plan_as_json(plan_day(read, remedies=remedies), warnings)))
    return plan


def answered(day: Json, *, remedies: bool = True) -> Json:
    """The plan of this day, or the contract's error object for pins that cannot be kept."""
    try:
        return planned(day, remedies=remedies)
    except PinsRefused as error:
        answer: Json = json.loads(json.dumps(refusal_as_json(error)))
        return answer


def refusal_of(answer: Json) -> Json | None:
    """The error that stands in place of a plan, or None."""
    error: Json | None = answer.get("error")
    return error


def planned_by_command(file: Path) -> Json:
    """The plan that ``manage.py plan_day`` prints for a file. Raises CalledProcessError unless it exits with 0."""
    command = [sys.executable, "manage.py", "plan_day", str(file)]
    done = subprocess.run(command, cwd=_ROOT, capture_output=True, check=True, text=True)
    plan: Json = json.loads(done.stdout)
    return plan

"""The planner by its public entrances, JSON in and JSON out: the only module of this package that calls the product."""

import json
import subprocess
import sys
from pathlib import Path

from reedcrew.crews.contract import day_from_json, plan_as_json
from reedcrew.trade.pairing import plan_day
from tests.trade.independent.limits import Json

_ROOT = Path(__file__).parents[3]


def planned(day: Json) -> Json:
    """The plan of this day, made in this process and passed through JSON text in both directions."""
    read, warnings = day_from_json(json.loads(json.dumps(day)))
    plan: Json = json.loads(json.dumps(plan_as_json(plan_day(read), warnings)))
    return plan


def planned_by_command(file: Path) -> Json:
    """The plan that ``manage.py plan_day`` prints for a file. Raises CalledProcessError unless it exits with 0."""
    command = [sys.executable, "manage.py", "plan_day", str(file)]
    done = subprocess.run(command, cwd=_ROOT, capture_output=True, check=True, text=True)
    plan: Json = json.loads(done.stdout)
    return plan

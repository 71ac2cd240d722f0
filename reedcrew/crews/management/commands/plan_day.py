"""Plans one day from a file: no account, no database."""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from reedcrew.crews.contract import day_from_json, error_as_json, plan_as_json, read_json, refusal_as_json
from reedcrew.trade.errors import Fault, UnusableInput
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.pins import PinsRefused

STDIN = "-"


class Command(BaseCommand):
    help = "Reads one work day as JSON from FILE, or from standard input for -, and prints its plan as JSON."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="a JSON file of the plan contract, or - for standard input")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            day, warnings = day_from_json(read_json(_text_of(options["file"])))
            answer = plan_as_json(plan_day(day), warnings)
        except UnusableInput as error:
            self.stdout.write(json.dumps(error_as_json(error), indent=2))
            sys.exit(1)
        except PinsRefused as error:
            self.stdout.write(json.dumps(refusal_as_json(error), indent=2))
            sys.exit(1)
        self.stdout.write(json.dumps(answer, indent=2))


def _text_of(name: str) -> str:
    try:
        raw = sys.stdin.buffer.read() if name == STDIN else Path(name).read_bytes()
        return raw.decode("utf-8-sig")
    except (OSError, ValueError) as error:
        raise UnusableInput([Fault(where="FILE", message=f"must be a readable UTF-8 file: {error}")]) from error

"""Ask the web server of this machine whether it can work, and wait for it where told to."""

import json
from argparse import ArgumentParser
from http.client import HTTPConnection, HTTPException
from time import monotonic, sleep

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

LOOK_AGAIN_S = 0.25
ANSWER_S = 10  # for a probe that waits for every part in vain


class Command(BaseCommand):
    """Exit status 0 once it is ready, 1 with the parts that fail."""

    help = "Tell whether the web server at this machine's PORT is ready: database, migrations, broker."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--wait", type=float, default=0, metavar="SECONDS", help="give it so long to become ready")
        parser.add_argument("--port", type=int, default=int(settings.PORT), help="where it listens instead of PORT")

    def handle(self, *args: object, wait: float, port: int, **options: object) -> None:
        latest = monotonic() + wait
        while fault := _fault_at(port):
            if monotonic() > latest:
                raise CommandError(f"The web server at port {port} is not ready: {fault}")
            sleep(LOOK_AGAIN_S)
        self.stdout.write("Ready")


def _fault_at(port: int) -> str:
    """What is wrong with the web server at a port of this machine; "" for nothing."""
    web = HTTPConnection("127.0.0.1", port, timeout=ANSWER_S)
    try:
        web.request("GET", "/readyz")
        answer = web.getresponse()
        told = json.load(answer)
        return "" if answer.status == 200 else ", ".join(f"{k} {v}" for k, v in told["parts"].items() if v != "ok")
    except (OSError, HTTPException, ValueError, KeyError) as error:
        return f"it does not answer ({type(error).__name__})"
    finally:
        web.close()

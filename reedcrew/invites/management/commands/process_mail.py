"""Take in one mail from standard input, for a mail server that pipes them in."""

import sys
from argparse import ArgumentParser

from django.core.management.base import BaseCommand
from django.db import DatabaseError
from django.utils import timezone

from reedcrew.invites.incoming import take_in

TRY_LATER = 75  # EX_TEMPFAIL of sysexits: the mail server keeps the mail and pipes it in again (from memory)


class Command(BaseCommand):
    """Exit status 0 once the mail is kept, 75 while the database does not answer."""

    help = "Take in one mail from standard input: calendar answers, delivery reports, messages."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--to", default="", help="the address that the mail was delivered to")

    def handle(self, *args: object, **options: str) -> None:
        try:
            row = take_in(raw=sys.stdin.buffer.read(), envelope_to=options["to"], now=timezone.now())
        except DatabaseError:
            self.stderr.write("The database does not answer; try again later.")
            sys.exit(TRY_LATER)
        self.stdout.write(f"{row.get_kind_display()}: {row.get_outcome_display()}")

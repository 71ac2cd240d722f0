"""``manage.py load_demo``: the invented demo season, into a database that has no group yet."""

import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from reedcrew.demo.dates import moment
from reedcrew.demo.services import load_season
from reedcrew.people.models import Member
from reedcrew.web.times import day_text
from reedcrew.workdays.models import WorkDay


class Command(BaseCommand):
    help = "Load the invented demo season, unless the database has a group already."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--at",
            type=moment,
            metavar="MOMENT",
            help="load as of this moment (ISO 8601 with its offset from UTC) instead of now",
        )

    def handle(self, *, at: datetime.datetime | None = None, **_options: Any) -> None:
        loaded = load_season(now=at or timezone.now())
        if loaded is None:
            self.stdout.write("The database has a group already: nothing was loaded.")
            return
        people = Member.objects.filter(group=loaded.group).count()
        closed = WorkDay.objects.of_group(loaded.group).filter(status=WorkDay.Status.CLOSED).count()
        self.stdout.write(
            f"Loaded “{loaded.group}” with {people} people and {closed} closed work days, the next one on "
            f"{day_text(loaded.season.next_day)}; and “{loaded.neighbours}”, a second group."
        )

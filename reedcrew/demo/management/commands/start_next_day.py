"""``manage.py start_next_day``: moves the next day of the demo to the coming hour, to try its fieldbook."""

import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from reedcrew.crews.services import accept_plan, make_plan
from reedcrew.demo import people
from reedcrew.demo.crowd import mail_of
from reedcrew.demo.dates import moment
from reedcrew.demo.queries import demo_group, next_day
from reedcrew.demo.upcoming import start_soon
from reedcrew.people.services import account_for
from reedcrew.web.times import moment_text


class Command(BaseCommand):
    help = "Move the next posted day of the demo group to the coming hour and plan it, to try its fieldbook."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--at",
            type=moment,
            metavar="MOMENT",
            help="move as of this moment (ISO 8601 with its offset from UTC) instead of now",
        )

    def handle(self, *, at: datetime.datetime | None = None, **_options: Any) -> None:
        now = at or timezone.now()
        group = demo_group()
        day = None if group is None else next_day(group, now)
        if day is None:
            self.stdout.write("No work day of the demo is posted: there is nothing to start.")
            return
        organizer = account_for(email=mail_of(people.ORGANIZER), now=now)
        if day.starts_at > now:
            day = start_soon(day, organizer, now)
            plan = make_plan(day=day, actor=organizer, now=now)
            if not plan.told:
                accept_plan(plan=plan, actor=organizer, now=now)
        self.stdout.write(f"“{day}” starts {moment_text(day.starts_at, day.zone_info)}; its fieldbook is open.")

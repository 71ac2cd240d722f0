"""``manage.py plan_next``: plans the next posted day of the demo and prints in plain words what people are told.

The first plan is accepted by the demo's organizer, so that volunteers read their places. A later one stays proposed.
"""

import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from reedcrew.crews.models import PlanDue
from reedcrew.crews.queries import plan_sheet
from reedcrew.crews.services import accept_plan, make_plan
from reedcrew.demo import people
from reedcrew.demo.crowd import mail_of
from reedcrew.demo.dates import moment
from reedcrew.demo.queries import demo_group, next_day
from reedcrew.demo.words import plan_in_words
from reedcrew.people.services import account_for
from reedcrew.workdays.models import SignUp


class Command(BaseCommand):
    help = "Plan the next posted day of the demo group, accept its first plan, and print it in plain words."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--at",
            type=moment,
            metavar="MOMENT",
            help="plan as of this moment (ISO 8601 with its offset from UTC) instead of now",
        )

    def handle(self, *, at: datetime.datetime | None = None, **_options: Any) -> None:
        now = at or timezone.now()
        group = demo_group()
        day = None if group is None else next_day(group, now)
        if day is None:
            self.stdout.write("No work day of the demo is posted: there is nothing to plan.")
            return
        plan = make_plan(day=day, actor=None, now=now)
        if not day.plans.filter(told=True).exists() and not PlanDue.objects.filter(day=day).exists():
            accept_plan(plan=plan, actor=account_for(email=mail_of(people.ORGANIZER), now=now), now=now)
        in_water = day.sign_ups.confirmed().filter(place=SignUp.Place.WATER)
        for_water = frozenset(in_water.values_list("member__name", flat=True))
        for line in plan_in_words(day, plan_sheet(day), for_water):
            self.stdout.write(line)

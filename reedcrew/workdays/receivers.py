"""What work days do when something happens to the people of the group."""

import datetime
from typing import Any

from reedcrew.people.models import Account, Member
from reedcrew.stands.models import Site
from reedcrew.workdays import services
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.signals import day_changed


def on_member_left(sender: object, *, member: Member, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Somebody who leaves gives up the places on the days to come."""
    for sign_up in SignUp.objects.active().coming(now).filter(member=member):
        services.withdraw(sign_up=sign_up, actor=actor, now=now)


def on_site_changed(sender: object, *, site: Site, actor: Account, now: datetime.datetime, **said: Any) -> None:
    """Days to come keep their moment; their date is the site's, and people hear of what they were told otherwise."""
    for day in WorkDay.objects.upcoming(now).with_stand().filter(stand__site=site):
        date = day.starts_at.astimezone(day.zone_info).date()
        if date != day.date:
            day.date = date
            day.save(update_fields=["date"])
        day_changed.send(WorkDay, day=day, actor=actor, now=now)

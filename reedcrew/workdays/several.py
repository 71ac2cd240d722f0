"""Several days posted in one go, all of them or none, and taken back while nobody has signed up."""

import datetime
import uuid
from collections.abc import Sequence

from django.db import transaction
from django.utils.translation import gettext

from reedcrew.people.models import Account
from reedcrew.stands.models import Stand
from reedcrew.workdays import errors
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.services import DayFacts, cancel_day, post_day


@transaction.atomic
def post_days(
    *, stand: Stand, facts: Sequence[DayFacts], actor: Account, now: datetime.datetime, submission: uuid.UUID
) -> list[WorkDay]:
    """Post a day on a stand for each of ``facts``, of which each has a date of its own, judged as post_day judges it.

    The same ``submission`` again answers with the days that it made; one that says something else of a date that it
    posted is refused. Raises DaysRefused with what post_day objects to which of them; then none is posted.
    """
    posted, refusals = [], {}
    for number, each in enumerate(facts):
        date = each.starts_at.astimezone(stand.site.zone_info).date()
        token = uuid.uuid5(submission, date.isoformat())
        try:
            posted.append(post_day(stand=stand, facts=each, actor=actor, now=now, submission=token))
        except errors.WorkDayError as error:
            refusals[number] = error
    if refusals:
        raise errors.DaysRefused(refusals)
    return posted


@transaction.atomic
def take_back_days(*, days: Sequence[WorkDay], actor: Account, now: datetime.datetime) -> list[WorkDay]:
    """Cancel days that were posted by mistake and on which nobody has signed up: all of them, or none.

    They stay for the record. Days that are not posted any more are passed over. Raises DayHasPeople.
    """
    taken = []
    for day in sorted(days, key=lambda day: day.pk):
        held = WorkDay.objects.held(day.pk)
        if not held.is_open:
            continue
        if held.sign_ups.exists():
            raise errors.DayHasPeople(title=held.title)
        taken.append(cancel_day(day=held, reason=gettext("Posted by mistake."), actor=actor, now=now))
    return taken

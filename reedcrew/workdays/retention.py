"""What is kept of people who do not come any more."""

import datetime

from django.db.models import Exists, OuterRef

from reedcrew.people.models import Group, Member
from reedcrew.people.retention import months_before
from reedcrew.people.services import empty_private
from reedcrew.trade.policy import Policy
from reedcrew.workdays.models import SignUp


def empty_private_of_absent(group: Group, policy: Policy, now: datetime.datetime) -> int:
    """Empty the emergency contact and health note of people without a day for as long as the rule says.

    Somebody who joined since then, or has signed up for a day since then or to come, keeps theirs.
    """
    since = months_before(now, policy.private_months)
    recent = SignUp.objects.active().filter(member=OuterRef("pk"), day__ends_at__gte=since)
    absent = Member.objects.filter(~Exists(recent), group=group, joined_at__lt=since)
    return empty_private(members=absent, now=now)

"""An organizer's look at a mail that came in."""

import datetime

from django.db import transaction

from reedcrew.invites.models import IncomingMail
from reedcrew.people.models import Account


@transaction.atomic
def mark_seen(*, mail: IncomingMail, actor: Account, now: datetime.datetime) -> None:
    """Note who looked, and when; the first look stays."""
    IncomingMail.objects.filter(pk=mail.pk, seen_at=None).update(seen_at=now, seen_by=actor)

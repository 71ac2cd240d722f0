"""Rows that the tests of the operation look for."""

import itertools
from typing import Any

from django.utils import timezone

from reedcrew.invites.models import OutgoingMail
from reedcrew.people.models import Group

_numbers = itertools.count(1)


def make_mail(group: Group, **fields: Any) -> OutgoingMail:
    """A mail of the outbox that is due."""
    now = timezone.now()
    number = next(_numbers)
    known = {
        "kind": OutgoingMail.Kind.MESSAGE,
        "to_address": f"neighbour{number}@mailbox.example",
        "envelope_from": "bounce@days.example",
        "subject": f"To Ada Marsh {number}",
        "message_id": f"<{number}.operation@days.example>",
        "raw": b"Subject: To Ada Marsh\r\n\r\nCome at nine.\r\n",
        "created_at": now,
        "next_try_at": now,
    }
    return OutgoingMail.objects.create(group=group, **{**known, **fields})

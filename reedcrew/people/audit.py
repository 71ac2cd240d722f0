"""Writing the record of deeds."""

import datetime

from django.db import models

from reedcrew.people.models import Account, AuditEntry, Group
from reedcrew.people.security_log import note_deed


def record(
    *, group: Group, actor: Account | None, at: datetime.datetime, deed: str, subject: models.Model, **detail: object
) -> AuditEntry:
    """Append one audit entry. Call it inside the transaction of the deed; details must be plain JSON values and hold
    nothing private."""
    entry = AuditEntry.objects.create(
        group=group,
        actor=actor,
        at=at,
        deed=deed,
        subject=f"{subject._meta.label}:{subject.pk}",
        detail=detail,
    )
    note_deed(deed=deed, group=group.pk, actor=actor.pk if actor else None, subject=entry.subject)
    return entry

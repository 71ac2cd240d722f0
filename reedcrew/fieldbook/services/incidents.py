"""What went wrong: written down at any time, told to the organizers at once."""

import datetime
import uuid

from django.db import transaction

from reedcrew.fieldbook.errors import TimeInFuture
from reedcrew.fieldbook.models import Incident
from reedcrew.fieldbook.services.entries import entered
from reedcrew.fieldbook.services.sending import keep_sent
from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay
from reedcrew.workdays.signals import incident_recorded


@transaction.atomic
def record_incident(
    *,
    day: WorkDay,
    kind: str,
    happened_at: datetime.datetime,
    what: str,
    who: str = "",
    first_aid: str = "",
    witness: str = "",
    actor: Account,
    now: datetime.datetime,
    entry_id: uuid.UUID | None = None,
) -> Incident:
    """Write an incident down, also on a day that is closed: hours and stems do not depend on it.

    Raises TimeInFuture, EntryOfAnotherDay or SentAlready.
    """
    day = WorkDay.objects.held(day.pk)
    said = {"kind": kind, "what": what, "who": who, "first_aid": first_aid, "witness": witness}
    if earlier := entered(Incident, day, entry_id, **said):
        return earlier
    if happened_at > now:
        raise TimeInFuture
    entry_id = entry_id or uuid.uuid4()
    keep_sent(day=day, kind="incident", data=said, at=happened_at, actor=actor, now=now, entry_id=entry_id)
    incident = Incident.objects.create(
        id=entry_id, day=day, happened_at=happened_at, entered_by=actor, entered_at=now, **said
    )
    tell_incident(incident=incident, actor=actor, now=now)
    return incident


def tell_incident(*, incident: Incident, actor: Account, now: datetime.datetime) -> None:
    """Tell the rest of the service, inside the caller's transaction. The words of the incident go nowhere."""
    record(group=incident.day.group, actor=actor, at=now, deed="incident recorded", subject=incident)
    incident_recorded.send(
        WorkDay, day=incident.day, kind=str(incident.get_kind_display()), incident=incident.pk, actor=actor, now=now
    )

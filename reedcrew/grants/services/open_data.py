"""What a group lets everybody have of its records."""

import datetime

from django.db import transaction

from reedcrew.grants.errors import OpenDataChangedMeanwhile
from reedcrew.grants.models import Licence, OpenDataChoice
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.trade.blurring import Blurring


@transaction.atomic
def choose_open_data(
    *,
    group: Group,
    published: bool,
    licence: Licence,
    blurring: Blurring,
    version: int,
    actor: Account,
    now: datetime.datetime,
) -> OpenDataChoice:
    """Say whether the group publishes, under which licence and how exact its positions are.

    ``version`` is that of the choice as the actor saw it, 0 before the first. What was taken away under an earlier
    choice stays with whoever has it. Raises OpenDataChangedMeanwhile; a choice made twice leaves nothing new.
    """
    lock_group(group)
    choice = OpenDataChoice.objects.filter(group=group).first() or OpenDataChoice(group=group, version=0)
    values = {"published": published, "licence": licence.value, "blurring": blurring.value}
    changes = {name: [getattr(choice, name), value] for name, value in values.items() if getattr(choice, name) != value}
    if not changes and choice.pk:
        return choice
    if choice.version != version:
        raise OpenDataChangedMeanwhile
    for name, value in values.items():
        setattr(choice, name, value)
    choice.changed_by, choice.changed_at, choice.version = actor, now, version + 1
    choice.save()
    record(group=group, actor=actor, at=now, deed="open data chosen", subject=choice, **values, changes=changes)
    return choice

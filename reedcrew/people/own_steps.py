"""The steps of people and rules on the way to a group's first day."""

import datetime
from collections.abc import Iterator

from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.first_steps import Step
from reedcrew.people.models import Group, Member


def rules_step(group: Group, now: datetime.datetime) -> Iterator[Step]:
    """The permitted weeks and the group's other values: one query."""
    yield Step(
        label=_("Look at the permitted weeks"),
        why=_("No day is posted outside them. Change them where an authority or your own practice says otherwise."),
        is_done=group.policy_changes.exists(),
        optional=True,
        url=reverse("people:rules", args=[group.slug]),
    )


def people_step(group: Group, now: datetime.datetime) -> Iterator[Step]:
    """Somebody beside the founder: one query."""
    yield Step(
        label=_("Enter the people you can count on"),
        why=_(
            "Work in water needs a first-aider and somebody who watches from the shore. Everyone else signs up alone."
        ),
        is_done=Member.objects.current().filter(group=group).count() > 1,
        url=reverse("people:add_several", args=[group.slug]),
    )

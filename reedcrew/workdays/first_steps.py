"""The last step of a new group: its first posted day."""

import datetime
from collections.abc import Iterator

from django.urls import reverse
from django.utils.translation import gettext as _

from reedcrew.people.first_steps import Step
from reedcrew.people.models import Group
from reedcrew.stands.models import Stand
from reedcrew.workdays.models import WorkDay


def has_begun(group: Group) -> bool:
    """Whether the group ever posted a day."""
    return WorkDay.objects.of_group(group).exists()


def day_step(group: Group, now: datetime.datetime) -> Iterator[Step]:
    """Posting the day, on the first stand that is ready for it. One query."""
    ready = Stand.objects.of_group(group).open_to_work().filter(zones__isnull=False).order_by("pk").first()
    yield Step(
        label=_("Post the first work day"),
        why=_("Then share its public page: people sign up by themselves, and the plan follows."),
        is_done=False,
        url=f"{reverse('workdays:post_day', args=[group.slug])}?stand={ready.pk}" if ready else "",
    )

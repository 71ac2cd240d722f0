"""Background work on people's data."""

import logging

from celery import shared_task
from django.utils import timezone

from reedcrew.people.models import Group
from reedcrew.people.retention import keep_within_time

logger = logging.getLogger(__name__)


@shared_task(name="people.keep_within_time")
def keep_data_within_time() -> None:
    """Remove what each group has kept long enough."""
    now = timezone.now()
    for group in Group.objects.order_by("pk").iterator():
        try:
            removed = keep_within_time(group=group, now=now)
        except Exception:  # what is wrong in one group must not keep the others' old data
            logger.exception("What group %s kept too long could not be removed", group.pk)
        else:
            logger.info("Group %s: removed what was kept long enough: %s", group.pk, removed)

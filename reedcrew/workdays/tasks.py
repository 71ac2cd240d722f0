"""Background work of work days: the waiting list moves on when somebody does not answer."""

from celery import shared_task
from django.utils import timezone

from reedcrew.workdays import waiting_list


@shared_task(name="workdays.sweep")
def sweep() -> None:
    """Pass over everyone whose time to answer is over."""
    now = timezone.now()
    for day_pk in waiting_list.lapsed_offers(now):
        waiting_list.pass_over(day_pk=day_pk, now=now)

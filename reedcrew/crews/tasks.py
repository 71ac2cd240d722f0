"""Background planning: wake, fetch by key, call a service."""

from celery import shared_task
from django.utils import timezone

from reedcrew.crews import services


@shared_task(name="crews.plan_due")
def plan_due(day_pk: int) -> None:
    services.make_due_plan(day_pk=day_pk, now=timezone.now())


@shared_task(name="crews.sweep")
def sweep() -> None:
    """Plan every day whose order a lost wake-up left behind."""
    for day_pk in services.due_days():
        services.make_due_plan(day_pk=day_pk, now=timezone.now())

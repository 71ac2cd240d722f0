"""The sign of life that operators watch."""

from celery import shared_task
from django.utils import timezone

from reedcrew.operation.models import Heartbeat


@shared_task(name="operation.beat")
def beat() -> None:
    """Note that beat sent, the broker carried and a worker did."""
    Heartbeat.objects.update_or_create(name=Heartbeat.CHAIN, defaults={"at": timezone.now()})

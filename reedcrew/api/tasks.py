"""Background work of this app."""

from celery import shared_task
from django.utils import timezone

from reedcrew.api import services
from reedcrew.web.wake import wake


@shared_task(name="api.send_due")
def send_due() -> None:
    """Send every message that is due; once more when there were more than one run takes."""
    deliveries = services.due_deliveries(timezone.now())
    for delivery_pk in deliveries:
        services.deliver(delivery_pk=delivery_pk, now=timezone.now())
    if deliveries and services.due_deliveries(timezone.now()):
        wake("api.send_due")

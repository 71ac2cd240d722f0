"""Housekeeping of the site itself."""

from celery import shared_task
from django.core.management import call_command


@shared_task(name="web.clear_sessions")
def clear_sessions() -> None:
    """Remove sessions that have run out. Harmless at any time and any number of times."""
    call_command("clearsessions")

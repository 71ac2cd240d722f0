"""Background work of grants: wake, fetch by key, call a service."""

from celery import shared_task
from django.utils import timezone

from reedcrew.grants.services import exports


@shared_task(name="grants.make_export")
def make_export(job_pk: int) -> None:
    exports.make_export(job_pk=job_pk, clock=timezone.now)


@shared_task(name="grants.sweep_exports")
def sweep_exports() -> None:
    """Make every file whose order a lost wake-up or a dead worker left behind, and remove what is old."""
    for job_pk in exports.due_exports(timezone.now()):
        exports.make_export(job_pk=job_pk, clock=timezone.now)
    exports.remove_old_exports(timezone.now())

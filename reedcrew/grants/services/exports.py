"""Files of reports: asked for, made by a worker, kept for a while, removed.

A worker that dies leaves a row that still says it is being made; after a while another takes it up, and what the first
would still write counts no more, because every try has a number.
"""

import datetime
import logging
import tempfile
from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.utils.translation import get_language, gettext, override

from reedcrew.grants import errors
from reedcrew.grants.exports.bundle import digest_of
from reedcrew.grants.exports.making import write_export
from reedcrew.grants.models import ExportJob, Grant
from reedcrew.grants.models.jobs import FOLDER
from reedcrew.grants.reports import Report, make_report
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account
from reedcrew.web.errors import ReedcrewError
from reedcrew.web.wake import wake

logger = logging.getLogger(__name__)

TRIES_MAX = 3  # of a job whose workers die, or under which the ledger moves
KEPT = datetime.timedelta(days=7)  # a file is there so long (convention)
ORPHAN_AGE = datetime.timedelta(days=1)  # a file without a row is removed when it is older; it may still be written

Clock = Callable[[], datetime.datetime]


@transaction.atomic
def order_export(
    *, grant: Grant, first: datetime.date, last: datetime.date, form: str, actor: Account, now: datetime.datetime
) -> ExportJob:
    """Ask for a file. Asked twice by the same person before it is ready, it is made once. Raises OutsidePeriod."""
    lock_group(grant.group)
    if not grant.starts_on <= first <= last <= grant.ends_on:
        raise errors.OutsidePeriod(first=grant.starts_on, last=grant.ends_on)
    same = {"grant": grant, "first": first, "last": last, "form": form, "asked_by": actor}
    if there := ExportJob.objects.unfinished().filter(**same).first():
        return there
    job = ExportJob.objects.create(
        **same, group=grant.group, language=get_language() or settings.LANGUAGE_CODE, asked_at=now
    )
    record(group=grant.group, actor=actor, at=now, deed="report file asked for", subject=grant, form=form, job=job.pk)
    wake("grants.make_export", job.pk)
    return job


@transaction.atomic
def retry_export(*, job: ExportJob, actor: Account, now: datetime.datetime) -> ExportJob:
    """Make a file that failed again; another state is left as it is."""
    again = ExportJob.objects.filter(pk=job.pk, state=ExportJob.State.FAILED).update(
        state=ExportJob.State.WAITING, tries=0, error="", lines_done=0, lines_all=None, finished_at=None
    )
    if again:
        record(group=job.group, actor=actor, at=now, deed="report file asked for again", subject=job.grant, job=job.pk)
        wake("grants.make_export", job.pk)
    job.refresh_from_db()
    return job


def make_export(*, job_pk: int, clock: Clock) -> ExportJob | None:
    """Take up a job that is due and make its file. None when it is not there, being made, or finished.

    Not in one transaction: a long file must not hold anything. What goes wrong is a sentence on the row.
    """
    job = _taken_up(job_pk, clock())
    if job is None:
        return None
    with override(job.language):
        try:
            return _made(job, clock)
        except errors.LedgerMoved as moved:
            return _again_or_failed(job, str(moved), clock())
        except _Overtaken:
            return None
        except Exception as error:  # whatever it was, who waits for the file must hear of it
            logger.exception("The file of export job %s could not be made", job.pk)
            return _failed(job, _sentence_of(error), clock())


def due_exports(now: datetime.datetime) -> list[int]:
    """Keys of the jobs that a lost wake-up or a dead worker left, the oldest first."""
    return list(ExportJob.objects.due(now).values_list("pk", flat=True))


def remove_old_exports(now: datetime.datetime) -> int:
    """Remove what has expired, then files that no row names any more. Returns how many files went."""
    removed = 0
    for job in ExportJob.objects.filter(expires_at__lte=now):
        job.delete()
        removed += _remove(settings.MEDIA_ROOT / job.file.name) if job.file else 0
    folder = settings.MEDIA_ROOT / FOLDER
    if not folder.is_dir():
        return removed
    known = {Path(name).name for name in ExportJob.objects.exclude(file="").values_list("file", flat=True)}
    oldest = (now - ORPHAN_AGE).timestamp()
    for path in sorted(folder.rglob("*"), reverse=True):  # what is in a folder before the folder
        if path.parent == folder and path.name in known:
            continue
        if path.stat().st_mtime < oldest:
            removed += _remove(path)
    return removed


# --- Private ---------------------------------------------------------------------------------------------------------


class _Overtaken(Exception):
    """Another worker has taken the job up meanwhile, or it is gone."""


def _taken_up(job_pk: int, now: datetime.datetime) -> ExportJob | None:
    due = ExportJob.objects.due(now).filter(pk=job_pk).order_by().first()
    if due is None:
        return None
    won = ExportJob.objects.filter(pk=job_pk, state=due.state, tries=due.tries).update(
        state=ExportJob.State.RUNNING, tries=F("tries") + 1, alive_at=now, lines_done=0, lines_all=None
    )
    if not won:
        return None
    job = ExportJob.objects.select_related("grant__group", "group").get(pk=job_pk)
    if job.tries > TRIES_MAX:
        return _failed(job, gettext("The file could not be made: its work was broken off again and again."), now)
    return job


def _made(job: ExportJob, clock: Clock) -> ExportJob:
    folder = settings.MEDIA_ROOT / FOLDER
    folder.mkdir(mode=settings.FILE_UPLOAD_DIRECTORY_PERMISSIONS, parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder) as name:
        path = Path(name) / f"export{job.suffix}"
        _write(job, path, clock)
        return _done(job, path, clock())


def _write(job: ExportJob, path: Path, clock: Clock) -> None:
    def make() -> Report:
        return make_report(job.grant, first=job.first, last=job.last, at=clock())

    def begun(report: Report) -> None:
        _update(job, lines_all=report.hours.entries, alive_at=clock())

    def progress(lines: int) -> None:
        _update(job, lines_done=lines, alive_at=clock())

    write_export(job.form, make, path, begun=begun, progress=progress)


def _update(job: ExportJob, **values: object) -> None:
    mine = ExportJob.objects.filter(pk=job.pk, state=ExportJob.State.RUNNING, tries=job.tries)
    if not mine.update(**values):
        raise _Overtaken


def _done(job: ExportJob, path: Path, now: datetime.datetime) -> ExportJob:
    name = f"{FOLDER}/{job.code}-{job.tries}{job.suffix}"
    kept = settings.MEDIA_ROOT / name
    size, digest = path.stat().st_size, digest_of(path)
    path.chmod(settings.FILE_UPLOAD_PERMISSIONS)
    path.replace(kept)
    try:
        _update(
            job,
            state=ExportJob.State.DONE,
            file=name,
            size=size,
            digest=digest,
            lines_done=F("lines_all"),
            finished_at=now,
            expires_at=now + KEPT,
        )
    except _Overtaken:
        _remove(kept)
        raise
    job.refresh_from_db()
    return job


def _again_or_failed(job: ExportJob, sentence: str, now: datetime.datetime) -> ExportJob | None:
    if job.tries >= TRIES_MAX:
        return _failed(job, sentence, now)
    ExportJob.objects.filter(pk=job.pk, tries=job.tries).update(state=ExportJob.State.WAITING)
    wake("grants.make_export", job.pk)
    return None


def _failed(job: ExportJob, sentence: str, now: datetime.datetime) -> ExportJob | None:
    length = ExportJob._meta.get_field("error").max_length
    ExportJob.objects.filter(pk=job.pk, tries=job.tries).update(
        state=ExportJob.State.FAILED, error=sentence[:length], finished_at=now, expires_at=now + KEPT
    )
    return None


def _sentence_of(error: Exception) -> str:
    if isinstance(error, ReedcrewError):
        return str(error)
    if isinstance(error, OSError):
        return gettext("The file could not be written: there may be no room left. Tell who runs the service.")
    return gettext("The file could not be made because of a fault of the service. Try again, or tell who runs it.")


def _remove(path: Path) -> int:
    try:
        if path.is_dir():
            path.rmdir()
        else:
            path.unlink()
    except OSError:  # gone already, or a folder that is not empty yet
        return 0
    return 1

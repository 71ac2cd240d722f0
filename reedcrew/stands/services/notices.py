"""Notices of authorities: kept as issued, changed with a record, ended and resumed, never deleted."""

import datetime
import uuid
from typing import Any

from django.db import transaction

from reedcrew.people.audit import record
from reedcrew.people.models import Account
from reedcrew.stands.errors import NoticeDayUnfit, NoticeEndedAlready, NoticeIssuedInFuture
from reedcrew.stands.models import Site, SiteNotice
from reedcrew.stands.services.moves import season_told
from reedcrew.stands.services.rows import locked, set_values
from reedcrew.trade.errors import UnusableInput


@transaction.atomic
def record_notice(
    *,
    site: Site,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID | None = None,
    **values: Any,
) -> SiteNotice:
    """Keep a notice of a site. ``values`` are fields of SiteNotice; the same ``submission`` again returns the first.

    Raises NoticeDayUnfit for dates that its year has not, NoticeIssuedInFuture, RemovedMeanwhile, and ValidationError
    for a value that the model refuses.
    """
    row = locked(site)
    submission = submission or uuid.uuid4()
    if first := row.notices.filter(submission=submission).first():
        return first
    notice = SiteNotice(site=row, recorded_by=actor, recorded_at=now, submission=submission, **values)
    _judge(notice, site, now)
    with season_told(site, actor, now):
        notice.save()
    record(group=site.group, actor=actor, at=now, deed="notice recorded", subject=notice, issuer=notice.issuer)
    return notice


@transaction.atomic
def change_notice(
    *, notice: SiteNotice, version: int, actor: Account, now: datetime.datetime, **values: Any
) -> SiteNotice:
    """Change some fields of a notice; the record of deeds keeps what stood there before.

    Raises ChangedMeanwhile and what record_notice raises.
    """
    site = notice.site
    locked(site)
    row = locked(notice)
    if changes := set_values(row, version, values):
        _judge(row, site, now)
        with season_told(site, actor, now):
            row.save()
        record(group=site.group, actor=actor, at=now, deed="notice changed", subject=row, changes=changes)
    return row


@transaction.atomic
def end_notice(
    *, notice: SiteNotice, until: datetime.date, because: str, actor: Account, now: datetime.datetime
) -> SiteNotice:
    """Say the last day on which a notice holds, and why. It stays in the list and in the calendar of earlier days;
    resume_notice takes the end back.

    Ending it again in the same way does no harm. Raises NoticeEndedAlready for another end, RemovedMeanwhile, and
    ValidationError without a reason.
    """
    site = notice.site
    locked(site)
    row = locked(notice)
    if row.until is not None:
        if (row.until, row.ended_because) != (until, because):
            raise NoticeEndedAlready(until=row.until)
        return row
    row.until, row.ended_because = until, because
    row.version += 1
    row.full_clean()
    with season_told(site, actor, now):
        row.save()
    record(group=site.group, actor=actor, at=now, deed="notice ended", subject=row, until=until.isoformat())
    return row


@transaction.atomic
def resume_notice(*, notice: SiteNotice, actor: Account, now: datetime.datetime) -> SiteNotice:
    """Take the end of a notice back: it holds again on all its days. One that has no end stays as it is.

    The record of deeds keeps the end that was said. Raises RemovedMeanwhile.
    """
    site = notice.site
    locked(site)
    row = locked(notice)
    if row.until is None:
        return row
    ended = {"until": row.until.isoformat(), "because": row.ended_because}
    row.until, row.ended_because = None, ""
    row.version += 1
    row.full_clean()
    with season_told(site, actor, now):
        row.save()
    record(group=site.group, actor=actor, at=now, deed="notice resumed", subject=row, **ended)
    return row


def _judge(notice: SiteNotice, site: Site, now: datetime.datetime) -> None:
    notice.full_clean()
    try:
        _rule = notice.rule
    except UnusableInput as error:
        raise NoticeDayUnfit(field=error.faults[0].where, year=notice.year) from error
    today = now.astimezone(site.zone_info).date()
    if notice.issued_on is not None and notice.issued_on > today:
        raise NoticeIssuedInFuture(today=today)

"""A row of each kind around the ledger: a value, travel, a release, an approval taken back, earlier work, files."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.core.files.base import ContentFile

from reedcrew.grants import services
from reedcrew.grants.earlier.cells import DateOrder
from reedcrew.grants.earlier.judging import Column
from reedcrew.grants.models import EarlierBatch, ExportJob, Family, Grant, HourEntry, HourlyRate
from reedcrew.grants.services import earlier, exports
from reedcrew.people.models import Account
from reedcrew.trade.valuation import Activity, Kind, Role

HOUR = datetime.timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRows:
    """The rows that pages are opened with."""

    family: Family
    rate: HourlyRate
    travel: HourEntry
    wrong_file: EarlierBatch
    taken_over: EarlierBatch
    undone: EarlierBatch
    file_to_come: ExportJob
    failed_file: ExportJob


def add_ledger_rows(*, grant: Grant, entry: HourEntry, actor: Account, now: datetime.datetime) -> LedgerRows:
    """Rows around an unclaimed entry that the grant can count; it stays unclaimed, and its day ends approved."""
    group, day = grant.group, entry.day
    family = services.record_family(group=group, name="Lake programme", note="", actor=actor, now=now)
    facts = services.RateFacts(
        role=Role.CREW,
        since=now.date() - datetime.timedelta(days=400),
        hourly=Decimal("15.84"),
        currency="USD",
        source="Wage table",
        source_date=now.date() - datetime.timedelta(days=500),
        fringe_percent=Decimal(30),
    )
    withdrawn = services.record_rate(group=group, facts=facts, actor=actor, now=now)
    services.withdraw_rate(rate=withdrawn, reason="Wrong table", actor=actor, now=now)
    rate = services.record_rate(group=group, facts=facts, actor=actor, now=now)
    hours = services.ExtraHours(
        members=[entry.member],
        kind=Kind.TRAVEL,
        activity=Activity.ON_THE_WAY,
        role=Role.CREW,
        started_at=day.starts_at - 8 * HOUR,
        ended_at=day.starts_at - 7 * HOUR,
        evidence="31 km by car",
    )
    (travel,) = services.enter_extra_hours(day=day, hours=hours, actor=actor, now=now)
    for _time in range(2):
        services.claim_entry(grant=grant, entry=travel, actor=actor, now=now)
        services.release_claim(entry=travel, reason="Not eligible", actor=actor, now=now)
    services.claim_entry(grant=grant, entry=travel, actor=actor, now=now)
    services.approve_day(day=day, actor=actor, now=now)
    services.reopen_day(day=day, reason="A sign-out was wrong", actor=actor, now=now)
    services.approve_day(day=day, actor=actor, now=now)
    stand = entry.stand.name
    files = [
        _upload(grant, f"{name}.csv", stand, hours, actor, now) for name, hours in (("a", "x"), ("b", "3"), ("c", "4"))
    ]
    for batch in files[1:]:
        earlier.take_over(batch=batch, actor=actor, now=now, today=now.date())
    earlier.undo(batch=files[2], actor=actor, now=now)
    to_come, failed = (
        exports.order_export(grant=grant, first=grant.starts_on, last=grant.ends_on, form=form, actor=actor, now=now)
        for form in (ExportJob.Form.PAPER, ExportJob.Form.BUNDLE)
    )
    failed.state, failed.error, failed.finished_at = ExportJob.State.FAILED, "There was no room left.", now
    failed.save(update_fields=["state", "error", "finished_at"])
    return LedgerRows(
        family=family,
        rate=rate,
        travel=travel,
        wrong_file=files[0],
        taken_over=files[1],
        undone=files[2],
        file_to_come=to_come,
        failed_file=failed,
    )


def _upload(grant: Grant, name: str, stand: str, hours: str, actor: Account, now: datetime.datetime) -> EarlierBatch:
    text = f"Day,Name,Stand,Hours\n2020-07-18,Odo Fenn,{stand},{hours}\n"
    file = ContentFile(text.encode(), name=name)
    batch = earlier.upload_earlier(group=grant.group, file=file, actor=actor, now=now)
    columns = {Column.DATE: 0, Column.PERSON: 1, Column.STAND: 2, Column.HOURS: 3}
    return earlier.name_columns(batch=batch, columns=columns, order=DateOrder.YEAR_FIRST)

"""Recording grants, their families and reporting dates, and changing what is said of them."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from decimal import Decimal

from django.db import transaction

from reedcrew.grants import errors
from reedcrew.grants.models import Family, Grant, Licence, ReportingDate
from reedcrew.people.audit import record
from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group
from reedcrew.stands.models import Stand
from reedcrew.trade.valuation import Activity, Kind, Rounding
from reedcrew.web.times import day_text


@dataclass(frozen=True, slots=True, kw_only=True)
class GrantFacts:
    """What a coordinator says of a grant. Both days belong to the period; money is in ``currency`` (ISO 4217)."""

    name: str
    funder: str
    number: str
    starts_on: datetime.date
    ends_on: datetime.date
    stands: Sequence[Stand]
    kinds: Sequence[Kind] = tuple(Kind)
    activities: Sequence[Activity] = tuple(Activity)
    family: Family | None = None
    currency: str = "USD"
    award: Decimal | None = None
    match_target: Decimal | None = None
    rounding: Rounding = Rounding.NONE
    names_required: bool = False
    licence: Licence = field(default=Licence.NONE)
    note: str = ""


@transaction.atomic
def record_grant(*, group: Group, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Write down a new grant. Raises NameTaken."""
    return _write(Grant(group=group), facts, "grant recorded", actor, now)


@transaction.atomic
def change_grant(*, grant: Grant, facts: GrantFacts, actor: Account, now: datetime.datetime) -> Grant:
    """Change what is said of a grant. Hours that were claimed stay claimed. Raises NameTaken."""
    return _write(grant, facts, "grant changed", actor, now)


@transaction.atomic
def record_family(*, group: Group, name: str, note: str, actor: Account, now: datetime.datetime) -> Family:
    """Write down a family of grants. Raises FamilyNameTaken."""
    return _write_family(Family(group=group), name, note, "family of grants recorded", actor, now)


@transaction.atomic
def change_family(*, family: Family, name: str, note: str, actor: Account, now: datetime.datetime) -> Family:
    """Change what is said of a family of grants. Raises FamilyNameTaken."""
    return _write_family(family, name, note, "family of grants changed", actor, now)


@transaction.atomic
def add_reporting_date(
    *, grant: Grant, due_on: datetime.date, covers_to: datetime.date, actor: Account, now: datetime.datetime
) -> ReportingDate:
    """Write down when a funder wants a report, and up to which day of work.

    Raises CoversTheFuture or ReportingDateTwice.
    """
    lock_group(grant.group)
    if covers_to > due_on:
        raise errors.CoversTheFuture(due=day_text(due_on))
    if grant.reporting_dates.filter(due_on=due_on).exists():
        raise errors.ReportingDateTwice
    made = ReportingDate.objects.create(grant=grant, due_on=due_on, covers_to=covers_to)
    record(group=grant.group, actor=actor, at=now, deed="reporting date added", subject=made, due_on=str(due_on))
    return made


@transaction.atomic
def remove_reporting_date(*, date: ReportingDate, actor: Account, now: datetime.datetime) -> None:
    """Take a reporting date away again, as when the funder moves it."""
    group = date.grant.group
    lock_group(group)
    record(group=group, actor=actor, at=now, deed="reporting date removed", subject=date, due_on=str(date.due_on))
    date.delete()


@transaction.atomic
def mark_report_sent(*, date: ReportingDate, actor: Account, now: datetime.datetime) -> ReportingDate:
    """Note that a report was sent; a second press keeps the first."""
    lock_group(date.grant.group)
    date.refresh_from_db()
    if date.sent_at is None:
        date.sent_by, date.sent_at = actor, now
        date.save(update_fields=["sent_by", "sent_at"])
        record(group=date.grant.group, actor=actor, at=now, deed="report sent", subject=date)
    return date


@transaction.atomic
def take_back_report_sent(*, date: ReportingDate, actor: Account, now: datetime.datetime) -> ReportingDate:
    """The report is due again: it was marked as sent by mistake. One that is due stays so."""
    lock_group(date.grant.group)
    date.refresh_from_db()
    if date.sent_at is not None:
        sent_at, date.sent_by, date.sent_at = date.sent_at, None, None
        date.save(update_fields=["sent_by", "sent_at"])
        record(group=date.grant.group, actor=actor, at=now, deed="report not sent", subject=date, sent_at=str(sent_at))
    return date


# --- Private ---------------------------------------------------------------------------------------------------------


def _write(grant: Grant, facts: GrantFacts, deed: str, actor: Account, now: datetime.datetime) -> Grant:
    lock_group(grant.group)
    if Grant.objects.filter(group=grant.group, name=facts.name).exclude(pk=grant.pk).exists():
        raise errors.NameTaken
    for said in fields(facts):
        if said.name != "stands":
            setattr(grant, said.name, getattr(facts, said.name))
    grant.kinds, grant.activities = [kind.value for kind in facts.kinds], [each.value for each in facts.activities]
    grant.rounding = facts.rounding.value
    grant.save()
    grant.stands.set(facts.stands)
    record(group=grant.group, actor=actor, at=now, deed=deed, subject=grant)
    return grant


def _write_family(family: Family, name: str, note: str, deed: str, actor: Account, now: datetime.datetime) -> Family:
    lock_group(family.group)
    if Family.objects.filter(group=family.group, name=name).exclude(pk=family.pk).exists():
        raise errors.FamilyNameTaken
    family.name, family.note = name, note
    family.save()
    record(group=family.group, actor=actor, at=now, deed=deed, subject=family)
    return family

"""The ledger only grows; travel and preparation have evidence; an approved day is locked."""

import datetime

import pytest
from django.core.files.base import ContentFile
from django.db import IntegrityError, transaction

from reedcrew.fieldbook import services as fieldbook
from reedcrew.grants import errors, services
from reedcrew.grants.models import Approval, HourEntry
from reedcrew.grants.models.hours import LedgerOnlyGrows
from reedcrew.grants.queries.lines import history_of
from reedcrew.people.roles import Role as GroupRole
from reedcrew.trade.valuation import Activity, Kind, Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.factories import END, NOW, START
from tests.grants.days import HOUR, make_closed, make_grant, make_line, travel

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator(group):
    return factories.account_of(factories.make_member(group, role=GroupRole.COORDINATOR, name="Tuva Quist"))


@pytest.fixture
def stand(group):
    return factories.make_stand(group)


@pytest.fixture
def member(group):
    return factories.make_member(group, name="Odo Fenn")


@pytest.fixture
def day(stand, member):
    return make_closed(stand, members=[member])


def correct(entry, actor, *, ended_at=START + HOUR, **changes):
    said = {"entry": entry, "started_at": START, "ended_at": ended_at, "reason": "Left at ten", **changes}
    return services.correct_entry(actor=actor, now=END, **said)


def test_a_line_is_never_changed_nor_removed(day):
    entry = HourEntry.objects.get()
    for deed in (entry.save, entry.delete, HourEntry.objects.all().delete):
        with pytest.raises(LedgerOnlyGrows):
            deed()
    with pytest.raises(LedgerOnlyGrows):
        HourEntry.objects.all().update(minutes=1)


def test_closing_tells_work_in_water_from_work_on_land_and_who_led(stand, group):
    factories.make_zone(stand)
    lead = factories.make_water_member(group, role=GroupRole.CREW_LEAD)
    wader, ashore = factories.make_water_member(group), factories.make_member(group)
    day = factories.make_day(stand)
    for each, in_water in ((lead, False), (wader, True), (ashore, False)):
        factories.make_sign_up(day, each)
        account = factories.account_of(lead)
        stay = fieldbook.sign_in(day=day, member=each, in_water=in_water, at=START, actor=account, now=START)
        fieldbook.sign_out(attendance=stay, at=END, actor=account, now=END)
    fieldbook.close(day=day, actor=account, now=END)
    found = {entry.member: (entry.activity, entry.role) for entry in HourEntry.objects.all()}
    assert found == {lead: ("land", "lead"), wader: ("water", "crew"), ashore: ("land", "crew")}


def test_the_whole_chain_of_corrections_is_told(day, coordinator):
    first = HourEntry.objects.get()
    second = correct(first, coordinator)
    third = correct(second, coordinator, role=Role.LEAD, activity=Activity.WATER, reason="Led the crew")
    for entry in (first, second, third):
        told = history_of(entry)
        assert (told.chain, told.standing) == ([first, second, third], third)
    assert (third.role, third.activity, third.minutes) == ("lead", "water", 60)
    with pytest.raises(errors.AlreadyCorrected, match=f"Entry {third.pk} stands in its place: Odo Fenn"):
        correct(first, coordinator)


def test_an_approved_day_is_locked_until_it_is_opened_with_a_reason(day, member, coordinator):
    entry = HourEntry.objects.get()
    approval = services.approve_day(day=day, actor=coordinator, now=END)
    assert (approval.entries, approval.minutes) == (1, 240)
    assert services.approve_day(day=day, actor=factories.make_account(), now=END + HOUR) == approval
    with pytest.raises(errors.DayApproved, match="approved by Tuva Quist on Sat 15 August 2026 and are locked"):
        correct(entry, coordinator)
    with pytest.raises(errors.DayApproved):
        travel(day, member, actor=coordinator, now=END)
    with pytest.raises(errors.ReopeningNeedsReason):
        services.reopen_day(day=day, reason="", actor=coordinator, now=END)
    services.reopen_day(day=day, reason="Wrong end", actor=coordinator, now=END)
    with pytest.raises(errors.NotApproved):
        services.reopen_day(day=day, reason="Wrong end", actor=coordinator, now=END)
    correct(entry, coordinator)
    again = services.approve_day(day=day, actor=coordinator, now=END + HOUR)
    assert (again.entries, again.minutes, Approval.objects.count()) == (1, 60, 2)
    told = history_of(entry)
    assert [each.reopened_reason for each in told.approvals] == ["Wrong end", ""]
    assert told.approval == again


def test_only_a_closed_day_with_hours_is_approved(stand, coordinator):
    posted, empty = factories.make_day(stand), factories.make_day(stand, status=WorkDay.Status.CLOSED)
    with pytest.raises(errors.DayNotClosed):
        services.approve_day(day=posted, actor=coordinator, now=END)
    with pytest.raises(errors.NothingToApprove):
        services.approve_day(day=empty, actor=coordinator, now=END)


def test_people_who_travel_together_get_a_line_each_with_the_same_evidence(day, member, group, coordinator):
    other = factories.make_member(group)
    slip = ContentFile(b"%PDF-1.7 invented", name="fuel.pdf")
    lines = travel(day, member, other, actor=coordinator, now=END, evidence_file=slip)
    assert [(line.member, line.minutes, line.kind, line.date) for line in lines] == [
        (member, 60, "travel", day.date),
        (other, 60, "travel", day.date),
    ]
    assert len({line.evidence_file.name for line in lines}) == 1
    with lines[0].evidence_file.open() as kept:
        assert kept.read() == b"%PDF-1.7 invented"


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        ({"evidence": " "}, errors.NeedsEvidence),
        ({"started_at": START}, errors.HoursTwice),
        ({"ended_at": START - 2 * HOUR}, errors.EndBeforeStart),
        ({"started_at": START - 30 * HOUR}, errors.TooManyHours),
        ({"started_at": START - 80 * HOUR, "ended_at": START - 79 * HOUR}, errors.FarFromWorkDay),
        ({"started_at": END, "ended_at": END + HOUR}, errors.HoursInFuture),
        ({"activity": Activity.WATER}, errors.ActivityOfAnotherKind),
    ],
    ids=lambda value: value.__name__ if isinstance(value, type) else "",
)
def test_travel_that_cannot_be_is_refused_for_everyone(day, member, group, coordinator, changes, error):
    changes = {"ended_at": START + HOUR, **changes} if error is errors.HoursTwice else changes
    with pytest.raises(error):
        travel(day, factories.make_member(group), member, actor=coordinator, now=END, **changes)
    assert HourEntry.objects.count() == 1


def test_no_hours_are_entered_for_a_cancelled_day(stand, member, coordinator):
    with pytest.raises(errors.DayCancelled):
        travel(factories.make_day(stand, status=WorkDay.Status.CANCELLED), member, actor=coordinator, now=END)


def test_the_database_takes_no_travel_without_evidence(day, member):
    with pytest.raises(IntegrityError), transaction.atomic():
        make_line(day, member, kind="travel", activity="way")


def test_preparation_may_lie_weeks_before_and_counts_on_its_own_date(day, member, group, stand, coordinator):
    weeks = datetime.timedelta(days=30)
    (line,) = travel(
        day,
        member,
        actor=coordinator,
        now=END,
        kind=Kind.PREPARATION,
        activity=Activity.GEAR,
        started_at=START - weeks,
        ended_at=START - weeks + HOUR,
        evidence="Cleaning list of 16 July",
    )
    assert line.date == datetime.date(2026, 7, 16)
    summer = make_grant(group, stand, starts_on=datetime.date(2026, 8, 1), ends_on=datetime.date(2026, 8, 31))
    assert services.claim_eligible(grant=summer, actor=coordinator, now=NOW) == 1  # the field work alone

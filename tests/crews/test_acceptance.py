"""Accepting and amending: who is told what, and what stays although something newer is proposed."""

import datetime

import pytest

from reedcrew.crews import queries, services, signals
from reedcrew.crews.errors import DayNotPlannable, PlanDoesNotStand, PlanIsDue, PlanSuperseded
from reedcrew.crews.models import Plan
from reedcrew.people.models import AuditEntry
from reedcrew.trade.items import Item
from reedcrew.workdays import services as workdays
from tests import factories
from tests.crews.crowd import full_day, lose, mark_absent, organizer_of, told_plan, units_of
from tests.factories import END, NOW, START, account_of

pytestmark = pytest.mark.django_db

LATER = NOW + datetime.timedelta(hours=1)


def test_a_plan_is_proposed_until_somebody_accepts_it():
    day = full_day()
    organizer = organizer_of(day)
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert (plan.told, plan.accepted_by) == (False, None)
    accepted = services.accept_plan(plan=plan, actor=organizer, now=LATER)
    assert accepted.changes is None
    assert (accepted.plan.told, accepted.plan.accepted_by, accepted.plan.accepted_at) == (True, organizer, LATER)
    assert AuditEntry.objects.get(deed="plan accepted").actor == organizer


def test_accepting_again_changes_nothing():
    day = full_day()
    plan = told_plan(day)
    again = services.accept_plan(plan=plan, actor=organizer_of(day), now=LATER)
    assert again.plan.accepted_at == NOW
    assert AuditEntry.objects.filter(deed__startswith="plan").count() == 1


def test_a_plan_made_later_by_itself_is_a_proposal_and_what_people_were_told_stays():
    day = full_day()
    told = told_plan(day)
    mark_absent(day, "Wader 1")
    newer = services.make_due_plan(day_pk=day.pk, now=START)
    told.refresh_from_db()
    assert told.told
    assert newer is not None
    assert (newer.current, newer.told) == (True, False)
    assert list(Plan.objects.in_force().filter(day=day)) == [told]


def test_the_units_that_lost_somebody_are_marked_at_once_and_no_other():
    day = full_day()
    told = told_plan(day)
    broken = next(number for number, names in units_of(told).items() if "Wader 1" in names)
    mark_absent(day, "Wader 1")
    services.make_due_plan(day_pk=day.pk, now=START)
    fallen = told.assignments.in_water().exclude(fallen=[]).values_list("unit_number", flat=True)
    assert set(fallen) == {broken}
    codes = {each["code"] for each in told.assignments.filter(unit_number=broken).first().fallen}
    assert codes == {"told.gone", "H1"}


def test_planning_again_after_no_shows_keeps_every_unit_that_is_whole_and_its_number():
    day = full_day(8)
    before = units_of(told_plan(day))
    gone = {"Wader 1", "Wader 2", "Wader 3"}
    mark_absent(day, *gone)
    amended = services.make_due_plan(day_pk=day.pk, now=START)
    whole = {number: names for number, names in before.items() if not names & gone}
    after = units_of(amended)
    assert whole.items() <= after.items()


def test_an_amendment_says_who_is_told_something_new():
    day = full_day()
    told = told_plan(day)
    pair = next(names for names in units_of(told).values() if "Wader 1" in names)
    partner = (pair - {"Wader 1"}).pop()
    mark_absent(day, "Wader 1")
    heard = []

    def hear(sender, **said):
        heard.append(said["members"])

    amended = services.make_due_plan(day_pk=day.pk, now=START)
    signals.plan_accepted.connect(hear)
    try:
        accepted = services.accept_plan(plan=amended, actor=organizer_of(day), now=START)
    finally:
        signals.plan_accepted.disconnect(hear)
    names = dict(day.sign_ups.values_list("member", "member__name"))
    assert {names[int(person)] for person in accepted.changes.people} == {"Wader 1", partner}
    assert [{names[member] for member in members} for members in heard] == [{"Wader 1", partner}]
    told.refresh_from_db()
    assert (told.told, told.accepted_at) == (False, NOW)  # kept for the record
    shown = queries.bench(day, START)
    assert {line.name for line in shown.amended} == {"Wader 1", partner}
    assert not shown.proposal


def test_somebody_who_signs_up_after_acceptance_moves_nobody():
    day = full_day()
    told = told_plan(day)
    newcomer = factories.make_water_member(day.group, name="Nia Newcomer")
    workdays.sign_up(day=day, member=newcomer, place="water", actor=account_of(newcomer), now=LATER)
    services.make_due_plan(day_pk=day.pk, now=LATER)
    bench = queries.bench(day, LATER)
    assert {line.name for line in bench.changes} == {"Nia Newcomer"}
    assert bench.sheet.plan == told
    assert queries.bench(day, LATER, proposal=True).sheet.plan == bench.proposal


def test_a_plan_that_says_the_same_asks_nobody_to_accept_anything():
    day = full_day()
    told = told_plan(day)
    services.make_plan(day=day, actor=None, now=LATER)
    bench = queries.bench(day, LATER)
    assert (bench.changes, bench.proposal, bench.sheet.plan) == ((), None, told)


def test_only_the_latest_plan_of_a_day_as_it_is_can_be_accepted():
    day = full_day()
    organizer = organizer_of(day)
    first = services.make_plan(day=day, actor=None, now=NOW)
    second = services.make_plan(day=day, actor=None, now=LATER)
    with pytest.raises(PlanSuperseded):
        services.accept_plan(plan=first, actor=organizer, now=LATER)
    services.order_plan(day=day, now=LATER)
    with pytest.raises(PlanIsDue):
        services.accept_plan(plan=second, actor=organizer, now=LATER)
    with pytest.raises(DayNotPlannable):
        services.accept_plan(plan=second, actor=organizer, now=END)
    assert not Plan.objects.filter(told=True).exists()


def test_a_plan_whose_gear_went_meanwhile_is_not_accepted():
    day = full_day()
    plan = services.make_plan(day=day, actor=None, now=NOW)
    lose(day, Item.CHEST_WADERS, 18)
    with pytest.raises(PlanDoesNotStand) as refused:
        services.accept_plan(plan=plan, actor=organizer_of(day), now=NOW)
    assert "6 were promised, and 2 can be had: in stock, clean and dry" in str(refused.value)

"""From the rows of a day to its current plan, and when a plan is due."""

import datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.db.models.signals import post_save, pre_save

from reedcrew.crews import queries, services
from reedcrew.crews.errors import DayNotPlannable
from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Assignment, Plan, PlanDue
from reedcrew.people.models import Wish
from reedcrew.people.policy import change_policy
from reedcrew.people.roles import Role
from reedcrew.trade.items import Item, JacketClass
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import END, NOW, START

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture
def stand(group):
    return factories.make_stand(group)


@pytest.fixture
def zone(stand):
    return factories.make_zone(stand, depth_cm=60, gauge_cm=100, units_max=5)


@pytest.fixture
def day(stand, zone):
    return factories.make_day(stand)


def equip(group, sets: int) -> None:
    factories.make_stock(group, Item.CHEST_WADERS, sets, size="43")
    factories.make_stock(group, Item.LIFE_JACKET, sets, size=JacketClass.ADULT.value)


def crew(day, wading: int, *, ashore: int = 1) -> list[SignUp]:
    """So many people for water work, and so many on land: experienced, and the first of them a first-aider."""
    group = day.group
    sign_ups = [factories.make_sign_up(day, factories.make_water_member(group)) for _i in range(wading)]
    for number in range(ashore):
        profile = {"earlier_water_days": 9} | ({"first_aid_until": START.date()} if number == 0 else {})
        sign_ups.append(
            factories.make_sign_up(day, factories.make_member(group, profile=profile), place=SignUp.Place.LAND)
        )
    return sign_ups


# --- Making a plan ---------------------------------------------------------------------------------------------------


def test_four_people_with_gear_and_a_spotter_are_two_units(group, day):
    equip(group, 4)
    crew(day, 4, ashore=2)
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert plan.status == "optimal"
    units = plan.assignments.in_water().values_list("unit_number", flat=True)
    assert sorted(units) == [1, 1, 2, 2]
    assert plan.assignments.get(role="spotter").zone == day.zones.get()


def test_a_set_that_is_missing_keeps_people_ashore_and_stands_on_the_list(group, day):
    equip(group, 2)
    crew(day, 4, ashore=2)
    services.make_plan(day=day, actor=None, now=NOW)
    sheet = queries.plan_sheet(day)
    assert sheet.people_in_water == 2
    short = {(line.item, line.size): line.short for line in sheet.short}
    assert (short["chest waders", "43"], short["life jacket", "adult"]) == (2, 2)


def test_the_sheet_names_people_and_zones_in_its_reasons(group, day, zone):
    equip(group, 4)
    crew(day, 4, ashore=2)
    services.make_plan(day=day, actor=None, now=NOW)
    sheet = queries.plan_sheet(day)
    names = set(day.sign_ups.values_list("member__name", flat=True))
    told = [reason.text for line in sheet.zones for unit in line.units for reason in unit.reasons]
    assert any(name in text for name in names for text in told)
    assert [(line.zone, line.depth_cm) for line in sheet.zones] == [(zone.name, 60)]


def test_a_new_plan_replaces_the_current_one_and_keeps_it(group, day):
    equip(group, 2)
    crew(day, 2, ashore=2)
    first = services.make_plan(day=day, actor=None, now=NOW)
    second = services.make_plan(day=day, actor=None, now=NOW + DAY)
    assert list(Plan.objects.filter(day=day, current=True)) == [second]
    assert list(Plan.objects.filter(day=day)) == [second, first]


# --- What a plan rests on --------------------------------------------------------------------------------------------


def test_a_plan_that_was_begun_later_stays_current(group, day):
    crew(day, 2)
    later = services.make_plan(day=day, actor=None, now=NOW + DAY)
    assert services.make_plan(day=day, actor=None, now=NOW) == later
    assert Plan.objects.get(current=True) == later


def test_somebody_who_leaves_while_the_plan_is_made_does_not_stop_it(group, day):
    first, *_others = crew(day, 2)

    def leave_meanwhile(sender, **said):
        workdays.withdraw(sign_up=first, actor=first.member.account, now=NOW)

    pre_save.connect(leave_meanwhile, sender=Plan)
    try:
        services.make_plan(day=day, actor=None, now=NOW)
    finally:
        pre_save.disconnect(leave_meanwhile, sender=Plan)
    assert Assignment.objects.filter(sign_up=first, plan__current=True).exists()
    assert PlanDue.objects.filter(day=day).exists()


def test_depth_today_follows_the_gauge(day, stand, zone):
    """Design, rule 3: surveyed 60 cm at gauge 100 cm; today 85 cm makes 45 cm."""
    factories.make_level(factories.make_gauge(stand.site), 85)
    assert day_input(day, NOW).zones[0].depth_cm == 45
    assert day_input(day, NOW - DAY).zones[0].depth_cm == 60


def test_only_who_chose_water_and_is_ready_counts_as_ready(group, day):
    on_land = factories.make_water_member(group)
    factories.make_sign_up(day, on_land, place=SignUp.Place.LAND)
    not_ready = factories.make_water_member(group, profile={"water_ready": False})
    factories.make_sign_up(day, not_ready)
    ready = factories.make_water_member(group)
    factories.make_sign_up(day, ready)
    factories.make_sign_up(day, factories.make_water_member(group), state=SignUp.State.WAITING)
    told = {each.id: each.water_ready for each in day_input(day, NOW).volunteers}
    assert told == {str(on_land.pk): False, str(not_ready.pk): False, str(ready.pk): True}


def test_keep_apart_holds_both_ways_and_a_wish_one_way(group, day):
    one, other, third = (factories.make_water_member(group) for _i in range(3))
    for member in (one, other, third):
        factories.make_sign_up(day, member)
    Wish.objects.create(member=one, other=other, kind=Wish.Kind.APART)
    Wish.objects.create(member=one, other=third, kind=Wish.Kind.TOGETHER)
    people = {each.id: each for each in day_input(day, NOW).volunteers}
    assert people[str(one.pk)].apart == {str(other.pk)}
    assert people[str(other.pk)].apart == {str(one.pk)}
    assert people[str(one.pk)].wishes == {str(third.pk)}
    assert people[str(third.pk)].wishes == frozenset()


def test_days_worked_in_water_add_to_those_before(group, stand, day):
    member = factories.make_water_member(group, profile={"earlier_water_days": 1})
    factories.make_sign_up(day, member)
    for outcome in (SignUp.Outcome.WATER, SignUp.Outcome.LAND, SignUp.Outcome.ABSENT):
        factories.make_sign_up(factories.make_day(stand), member, outcome=outcome)
    assert day_input(day, NOW).volunteers[0].water_days == 2


def test_partners_of_the_last_three_days_are_recent(group, stand, zone, day):
    one, other = (factories.make_water_member(group) for _i in range(2))
    for number in range(1, 5):
        earlier = factories.make_day(
            stand, date=(START - number * DAY).date(), starts_at=START - number * DAY, ends_at=END - number * DAY
        )
        plan = Plan.objects.create(day=earlier, made_at=NOW, status="optimal", answer={})
        partner = one if number < 4 else factories.make_water_member(group)
        for member in (partner, other):
            Assignment.objects.create(
                plan=plan,
                sign_up=factories.make_sign_up(earlier, member),
                kind=Assignment.Kind.UNIT,
                unit_number=1,
                zone=zone,
            )
        if number == 4:
            factories.make_sign_up(day, partner)
    for member in (one, other):
        factories.make_sign_up(day, member)
    people = {each.id: each for each in day_input(day, NOW).volunteers}
    assert people[str(other.pk)].recent == {str(one.pk)}


def test_two_days_that_overlap_are_never_promised_the_same_set(group, day):
    equip(group, 4)
    crew(day, 4, ashore=2)
    services.make_plan(day=day, actor=None, now=NOW)
    elsewhere = factories.make_stand(group)
    factories.make_zone(elsewhere)
    same_time = factories.make_day(elsewhere)
    later = factories.make_day(elsewhere, starts_at=END, ends_at=END + DAY / 6)
    waders = {
        when: sum(line.count for line in day_input(when, NOW).stock if line.item is Item.CHEST_WADERS)
        for when in (day, same_time, later)
    }
    assert waders == {day: 4, same_time: 0, later: 4}


def test_a_forecast_reaches_the_planner_only_when_there_is_one(day):
    assert day_input(day, NOW).weather is None
    day.forecast_temp_c = Decimal("31.5")
    weather = day_input(day, NOW).weather
    assert weather is not None
    assert (weather.temp_c, weather.rh_percent) == (31.5, None)


def test_a_plan_reads_its_rows_in_as_many_queries_for_60_people_as_for_6(day, count_queries):
    crew(day, 5)
    few = count_queries(lambda: day_input(day, NOW))
    crew(day, 50, ashore=4)
    assert count_queries(lambda: day_input(day, NOW)) == few


# --- When a plan is due ----------------------------------------------------------------------------------------------


def test_a_sign_up_orders_a_plan_and_wakes_the_planner(group, day, woken, django_capture_on_commit_callbacks):
    member = factories.make_water_member(group)
    with django_capture_on_commit_callbacks(execute=True):
        workdays.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW)
    assert PlanDue.objects.get().day == day
    assert ("crews.plan_due", (day.pk,)) in woken()
    assert services.make_due_plan(day_pk=day.pk, now=NOW).day == day
    assert services.due_days() == []
    assert services.make_due_plan(day_pk=day.pk, now=NOW) is None


def test_a_changed_rule_orders_plans_of_the_days_to_come(group, stand, day):
    organizer = factories.make_member(group, role=Role.ORGANIZER)
    over = factories.make_day(stand, starts_at=NOW - DAY, ends_at=NOW - DAY / 2)
    change_policy(group=group, actor=organizer.account, now=NOW, wading_depth_cm_max=50)
    assert services.due_days() == [day.pk]
    assert over.pk not in services.due_days()


def test_a_day_that_is_over_takes_its_order_away(day):
    services.order_plan(day=day, now=NOW)
    assert services.make_due_plan(day_pk=day.pk, now=END) is None
    assert services.due_days() == []
    with pytest.raises(DayNotPlannable):
        services.ask_plannable(day=day, now=END)


def test_two_workers_that_take_one_order_make_one_plan(day):
    services.order_plan(day=day, now=NOW)
    others: list[Plan | None] = []

    def the_other_is_quicker(execute, sql, params, many, context):
        if "people_policychange" in sql and not others:  # the order is read by then, and the day is not
            others.append(None)
            others.append(services.make_due_plan(day_pk=day.pk, now=NOW))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(the_other_is_quicker):
        plan = services.make_due_plan(day_pk=day.pk, now=NOW)
    assert [None, plan] == others
    assert day.plans.get() == plan


def test_an_order_that_comes_while_a_plan_is_made_stands(group, day):
    """The planner takes seconds; a withdrawal meanwhile must not be lost with the order that it answers."""
    crew(day, 2)
    services.order_plan(day=day, now=NOW)

    def withdraw_meanwhile(**said: object) -> None:
        services.order_plan(day=day, now=NOW + DAY)

    post_save.connect(withdraw_meanwhile, sender=Plan)  # the rows are read by then, the order not yet taken away
    try:
        services.make_plan(day=day, actor=None, now=NOW)
    finally:
        post_save.disconnect(withdraw_meanwhile, sender=Plan)
    assert services.due_days() == [day.pk]

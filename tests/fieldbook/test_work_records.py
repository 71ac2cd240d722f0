"""Closed days as stands read them: whose hours, which stems, on which side."""

import datetime

import pytest

from reedcrew.crews.models import Assignment, Plan
from reedcrew.fieldbook.models import Attendance, Tally
from reedcrew.fieldbook.work_records import work_records
from reedcrew.stands.work_records import latest_records, records_around, records_of_stand, stems_of
from tests.factories import (
    NOW,
    make_account,
    make_closed_day,
    make_day,
    make_group,
    make_member,
    make_sign_up,
    make_stand,
    make_zone,
)

pytestmark = pytest.mark.django_db

JULY = datetime.date(2026, 7, 18)


@pytest.fixture
def stand():
    return make_stand(make_group())


@pytest.fixture
def deep(stand):
    return make_zone(stand, depth_cm=60)


@pytest.fixture
def bank(stand):
    return make_zone(stand, depth_cm=0)


def planned(day, depths, spade=()):
    """A current plan of a day with these depths, and these members on the spade crew."""
    plan = Plan.objects.create(
        day=day,
        made_at=NOW,
        status="optimal",
        answer={"depths_cm": {str(zone.pk): depth_cm for zone, depth_cm in depths.items()}},
    )
    for member in spade:
        Assignment.objects.create(
            plan=plan, sign_up=make_sign_up(day, member), kind=Assignment.Kind.SHORE, role="spade crew"
        )
    return plan


def test_hours_and_stems_go_to_the_side_where_people_cut(stand, deep, bank):
    make_closed_day(stand, JULY, tallies={deep: 900, bank: 300}, in_water=4, on_land=2, hours=3.5)
    (record,) = records_of_stand(stand)
    assert (record.in_water.people, record.in_water.person_hours, record.in_water.stems) == (4, 14, 900)
    assert (record.on_land.people, record.on_land.person_hours, record.on_land.stems) == (2, 7, 300)
    assert (record.date, record.stand_id, record.shore_hours, record.person_hours) == (JULY, stand.pk, 0, 21)


def test_with_a_plan_only_the_spade_crew_cuts_on_land(stand, bank):
    day = make_closed_day(stand, JULY, tallies={bank: 300}, on_land=3, hours=4)
    cutter = Attendance.objects.filter(day=day).first().member
    planned(day, {bank: 0}, spade=[cutter])
    (record,) = records_of_stand(stand)
    assert (record.on_land.people, record.on_land.person_hours, record.shore_hours) == (1, 4, 8)
    assert record.person_hours == 12


def test_the_depth_of_the_plan_decides_before_that_of_the_survey(stand, bank):
    day = make_closed_day(stand, JULY, tallies={bank: 300}, on_land=1)
    planned(day, {bank: 12})
    (record,) = records_of_stand(stand)
    assert (record.in_water.stems, record.on_land.stems) == (300, 0)


def test_what_was_struck_out_does_not_count(stand, deep):
    day = make_closed_day(stand, JULY, tallies={deep: 900}, in_water=2, hours=4)
    struck = {"struck_by": make_account(), "struck_at": NOW, "struck_reason": "twice"}
    Tally.objects.create(
        day=day, zone=deep, method="counted", stems=5_000, entered_by=make_account(), entered_at=NOW, **struck
    )
    Attendance.objects.filter(pk=Attendance.objects.filter(day=day).first().pk).update(**struck)
    (record,) = records_of_stand(stand)
    assert (record.in_water.stems, record.in_water.people, record.in_water.person_hours) == (900, 1, 4)


def test_two_stays_of_one_person_are_one_person(stand, deep):
    day = make_closed_day(stand, JULY, tallies={deep: 10}, in_water=1, hours=1)
    stay = Attendance.objects.get(day=day)
    later = stay.signed_out_at + datetime.timedelta(hours=1)
    Attendance.objects.create(
        day=day,
        member=stay.member,
        in_water=True,
        signed_in_at=later,
        signed_out_at=later + datetime.timedelta(minutes=30),
        entered_by=stay.entered_by,
        entered_at=later,
    )
    (record,) = records_of_stand(stand)
    assert (record.in_water.people, record.in_water.person_hours) == (1, 1.5)


def test_only_closed_days_of_the_group_are_given(stand, deep):
    make_day(stand)
    other = make_stand(make_group())
    make_closed_day(other, JULY, tallies={make_zone(other): 5}, in_water=2)
    assert records_of_stand(stand) == latest_records(stand.site.group) == ()


def test_the_latest_days_are_kept_oldest_first(stand, deep):
    days = [make_closed_day(stand, JULY + datetime.timedelta(weeks=week), tallies={deep: 1}) for week in range(4)]
    assert [each.day_id for each in latest_records(stand.site.group, 3)] == [day.pk for day in days[1:]]


def test_a_stand_s_days_and_the_latest_of_its_group_are_read_together(stand, deep, django_assert_num_queries):
    own = [make_closed_day(stand, JULY - datetime.timedelta(weeks=week), tallies={deep: 1}) for week in (3, 2)]
    other = make_stand(stand.site.group)
    beside = make_zone(other)
    late = [make_closed_day(other, JULY + datetime.timedelta(weeks=week), tallies={beside: 1}) for week in range(2)]
    with django_assert_num_queries(4):
        of_stand, of_group = records_around(stand, 2)
    assert [each.day_id for each in of_stand] == [day.pk for day in own]
    assert [each.day_id for each in of_group] == [day.pk for day in late]
    assert (of_stand, of_group) == (records_of_stand(stand), latest_records(stand.site.group, 2))


def test_the_interval_of_bundles_is_kept(stand, deep):
    day = make_closed_day(stand, JULY, tallies={deep: 100}, in_water=2)
    Tally.objects.filter(day=day).update(method="bundles", bundles=2, stems_low=70, stems_high=140)
    (record,) = records_of_stand(stand)
    assert stems_of(record.cut) == (100, 70, 140)


@pytest.mark.parametrize("days", [1, 8])
def test_records_take_four_queries_however_many_days(days, django_assert_num_queries):
    stand = make_stand(make_group())
    zone = make_zone(stand)
    for week in range(days):
        planned(
            make_closed_day(stand, JULY + datetime.timedelta(weeks=week), tallies={zone: 5}, in_water=2), {zone: 60}
        )
    make_member(stand.site.group)
    with django_assert_num_queries(4):
        assert len(work_records(stand.site.group, stand=stand, latest=None)) == days

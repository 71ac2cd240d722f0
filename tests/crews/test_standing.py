"""Whether what people were told still keeps the hard rules: each way in which a unit can fall."""

import datetime

import pytest

from reedcrew.crews.inputs import day_input
from reedcrew.crews.models import Plan
from reedcrew.crews.services import make_plan
from reedcrew.crews.standing import fallen_of
from reedcrew.people.models import Member, Wish
from reedcrew.trade.items import Item
from reedcrew.workdays import services as workdays
from tests.crews.crowd import (
    day_with_gear,
    full_day,
    lose,
    organizer_of,
    sign_up_shore,
    sign_up_waders,
    told_plan,
    units_of,
    zone_of,
)
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

SECOND = datetime.timedelta(seconds=1)


def fallen(plan: Plan) -> dict[str, set[str]]:
    """The codes by which people's places fall, by name."""
    found = fallen_of(plan, day_input(plan.day, NOW))
    rows = plan.assignments.select_related("sign_up__member").filter(pk__in=found)
    return {each.sign_up.member.name: {reason.code for reason in found[each.pk]} for each in rows}


def leave(day, name: str) -> None:
    sign_up = day.sign_ups.active().get(member__name=name)
    workdays.withdraw(sign_up=sign_up, actor=account_of(sign_up.member), now=NOW)


def told_profile(day, name: str, **facts: object) -> None:
    profile = Member.objects.get(name=name, group=day.group).profile
    for field, value in facts.items():
        setattr(profile, field, value)
    profile.save()


def test_a_plan_on_an_unchanged_day_stands():
    assert fallen(told_plan(full_day())) == {}


def test_a_unit_whose_member_withdrew_falls_and_no_other():
    day = full_day()
    plan = told_plan(day)
    pair = next(names for names in units_of(plan).values() if "Wader 1" in names)
    leave(day, "Wader 1")
    assert fallen(plan) == {key: {"told.gone", "H1"} for key in pair}


def test_two_of_three_go_on_without_the_third():
    day = full_day(5)
    plan = told_plan(day)
    trio = next(names for names in units_of(plan).values() if len(names) == 3)
    leave(day, min(trio))
    assert fallen(plan) == {}


def test_water_that_rose_over_the_wading_limit_takes_everybody_out():
    """Design, H6: at most 100 cm by the group's rule, and half of a stature of 175 cm."""
    day = full_day()
    plan = told_plan(day)
    zone = zone_of(day)
    zone.depth_cm = 90
    zone.save()
    assert fallen(plan)["Wader 1"] == {"H6.depth"}
    zone.depth_cm = 120
    zone.save()
    assert "H6.zone" in fallen(plan)["Wader 1"]


def test_without_a_first_aider_nobody_stays_in_water():
    day = full_day()
    plan = told_plan(day)
    leave(day, "Ida Aid")
    codes = fallen(plan)
    assert codes["Ida Aid"] == {"told.gone"}
    assert "H10.no_first_aider" in codes["Wader 1"]


def test_without_the_spotter_the_whole_zone_comes_out():
    day = full_day()
    plan = told_plan(day)
    spotter = plan.assignments.get(role="spotter").sign_up.member.name
    leave(day, spotter)
    codes = fallen(plan)
    assert all("told.unwatched" in codes[f"Wader {number}"] for number in range(1, 7))


def test_a_zone_that_takes_fewer_units_falls_as_a_whole():
    day = full_day()
    plan = told_plan(day)
    zone = zone_of(day)
    zone.units_max = 2
    zone.save()
    assert fallen(plan)["Wader 1"] == {"told.room"}
    day.zones.clear()
    assert fallen(plan)["Wader 1"] == {"told.zone_gone", "H9.no_zone"}


def test_who_takes_back_the_water_or_asks_to_be_apart_breaks_their_unit_only():
    day = full_day()
    plan = told_plan(day)
    units = list(units_of(plan).values())
    told_profile(day, min(units[0]), water_ready=False)
    one, other = (Member.objects.get(name=name) for name in units[1])
    Wish.objects.create(member=one, other=other, kind=Wish.Kind.APART)
    codes = fallen(plan)
    assert set(codes) == units[0] | units[1]
    assert codes[one.name] == {"told.not_together"}  # H8 is private: not even its code is told


def test_a_unit_without_anybody_experienced_falls():
    day = day_with_gear()
    sign_up_waders(day, "Wader 1", "Wader 2")
    sign_up_shore(day, "Ida Aid", "Sam Spotter")
    plan = told_plan(day)
    for name in ("Wader 1", "Wader 2"):
        told_profile(day, name, earlier_water_days=0)
    assert fallen(plan)["Wader 1"] == {"told.not_together"}


def test_sets_that_are_lost_bring_out_everybody_who_was_promised_one():
    day = full_day()
    plan = told_plan(day)
    lose(day, Item.LIFE_JACKET, 15)
    assert fallen(plan) == {f"Wader {number}": {"told.gear"} for number in range(1, 7)}


def test_what_fell_and_stands_again_is_no_longer_marked():
    day = full_day()
    plan = told_plan(day)
    lead = organizer_of(day)
    sign_up = day.sign_ups.get(member__name="Wader 1")
    workdays.mark_absent(sign_up=sign_up, actor=lead, now=day.starts_at)
    make_plan(day=day, actor=None, now=day.starts_at)
    assert plan.assignments.exclude(fallen=[]).exists()
    workdays.mark_present(sign_up=sign_up, actor=lead, now=day.starts_at)
    make_plan(day=day, actor=None, now=day.starts_at + SECOND)
    assert not plan.assignments.exclude(fallen=[]).exists()

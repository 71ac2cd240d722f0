"""Pins of an organizer: kept in every plan, refused by the rule they break, left aside when the day changes."""

import pytest

from reedcrew.crews import queries, services
from reedcrew.crews.errors import DayNotPlannable, NotOfThisDay, PinnedAlready, PinRefused
from reedcrew.crews.models import PlanDue, PlanPin
from reedcrew.crews.services import PinFacts
from reedcrew.people.models import Member, Wish
from reedcrew.trade.pins import PinKind
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.crews.crowd import full_day, organizer_of, units_of, zone_of
from tests.factories import END, NOW

pytestmark = pytest.mark.django_db


def named(day, name: str) -> Member:
    member: Member = day.sign_ups.get(member__name=name).member
    return member


def pin(day, kind: PinKind, name: str, other: str = "", **more: object) -> PlanPin:
    facts = PinFacts(
        kind=kind,
        member=named(day, name),
        other=named(day, other) if other else None,
        **more,  # type: ignore[arg-type]
    )
    return services.pin(day=day, facts=facts, actor=organizer_of(day), now=NOW)


def test_a_pinned_pair_is_a_unit_and_a_forbidden_one_never():
    day = full_day()
    pin(day, PinKind.PAIR, "Wader 1", "Wader 6")
    pin(day, PinKind.NOT_PAIR, "Wader 2", "Wader 3")
    assert PlanDue.objects.filter(day=day).exists()
    units = list(units_of(services.make_plan(day=day, actor=None, now=NOW)).values())
    assert {"Wader 1", "Wader 6"} in units
    assert {"Wader 2", "Wader 3"} not in units


def test_a_role_and_a_person_out_of_the_water_are_kept():
    day = full_day()
    pin(day, PinKind.ROLE, "Sol Shore", role="sign-in desk")
    pin(day, PinKind.NOT_WATER, "Wader 1")
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert plan.assignments.get(sign_up__member__name="Sol Shore").role == "sign-in desk"
    assert plan.assignments.get(sign_up__member__name="Wader 1").kind != "unit"


@pytest.mark.parametrize(
    ("other", "profile", "code"),
    [
        ("Sam Spotter", {}, "H4"),  # signed up for the land
        ("Wader 2", {"languages": ["fr"]}, "H11"),
        ("Wader 2", {"stature_cm": 100}, "H6"),  # half of it is less than 60 cm of water
    ],
)
def test_a_pair_that_breaks_a_hard_rule_is_refused_with_its_code_and_nothing_changes(other, profile, code):
    day = full_day()
    for field, value in profile.items():
        setattr(named(day, other).profile, field, value)
    member = named(day, other)
    type(member.profile).objects.filter(member=member).update(**profile)
    with pytest.raises(PinRefused) as refused:
        pin(day, PinKind.PAIR, "Wader 1", other)
    assert refused.value.code == code
    assert refused.value.field == "other"
    assert str(refused.value).startswith(f"{code}: ")
    assert other in str(refused.value)
    assert not PlanPin.objects.exists()
    assert not PlanDue.objects.exists()


def test_people_who_asked_to_be_apart_are_not_pinned_together():
    day = full_day()
    Wish.objects.create(member=named(day, "Wader 1"), other=named(day, "Wader 2"), kind=Wish.Kind.APART)
    with pytest.raises(PinRefused) as refused:
        pin(day, PinKind.PAIR, "Wader 1", "Wader 2")
    assert refused.value.code == "H8"


def test_pins_that_can_not_be_kept_together_are_refused_by_the_last():
    day = full_day()
    pin(day, PinKind.NOT_WATER, "Wader 1")
    with pytest.raises(PinRefused):
        pin(day, PinKind.ZONE, "Wader 1", zone=zone_of(day))
    assert PlanPin.objects.count() == 1


def test_a_pin_that_stands_is_not_made_twice():
    day = full_day()
    pin(day, PinKind.PAIR, "Wader 1", "Wader 2")
    with pytest.raises(PinnedAlready):
        pin(day, PinKind.PAIR, "Wader 1", "Wader 2")


def test_only_people_and_zones_of_the_day_are_pinned_and_only_before_it_is_over():
    day = full_day()
    stranger = factories.make_water_member(day.group)
    foreign = factories.make_zone(factories.make_stand(day.group))
    for facts in (
        PinFacts(kind=PinKind.NOT_WATER, member=stranger),
        PinFacts(kind=PinKind.PAIR, member=named(day, "Wader 1"), other=stranger),
        PinFacts(kind=PinKind.ZONE, member=named(day, "Wader 1"), zone=foreign),
    ):
        with pytest.raises(NotOfThisDay):
            services.pin(day=day, facts=facts, actor=organizer_of(day), now=NOW)
    facts = PinFacts(kind=PinKind.NOT_WATER, member=named(day, "Wader 1"))
    with pytest.raises(DayNotPlannable):
        services.pin(day=day, facts=facts, actor=organizer_of(day), now=END)


def test_a_pin_that_the_day_overrules_later_is_left_aside_and_said():
    day = full_day()
    pin(day, PinKind.PAIR, "Wader 1", "Wader 2")
    pin(day, PinKind.PAIR, "Wader 3", "Wader 4")
    SignUp.objects.filter(member__name="Wader 1").update(place=SignUp.Place.LAND)
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert any({"Wader 3", "Wader 4"} <= names for names in units_of(plan).values())
    (aside,) = queries.bench(day, NOW).aside
    assert (aside.code, set(aside.people)) == ("H4", {"Wader 1", "Wader 2"})


def test_a_pin_of_somebody_who_left_waits():
    day = full_day()
    pin(day, PinKind.PAIR, "Wader 1", "Wader 2")
    SignUp.objects.filter(member__name="Wader 1").update(state=SignUp.State.WITHDRAWN)
    services.make_plan(day=day, actor=None, now=NOW)
    (line,) = queries.bench(day, NOW).pins
    assert line.waits


def test_a_pin_taken_back_binds_nothing_and_a_second_press_does_nothing():
    day = full_day()
    made = pin(day, PinKind.NOT_WATER, "Wader 1")
    organizer = organizer_of(day)
    for _press in range(2):
        services.unpin(day=day, pin_pk=made.pk, actor=organizer, now=NOW)
    assert not PlanPin.objects.exists()
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert plan.assignments.get(sign_up__member__name="Wader 1").kind == "unit"

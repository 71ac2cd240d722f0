"""Sign-in, sign-out, stems, loads and closing: nobody is forgotten, nothing counts twice."""

import datetime
import uuid
from typing import Any

import pytest

from reedcrew.fieldbook import errors, services
from reedcrew.fieldbook.models import Attendance, Load, Tally
from reedcrew.people.roles import Role
from reedcrew.workdays import errors as workday_errors
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.factories import END, START

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)
MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.CREW_LEAD).account


@pytest.fixture
def day(group) -> WorkDay:
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand)


def arrive(day, member, lead, *, at=START, in_water=False) -> Attendance:
    return services.sign_in(day=day, member=member, in_water=in_water, at=at, actor=lead, now=at)


def leave(attendance, lead, *, at=END) -> Attendance:
    return services.sign_out(attendance=attendance, at=at, actor=lead, now=at)


def expected(day, group, **fields):
    """A member with a confirmed place."""
    member = factories.make_member(group, **fields)
    factories.make_sign_up(day, member)
    return member


# --- Coming and going ------------------------------------------------------------------------------------------------


def test_a_stay_is_counted_in_whole_minutes(day, group, lead):
    stay = arrive(day, expected(day, group), lead, at=START + datetime.timedelta(seconds=59))
    stay = leave(stay, lead, at=START + 3 * HOUR + datetime.timedelta(minutes=7, seconds=30))
    assert (stay.signed_in_at, stay.minutes) == (START, 187)


def test_a_second_press_changes_nothing(day, group, lead):
    member = expected(day, group)
    first = arrive(day, member, lead)
    assert arrive(day, member, lead, at=START + HOUR) == first
    left = leave(first, lead)
    assert leave(first, lead, at=END + HOUR).signed_out_at == left.signed_out_at


def test_a_sign_in_that_arrives_again_after_the_sign_out_is_the_stay_that_stands(day, group, lead):
    member, entry_id = expected(day, group), uuid.uuid4()
    sent: dict[str, Any] = {
        "day": day,
        "member": member,
        "in_water": False,
        "at": START,
        "actor": lead,
        "entry_id": entry_id,
    }
    stay = services.sign_in(**sent, now=START)
    leave(stay, lead)
    assert services.sign_in(**sent, now=END) == stay
    assert Attendance.objects.count() == 1


def test_an_id_that_another_day_has_is_refused(day, group, lead):
    load: dict[str, Any] = {
        "kind": Load.Kind.PILE,
        "count": 1,
        "seed_heads": False,
        "place": "landing",
        "entry_id": uuid.uuid4(),
    }
    services.record_load(day=day, **load, actor=lead, now=START)
    other = factories.make_day(factories.make_stand(group))
    with pytest.raises(errors.EntryOfAnotherDay):
        services.record_load(day=other, **load, actor=lead, now=START)


def test_somebody_who_comes_back_has_two_stays(day, group, lead):
    member = expected(day, group)
    leave(arrive(day, member, lead), lead, at=START + HOUR)
    with pytest.raises(errors.OverlapsStay):
        arrive(day, member, lead, at=START + HOUR - MINUTE)
    leave(arrive(day, member, lead, at=START + 2 * HOUR), lead, at=START + 3 * HOUR)
    assert [stay.minutes for stay in Attendance.objects.filter(member=member)] == [60, 60]


@pytest.mark.parametrize("state", [SignUp.State.WAITING, SignUp.State.WITHDRAWN])
def test_only_people_with_a_place_sign_in(day, group, lead, state):
    member = factories.make_member(group)
    factories.make_sign_up(day, member, state=state)
    with pytest.raises(errors.NotOnRoster, match=member.name):
        arrive(day, member, lead)


def test_times_to_come_and_times_long_before_are_refused(day, group, lead):
    member = expected(day, group)
    with pytest.raises(errors.TimeInFuture):
        services.sign_in(day=day, member=member, in_water=False, at=START + HOUR, actor=lead, now=START)
    early = START - services.OPENS_BEFORE - MINUTE
    with pytest.raises(errors.TooEarly):
        arrive(day, member, lead, at=early)
    stay = arrive(day, member, lead)
    with pytest.raises(errors.OutBeforeIn):
        leave(stay, lead, at=START - MINUTE)
    with pytest.raises(errors.TimeInFuture):
        services.sign_out(attendance=stay, at=END, actor=lead, now=START)


def test_a_walk_up_gets_a_place_or_nothing(day, group, lead):
    day.land_places = 1
    day.save()
    first, second = factories.make_member(group), factories.make_member(group)
    stay = services.walk_up(day=day, member=first, place="land", at=START, actor=lead, now=START)
    assert stay.member.sign_ups.get().state == "confirmed"
    with pytest.raises(errors.NoPlaceLeft):
        services.walk_up(day=day, member=second, place="land", at=START, actor=lead, now=START)
    assert not second.sign_ups.exists()
    assert not second.attendances.exists()


def test_a_volunteer_cannot_bring_a_walk_up(day, group):
    volunteer, other = factories.make_member(group), factories.make_member(group)
    with pytest.raises(workday_errors.NotInYourCare):
        services.walk_up(day=day, member=other, place="land", at=START, actor=volunteer.account, now=START)


# --- Minors (design, H3) ---------------------------------------------------------------------------------------------


def test_a_child_is_on_site_only_with_the_guardian(day, group, lead):
    guardian = expected(day, group)
    child = factories.make_child(guardian)
    factories.make_sign_up(day, child)
    with pytest.raises(errors.GuardianNotOnSite):
        arrive(day, child, lead)
    guarding = arrive(day, guardian, lead)
    staying = arrive(day, child, lead)
    with pytest.raises(errors.ChildrenOnSite, match=child.name):
        leave(guarding, lead)
    leave(staying, lead)
    assert leave(guarding, lead).signed_out_at == END


# --- Stems and loads -------------------------------------------------------------------------------------------------


def test_counted_stems_claim_no_interval(day, lead):
    tally = services.tally_counted(day=day, zone=day.zones.get(), stems=420, unit_number=1, actor=lead, now=START)
    assert (tally.stems, tally.stems_low, tally.stems_high, tally.method) == (420, None, None, "counted")


def test_bundles_are_told_with_the_interval_of_their_sample(day, lead):
    """Freese, Elementary Forest Sampling (USDA Handbook 232, 1962): N 100, n 20; 1,070, 95 % 916.28 to 1,223.72."""
    sample = [10, 9, 10, 9, 11, 16, 11, 7, 12, 12, 11, 3, 5, 11, 14, 8, 13, 12, 20, 10]
    tally = services.tally_bundles(
        day=day, zone=day.zones.get(), bundles=100, sample=sample, unit_number=None, actor=lead, now=START
    )
    assert (tally.stems, tally.stems_low, tally.stems_high) == (1070, 916, 1224)
    assert (tally.bundles, tally.sample) == (100, sample)


def test_a_zone_of_another_day_is_refused(day, group, lead):
    foreign = factories.make_zone(factories.make_stand(group))
    with pytest.raises(errors.ZoneOfAnotherDay):
        services.tally_counted(day=day, zone=foreign, stems=1, unit_number=None, actor=lead, now=START)


def test_an_entry_that_arrives_twice_is_one(day, lead):
    key = uuid.uuid4()
    for _press in range(2):
        services.tally_counted(
            day=day, zone=day.zones.get(), stems=5, unit_number=None, actor=lead, now=START, entry_id=key
        )
        services.record_load(
            day=day, kind="pile", count=2, seed_heads=False, place="Bank", actor=lead, now=START, entry_id=key
        )
    assert (Tally.objects.count(), Load.objects.count()) == (1, 1)


def test_bags_lie_in_the_sun_for_the_days_of_the_rule(day, lead):
    """14 full days in direct sun: common practice, no source (design, rule 6)."""
    bags = services.record_load(
        day=day, kind="bags", count=9, seed_heads=True, place="South bank", actor=lead, now=START
    )
    assert bags.sun_until == datetime.date(2026, 8, 29)
    pile = services.record_load(
        day=day, kind="pile", count=1, seed_heads=False, place="Dry bank", actor=lead, now=START
    )
    assert pile.sun_until is None


def test_a_struck_entry_no_longer_counts_and_says_why(day, lead):
    tally = services.tally_counted(day=day, zone=day.zones.get(), stems=5000, unit_number=None, actor=lead, now=START)
    with pytest.raises(errors.StrikeNeedsReason):
        services.strike(entry=tally, reason=" ", actor=lead, now=START)
    services.strike(entry=tally, reason="A zero too many", actor=lead, now=START)
    tally.refresh_from_db()
    assert tally.struck_reason == "A zero too many"
    assert not Tally.objects.standing().exists()


# --- Closing ---------------------------------------------------------------------------------------------------------


def test_an_entry_that_two_people_strike_keeps_the_first_reason(day, lead):
    load = services.record_load(
        day=day, kind=Load.Kind.PILE, count=1, seed_heads=False, place="landing", actor=lead, now=START
    )
    services.strike(entry=Load.objects.get(pk=load.pk), reason="counted twice", actor=lead, now=START)
    services.strike(entry=load, reason="pressed later", actor=lead, now=START + HOUR)
    assert Load.objects.get(pk=load.pk).struck_reason == "counted twice"


def test_a_day_is_not_closed_while_somebody_is_signed_in(day, group, lead):
    member = expected(day, group)
    stay = arrive(day, member, lead)
    with pytest.raises(errors.PeopleOnSite, match=member.name):
        services.close(day=day, actor=lead, now=END)
    leave(stay, lead)
    assert services.close(day=day, actor=lead, now=END).status == "closed"


def test_a_day_is_not_closed_before_it_starts(day, lead):
    with pytest.raises(errors.NotStarted):
        services.close(day=day, actor=lead, now=START - MINUTE)


def test_closing_keeps_who_worked_in_water(day, group, lead):
    wader, hauler, absent = (expected(day, group) for _i in range(3))
    leave(arrive(day, wader, lead, in_water=True), lead, at=START + HOUR)
    leave(arrive(day, wader, lead, at=START + 2 * HOUR), lead)
    leave(arrive(day, hauler, lead), lead)
    services.close(day=day, actor=lead, now=END)
    outcomes = [member.sign_ups.get().outcome for member in (wader, hauler, absent)]
    assert outcomes == ["water", "land", "absent"]


def test_a_closed_day_takes_nothing_more(day, group, lead):
    member = expected(day, group)
    services.close(day=day, actor=lead, now=END)
    with pytest.raises(errors.FieldbookClosed):
        arrive(day, member, lead, at=END)
    with pytest.raises(errors.FieldbookClosed):
        services.record_load(day=day, kind="pile", count=1, seed_heads=False, place="Bank", actor=lead, now=END)
    with pytest.raises(errors.FieldbookClosed):
        services.close(day=day, actor=lead, now=END)

"""Posting, editing and cancelling days, and the strict waiting list."""

import dataclasses
import datetime
from typing import Any

import pytest

from reedcrew.people.models import AuditEntry, Group
from reedcrew.people.roles import Role
from reedcrew.people.services import leave
from reedcrew.stands.models import Stand
from reedcrew.stands.services import change_site
from reedcrew.trade.identification import Identification
from reedcrew.workdays import errors, services, signals
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.services import DayFacts
from tests import factories
from tests.factories import END, NOW, START

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)
HOUR = datetime.timedelta(hours=1)


@pytest.fixture
def organizer(group: Group):
    return factories.make_member(group, role=Role.ORGANIZER)


@pytest.fixture
def stand(group: Group) -> Stand:
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return stand


def facts_for(stand: Stand, **changes: Any) -> DayFacts:
    facts = DayFacts(
        title="Morning at the reed",
        starts_at=START,
        ends_at=END,
        zones=list(stand.zones.all()),
        water_places=2,
        land_places=2,
    )
    return dataclasses.replace(facts, **changes)


@pytest.fixture
def heard():
    """The names of the day's signals in the order in which they came."""
    names: list[str] = []
    listeners = []
    for name in (
        *("sign_up_confirmed", "sign_up_waits", "sign_up_withdrawn", "place_offered"),
        *("day_changed", "day_cancelled"),
    ):

        def listen(name=name, **said: Any) -> None:
            names.append(name)

        signal = getattr(signals, name)
        signal.connect(listen)
        listeners.append((signal, listen))
    yield names
    for signal, listen in listeners:
        signal.disconnect(listen)


# --- Posting ---------------------------------------------------------------------------------------------------------


def test_a_posted_day_has_the_date_of_its_site(stand, organizer):
    # 02:00 UTC on 16 August is still the evening of the 15th in Toronto (UTC-4 in summer).
    late = datetime.datetime(2026, 8, 16, 2, tzinfo=datetime.UTC)
    day = services.post_day(
        stand=stand,
        facts=facts_for(stand, starts_at=late, ends_at=late + 2 * HOUR),
        actor=organizer.account,
        now=NOW,
    )
    assert day.date == datetime.date(2026, 8, 15)
    assert AuditEntry.objects.get(deed="day posted").subject == f"workdays.WorkDay:{day.pk}"


def test_more_days_than_a_season_has_are_not_posted_at_once(stand, organizer):
    for _ in range(services.DAYS_A_DAY):
        factories.make_day(stand, posted_at=NOW)
    with pytest.raises(errors.TooManyDays):
        services.post_day(stand=stand, facts=facts_for(stand), actor=organizer.account, now=NOW)
    tomorrow = NOW + datetime.timedelta(days=1)
    assert services.post_day(stand=stand, facts=facts_for(stand), actor=organizer.account, now=tomorrow).is_open


@pytest.mark.parametrize("state", [Identification.UNCHECKED, Identification.NATIVE, Identification.NOT_SURE])
def test_only_an_introduced_stand_takes_a_day(group, organizer, state):
    stand = factories.make_stand(group, identification=state.value)
    factories.make_zone(stand)
    with pytest.raises(errors.StandProtected, match=stand.name):
        services.post_day(stand=stand, facts=facts_for(stand), actor=organizer.account, now=NOW)
    assert not WorkDay.objects.exists()


# The permitted weeks 15 July to 15 October are common practice, no source (design, rule 1): both ends are inside.
@pytest.mark.parametrize(
    ("month", "day", "is_inside"), [(7, 14, False), (7, 15, True), (10, 15, True), (10, 16, False)]
)
def test_a_day_outside_the_permitted_weeks_needs_a_reason(stand, organizer, month, day, is_inside):
    start = datetime.datetime(2026, month, day, 13, tzinfo=datetime.UTC)
    facts = facts_for(stand, starts_at=start, ends_at=start + 4 * HOUR)
    now = datetime.datetime(2026, 7, 1, tzinfo=datetime.UTC)
    if is_inside:
        services.post_day(stand=stand, facts=facts, actor=organizer.account, now=now)
        return
    with pytest.raises(errors.OutsideWindow) as refusal:
        services.post_day(stand=stand, facts=facts, actor=organizer.account, now=now)
    assert refusal.value.field == "window_reason"
    reasoned = dataclasses.replace(facts, window_reason="Notice 12 of the conservation office")
    assert services.post_day(stand=stand, facts=reasoned, actor=organizer.account, now=now).window_reason


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        ({"ends_at": START}, errors.EndNotAfterStart),
        ({"ends_at": START - HOUR}, errors.EndNotAfterStart),
        ({"ends_at": START + services.LONGEST_DAY + HOUR}, errors.DayTooLong),
        ({"starts_at": NOW}, errors.DayInPast),
        ({"zones": []}, errors.ZonesOfAnotherStand),
        ({"water_places": 0, "land_places": 0}, errors.NoPlaces),
    ],
)
def test_a_day_that_cannot_be_is_refused(stand, organizer, changes, error):
    if "starts_at" in changes:
        changes["ends_at"] = changes["starts_at"] + HOUR
    with pytest.raises(error):
        services.post_day(stand=stand, facts=facts_for(stand, **changes), actor=organizer.account, now=NOW)


def test_a_zone_of_another_stand_is_refused(group, stand, organizer):
    foreign = factories.make_zone(factories.make_stand(group))
    with pytest.raises(errors.ZonesOfAnotherStand):
        services.post_day(stand=stand, facts=facts_for(stand, zones=[foreign]), actor=organizer.account, now=NOW)


# --- Sign-up and waiting list ----------------------------------------------------------------------------------------


def sign_up(day: WorkDay, member, place: str = SignUp.Place.WATER) -> SignUp:
    return services.sign_up(day=day, member=member, place=place, actor=member.mail_account, now=NOW).sign_up


def test_places_are_given_in_order_and_then_the_list_waits(group, stand, heard):
    day = factories.make_day(stand, water_places=2)
    states = [sign_up(day, factories.make_member(group)).state for _i in range(4)]
    assert states == ["confirmed", "confirmed", "waiting", "waiting"]
    assert heard == ["sign_up_confirmed", "sign_up_confirmed", "sign_up_waits", "sign_up_waits"]


def test_water_and_land_have_lists_of_their_own(group, stand):
    day = factories.make_day(stand, water_places=0, land_places=1)
    assert sign_up(day, factories.make_member(group), SignUp.Place.WATER).state == "waiting"
    assert sign_up(day, factories.make_member(group), SignUp.Place.LAND).state == "confirmed"


def test_a_second_click_changes_nothing(group, stand, heard):
    day, member = factories.make_day(stand), factories.make_member(group)
    first = services.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW)
    second = services.sign_up(day=day, member=member, place="water", actor=member.account, now=NOW)
    assert (first.repeated, second.repeated) == (False, True)
    assert second.sign_up == first.sign_up
    assert heard == ["sign_up_confirmed"]


def test_another_place_needs_a_withdrawal_first(group, stand):
    day, member = factories.make_day(stand), factories.make_member(group)
    sign_up(day, member, "water")
    with pytest.raises(errors.SignedUpOtherwise, match="in water"):
        sign_up(day, member, "land")


def test_a_withdrawal_asks_the_first_who_waits(group, stand, heard):
    day = factories.make_day(stand, water_places=1)
    first, second, third = (sign_up(day, factories.make_member(group)) for _i in range(3))
    services.withdraw(sign_up=first, actor=first.member.account, now=NOW)
    second.refresh_from_db()
    third.refresh_from_db()
    assert (second.state, third.state) == ("offered", "waiting")
    assert heard[-2:] == ["sign_up_withdrawn", "place_offered"]


def test_nobody_passes_those_who_wait(group, stand, organizer):
    """A place that becomes free by an edit goes to the list, not to the next who comes."""
    day = factories.make_day(stand, water_places=1)
    _first, second = (sign_up(day, factories.make_member(group)) for _i in range(2))
    services.edit_day(day=day, version=1, facts=facts_for(stand, water_places=2), actor=organizer.account, now=NOW)
    second.refresh_from_db()
    assert second.state == "offered"
    assert sign_up(day, factories.make_member(group)).state == "waiting"


def test_withdrawing_twice_withdraws_once(group, stand, heard):
    day = factories.make_day(stand)
    gone = sign_up(day, factories.make_member(group))
    assert services.withdraw(sign_up=gone, actor=gone.member.account, now=NOW) == (gone,)
    assert services.withdraw(sign_up=gone, actor=gone.member.account, now=NOW) == ()
    assert heard.count("sign_up_withdrawn") == 1


def test_signing_up_again_joins_the_end_of_the_list(group, stand):
    day = factories.make_day(stand, water_places=1)
    first, second = (sign_up(day, factories.make_member(group)) for _i in range(2))
    services.withdraw(sign_up=first, actor=first.member.account, now=NOW)
    again = sign_up(day, first.member)
    assert again.state == "waiting"
    assert again.number > second.number


def test_nobody_signs_up_for_others(group, stand, organizer):
    day, member, other = factories.make_day(stand), factories.make_member(group), factories.make_member(group)
    with pytest.raises(errors.NotInYourCare):
        services.sign_up(day=day, member=member, place="land", actor=other.account, now=NOW)
    assert services.sign_up(day=day, member=member, place="land", actor=organizer.account, now=NOW).sign_up


def test_a_member_of_another_group_is_refused(stand):
    stranger = factories.make_member(factories.make_group())
    with pytest.raises(errors.NotInYourCare):
        sign_up(factories.make_day(stand), stranger)


@pytest.mark.parametrize("status", [WorkDay.Status.CANCELLED, WorkDay.Status.CLOSED])
def test_a_day_that_is_not_open_takes_nobody(group, stand, status):
    day = factories.make_day(stand, status=status)
    with pytest.raises(errors.DayNotOpen):
        sign_up(day, factories.make_member(group))


def test_a_day_that_is_over_takes_nobody(group, stand):
    day, member = factories.make_day(stand), factories.make_member(group)
    with pytest.raises(errors.DayOver):
        services.sign_up(day=day, member=member, place="land", actor=member.account, now=END)


# --- Minors (design, H3) ---------------------------------------------------------------------------------------------


def test_a_child_comes_only_with_the_guardian(group, stand):
    day, guardian = factories.make_day(stand), factories.make_member(group)
    child = factories.make_child(guardian)
    with pytest.raises(errors.GuardianMissing, match=child.name):
        sign_up(day, child, "land")
    sign_up(day, guardian, "land")
    assert sign_up(day, child, "land").state == "confirmed"


def test_a_child_is_not_in_water_while_the_guardian_is_on_land(group, stand):
    day, guardian = factories.make_day(stand), factories.make_member(group)
    child = factories.make_child(guardian)
    sign_up(day, guardian, "land")
    with pytest.raises(errors.GuardianNotInWater):
        sign_up(day, child, "water")


def test_a_child_of_eighteen_on_the_day_needs_nobody(group, stand):
    guardian = factories.make_member(group)
    grown = factories.make_child(guardian, profile={"born_on": START.date().replace(year=START.year - 18)})
    assert sign_up(factories.make_day(stand), grown, "water").state == "confirmed"


def test_children_leave_with_their_guardian(group, stand):
    day, guardian = factories.make_day(stand), factories.make_member(group)
    child = factories.make_child(guardian)
    leaving = [sign_up(day, guardian, "land"), sign_up(day, child, "land")]
    assert list(services.withdraw(sign_up=leaving[0], actor=guardian.account, now=NOW)) == leaving


# --- Editing and cancelling ------------------------------------------------------------------------------------------


def test_a_stale_form_changes_nothing(stand, organizer):
    day = factories.make_day(stand)
    services.edit_day(day=day, version=1, facts=facts_for(stand, title="Second"), actor=organizer.account, now=NOW)
    with pytest.raises(errors.StaleDay):
        services.edit_day(day=day, version=1, facts=facts_for(stand, title="Third"), actor=organizer.account, now=NOW)
    day.refresh_from_db()
    assert (day.title, day.version) == ("Second", 2)


def test_places_never_fall_below_the_people_who_have_one(group, stand, organizer):
    day = factories.make_day(stand, water_places=2)
    for _i in range(2):
        sign_up(day, factories.make_member(group))
    with pytest.raises(errors.FewerPlacesThanPeople) as refusal:
        services.edit_day(day=day, version=1, facts=facts_for(stand, water_places=1), actor=organizer.account, now=NOW)
    assert refusal.value.field == "water_places"


def test_a_day_under_way_keeps_its_start(stand, organizer):
    day = factories.make_day(stand)
    edited = services.edit_day(
        day=day,
        version=1,
        facts=facts_for(stand, ends_at=END + HOUR),
        actor=organizer.account,
        now=START + HOUR,
    )
    assert edited.ends_at == END + HOUR


def test_a_cancelled_day_says_why_once(stand, organizer, heard):
    day = factories.make_day(stand)
    with pytest.raises(errors.CancelNeedsReason):
        services.cancel_day(day=day, reason="  ", actor=organizer.account, now=NOW)
    for _click in range(2):
        cancelled = services.cancel_day(day=day, reason="Thunder", actor=organizer.account, now=NOW)
    assert (cancelled.status, cancelled.cancel_reason) == ("cancelled", "Thunder")
    assert heard == ["day_cancelled"]
    with pytest.raises(errors.DayNotOpen):
        services.edit_day(day=day, version=cancelled.version, facts=facts_for(stand), actor=organizer.account, now=NOW)


def test_who_leaves_the_group_gives_up_the_places_to_come(group, stand):
    day, over = factories.make_day(stand, water_places=1), factories.make_day(stand, starts_at=NOW - DAY, ends_at=NOW)
    leaving, waiting = factories.make_member(group), factories.make_member(group)
    gone, next_one = sign_up(day, leaving), sign_up(day, waiting)
    kept = factories.make_sign_up(over, leaving)
    leave(member=leaving, actor=leaving.account, now=NOW)
    states = []
    for each in (gone, next_one, kept):
        each.refresh_from_db()
        states.append(each.state)
    assert states == ["withdrawn", "offered", "confirmed"]


def test_a_day_to_come_takes_the_date_of_the_sites_new_time_zone(stand, organizer):
    """02:00 UTC on 16 August is the evening of the 15th in Toronto and the morning of the 16th in Berlin."""
    late = datetime.datetime(2026, 8, 16, 2, tzinfo=datetime.UTC)
    day = factories.make_day(stand, starts_at=late, ends_at=late + HOUR)
    site = stand.site
    change_site(site=site, version=site.version, actor=organizer.account, now=NOW, time_zone="Europe/Berlin")
    day.refresh_from_db()
    assert (day.date, day.starts_at) == (datetime.date(2026, 8, 16), late)

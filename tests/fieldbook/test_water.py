"""In and out of the water: briefed, signed in, in a unit, watched, counted, and never forgotten."""

import datetime

import pytest

from reedcrew.fieldbook import errors, services
from reedcrew.fieldbook.in_water import water_state
from reedcrew.fieldbook.models import HeadCheck, WaterStint
from reedcrew.people.policy import policy_of
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from tests import factories
from tests.factories import END, START, account_of
from tests.fieldbook.sync.phones import Phone

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)
ALL = [item.value for item in Item]


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead):
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand, name="Deep edge")
    day = factories.make_day(stand)
    factories.make_sign_up(day, lead)
    return day


@pytest.fixture
def pair(day, lead):
    people = [factories.make_water_member(lead.group, name=name) for name in ("Ada Alder", "Bo Birch")]
    for member in people:
        factories.make_sign_up(day, member)
    return people


def arrive(day, lead, *members):
    for member in members:
        services.sign_in(day=day, member=member, in_water=False, at=START, actor=account_of(lead), now=START)


def hear(day, lead, *members, items=ALL):
    services.hear_briefing(day=day, members=members, items=items, actor=account_of(lead), now=START)


def go_in(day, lead, *members, at=START + MINUTE):
    return services.go_in(
        day=day,
        members=members,
        zone=day.zones.get(),
        unit_number=1,
        at=at,
        actor=account_of(lead),
        now=at,
    )


def test_water_opens_only_for_people_who_are_here_and_heard_the_whole_briefing(day, lead, pair):
    with pytest.raises(errors.NotSignedIn, match="Ada Alder, Bo Birch"):
        go_in(day, lead, *pair)
    arrive(day, lead, lead, *pair)
    with pytest.raises(errors.BriefingNotHeard, match="Ada Alder, Bo Birch"):
        go_in(day, lead, *pair)
    with pytest.raises(errors.BriefingIncomplete, match="Lightning"):
        hear(day, lead, pair[0], items=[item for item in ALL if item != Item.LIGHTNING])
    hear(day, lead, pair[0])
    with pytest.raises(errors.BriefingNotHeard, match=r"^Has not heard the briefing: Bo Birch"):
        go_in(day, lead, *pair)
    hear(day, lead, *pair)
    assert [stint.member for stint in go_in(day, lead, *pair)] == pair
    assert len(go_in(day, lead, *pair)) == WaterStint.objects.count() == 2  # a second press


def test_nobody_goes_in_alone_or_with_nobody_on_shore(day, lead, pair):
    arrive(day, lead, *pair)
    hear(day, lead, *pair)
    with pytest.raises(errors.UnitMayNotGoIn, match="nobody goes into water alone"):
        go_in(day, lead, pair[0])
    with pytest.raises(errors.NobodyOnShore):
        go_in(day, lead, *pair)
    assert not WaterStint.objects.exists()


def test_whoever_is_in_water_is_not_signed_out_and_the_day_is_not_closed(day, lead, pair):
    arrive(day, lead, lead, *pair)
    hear(day, lead, *pair)
    go_in(day, lead, *pair)
    stay = pair[0].attendances.get()
    assert stay.in_water
    with pytest.raises(errors.StillInWater, match="Ada Alder"):
        services.sign_out(attendance=stay, at=END, actor=account_of(lead), now=END)
    with pytest.raises(errors.StillInWater):
        services.strike(entry=stay, reason="slip", actor=account_of(lead), now=END)
    with pytest.raises(errors.StillInWater, match="Ada Alder, Bo Birch"):
        services.close(day=day, actor=account_of(lead), now=END)
    services.come_out(day=day, members=pair, at=END, actor=account_of(lead), now=END)
    assert services.sign_out(attendance=stay, at=END, actor=account_of(lead), now=END).signed_out_at == END


def test_only_a_count_that_agrees_takes_people_off_the_list(day, lead, pair):
    arrive(day, lead, lead, *pair)
    hear(day, lead, *pair)
    go_in(day, lead, *pair)
    with pytest.raises(errors.CountDiffers, match=r"^1 seen, 2 in water"):
        services.call_all_out(day=day, seen=1, actor=account_of(lead), now=END)
    assert WaterStint.objects.in_water().count() == 2
    assert HeadCheck.objects.get().agrees is False
    services.call_all_out(day=day, seen=2, actor=account_of(lead), now=END)
    assert not WaterStint.objects.in_water().exists()
    assert set(WaterStint.objects.values_list("out_at", flat=True)) == {END}


def test_only_a_count_that_agrees_starts_the_interval_anew(day, lead, pair):
    arrive(day, lead, lead, *pair)
    hear(day, lead, *pair)
    go_in(day, lead, *pair)
    first_due = water_state(day, START + 2 * MINUTE).due_at
    assert first_due == START + MINUTE + policy_of(day.group).headcount_minutes * MINUTE
    wrong = START + 10 * MINUTE
    services.count_heads(day=day, seen=1, actor=account_of(lead), now=wrong)
    with pytest.raises(errors.CountDiffers):
        services.call_all_out(day=day, seen=3, actor=account_of(lead), now=wrong)
    assert water_state(day, wrong).due_at == first_due
    assert water_state(day, first_due + 5 * MINUTE).overdue_min == 5
    right = START + 12 * MINUTE
    count = services.count_heads(day=day, seen=2, actor=account_of(lead), now=right)
    assert water_state(day, right).due_at == right + policy_of(day.group).headcount_minutes * MINUTE
    services.strike(entry=count, reason="those of the other bay", actor=account_of(lead), now=right)
    assert water_state(day, right).due_at == first_due


def test_a_time_in_water_is_struck_out_with_that_of_the_partner_and_only_once_both_are_out(day, lead, pair):
    arrive(day, lead, lead, *pair)
    hear(day, lead, *pair)
    stint, _partner = go_in(day, lead, *pair)
    with pytest.raises(errors.StillInWater, match="Ada Alder, Bo Birch"):
        services.strike(entry=stint, reason="wrong unit", actor=account_of(lead), now=START + 2 * MINUTE)
    services.come_out(day=day, members=pair[:1], at=END, actor=account_of(lead), now=END)
    with pytest.raises(errors.StillInWater, match="Counted in water: Bo Birch"):
        services.strike(entry=stint, reason="wrong unit", actor=account_of(lead), now=END)
    services.come_out(day=day, members=pair, at=END, actor=account_of(lead), now=END)
    services.strike(entry=stint, reason="wrong unit", actor=account_of(lead), now=END)
    assert set(WaterStint.objects.values_list("struck_reason", flat=True)) == {"wrong unit"}


def test_what_was_struck_out_on_a_page_stays_struck_when_a_phone_sends_something(client, day, lead, pair, time_machine):
    time_machine.move_to(END, tick=False)
    arrive(day, lead, lead, *pair)
    hear(day, lead, *pair)
    stint, _partner = go_in(day, lead, *pair)
    count = services.count_heads(day=day, seen=2, actor=account_of(lead), now=START + 2 * MINUTE)
    services.come_out(day=day, members=pair, at=END, actor=account_of(lead), now=END)
    for entry in (stint, count):
        services.strike(entry=entry, reason="wrong day", actor=account_of(lead), now=END)
    client.force_login(account_of(lead))
    phone = Phone()
    answer = phone.send(client, day, [phone.entry("note", END, text="Fog at the landing")], END)
    assert [each["outcome"] for each in answer.json()["entries"]] == ["taken"]
    assert not WaterStint.objects.standing().exists()
    assert not HeadCheck.objects.standing().exists()
    assert WaterStint.objects.count() == 2

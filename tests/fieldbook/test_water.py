"""In and out of the water: briefed, signed in, in a unit, watched, counted, and never forgotten."""

import datetime

import pytest

from reedcrew.fieldbook import errors, services
from reedcrew.fieldbook.models import HeadCheck, WaterStint
from reedcrew.people.roles import Role
from reedcrew.trade.briefing import Item
from tests import factories
from tests.factories import END, START, account_of

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

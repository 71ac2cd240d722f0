"""Somebody who did not come: said on the day, taken back, and never the same as not being signed in yet."""

import datetime

import pytest

from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.workdays import errors, services, signals, waiting_list
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.factories import END, START, account_of

pytestmark = pytest.mark.django_db

MORNING = START - datetime.timedelta(hours=4)  # 05:00 at the site


@pytest.fixture
def sign_up():
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    day = factories.make_day(stand)
    return factories.make_sign_up(day, factories.make_water_member(day.group, name="Nia Nettle"))


@pytest.fixture
def lead():
    return factories.make_account()


def test_a_plan_counts_on_everybody_with_a_place_until_somebody_says_otherwise(sign_up, lead):
    assert list(sign_up.day.sign_ups.expected()) == [sign_up]
    services.mark_absent(sign_up=sign_up, actor=lead, now=MORNING)
    assert not sign_up.day.sign_ups.expected().exists()
    assert AuditEntry.objects.get(deed="marked absent").actor == lead
    services.mark_present(sign_up=sign_up, actor=lead, now=START)
    assert list(sign_up.day.sign_ups.expected()) == [sign_up]
    sign_up.refresh_from_db()
    assert (sign_up.outcome, sign_up.state) == (SignUp.Outcome.UNKNOWN, SignUp.State.CONFIRMED)


def test_each_change_is_told_once(sign_up, lead):
    heard = []

    def hear(sender, **said):
        heard.append(said["day"])

    signals.roster_changed.connect(hear)
    try:
        for _press in range(2):
            services.mark_absent(sign_up=sign_up, actor=lead, now=START)
        for _press in range(2):
            services.mark_present(sign_up=sign_up, actor=lead, now=START)
    finally:
        signals.roster_changed.disconnect(hear)
    assert heard == [sign_up.day, sign_up.day]


def test_nobody_is_absent_before_the_day_at_the_site(sign_up, lead):
    """At 03:30 UTC it is still the evening before in Toronto (UTC-4 in August, by the time zone database)."""
    with pytest.raises(errors.AbsentBeforeTheDay):
        services.mark_absent(sign_up=sign_up, actor=lead, now=START.replace(hour=3, minute=30))
    assert services.mark_absent(sign_up=sign_up, actor=lead, now=START.replace(hour=4)).outcome == "absent"


def test_nobody_is_absent_without_a_place_or_after_the_day(sign_up, lead):
    with pytest.raises(errors.DayOver):
        services.mark_absent(sign_up=sign_up, actor=lead, now=END)
    waiting = factories.make_sign_up(
        sign_up.day, factories.make_water_member(sign_up.day.group), state=SignUp.State.WAITING
    )
    with pytest.raises(errors.AbsentWithoutPlace):
        services.mark_absent(sign_up=waiting, actor=lead, now=START)
    type(sign_up.day).objects.update(status="cancelled")
    for deed in (services.mark_absent, services.mark_present):
        with pytest.raises(errors.DayNotOpen):
            deed(sign_up=sign_up, actor=lead, now=START)


def test_the_place_of_somebody_who_did_not_come_goes_to_somebody_who_stands_there(sign_up):
    """On a full day, also out of the waiting list; and taken back, both are there."""
    day = sign_up.day
    type(day).objects.filter(pk=day.pk).update(water_places=1)
    lead = account_of(factories.make_member(day.group, role=Role.CREW_LEAD))
    other = factories.make_water_member(day.group)
    waiting = services.sign_up(day=day, member=other, place="water", actor=lead, now=START).sign_up
    with pytest.raises(errors.NoPlaceForYou):
        waiting_list.give_place(sign_up=waiting, actor=lead, now=START)
    services.mark_absent(sign_up=sign_up, actor=lead, now=START)
    assert waiting_list.give_place(sign_up=waiting, actor=lead, now=START).state == SignUp.State.CONFIRMED
    services.mark_present(sign_up=sign_up, actor=lead, now=START)
    assert set(day.sign_ups.expected()) == {sign_up, waiting}

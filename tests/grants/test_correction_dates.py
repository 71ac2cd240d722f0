"""A correction stays at the day of its entry: hours do not wander into another year's grant unseen."""

import datetime

import pytest

from reedcrew.grants import errors, services
from reedcrew.grants.models import HourEntry
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import END, NOW, START

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture
def entry() -> HourEntry:
    group = factories.make_group()
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    day = factories.make_day(stand)
    return HourEntry.objects.create(
        group=group,
        member=factories.make_member(group),
        day=day,
        stand=stand,
        date=day.date,
        started_at=START,
        ended_at=END,
        minutes=240,
        entered_by=factories.make_account(),
        entered_at=NOW,
    )


def corrected(entry, away):
    actor = factories.account_of(factories.make_member(entry.group, role=Role.COORDINATOR))
    return services.correct_entry(
        entry=entry, started_at=START + away, ended_at=END + away, reason="wrong date", actor=actor, now=NOW
    )


@pytest.mark.parametrize("days", [-2, 2, -365, 365 * 60])
def test_times_far_from_the_entry_s_day_are_refused(entry, days):
    with pytest.raises(errors.FarFromDay, match="15 August 2026"):
        corrected(entry, days * DAY)
    assert HourEntry.objects.count() == 1


@pytest.mark.parametrize("days", [-1, 0, 1])
def test_the_day_before_and_the_day_after_are_taken(entry, days):
    assert corrected(entry, days * DAY).corrects == entry

"""A day that ran on paper is typed in: errors stand by their row, and nothing that was typed is lost."""

import datetime
import uuid

import pytest
from django.urls import reverse

from reedcrew.fieldbook.models import Attendance, Load, Tally
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import END, START, account_of

pytestmark = pytest.mark.django_db

MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(lead, time_machine, client):
    time_machine.move_to(END + datetime.timedelta(days=2), tick=False)
    stand = factories.make_stand(lead.group)
    factories.make_zone(stand, name="Deep edge")
    client.force_login(account_of(lead))
    return factories.make_day(stand)


@pytest.fixture
def family(day, lead):
    guardian = factories.make_member(lead.group, name="Gus Guardian")
    child = factories.make_child(guardian, name="Abe Child")
    for member in (guardian, child):
        factories.make_sign_up(day, member, place="land")
    return guardian, child


def test_sheets_are_written_down_whole_in_any_order_of_rows(client, day, family):
    guardian, child = family
    sent = {
        "submission": str(uuid.uuid4()),
        **{
            f"in_{child.pk}": "905",
            f"out_{child.pk}": "12:30",
            f"in_{guardian.pk}": "9.00",
            f"out_{guardian.pk}": "1230",
        },
        f"stems_{day.zones.get().pk}": "1,240",
        **{"kind_1": "bags", "count_1": "6", "place_1": "South lot", "seeds_1": "on"},
    }
    address = reverse("fieldbook:paper", args=[day.group.slug, day.pk])
    page = client.post(address, sent, follow=True)
    assert "The sheets are written down." in page.text
    client.post(address, sent)  # a second press
    stays = {stay.member: (stay.signed_in_at - START, stay.minutes) for stay in Attendance.objects.all()}
    assert stays == {guardian: (0 * MINUTE, 210), child: (5 * MINUTE, 205)}
    assert (Tally.objects.get().stems, Load.objects.get().count) == (1240, 6)


def test_a_row_that_is_refused_is_named_and_everything_stays_on_the_page(client, day, family):
    guardian, child = family
    sent = {
        "submission": str(uuid.uuid4()),
        f"in_{child.pk}": "9:05",
        **{f"in_{guardian.pk}": "9:10", f"out_{guardian.pk}": "8:10"},
        f"stems_{day.zones.get().pk}": "77",
        **{"kind_1": "pile", "count_1": "2", "place_1": ""},
    }
    address = reverse("fieldbook:paper", args=[day.group.slug, day.pk])
    page = client.post(address, sent)
    assert "Give where they are." in page.text
    page = client.post(address, {**sent, "place_1": "Bank"})
    assert "Gus Guardian signed in at" in page.text
    for value in ("9:05", "9:10", "8:10", "77", "Bank"):
        assert f'value="{value}"' in page.text
    assert not Attendance.objects.exists()
    assert not Tally.objects.exists()
    assert "Write a time such as 9:05." in client.post(address, {**sent, f"in_{child.pk}": "25:00"}).text

"""A form that is sent again after a step back in the browser: the same is one entry, nothing else is dropped."""

import uuid

import pytest
from django.urls import reverse

from reedcrew.fieldbook.models import Load, Tally
from reedcrew.people.roles import Role
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def day(client):
    group = factories.make_group()
    client.force_login(factories.make_member(group, role=Role.CREW_LEAD).account)
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand)


def send(client, day, page, **fields):
    return client.post(
        reverse(f"fieldbook:{page}", args=[day.group.slug, day.pk]), fields, follow=True
    ).content.decode()


def test_other_stems_under_the_same_form_are_not_taken_for_the_first(client, day):
    form = {"zone": day.zones.get().pk, "method": "counted", "entry_id": uuid.uuid4()}
    for _press in range(2):
        assert "The stems are written down" in send(client, day, "stems", stems="120", **form)
    page = send(client, day, "stems", stems="75", **form)
    assert "was written down already" in page
    assert 'value="75"' in page
    assert Tally.objects.get().stems == 120


def test_another_sample_under_the_same_form_is_not_taken_for_the_first(client, day):
    form = {"zone": day.zones.get().pk, "method": "bundles", "bundles": "10", "entry_id": uuid.uuid4()}
    for _press in range(2):
        assert "The stems are written down" in send(client, day, "stems", sample="200, 210", **form)
    assert "was written down already" in send(client, day, "stems", sample="201, 209", **form)
    assert Tally.objects.get().sample == [200, 210]


def test_another_load_under_the_same_form_is_not_taken_for_the_first(client, day):
    form = {"kind": "bags", "count": "3", "entry_id": uuid.uuid4()}
    for _press in range(2):
        assert "The load is written down" in send(client, day, "loads", place="landing", **form)
    assert "was written down already" in send(client, day, "loads", place="north lot", **form)
    assert Load.objects.get().place == "landing"

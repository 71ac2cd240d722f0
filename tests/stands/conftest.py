"""People who read pages of sites and stands, on a day in August."""

import pytest
import time_machine

from reedcrew.people.roles import Role
from tests.factories import (
    NOW,
    make_group,
    make_member,
)


@pytest.fixture
def august():
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def group():
    return make_group()


@pytest.fixture
def organizer(client, group):
    member = make_member(group, role=Role.ORGANIZER, name="Robin Alder")
    client.force_login(member.account)
    return client


@pytest.fixture
def volunteer(client, group):
    client.force_login(make_member(group).account)
    return client

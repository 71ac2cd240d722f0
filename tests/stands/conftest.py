"""People who read pages of sites and stands, on a day in August."""

import datetime
from importlib import import_module

import pytest
import time_machine


@pytest.fixture
def make():
    """The factories. A conftest is read before Django is set up, so that no model can be imported at its head."""
    return import_module("tests.factories")


@pytest.fixture
def august(make):
    now: datetime.datetime = make.NOW
    with time_machine.travel(now, tick=False):
        yield


@pytest.fixture
def group(make):
    return make.make_group()


@pytest.fixture
def organizer(client, group, make):
    member = make.make_member(group, role="organizer", name="Robin Alder")
    client.force_login(member.account)
    return client


@pytest.fixture
def volunteer(client, group, make):
    client.force_login(make.make_member(group).account)
    return client

"""Who has left finds the group closed, and each role its pages; test_who_may_what.py walks every address."""

import pytest
from django.urls import reverse

from reedcrew.people.roles import Role
from tests.factories import make_group, make_member

pytestmark = pytest.mark.django_db


def test_someone_who_left_finds_the_group_closed(client):
    group = make_group()
    member = make_member(group)
    client.force_login(member.account)
    assert client.get(group.get_absolute_url()).status_code == 200
    member.left_at = member.joined_at
    member.save()
    assert client.get(group.get_absolute_url()).status_code == 404


@pytest.mark.parametrize(
    ("name", "allowed"),
    [
        ("members", {Role.ORGANIZER, Role.COORDINATOR, Role.CREW_LEAD}),
        ("add_member", {Role.ORGANIZER}),
        ("edit_group", {Role.ORGANIZER}),
        ("change_rules", {Role.ORGANIZER}),
        ("rules", set(Role)),
        ("group", set(Role)),
        ("add_child", set(Role)),
    ],
)
def test_each_role_opens_its_own_pages_and_no_other(client, name, allowed):
    group = make_group()
    for role in Role:
        client.force_login(make_member(group, role=role).account)
        expected = 200 if role in allowed else 403
        assert client.get(reverse(f"people:{name}", args=[group.slug])).status_code == expected, role

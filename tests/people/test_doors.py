"""Every page of a group has a guard, and the guards answer as they should."""

from collections.abc import Iterator

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from reedcrew.people.roles import Deed, Role
from tests.factories import make_group, make_member

pytestmark = pytest.mark.django_db

# Addresses that nobody's deed opens: the secret in them does, which ends or is revoked. tests/fieldbook/test_kiosk.py
# holds what a wrong or revoked one answers.
OWN_SECRET = {
    "g/<slug:slug>/days/<int:pk>/field/at/<str:token>/",
    "g/<slug:slug>/days/<int:pk>/field/at/<str:token>/new/",
}


def patterns_under(prefix: str, resolver: URLResolver, above: str = "") -> Iterator[tuple[str, URLPattern]]:
    for pattern in resolver.url_patterns:
        route = above + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from patterns_under(prefix, pattern, route)
        elif route.startswith(prefix):
            yield route, pattern


def group_patterns() -> list[tuple[str, URLPattern]]:
    return list(patterns_under("g/<slug:slug>/", get_resolver()))


def test_every_page_of_a_group_names_the_deed_that_opens_it():
    found = group_patterns()
    assert "g/<slug:slug>/people/" in [route for route, _pattern in found]
    unguarded = {route for route, pattern in found if not isinstance(getattr(pattern.callback, "deed", None), Deed)}
    assert unguarded == OWN_SECRET


def test_no_address_under_a_group_escapes_the_walk_by_another_prefix():
    everything = [route for route, _pattern in patterns_under("", get_resolver())]
    assert [r for r in everything if r.startswith("g/") and not r.startswith("g/<slug:slug>/")] == []


def own_pages(group, member):
    """Every page of this app under a group, with keys that exist."""
    numbers = {"pk": member.pk, "wish_pk": 1}
    for route, pattern in group_patterns():
        names = [name for name in numbers if f"<int:{name}>" in route]
        if pattern.callback.__module__.startswith("reedcrew.people."):
            yield reverse(f"people:{pattern.name}", args=[group.slug, *(numbers[name] for name in names)])


def test_a_page_of_another_group_is_as_absent_as_one_of_no_group(client):
    group, other = make_group(), make_group()
    stranger = make_member(other, role=Role.ORGANIZER)
    member = make_member(group)
    client.force_login(stranger.account)
    for url in own_pages(group, member):
        for method in (client.get, client.post):
            assert method(url).status_code in {404, 405}, url
    assert client.get("/g/no-such-group/").status_code == 404
    assert client.get(stranger.group.get_absolute_url()).status_code == 200


def test_someone_who_left_finds_the_group_closed(client):
    group = make_group()
    member = make_member(group)
    client.force_login(member.account)
    assert client.get(group.get_absolute_url()).status_code == 200
    member.left_at = member.joined_at
    member.save()
    assert client.get(group.get_absolute_url()).status_code == 404


def test_signed_out_readers_are_led_to_sign_in_and_back(client):
    group = make_group()
    answer = client.get(group.get_absolute_url())
    assert answer.status_code == 302
    assert answer.url == f"{reverse('account_request_login_code')}?next={group.get_absolute_url()}"


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

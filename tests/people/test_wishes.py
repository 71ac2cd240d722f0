"""Whom people ask to work with or to be kept apart from."""

import pytest
from django.urls import reverse

from reedcrew.people import errors
from reedcrew.people.models import AuditEntry, Wish
from reedcrew.people.queries import may_be_wished_by, may_see_wishes
from reedcrew.people.roles import Role
from reedcrew.people.services import leave, make_wish
from tests.factories import NOW, account_of, make_child, make_group, make_member

pytestmark = pytest.mark.django_db

TOGETHER, APART = Wish.Kind.TOGETHER, Wish.Kind.APART


def address(member, page="wishes", *keys):
    return reverse(f"people:{page}", args=[member.group.slug, member.pk, *keys])


def wish(member, other, kind=TOGETHER):
    return make_wish(member=member, other=other, kind=kind, actor=account_of(member), now=NOW)


def test_a_wish_is_made_and_taken_back(client):
    group = make_group()
    member, other = make_member(group), make_member(group, name="Bea Partner")
    client.force_login(member.account)
    assert client.post(address(member), {"kind": "together", "other": other.pk}).status_code == 302
    made = Wish.objects.get()
    assert (made.member, made.other, made.kind) == (member, other, TOGETHER)
    assert "Work together with Bea Partner" in client.get(address(member)).text
    assert client.post(address(member, "drop_wish", made.pk)).status_code == 302
    assert not Wish.objects.exists()


def test_an_ask_to_be_kept_apart_is_seen_by_the_asker_and_organizers_only(client):
    group = make_group()
    asker, other = make_member(group, name="Asa Asker"), make_member(group, name="Otto Other")
    wish(asker, other, APART)
    organizer = make_member(group, role=Role.ORGANIZER)
    seen = {}
    for reader in (asker, organizer, other, make_member(group, role=Role.CREW_LEAD)):
        client.force_login(reader.account)
        pages = [client.get(reverse("people:member", args=[group.slug, person.pk])) for person in (asker, other)]
        pages += [client.get(group.get_absolute_url()), client.get(reverse("people:profile")), client.get("/")]
        pages += [client.get(address(asker)), client.get(address(other))]
        seen[reader.name] = any("kept apart from Otto" in page.text for page in pages)
    assert [name for name, found in seen.items() if found] == ["Asa Asker", organizer.name]
    assert not may_see_wishes(asker, other)


def test_the_record_of_deeds_does_not_tell_whom_a_wish_is_about():
    group = make_group()
    asker, other = make_member(group), make_member(group)
    wish(asker, other, APART)
    entry = AuditEntry.objects.get(deed="wish made")
    assert (entry.subject, entry.detail) == (f"people.Member:{asker.pk}", {})


def test_what_the_other_asks_neither_shows_nor_hinders():
    group = make_group()
    one, two = make_member(group), make_member(group)
    wish(one, two, APART)
    assert wish(two, one, TOGETHER).kind == TOGETHER


def test_opposite_wishes_about_one_person_are_refused(client):
    group = make_group()
    member, other = make_member(group), make_member(group)
    first = wish(member, other)
    assert wish(member, other) == first
    client.force_login(member.account)
    answer = client.post(address(member), {"kind": "apart", "other": other.pk})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == ["other"]
    assert Wish.objects.get().kind == TOGETHER


def test_nobody_wishes_for_themselves_or_for_people_of_another_group(client):
    group = make_group()
    member, stranger = make_member(group), make_member(make_group())
    gone = make_member(group)
    leave(member=gone, actor=account_of(gone), now=NOW)
    gone.refresh_from_db()
    with pytest.raises(errors.WishOfOneself):
        wish(member, member)
    for other in (stranger, gone):
        with pytest.raises(errors.WishOutsideGroup):
            wish(member, other)
    client.force_login(member.account)
    oneself = client.post(address(member), {"kind": "together", "other": member.pk})
    assert oneself.context["form"].errors == {"other": [str(errors.WishOfOneself())]}
    assert list(client.post(address(member), {"kind": "x", "other": stranger.pk}).context["form"].errors) == [
        "kind",
        "other",
    ]


def test_other_peoples_children_are_not_offered_by_name():
    group = make_group()
    guardian, other = make_member(group), make_member(group)
    child = make_child(guardian)
    assert set(may_be_wished_by(guardian)) == {other, child}
    assert set(may_be_wished_by(other)) == {guardian}
    assert set(may_be_wished_by(child)) == {guardian, other}


def test_people_who_share_a_name_are_told_apart_by_their_codes(client):
    group = make_group()
    member = make_member(group, name="Ada")
    twins = [make_member(group, name="Bea"), make_member(group, name="Bea")]
    client.force_login(member.account)
    page = client.get(address(member)).text
    assert all(f"Bea ({twin.code})" in page for twin in twins)


def test_a_wish_of_somebody_else_cannot_be_taken_back(client):
    group = make_group()
    asker, other = make_member(group), make_member(group)
    made = wish(asker, other)
    client.force_login(other.account)
    assert client.post(address(other, "drop_wish", made.pk)).status_code == 404
    assert client.post(address(asker, "drop_wish", made.pk)).status_code == 404
    assert Wish.objects.exists()

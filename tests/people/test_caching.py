"""What browsers may keep (ASVS 5.0, 14.3.1 and 14.3.2; RFC 9111 for the words)."""

import pytest
from django.urls import reverse

from tests.factories import make_account, make_day, make_group, make_member, make_stand

pytestmark = pytest.mark.django_db


def test_no_page_of_somebody_signed_in_is_stored(client):
    day = make_day(make_stand(make_group()))
    client.force_login(make_member(day.group).account)
    for page in (reverse("people:home"), day.get_absolute_url(), day.get_public_url(), "/g/no-such-group/"):
        assert client.get(page)["Cache-Control"] == "private, no-store", page


def test_a_form_is_kept_for_the_way_back_alone(client):
    day = make_day(make_stand(make_group()))
    client.force_login(make_member(day.group).account)
    assert client.get(f"{day.get_public_url()}sign-up/")["Cache-Control"] == "private, no-cache"


def test_a_page_for_everybody_may_be_kept(client):
    assert "Cache-Control" not in client.get(make_day(make_stand(make_group())).get_public_url())


def test_signing_out_empties_the_cache_and_leaves_the_storage_of_a_phone(client):
    client.force_login(make_account())
    assert client.post(reverse("account_logout"))["Clear-Site-Data"] == '"cache"'
    assert "Clear-Site-Data" not in client.get(reverse("people:home"))

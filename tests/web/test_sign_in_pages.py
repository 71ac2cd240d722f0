"""allauth's pages wear the site's elements."""

import pytest
from django.core.cache import cache
from django.urls import reverse

from tests.factories import make_account

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def own_limits(settings):
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "web"}}
    cache.clear()


def test_the_sign_in_page_offers_a_code_and_a_passkey_and_no_password(client):
    html = client.get(reverse("account_request_login_code")).content.decode()
    assert "We mail you a code. No password." in html
    assert 'id="passkey_login"' in html
    assert 'type="password"' not in html
    assert "<noscript>" in html


def test_the_page_for_the_code_says_where_it_went(client, settings):
    settings.MAIL_PAGE = True
    client.post(reverse("account_request_login_code"), {"email": "ana@example.org"})
    html = client.get(reverse("account_confirm_login_code")).content.decode()
    assert "ana@example.org" in html
    assert 'autocomplete="one-time-code"' in html
    assert reverse("web:mail") in html
    wrong = client.post(reverse("account_confirm_login_code"), {"code": "nonsense"}).content.decode()
    assert 'role="alert"' in wrong
    assert 'aria-invalid="true"' in wrong


@pytest.mark.parametrize(
    "name", ["account_email", "mfa_index", "mfa_list_webauthn", "usersessions_list", "account_logout"]
)
def test_pages_of_an_account_stand_in_the_sites_frame(client, name):
    client.force_login(make_account("ana@example.org"))
    response = client.get(reverse(name))
    assert response.status_code == 200
    html = response.content.decode()
    assert 'class="band"' in html
    assert html.count("<h1>") == 1
    assert 'class="button' in html

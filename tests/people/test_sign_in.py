"""Signing in by mailed code, through the pages and allauth's own flow."""

import re

import pytest
from allauth.account.models import EmailAddress
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from reedcrew.people.models import Account
from reedcrew.people.services import account_for
from tests.factories import NOW, make_account

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def own_limits(settings):
    """allauth counts requests for codes in the cache; each test starts its own count."""
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "sign-in"}}
    cache.clear()


def ask(client, email, **query):
    client.cookies.clear()  # a browser that waits for a code already is led back to entering it
    return client.post(reverse("account_request_login_code", query=query or None), {"email": email})


def mailed_code():
    """The code of the latest mail: the one line that holds nothing but capital letters, digits and dashes."""
    found = re.findall(r"^\s*([A-Z0-9]{3,}(?:-[A-Z0-9]{3,})*)\s*$", str(mail.outbox[-1].body), re.MULTILINE)
    assert len(found) == 1
    return found[0]


def enter(client, **query):
    return client.post(reverse("account_confirm_login_code", query=query or None), {"code": mailed_code()})


def signed_in(client):
    return client.session.get("_auth_user_id")


def test_a_new_address_gets_an_account_on_the_way_and_is_signed_in_by_its_code(client):
    assert ask(client, "New.Neighbour@Example.org").status_code == 302
    account = Account.objects.get(email="new.neighbour@example.org")
    assert signed_in(client) is None
    assert mail.outbox[-1].to == ["new.neighbour@example.org"]
    assert enter(client).status_code == 302
    assert signed_in(client) == str(account.pk)
    assert len(mail.outbox) == 1  # no second code to prove the same mailbox
    assert EmailAddress.objects.get(user=account).verified
    assert client.get(reverse("people:home")).status_code == 200


@pytest.mark.parametrize("address", ['"quoted part"@example.org', f"{'a' * 250}@example.org"])
def test_an_address_that_no_invitation_reaches_makes_no_account(client, address):
    answer = ask(client, address)
    assert answer.status_code == 200
    assert not Account.objects.exists()
    client.force_login(make_account())
    assert client.post(reverse("account_email"), {"action_add": "", "email": address}).status_code == 200
    assert not EmailAddress.objects.filter(email=address).exists()


def test_an_address_with_an_account_signs_in_to_it(client):
    account = make_account("anna@example.org")
    ask(client, "ANNA@example.org")
    enter(client)
    assert signed_in(client) == str(account.pk)
    assert Account.objects.count() == 1


def test_known_and_unknown_addresses_get_the_same_answer(client):
    make_account("known@example.org")
    answers = []
    for email in ("known@example.org", "never@example.org"):
        posted = ask(client, email)
        page = client.get(posted.url)
        answers.append(
            (
                posted.status_code,
                posted.url,
                page.status_code,
                len(mail.outbox),
                mail.outbox[-1].subject,
                re.sub(r"csrf\S+|value=\"\w{64}\"|\{\"x-csrftoken.*?\}", "", page.text).replace(email, "ADDRESS"),
            )
        )
        mail.outbox.clear()
    assert answers[0] == answers[1]


def test_an_account_that_may_not_sign_in_gets_the_same_page_and_no_code(client):
    Account.objects.filter(pk=make_account("closed@example.org").pk).update(is_active=False)
    posted = ask(client, "closed@example.org")
    assert (posted.status_code, posted.url) == (302, reverse("account_confirm_login_code"))
    assert client.post(posted.url, {"code": "ABC-DEF"}).status_code == 200
    assert signed_in(client) is None
    assert Account.objects.count() == 1


def test_a_wrong_code_signs_nobody_in(client):
    ask(client, "new@example.org")
    answer = client.post(reverse("account_confirm_login_code"), {"code": "WRONG-CODE"})
    assert answer.status_code == 200
    assert signed_in(client) is None


def test_the_page_that_was_asked_for_follows_the_code(client):
    wanted = reverse("people:found")
    login = client.get(wanted)
    posted = client.post(login.url, {"email": "new@example.org"})
    assert enter(client, next=wanted).url == wanted
    assert f"next={wanted}" in posted.url.replace("%2F", "/")


def test_a_next_page_on_another_site_is_not_followed(client):
    ask(client, "new@example.org", next="https://elsewhere.example/")
    assert enter(client, next="https://elsewhere.example/").url == reverse("people:home")


def test_something_that_is_no_address_is_sent_back_with_what_was_entered(client):
    answer = ask(client, "not an address")
    assert answer.status_code == 200
    assert "not an address" in answer.text
    assert not Account.objects.exists()


def test_asking_for_many_codes_is_slowed_down_before_any_account_is_made(client):
    for _attempt in range(3):
        ask(client, "new@example.org")
    assert ask(client, "new@example.org").status_code == 200
    assert len(mail.outbox) == 3
    for number in range(25):
        ask(client, f"flood{number}@example.org")
    assert Account.objects.count() == 20 - 3  # 20 a minute from one address of the network, of which three are above


@pytest.mark.parametrize("page", ["accounts/signup/", "accounts/login/"])
def test_other_entrances_lead_to_the_one_form(client, page):
    answer = client.get(f"/{page}?next=/me/")
    assert answer.url == f"{reverse('account_request_login_code')}?next=/me/"
    assert client.post(f"/{page}", {"email": "x@example.org"}).status_code == 302
    assert not Account.objects.exists()


@pytest.mark.parametrize("page", ["change/", "set/", "reset/", "reset/key/done/"])
def test_there_are_no_pages_for_passwords(client, page):
    client.force_login(make_account())
    assert client.get(f"/accounts/password/{page}").url == reverse("people:security")
    client.post("/accounts/password/set/", {"password1": "a-long-secret-1", "password2": "a-long-secret-1"})
    assert not Account.objects.get().has_usable_password()


def test_an_address_that_was_proved_wins_over_one_that_is_only_written(client):
    account = make_account("first@example.org")
    EmailAddress.objects.create(user=account, email="second@example.org", verified=True)
    assert account_for(email="Second@example.org", now=NOW) == account
    assert Account.objects.count() == 1


def test_the_security_page_leads_to_passkeys_codes_and_sessions(client):
    client.force_login(make_account())
    text = client.get(reverse("people:security")).text
    for name in ("mfa_list_webauthn", "mfa_index", "usersessions_list", "account_email"):
        assert f'href="{reverse(name)}"' in text
        assert client.get(reverse(name)).status_code == 200, name


def test_a_person_ends_their_other_sessions_at_once_and_keeps_this_one(client):
    account, elsewhere = make_account(), Client()
    for browser in (client, elsewhere):
        browser.force_login(account)
        assert browser.get(reverse("people:security")).status_code == 200
    assert client.post(reverse("usersessions_list")).status_code == 302
    assert client.get(reverse("people:security")).status_code == 200
    assert elsewhere.get(reverse("people:security"))["Location"].startswith(reverse("account_request_login_code"))


def test_somebody_who_signed_in_by_code_may_add_an_authenticator_and_a_passkey_at_once(client):
    ask(client, "new@example.org")
    enter(client)
    for name in ("mfa_activate_totp", "mfa_add_webauthn"):
        assert client.get(reverse(name)).status_code == 200, name

"""The language of pages and of the account: chosen at the foot of a page, kept, and stronger than the browser's."""

import pytest
from django.test import Client
from django.urls import reverse

from reedcrew.people.languages import letter_language
from tests.factories import make_account, make_group

pytestmark = pytest.mark.django_db

SIGN_IN = "/accounts/login/code/"


def choose(client, language, **headers):
    return client.post(reverse("people:language"), {"language": language}, headers=headers)


def language_of(answer):
    """What the page itself, its headers and the marked button of the switch say."""
    html = answer.content.decode()
    marked = html.partition(' aria-current="true">')[0].rpartition('value="')[2][:2]
    assert f'<html lang="{marked}">' in html
    assert answer["Content-Language"] == marked
    return marked


def test_a_stranger_reads_in_the_browsers_language_until_they_choose_one(client):
    assert language_of(client.get(SIGN_IN)) == "en"
    first = client.get(SIGN_IN, headers={"accept-language": "es-MX,es;q=0.9,en;q=0.5"})
    assert language_of(first) == "es"
    assert {"Accept-Language", "Cookie"} <= {name.strip() for name in first["Vary"].split(",")}
    answer = choose(client, "fr", referer=f"http://testserver{SIGN_IN}")
    assert (answer.status_code, answer.url) == (302, f"http://testserver{SIGN_IN}")
    assert language_of(client.get(SIGN_IN, headers={"accept-language": "es"})) == "fr"


def test_an_account_keeps_its_choice_on_every_browser(client):
    account = make_account("ana@example.org")
    client.force_login(account)
    choose(client, "es")
    account.refresh_from_db()
    assert account.language == "es"
    elsewhere = Client(headers={"accept-language": "fr"})
    elsewhere.force_login(account)
    assert language_of(elsewhere.get("/")) == "es"


def test_a_language_that_the_site_does_not_speak_is_refused_with_those_that_it_does(client):
    answer = choose(client, "de")
    assert answer.status_code == 400
    assert "English, Français, Español" in answer.content.decode()
    assert client.get(reverse("people:language")).status_code == 405


def test_the_way_back_never_leads_off_the_site(client):
    assert choose(client, "fr", referer="https://elsewhere.example/").url == "/"


def test_letters_follow_the_account_else_the_group_else_the_site():
    group = make_group(language="fr")
    assert letter_language(make_account(), group) == "fr"
    account = make_account()
    account.language = "es"
    assert letter_language(account, group) == "es"
    assert letter_language(None, make_group(language="xx")) == "en"

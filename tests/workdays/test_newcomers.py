"""Signing up from the shared page before signing in: the place is there once the mailed code is entered, not before."""

import datetime

import pytest
from django.contrib.messages.storage.session import SessionStorage
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from reedcrew.crews.inputs import day_input
from reedcrew.people.models import Member
from reedcrew.trade.unit_rules import unit_refusals
from reedcrew.workdays import newcomers
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.browser.walking import code_in
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db

ADDRESS = "ada@example.org"
ANSWERS = {"name": "Ada Marsh", "email": ADDRESS, "age": "adult", "place": "land"}
CODE_PAGE = reverse("account_confirm_login_code")


@pytest.fixture(autouse=True)
def summer(time_machine):
    """The site's clock stands in the week before the day of the factories."""
    time_machine.move_to(NOW, tick=False)


@pytest.fixture(autouse=True)
def own_limits(settings):
    """allauth counts requests for codes in the cache; each test starts its own count."""
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "sign-up"}}
    cache.clear()


@pytest.fixture
def day():
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    return factories.make_day(stand)


def sign_up(client, day, **changes):
    return client.post(reverse("workdays:sign_up", args=[day.share_code]), {**ANSWERS, **changes})


def enter_code(client, day):
    """The code of the last mail, on the page that the sign-up led to."""
    return client.post(
        f"{CODE_PAGE}?next={day.get_public_url()}", {"code": code_in(str(mail.outbox[-1].body))}, follow=True
    )


def test_a_stranger_has_a_place_once_the_code_is_entered_and_not_before(client, day):
    answer = sign_up(client, day, email="Ada@Example.org")
    assert answer.headers["Location"].startswith(CODE_PAGE)
    assert not Member.objects.filter(name="Ada Marsh").exists()
    assert "One step is left" in client.get(CODE_PAGE).text
    page = enter_code(client, day)
    assert page.redirect_chain[-1][0] == day.get_public_url()
    assert "You have a place." in page.text
    first = SignUp.objects.get()
    assert (first.member.name, first.member.account.email) == ("Ada Marsh", ADDRESS)
    assert (first.place, first.state, first.signed_up_by) == ("land", "confirmed", first.member.account)
    assert "first sign-up" not in client.session


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"name": ""}, "Your name: This field is required."),
        ({"email": "ada at home"}, "Write one mail address, such as name@example.org."),
        ({"age": "minor"}, "signed up by their guardian"),
        ({"age": ""}, "Your age: This field is required."),
        ({"place": ""}, "Where would you like to work?: This field is required."),
    ],
)
def test_a_wrong_answer_is_named_on_the_page_of_the_day_and_mails_nothing(client, day, changes, words):
    page = sign_up(client, day, **changes)
    assert page.status_code == 200
    assert words in page.text
    kept = {"name": "Ada Marsh", "email": ADDRESS} | changes
    assert f'value="{kept["name"]}"' in page.text or not kept["name"]
    assert f'value="{kept["email"]}"' in page.text
    assert mail.outbox == []


def test_starting_again_leads_back_to_the_form_of_the_day(client, day):
    page = client.get(sign_up(client, day, email="adda@example.org").headers["Location"]).text
    assert f'name="next" value="{day.get_public_url()}"' in page
    back = client.post(reverse("account_logout"), {"next": day.get_public_url()}, follow=True)
    assert back.redirect_chain[-1][0] == day.get_public_url()
    assert 'name="email"' in back.text
    sign_up(client, day)
    assert "You have a place." in enter_code(client, day).text


def test_a_member_who_is_not_signed_in_keeps_their_name_and_gets_the_place(client, day):
    known = factories.make_member(day.group, name="Ada Marshall")
    sign_up(client, day, email=account_of(known).email)
    enter_code(client, day)
    assert day.sign_ups.get().member == known
    known.refresh_from_db()
    assert known.name == "Ada Marshall"


def test_saying_18_gives_nobody_a_place_whom_the_group_knows_as_younger(client, day):
    known = factories.make_member(day.group, profile={"adult": False})
    sign_up(client, day, email=account_of(known).email)
    assert "guardian" in enter_code(client, day).text
    assert not SignUp.objects.exists()
    assert not Member.objects.get(pk=known.pk).profile.adult


def test_whoever_left_as_a_child_does_not_come_back_as_an_adult_before_their_birthday(client, day):
    born_on = day.date.replace(year=day.date.year - 17)
    former = factories.make_member(day.group, left_at=NOW, profile={"adult": False, "born_on": born_on})
    sign_up(client, day, email=account_of(former).email)
    assert "You have a place." not in enter_code(client, day).text
    assert not SignUp.objects.exists()
    assert not Member.objects.current().filter(pk=former.pk).exists()


def test_entering_the_code_of_two_browsers_takes_one_place(client, day):
    other = Client()
    for browser in (client, other):
        sign_up(browser, day)
        assert "You have a place." in enter_code(browser, day).text
    assert SignUp.objects.get().number == 1


def test_a_newcomer_with_a_place_in_water_stays_out_of_it_until_they_have_answered(client, day):
    partner = factories.make_water_member(day.group)
    factories.make_sign_up(day, partner)
    sign_up(client, day, place="water")
    assert "You have a place." in enter_code(client, day).text
    newcomer = Member.objects.get(name="Ada Marsh")
    names = {str(each.pk): each.name for each in (partner, newcomer)}
    refused = unit_refusals(day_input(day, NOW), str(day.zones.get().pk), list(names), names)
    assert {"H4.unit", "H6.unit_unknown"} <= {each.code for each in refused}
    assert all(each.values.get("who", "Ada Marsh") == "Ada Marsh" for each in refused)


def test_a_place_that_stands_otherwise_is_told_and_stays(client, day):
    known = factories.make_member(day.group)
    factories.make_sign_up(day, known)
    sign_up(client, day, email=account_of(known).email)
    assert "in water" in enter_code(client, day).text
    assert day.sign_ups.get().place == "water"


def test_a_day_that_is_cancelled_before_the_code_is_entered_takes_nobody(client, day):
    sign_up(client, day)
    type(day).objects.filter(pk=day.pk).update(status="cancelled", cancel_reason="storm")
    page = enter_code(client, day)
    assert "takes no changes" in page.text or "cancelled" in page.text
    assert not Member.objects.filter(name="Ada Marsh").exists()


def test_a_day_that_is_over_mails_no_code(client, day, time_machine):
    time_machine.move_to(day.ends_at, tick=False)
    assert "This day is over" in sign_up(client, day).text
    assert mail.outbox == []


@pytest.mark.parametrize(
    ("email", "waited", "gets_it"),
    [
        (ADDRESS, datetime.timedelta(minutes=15), True),  # as long as the code itself: ACCOUNT_LOGIN_BY_CODE_TIMEOUT
        (ADDRESS, datetime.timedelta(minutes=15, seconds=1), False),
        ("bo@example.org", datetime.timedelta(0), False),
    ],
)
def test_the_answers_wait_for_their_own_address_and_no_longer_than_the_code(rf, client, day, email, waited, gets_it):
    request = rf.get("/")
    request.session = client.session
    request._messages = SessionStorage(request)
    newcomers.keep(request.session, day=day, name="Ada Marsh", email=ADDRESS, place="land", now=NOW)
    newcomers.finish(request, factories.make_account(email=email), NOW + waited)
    assert SignUp.objects.exists() is gets_it
    assert newcomers.KEY not in request.session


def test_no_more_codes_are_mailed_than_the_sign_in_page_would(client, day):
    answers = [sign_up(client, day) for _press in range(8)]
    assert len(mail.outbox) < 8
    assert "Too many" in answers[-1].text
    assert 'value="Ada Marsh"' in answers[-1].text


def test_a_day_with_one_kind_of_place_does_not_ask_for_it(client, day):
    type(day).objects.filter(pk=day.pk).update(water_places=0)
    page = client.get(day.get_public_url()).text
    assert "Where would you like to work?" not in page
    assert '<input type="hidden" name="place" value="land"' in page

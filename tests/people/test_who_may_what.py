"""Every address × every role × own group, other group and no group × signed out.

What a group's page must answer is worked out from the deed that its view declares and the one table of people.roles;
addresses outside groups stand in the table below. An address that neither knows fails the walk.
"""

import logging
import re
import uuid
from enum import Enum, auto

import pytest
import time_machine
from django.conf import settings
from django.urls import reverse

from reedcrew.people.roles import Deed, Role, may
from reedcrew.web import mailfolder
from tests.factories import NOW, account_of, make_account
from tests.walk.addresses import all_addresses
from tests.walk.reader import Reader
from tests.walk.rows import MAKERS, NO_ROWS, make_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]


class Door(Enum):
    """Whom an address outside groups lets in."""

    ANYBODY = auto()
    SIGNED_IN = auto()  # anyone else is led to sign in, and back
    HOLDER = auto()  # who has the last part of the address; with another one there is nothing here
    OPERATOR = auto()  # everyone else finds nothing here
    PROGRAM = auto()  # whoever shows a token that holds; everyone else is asked for one
    ELSEWHERE = auto()  # nothing of its own: it leads on to another page


OUTSIDE_GROUPS = {
    "": Door.ANYBODY,
    "language/": Door.ANYBODY,
    "groups/new/": Door.SIGNED_IN,
    "help/": Door.ANYBODY,
    "help/words/": Door.ANYBODY,
    "help/<slug:topic>/": Door.HOLDER,
    "me/": Door.SIGNED_IN,
    "me/units/": Door.SIGNED_IN,
    "me/security/": Door.SIGNED_IN,
    "me/second-step/": Door.SIGNED_IN,
    "me/data/": Door.SIGNED_IN,
    "me/data/file/": Door.SIGNED_IN,
    "me/erase/": Door.SIGNED_IN,
    "me/days/": Door.SIGNED_IN,
    "me/mail/": Door.SIGNED_IN,
    "me/mail/choose/": Door.SIGNED_IN,
    "me/mail/address/": Door.SIGNED_IN,
    "me/mail/address/revoke/": Door.SIGNED_IN,
    "d/<slug:code>/": Door.HOLDER,
    "d/<slug:code>/sign-up/": Door.HOLDER,
    "d/<slug:code>/day.ics": Door.SIGNED_IN,
    "d/<slug:code>/take/<int:sign_up>/": Door.SIGNED_IN,
    "d/<slug:code>/withdraw/<int:sign_up>/": Door.SIGNED_IN,
    "d/<slug:code>/after-all/<int:sign_up>/": Door.SIGNED_IN,
    "feed/<str:token>.ics": Door.HOLDER,
    "calendar/<str:code>.ics": Door.HOLDER,
    "unsubscribe/<str:token>/": Door.HOLDER,
    "answers/<str:token>/": Door.HOLDER,
    "fieldbook/shell/": Door.ANYBODY,  # a phone keeps both; they hold nothing of anybody
    "fieldbook/worker.js": Door.ANYBODY,
    "mail/": Door.ANYBODY,  # only on an installation without a mail server: web.checks stops a hosted one
    "mail/<str:name>/": Door.HOLDER,
    "mail/<str:name>/file": Door.HOLDER,
    "installation/": Door.OPERATOR,
    "api/": Door.ANYBODY,
    "api/v1/openapi.json": Door.ANYBODY,
    **{f"api/v1/{route}": Door.PROGRAM for route in ("token", "stands", "days", "plans", "hours", "<anything:rest>")},
    **{f"api/v1/{route}": Door.PROGRAM for route in ("stands/<int:pk>", "days/<int:pk>", "days/<int:pk>/plan")},
    "api/v1/hours/<int:pk>": Door.PROGRAM,
    # allauth's pages, and those of them that this site closes.
    "accounts/login/": Door.ELSEWHERE,
    "accounts/signup/": Door.ELSEWHERE,
    "accounts/password/<path:page>": Door.ELSEWHERE,
    "accounts/password/change/": Door.ELSEWHERE,
    "accounts/password/set/": Door.ELSEWHERE,
    "accounts/password/reset/": Door.ELSEWHERE,
    "accounts/password/reset/done/": Door.ELSEWHERE,
    "accounts/password/reset/key/done/": Door.ELSEWHERE,
    "accounts/^password/reset/key/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>.+)/$": Door.ELSEWHERE,
    "accounts/logout/": Door.ELSEWHERE,
    "accounts/inactive/": Door.ANYBODY,
    "accounts/reauthenticate/": Door.SIGNED_IN,
    "accounts/email/": Door.SIGNED_IN,
    "accounts/confirm-email/": Door.ANYBODY,
    "accounts/login/code/": Door.ANYBODY,
    "accounts/login/code/confirm/": Door.ELSEWHERE,
    "accounts/2fa/": Door.SIGNED_IN,
    "accounts/2fa/authenticate/": Door.ELSEWHERE,
    "accounts/2fa/reauthenticate/": Door.SIGNED_IN,
    "accounts/2fa/totp/activate/": Door.SIGNED_IN,
    "accounts/2fa/totp/deactivate/": Door.SIGNED_IN,
    "accounts/2fa/recovery-codes/": Door.SIGNED_IN,
    "accounts/2fa/recovery-codes/generate/": Door.SIGNED_IN,
    "accounts/2fa/recovery-codes/download/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/add/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/reauthenticate/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/keys/<int:pk>/remove/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/keys/<int:pk>/edit/": Door.SIGNED_IN,
    "accounts/2fa/webauthn/login/": Door.ANYBODY,
    "accounts/sessions/": Door.SIGNED_IN,
}
# Addresses of a group that nobody's deed opens: the secret in them does, which ends or is revoked.
DOORS_OF_GROUPS = {
    "g/<slug:slug>/days/<int:pk>/field/at/<str:token>/": Door.HOLDER,
    "g/<slug:slug>/days/<int:pk>/field/at/<str:token>/new/": Door.HOLDER,
}
DOORS = {**OUTSIDE_GROUPS, **DOORS_OF_GROUPS}
# What its deed alone does not open: a form that names no row, and private data of a day that is not near.
CLOSED_ALL_THE_SAME = {
    ("POST", "g/<slug:slug>/days/<int:pk>/field/phones/", 404),
    ("GET", "g/<slug:slug>/days/<int:pk>/field/contacts.json", 403),
}
# What differs between two answers that are alike: the token of forms and the nonce of the policy.
OF_ONE_REQUEST = re.compile(rb'csrfmiddlewaretoken" value="[^"]*"|"x-csrftoken": "[^"]*"|nonce="[^"]*"')
# Nobody's keys, by the converter of the argument.
NOBODYS = {int: 987_654_321, str: "nobody", uuid.UUID: uuid.UUID(int=7)}
# What allauth and the mail folder ask for; the one group of make_world has no such rows.
OTHER_ARGUMENTS = {
    ("v1", "rest"),
    ("password", "page"),
    ("keys", "pk"),
    ("key", "uidb36"),
    ("key", "key"),
    ("mail", "name"),
}


@pytest.fixture(autouse=True)
def on_the_day_of_the_rows(settings, tmp_path):
    settings.MEDIA_ROOT, settings.MAIL_DIR = tmp_path / "media", tmp_path / "mail"
    settings.USERSESSIONS_TRACK_ACTIVITY = False
    logging.disable(logging.CRITICAL)
    with time_machine.travel(NOW, tick=False):
        yield
    logging.disable(logging.NOTSET)


def group_addresses():
    return [address for address in all_addresses() if address.in_group and address.route not in DOORS_OF_GROUPS]


def addresses_with_doors():
    return [address for address in all_addresses() if not address.in_group or address.route in DOORS_OF_GROUPS]


def alike(answer, url=""):
    """What a stranger can compare of two answers to two addresses."""
    body = b"".join(answer) if answer.streaming else answer.content
    return answer.status_code, OF_ONE_REQUEST.sub(b"", body).replace(url.encode() or b"\0", b"")


def is_json(answer):
    return answer.get("Content-Type") == "application/json"


def leads_back(answer):
    """Whether it is the answer to taking away what is not there, which does no harm: on to another page."""
    return answer.status_code == 302


def lets_in(answer):
    return answer.status_code not in {403, 404} and answer.status_code < 500


def methods_of(reader, url):
    """The methods that an address takes, each with its answer."""
    answers = {method: reader.ask(url, method) for method in ("POST", "GET")}
    return {method: answer for method, answer in answers.items() if answer.status_code != 405}


def one_method_of(reader, url):
    """The answer to the method that changes something, or where there is none to the one that reads."""
    answer = reader.ask(url, "POST")
    return reader.ask(url, "GET") if answer.status_code == 405 else answer


def test_every_address_is_known_and_can_be_filled_in():
    known = {*make_world().values, *MAKERS, *OTHER_ARGUMENTS}
    for address in all_addresses():
        if address.in_group and address.route not in DOORS_OF_GROUPS:
            assert isinstance(address.deed, Deed), f"{address.route}: open its view with group_page(Deed.…)"
        else:
            assert address.route in DOORS, f"{address.route}: say in OUTSIDE_GROUPS whom it lets in"
        for argument in address.arguments:
            before, name = argument
            assert argument in known, (
                f"{address.route}: no row for <{name}> after “{before}/”: make one in tests/walk/rows.py and give it "
                f"the key {argument}"
            )
    gone = set(DOORS) - {address.route for address in all_addresses()}
    assert not gone, "the table names addresses that are no more"
    assert not [address.route for address in all_addresses() if address.route.startswith("g/") and not address.in_group]


@pytest.mark.parametrize("role", Role)
def test_a_role_opens_what_its_deeds_allow_and_nothing_of_another_group(role):
    own, other = make_world(), make_world()
    reader = Reader(account_of(own.readers[role]))
    mine, theirs = own.values_for(own.readers[role]), other.values_for(other.readers[role])
    absent = alike(reader.ask("/g/no-such-group/", "GET"))
    assert absent[0] == 404
    wrong = []
    for address in group_addresses():
        url, foreign = address.filled(mine, own.group.slug), address.filled(theirs, other.group.slug)
        if may(role, address.deed):
            wrong += [
                f"{method} {address.route} answers {answer.status_code} though {role} may {address.deed}"
                for method, answer in methods_of(reader, url).items()
                if not lets_in(answer) and (method, address.route, answer.status_code) not in CLOSED_ALL_THE_SAME
            ]
        elif (status := one_method_of(reader, url).status_code) != 403:
            wrong.append(f"{address.route} answers {status} though {role} may not {address.deed}")
        answer = one_method_of(reader, foreign)
        same = alike(one_method_of(reader, address.filled(theirs, "no-such-group"))) if is_json(answer) else absent
        if alike(answer) != same:
            wrong.append(f"{address.route} of another group is not as absent as that of no group")
    assert wrong == []


def test_the_own_group_does_not_lead_to_the_rows_of_another():
    own, other = make_world(), make_world()
    reader = Reader(account_of(own.readers[Role.ORGANIZER]))
    mine = own.values_for(own.readers[Role.ORGANIZER])
    theirs = other.values_for(other.readers[Role.ORGANIZER])
    wrong = []
    for address in group_addresses():
        for argument in address.arguments:
            if argument in NO_ROWS:
                continue
            nobodys = NOBODYS[type(theirs[argument])]
            foreign = address.filled({**mine, argument: theirs[argument]}, own.group.slug)
            absent = address.filled({**mine, argument: nobodys}, own.group.slug)
            for method, answer in methods_of(reader, foreign).items():
                if alike(answer, foreign) != alike(reader.ask(absent, method), absent):
                    wrong.append(f"{method} {address.route}: another group's {argument} and nobody's are told apart")
                elif lets_in(answer) and not leads_back(answer):
                    wrong.append(f"{method} {address.route} answers {answer.status_code} to another group's {argument}")
    assert wrong == []


def test_signed_out_readers_of_a_group_are_led_to_sign_in_and_back_whether_or_not_it_exists():
    own = make_world()
    mine, nobody = own.values_for(own.readers[Role.VOLUNTEER]), Reader()
    for address in group_addresses():
        for group in (own.group.slug, "no-such-group"):
            url = address.filled(mine, group)
            for method, answer in methods_of(nobody, url).items():
                if is_json(answer):  # of a script, which shows the way itself
                    assert answer.status_code == 401, (method, url)
                    continue
                assert answer.status_code == 302, (method, url)
                assert answer.url == f"{reverse(settings.LOGIN_URL)}?next={url}", (method, url)


def test_addresses_outside_groups_let_in_whom_the_table_names():
    world = make_world()
    somebody, operator = account_of(world.readers[Role.ORGANIZER]), make_account()
    operator.is_operator = True
    operator.save()
    name = mailfolder.write(settings.MAIL_DIR, b"Subject: Hello\r\n\r\nCome.\r\n")
    values = {**world.values_for(world.readers[Role.ORGANIZER]), ("mail", "name"): name}
    values |= {("v1", "rest"): "anything", ("password", "page"): "change/", ("keys", "pk"): 1}
    nobody, person, keeper = Reader(), Reader(somebody), Reader(operator)
    for address in addresses_with_doors():
        door, group = DOORS[address.route], world.group.slug
        url = "/accounts/password/reset/key/1-2/" if "uidb36" in address.route else address.filled(values, group)
        for method, answer in methods_of(nobody, url).items():
            case = f"{method} {url}: {answer.status_code} {answer.headers.get('Location', '')}"
            to_sign_in = answer.status_code == 302 and "next=" in answer.url and "/accounts/login" in answer.url
            if door == Door.SIGNED_IN:
                assert to_sign_in, case
                inside = person.ask(url, method)
                assert inside.status_code < 500, case
                assert "/accounts/login" not in inside.headers.get("Location", ""), case
            elif door == Door.ELSEWHERE:
                assert answer.status_code == 302, case
            elif door == Door.PROGRAM:
                assert answer.status_code == person.ask(url, method).status_code == 401, case
                assert answer["WWW-Authenticate"] == 'Bearer realm="reedcrew"', case
            elif door == Door.OPERATOR:
                assert to_sign_in, case
                assert person.ask(url, method).status_code == 404, case
                assert lets_in(keeper.ask(url, method)), case
            else:
                assert lets_in(answer), case
                assert not to_sign_in, case
        if door == Door.HOLDER:
            guessed = address.filled({**values, address.arguments[-1]: "guessed"}, group)
            for method in methods_of(nobody, url):
                assert nobody.ask(guessed, method).status_code == 404, url

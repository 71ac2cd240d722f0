"""Every form of the site takes whatever is sent: no inner fault, nothing sent back as markup, no way off the site.
Every page parses without a fault and its elements stand where the HTML standard lets them (tests/web/markup.py).

The forms are found by opening every page; the values are made by hypothesis, together with some that are known to hurt.
"""

import logging
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode

import pytest
import time_machine
from django.utils.http import url_has_allowed_host_and_scheme
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from reedcrew.people.roles import Role
from tests.factories import NOW, account_of
from tests.walk.addresses import all_addresses
from tests.walk.reader import Reader
from tests.walk.rows import make_world
from tests.web.markup import faults_of_markup

pytestmark = [pytest.mark.django_db, pytest.mark.once]

MARKUP = "<x-odd y='1'>\"&"  # never to be seen again as it is
ODD = (
    *(MARKUP, "\x00", "", " ", "\r\nX-Odd: 1", "\ud7ff\U0001f33e", "a" * 5000, "=1+1", "[]", "{}", "null"),
    *("-1", "0", "5", "1e400", "NaN", "١٢", "9" * 30, "0x10", "1_000", "12.5", "99999999999"),
    *("2026-08-15", "2026-02-30", "0001-01-01", "9999-12-31", "09:00", "25:61", "2026-08-15T09:00"),
    *("on", "//elsewhere.example", "https://elsewhere.example/", "javascript:alert(1)", "a@b", "a@example.org\nb"),
)
ASKED = ("page", "q", "next", "from", "to", "stand", "grant", "zone", "kind", "day", "year", "site", "first", "last")


class Forms(HTMLParser):
    """The forms of one page: where each sends, how, and its fields with the values that it offers."""

    def __init__(self, page, url):
        super().__init__()
        self.url, self.found, self.fields, self.select = url, [], None, None
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        if tag == "form":
            self.fields = {}
            self.found.append((said.get("action") or self.url, said.get("method", "get").upper(), self.fields))
        elif self.fields is not None and said.get("name") and tag in {"input", "textarea", "select", "button"}:
            offered = self.fields.setdefault(said["name"], [])
            self.select = offered if tag == "select" else None
            if tag != "select" and said.get("value"):
                offered.append(said["value"])
        elif tag == "option" and self.select is not None:
            self.select.append(said.get("value") or "")

    def handle_endtag(self, tag):
        if tag == "form":
            self.fields = None


def forms_of_all_pages(reader, addresses, faults):
    """Every form that a reader meets on pages that are asked for odd things; what goes wrong is added to ``faults``."""
    found: dict[tuple[str, str, tuple[str, ...]], Any] = {}
    for number, url in enumerate(addresses):
        said = [(name, ODD[(number + place) % len(ODD)]) for place, name in enumerate(ASKED)]
        asked = f"{url}?{urlencode(said)}"
        page = reader.ask(asked, "GET")
        faults += faults_of(page, f"GET {asked}")
        if page.status_code == 200 and not page.streaming and "html" in page["Content-Type"]:
            faults += [f"GET {asked}: {fault}" for fault in faults_of_markup(page.text)]
            for action, method, fields in Forms(page.text, url).found:
                if action.startswith("/") and "logout" not in action:
                    found.setdefault((action, method, tuple(fields)), (reader, fields))
    return found


def stays_here(url):
    """Whether an address leads to this site; what it asks for there may be as long as it likes."""
    return url_has_allowed_host_and_scheme(url.partition("?")[0], {"testserver"})


def faults_of(answer, case):
    """What is wrong with an answer to odd input."""
    if answer.status_code >= 500:
        yield f"{case}: {answer.status_code}"
    if answer.status_code in {301, 302} and not stays_here(answer.url):
        yield f"{case}: leads to {answer.url}"
    if not answer.streaming and "html" in answer.get("Content-Type", "") and "<x-odd" in answer.text:
        yield f"{case}: sends markup back as markup"


@pytest.fixture(autouse=True)
def quiet_and_on_the_day(settings):
    settings.USERSESSIONS_TRACK_ACTIVITY = False
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.dummy.DummyCache"}}  # nobody is slowed down
    logging.disable(logging.CRITICAL)
    with time_machine.travel(NOW, tick=False):
        yield
    logging.disable(logging.NOTSET)


def all_pages(world, member):
    values = world.values_for(member)
    return [
        address.filled(values, world.group.slug)
        for address in all_addresses()
        if all(argument in values for argument in address.arguments)
    ]


def test_no_page_or_form_breaks_or_leaks_by_what_is_asked_or_sent():
    world = make_world()
    organizer = world.readers[Role.ORGANIZER]
    reader, nobody = Reader(account_of(organizer)), Reader()
    outside = ["/", "/accounts/login/code/", f"/d/{world.day.share_code}/"]
    asked: list[str] = []
    forms = forms_of_all_pages(nobody, outside, asked) | forms_of_all_pages(reader, all_pages(world, organizer), asked)
    assert asked == []
    assert len(forms) > 60

    # A failing example names its form: making it smaller would send everything again, many times.
    @settings(max_examples=2, phases=[Phase.generate], database=None, suppress_health_check=list(HealthCheck))
    @given(st.lists(st.one_of(st.sampled_from(ODD), st.text(max_size=40)), min_size=16, max_size=16), st.randoms())
    def send_everywhere(values, chance):
        values, faults, escaped = [MARKUP, *values], [], 0
        for number, ((action, method, _names), (who, fields)) in enumerate(sorted(forms.items(), key=lambda f: f[0])):
            said = []
            for place, (name, offered) in enumerate(fields.items()):
                odd = values[(number + place) % len(values)]
                said.append((name, chance.choice(offered) if offered and chance.random() < 0.5 else odd))
            said = [(name, value.encode("utf-8", "replace").decode()) for name, value in said]
            if method == "GET":
                action = f"{action.partition('?')[0]}?{urlencode(said)}"
            answer = who.ask(action, method, said if method == "POST" else ())
            faults += faults_of(answer, f"{method} {action} {said}")
            escaped += not answer.streaming and b"&lt;x-odd" in answer.content
        assert faults == []
        assert escaped  # what was entered is shown again, as text

    send_everywhere()

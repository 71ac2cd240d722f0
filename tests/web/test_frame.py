"""The frame around every page: menu, refusals, error pages, headers."""

from types import SimpleNamespace

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.checks import run_checks
from django.db import DatabaseError, connection
from django.template import Context, Template
from django.template.loader import get_template
from django.test import Client, RequestFactory
from django.urls import reverse

from reedcrew.web import navigation
from reedcrew.web.checks import check_menu, check_settings
from reedcrew.web.navigation import OPEN_LINES_MOST, Entry, Line, Section, parts_for
from tests.factories import make_account

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def with_pages_that_refuse(settings):
    settings.ROOT_URLCONF = "tests.web.urls"


@pytest.fixture
def menu(monkeypatch):
    """An empty menu for one test."""
    entries: dict[str, Entry] = {}
    monkeypatch.setattr(navigation, "_entries", entries)
    return entries


def request_at(path, group=None):
    request = RequestFactory().get(path)
    request.user = AnonymousUser()
    vars(request)["group"] = group
    return request


def lines_for(request):
    return [line for part in parts_for(request) for line in part.lines]


# --- Menu -----------------------------------------------------------------------------------------------------------
def test_entries_of_a_group_are_shown_on_its_pages_only(menu):
    navigation.register(Entry(label="Days", url_name="test_group_days", order=2, of_group=True, icon="day"))
    navigation.register(Entry(label="Mail", url_name="web:mail", order=1))
    assert [line.label for line in lines_for(request_at("/"))] == ["Mail"]
    willow = SimpleNamespace(slug="willow", name="Willow")
    assert lines_for(request_at("/group/willow/days/7/", willow)) == [
        Line(label="Mail", url="/mail/", icon="list", current=False),
        Line(label="Days", url="/group/willow/days/", icon="day", current=True),
    ]


def test_an_entry_is_shown_to_whom_it_is_visible(menu):
    navigation.register(Entry(label="Mine", url_name="web:mail", order=1, visible=navigation.signed_in))
    assert lines_for(request_at("/")) == []
    request = request_at("/")
    request.user = make_account("ana@example.org")
    assert [line.label for line in lines_for(request)] == ["Mine"]


def test_the_current_entry_is_the_nearest_above_the_page(menu):
    navigation.register(Entry(label="Start", url_name="people:home", order=1))
    navigation.register(Entry(label="Mail", url_name="web:mail", order=2))
    assert reverse("people:home") == "/"

    def current(path):
        return [line.label for line in lines_for(request_at(path)) if line.current]

    assert current("/mail/x/") == ["Mail"]
    assert current("/mail/") == ["Mail"]
    assert current("/") == ["Start"]
    assert current("/mailbox/") == []


def test_the_menu_is_in_parts_and_only_a_long_one_folds_what_is_rarely_needed(menu):
    def register(section, *paths):
        for order, name in enumerate(paths):
            navigation.register(Entry(label=name, url_name=name, order=order, section=section))

    register(Section.SITE, "people:profile", "web:mail")
    register(Section.MINE, "people:home")
    register(Section.SEASON, "test_group_days")
    menu["test_group_days"] = Entry(
        label="Days", url_name="test_group_days", order=0, of_group=True, section=Section.SEASON
    )
    willow = SimpleNamespace(slug="willow", name="Willow")
    short = parts_for(request_at("/group/willow/days/", willow))
    assert [part.heading for part in short] == ["", "The season's work", "You and this site"]
    assert not any(part.folds for part in short)

    more = ("people:data", "people:security", "people:found", "people:erase", "people:data_file", "people:second_step")
    register(Section.SEASON, *more)
    rest = ("usersessions_list", "mfa_index", "account_email", "account_logout", "help:index")
    register(Section.REPORTS, *rest)
    assert len(menu) == OPEN_LINES_MOST + 2
    folded = {part.key: (part.folds, part.is_open) for part in parts_for(request_at("/me/data/", willow))}
    assert folded == {"mine": (False, True), "season": (False, True), "reports": (False, True), "site": (True, False)}
    assert parts_for(request_at("/mail/x/", willow))[-1].is_open


def test_an_entry_without_a_page_stops_the_start(menu):
    assert check_menu(None) == []
    navigation.register(Entry(label="Nowhere", url_name="web:nowhere", order=1))
    assert [message.id for message in check_menu(None)] == ["reedcrew.web.E007"]


def test_every_entry_of_the_site_has_its_page():
    assert navigation.entries()
    assert check_menu(None) == []


# --- Refusals and faults --------------------------------------------------------------------------------------------
def test_a_refusal_is_a_page_with_its_sentence_and_the_way_back(client):
    response = client.get("/refuse/", headers={"referer": "http://testserver/days/?page=2"})
    assert response.status_code == 409
    assert response["Reedcrew-Refusal"] == "day_full"
    html = response.content.decode()
    assert "All 12 places are &lt;taken&gt;." in html
    assert 'href="/days/?page=2"' in html


@pytest.mark.parametrize(
    "referer", ["http://elsewhere.example/days/", "javascript:alert(1)", "", "//elsewhere.example/"]
)
def test_the_way_back_never_leads_off_the_site(client, referer):
    html = client.get("/refuse/", headers={"referer": referer}).content.decode()
    assert "elsewhere" not in html
    assert "javascript:" not in html
    assert 'class="button button-primary" href="/"' in html


def test_a_refusal_of_an_htmx_request_goes_to_the_message_area_alone(client):
    response = client.get("/refuse/", headers={"hx-request": "true"})
    assert response.status_code == 409
    assert response["HX-Retarget"] == "#messages"
    html = response.content.decode()
    assert "<html" not in html
    assert 'role="alert"' in html


def test_absent_and_forbidden_pages_are_pages_of_the_site(client):
    absent = client.get("/no/such/page/")
    assert absent.status_code == 404
    assert "There is nothing here" in absent.content.decode()
    forbidden = client.get("/forbid/")
    assert forbidden.status_code == 403
    assert "This is not open to you" in forbidden.content.decode()


def test_an_inner_fault_tells_nothing_of_itself(settings):
    client = Client(raise_request_exception=False)
    response = client.get("/crash/")
    assert response.status_code == 500
    html = response.content.decode()
    assert "Something broke on our side" in html
    assert "secret detail" not in html


def test_the_page_for_a_fault_needs_neither_request_nor_database():
    with connection.execute_wrapper(refuse_queries):
        assert "Something broke" in get_template("500.html").render()


def refuse_queries(execute, sql, params, many, context):
    raise DatabaseError("the database is away")


def test_a_form_that_was_open_too_long_says_what_to_do():
    response = Client(enforce_csrf_checks=True).post("/post/", {"a": "1"})
    assert response.status_code == 403
    assert "Send that once more" in response.content.decode()


def test_a_request_that_cannot_be_read_gets_its_page(client):
    response = client.get("/", headers={"host": "elsewhere.example"})
    assert response.status_code == 400
    assert "That could not be read" in response.content.decode()


# --- Frame ----------------------------------------------------------------------------------------------------------
def test_pages_carry_the_strict_policy_and_no_inline_script(client):
    response = client.get("/post/")
    policy = response["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "object-src 'none'" in policy
    assert "unsafe" not in policy
    html = response.content.decode()
    assert 'class="skip" href="#main"' in html


def test_only_a_page_that_swaps_parts_loads_what_swaps_them(client):
    assert "htmx" not in client.get("/post/").content.decode()
    source = "{% extends 'web/base.html' %}{% block main %}<p hx-get='/'></p>{% endblock %}"
    html = Template(source).render(Context())
    assert '"allowEval":false' in html
    assert "htmx-2.min.js" in html


def test_the_head_offers_sign_in_to_strangers_and_sign_out_to_people(client):
    assert reverse("account_request_login_code") in client.get("/post/").content.decode()
    client.force_login(make_account("ana@example.org"))
    html = client.get("/post/").content.decode()
    assert reverse("account_logout") in html
    assert "Sign in<" not in html


# --- Settings -------------------------------------------------------------------------------------------------------
def ids():
    return [message.id for message in check_settings(None)]


def test_the_sites_own_settings_do_not_contradict_each_other(settings):
    settings.EMAIL_BACKEND = "reedcrew.web.mailfolder.FolderBackend"  # the tests put their own in its place
    assert ids() == []
    assert [message for message in run_checks() if message.id.startswith("reedcrew.web.")] == []


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({"HOSTED": True}, ["reedcrew.web.E001"]),
        ({"MAIL_PAGE": False}, ["reedcrew.web.E002"]),
        ({"EMAIL_BACKEND": "django.core.mail.backends.smtp.EmailBackend"}, ["reedcrew.web.W001"]),
        ({"FORM_RENDERER": "django.forms.renderers.DjangoTemplates"}, ["reedcrew.web.E003"]),
        ({"MIDDLEWARE": []}, ["reedcrew.web.E004"]),
        ({"CONTENT_SECURITY_POLICY": {"DIRECTIVES": {"script-src": ["'unsafe-inline'"]}}}, ["reedcrew.web.E005"]),
        ({"ACCOUNT_LOGIN_BY_CODE_ENABLED": False}, ["reedcrew.web.E006"]),
    ],
)
def test_each_contradiction_is_found_by_its_id(settings, changed, found):
    settings.EMAIL_BACKEND = "reedcrew.web.mailfolder.FolderBackend"
    for name, value in changed.items():
        setattr(settings, name, value)
    assert ids() == found

"""Every page as people meet it: axe finds nothing in light and dark, on a phone and a desk, and nothing is too wide."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core import mail
from django.urls import Resolver404, resolve
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.people.models import Account
from reedcrew.workdays.models import SignUp
from tests import factories
from tests.browser.axe import PHONE, faults_of
from tests.browser.pages import READERS, SHOW_NO_PAGE, names_of_all_addresses, pages_of, reader_of
from tests.browser.walking import choose, code_in
from tests.browser.whole_group import WholeGroup, make_whole_group
from tests.factories import account_of

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def whole(live_site: str, settings: Any, tmp_path: Path) -> WholeGroup:
    settings.MAIL_DIR = tmp_path / "mail"
    return make_whole_group(timezone.now())


# Long lists of pages are walked in shares, side by side; the readers of few pages together, on one group.
SHARES = {"keeper": 3, "organizer": 4, "volunteer": 2, "lead": 4, "coordinator": 2}
WALKS = [
    *([(reader, share)] for reader, shares in SHARES.items() for share in range(shares)),
    [(reader, 0) for reader in READERS if reader not in SHARES],
]


@pytest.mark.once  # a page looks the same whatever database its rows come from
@pytest.mark.parametrize("walk", WALKS, ids=lambda walk: "-".join(str(part) for part in walk[0]))
def test_every_page_is_accessible_and_fits(
    new_page: Callable[..., Page],
    whole: WholeGroup,
    sign_in: Callable[[Page, Account], None],
    walk: list[tuple[str, int]],
) -> None:
    addresses = pages_of(whole)
    found: list[str] = []
    for reader, share in walk:
        page = new_page(viewport=PHONE)
        member = reader_of(whole, reader)
        if reader == "secured":
            sign_in_by_code(page, account_of(whole.volunteer).email)
        elif member is not None:
            sign_in(page, account_of(member))
        elif reader == "newcomer":
            sign_in(page, factories.make_account())
        for address in addresses[reader][share :: SHARES.get(reader, 1)]:
            page.goto(address)
            assert page.evaluate("location.pathname + location.search") == address, "leads elsewhere"
            expect(page.get_by_role("heading", level=1)).to_have_count(1)
            found += faults_of(page)
    assert not found, "\n".join(found)


@pytest.mark.once
def test_page_that_asks_for_the_mailed_code_is_accessible_and_fits(
    phone: Page, assert_accessible: Callable[[Page], None]
) -> None:
    ask_for_code(phone, "new@example.org")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Enter the code")
    assert_accessible(phone)


@pytest.mark.once
def test_every_address_of_the_site_is_looked_at_or_said_to_show_no_page(whole: WholeGroup) -> None:
    looked_at = {"account_confirm_login_code"}  # by the test above
    for address in (address for addresses in pages_of(whole).values() for address in addresses):
        try:
            looked_at.add(resolve(address.partition("?")[0]).view_name)
        except Resolver404:
            assert address == "/no-such-page/"
    assert looked_at & SHOW_NO_PAGE == set()
    assert looked_at | SHOW_NO_PAGE == set(names_of_all_addresses())


# --- Without scripts -----------------------------------------------------------------------------------------------


def ask_for_code(page: Page, email: str) -> None:
    page.goto("/accounts/login/code/")
    page.get_by_label("Email address").fill(email)
    page.get_by_role("button", name="Mail me a code").click()


def sign_in_by_code(page: Page, email: str) -> None:
    ask_for_code(page, email)
    enter_code(page)


def enter_code(page: Page) -> None:
    page.get_by_label("Code").fill(code_in(str(mail.outbox[-1].body)))
    page.get_by_role("button", name="Go on").click()


def test_a_newcomer_signs_up_without_scripts(new_page: Callable[..., Page], whole: WholeGroup) -> None:
    page = new_page(viewport=PHONE, java_script_enabled=False)
    page.goto(whole.unplanned.get_public_url())
    page.get_by_role("link", name="Sign up", exact=True).click()
    page.get_by_label("Your name").fill("Newt Newcomer")
    page.get_by_label("Email address").fill("new@example.org")
    choose(page, "Your age", "18 or older")
    page.get_by_role("button", name="Sign up").click()
    page.get_by_role("link", name="Where would you like to work?").click()  # the field that was left out
    expect(page.get_by_label("Your name")).to_have_value("Newt Newcomer")
    choose(page, "Where would you like to work?", "on land")
    page.get_by_role("button", name="Sign up").click()
    enter_code(page)
    expect(page.get_by_text("You have a place.")).to_be_visible()
    page.get_by_text("I can't come").click()
    page.get_by_role("button", name="Withdraw").click()
    expect(page.get_by_text("Newt Newcomer is withdrawn from this day.")).to_be_visible()
    assert SignUp.objects.get(member__name="Newt Newcomer").state == SignUp.State.WITHDRAWN


def test_a_crew_lead_runs_a_day_without_scripts(
    new_page: Callable[..., Page], whole: WholeGroup, sign_in: Callable[[Page, Account], None]
) -> None:
    page = new_page(viewport=PHONE, java_script_enabled=False)
    sign_in(page, account_of(whole.lead))
    page.goto(pages_of(whole)["lead"][0])
    page.get_by_role("button", name="Sign in Wader 2").click()
    expect(page.get_by_text("Wader 2 is signed in.")).to_be_visible()
    page.get_by_role("button", name="Sign out Wader 2").click()
    expect(page.get_by_text("Wader 2 is signed out.")).to_be_visible()
    page.get_by_role("link", name="Stems").click()
    page.get_by_label("Stems, if counted").fill("120")
    page.get_by_role("button", name="Write down").click()
    expect(page.get_by_text("The stems are written down.")).to_be_visible()
    page.get_by_role("link", name="Loads").click()
    choose(page, "Put away as", "pile on dry ground")
    page.get_by_label("How many").fill("2")
    page.get_by_role("textbox", name="Where").fill("Behind the barn")
    page.get_by_role("button", name="Write down").click()
    expect(page.get_by_text("The load is written down.")).to_be_visible()

"""The first page and the way in, in a real browser."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests import factories


@pytest.mark.parametrize("address", ["/", "/accounts/login/", "/no-such-page/"])
def test_page_for_everybody_is_accessible_and_fits(
    page: Page, phone: Page, assert_accessible: Callable[[Page], None], address: str
) -> None:
    for screen in (page, phone):
        screen.goto(address)
        assert_accessible(screen)


def test_person_who_is_signed_in_sees_the_own_start_page(
    page: Page, sign_in: Callable[[Page, object], None], assert_accessible: Callable[[Page], None]
) -> None:
    account = factories.make_account("ida@example.org")
    sign_in(page, account)
    page.goto("/")
    assert "/accounts/login/" not in page.url
    assert page.get_by_role("heading", level=1).count() == 1
    assert_accessible(page)

"""The look at colours leaves out what it has seen, and nothing else."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.axe import PHONE, faults_of

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

STAIN = """colour => {
  const text = Object.assign(document.createElement("p"), {id: "faint", textContent: "Faint words"});
  text.style.color = colour;
  document.querySelector("main").append(text);
}"""


def test_a_text_too_faint_in_one_scheme_alone_is_found_after_the_page_was_looked_at(
    new_page: Callable[..., Page],
) -> None:
    page = new_page(viewport=PHONE, bypass_csp=True)
    page.goto("/accounts/login/code/")
    assert list(faults_of(page)) == []
    page.evaluate(STAIN, "light-dark(#101010, #303030)")
    (fault,) = faults_of(page)
    assert " in dark at 360 px" in fault
    assert "color-contrast" in fault


def test_a_text_that_was_hidden_is_looked_at_when_it_shows(new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=PHONE, bypass_csp=True)
    page.goto("/accounts/login/code/")
    page.evaluate(STAIN, "light-dark(#bbbbba, #303031)")
    page.evaluate("faint.hidden = true")
    assert list(faults_of(page)) == []
    page.evaluate("faint.hidden = false")
    assert len(list(faults_of(page))) == 2  # in light and in the dark; a desk shows it like a phone

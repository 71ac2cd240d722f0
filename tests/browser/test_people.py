"""Forms of accounts, groups and people in a real browser: refusals lead to their field, all works without a script."""

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.factories import account_of, make_group, make_member, make_water_member

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_refused_profile_is_accessible_and_leads_to_the_field(
    phone: Page, sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    volunteer = make_water_member(make_group(), name="Nia Neighbour")
    sign_in(phone, account_of(volunteer))
    phone.goto(reverse("people:edit_profile", args=[volunteer.group.slug, volunteer.pk]))
    phone.locator("#id_boot_size").fill("99")
    phone.get_by_role("button", name="Save the profile").press("Enter")
    assert_accessible(phone)
    phone.get_by_role("link", name="Boot size").press("Enter")
    expect(phone.locator("#id_boot_size")).to_be_focused()
    expect(phone.locator("#id_boot_size")).to_have_value("99")


def test_the_questions_for_water_come_without_a_script(
    new_page: Callable[..., Page], sign_in: Callable[..., None]
) -> None:
    member = make_member(make_group(), name="Nia Neighbour")
    page = new_page(java_script_enabled=False)
    sign_in(page, account_of(member))
    page.goto(reverse("people:edit_profile", args=[member.group.slug, member.pk]))
    expect(page.get_by_label("Height")).to_have_count(0)
    page.get_by_label("Willing and able to work in water").check()
    page.get_by_role("button", name="Save the profile").click()
    page.get_by_label("Height").fill("171")
    page.get_by_label("Body mass").select_option("adult")
    page.locator("#id_boot_size").fill("8")
    page.get_by_label("Boot size is in").select_option("US women")
    page.locator("#id_hand_size").fill("8")
    page.get_by_label("Hand is given as").select_option("glove")
    page.get_by_role("button", name="Save the profile").click()
    expect(page.get_by_text("can be planned into water")).to_be_visible()
    expect(page.get_by_text("EU 38.5")).to_be_visible()

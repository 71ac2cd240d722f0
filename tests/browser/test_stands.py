"""Forms of stands in a real browser: refusals lead to their field, and all works without scripts."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from tests import factories

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_form_with_errors_is_accessible_and_leads_to_the_field(
    phone: Page,
    sign_in: Callable[..., None],
    assert_accessible: Callable[[Page], None],
) -> None:
    group = factories.make_group()
    sign_in(phone, factories.make_member(group, role=Role.ORGANIZER).account)
    phone.goto(f"/g/{group.slug}/stands/sites/new/")
    phone.get_by_label("Latitude").fill("95")
    phone.get_by_role("button", name="Record the site").click()
    assert_accessible(phone)
    phone.get_by_role("link", name="Latitude and longitude: “95” is no position.").click()
    assert phone.get_by_label("Latitude").input_value() == "95"


def test_a_site_is_recorded_without_scripts(new_page: Callable[..., Page], sign_in: Callable[..., None]) -> None:
    group = factories.make_group()
    page = new_page(java_script_enabled=False)
    sign_in(page, factories.make_member(group, role=Role.ORGANIZER).account)
    page.goto(f"/g/{group.slug}/stands/")
    page.get_by_role("link", name="Add a site").click()
    for label, value in (
        ("Name", "Otter Point"),
        ("Latitude and longitude", "44.3, -76.4"),
        ("Time zone", "america/toronto"),
        ("Meeting place", "Under the oak"),
        ("Nearest emergency entrance", "Mill road"),
        ("Authority that set the permitted weeks", "Lake authority"),
    ):
        page.get_by_label(label).fill(value)
    for legend, day, month in (("First permitted day", "1", "August"), ("Last permitted day", "30", "September")):
        weeks = page.get_by_role("group", name=legend)
        weeks.get_by_label("Day").fill(day)
        weeks.get_by_label("Month").select_option(label=month)
    page.get_by_role("button", name="Record the site").click()
    expect(page.get_by_text("“Otter Point” is recorded.")).to_be_visible()
    assert Site.objects.get(name="Otter Point").time_zone == "America/Toronto"

"""Pages of stands and stock in a real browser: they fit a phone, axe finds nothing, and forms work without scripts."""

import datetime
from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page

from reedcrew.people.models import Group
from reedcrew.people.roles import Role
from reedcrew.stands import services
from reedcrew.stands.models import Site
from reedcrew.trade.identification import Identification
from reedcrew.trade.items import Item
from tests import factories


@pytest.fixture
def pages(live_site: str) -> tuple[Group, list[str]]:
    """A group with some of everything, and the addresses of the apps' pages."""
    group = factories.make_group(slug="heron-crew")
    site = factories.make_site(
        group, name="Heron Landing", hazards="Drop-off beside the pier", access="Past the barn", parking="Two cars"
    )
    stand = factories.make_stand(group, site=site, name="North bay", first_cut_year=2024)
    factories.make_stand(group, site=site, name="Old fen", identification=Identification.NATIVE.value)
    zone = factories.make_zone(stand, name="Deep edge", depth_cm=60, gauge_cm=20, current_m_s=1)
    factories.make_zone(stand, name="Bank", depth_cm=0)
    actor, now = factories.make_account(), timezone.now()
    services.record_check(
        stand=stand,
        result=Identification.INTRODUCED,
        characters="Sheaths held tight on dead stems, stems tan",
        checked_on=datetime.date(2026, 7, 1),
        actor=actor,
        now=now,
    )
    services.record_water_level(site=site, level_cm=35, read_at=now - datetime.timedelta(days=3), actor=actor, now=now)
    line = factories.make_stock(group, Item.CHEST_WADERS, 4, size="43")
    factories.make_stock(group, Item.SPADE, 0)
    stands, stock = f"/g/{group.slug}/stands", f"/g/{group.slug}/stock"
    return group, [
        f"{stands}/",
        f"{stands}/{stand.pk}/",
        f"{stands}/{stand.pk}/change/",
        f"{stands}/{stand.pk}/check/",
        f"{stands}/{stand.pk}/zones/new/",
        f"{stands}/{stand.pk}/zones/{zone.pk}/",
        f"{stands}/{stand.pk}/zones/{zone.pk}/remove/",
        f"{stands}/sites/new/",
        f"{stands}/sites/{site.pk}/",
        f"{stands}/sites/{site.pk}/change/",
        f"{stands}/sites/{site.pk}/stands/new/",
        f"{stands}/sites/{site.pk}/level/",
        f"{stock}/",
        f"{stock}/new/",
        f"{stock}/{line.pk}/",
        f"{stock}/{line.pk}/movements/new/",
    ]


def test_every_page_is_accessible_and_fits(
    page: Page,
    phone: Page,
    pages: tuple[Group, list[str]],
    sign_in: Callable[..., None],
    assert_accessible: Callable[[Page], None],
) -> None:
    group, addresses = pages
    account = factories.make_member(group, role=Role.ORGANIZER).account
    wide = [address for address in addresses if address.count("/") <= 5]  # lists and the pages of one stand and line
    for screen, shown in ((phone, addresses), (page, wide)):
        sign_in(screen, account)
        for address in shown:
            response = screen.goto(address)
            assert response is not None
            assert response.status == 200, address
            assert_accessible(screen)


def test_a_form_with_errors_is_accessible_and_leads_to_the_field(
    phone: Page,
    pages: tuple[Group, list[str]],
    sign_in: Callable[..., None],
    assert_accessible: Callable[[Page], None],
) -> None:
    group, _addresses = pages
    sign_in(phone, factories.make_member(group, role=Role.ORGANIZER).account)
    phone.goto(f"/g/{group.slug}/stands/sites/new/")
    phone.get_by_label("Latitude").fill("95")
    phone.get_by_role("button", name="Record the site").click()
    assert_accessible(phone)
    phone.get_by_role("link", name="Latitude: Write 90 ° or less.").click()
    assert phone.get_by_label("Latitude").input_value() == "95"


def test_a_site_is_recorded_without_scripts(
    new_page: Callable[..., Page], pages: tuple[Group, list[str]], sign_in: Callable[..., None]
) -> None:
    group, _addresses = pages
    page = new_page(java_script_enabled=False)
    sign_in(page, factories.make_member(group, role=Role.ORGANIZER).account)
    page.goto(f"/g/{group.slug}/stands/")
    page.get_by_role("link", name="Add a site").click()
    for label, value in (
        ("Name", "Otter Point"),
        ("Latitude", "44.3"),
        ("Longitude", "-76.4"),
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
    assert page.get_by_role("heading", level=1).inner_text() == "Otter Point"
    assert Site.objects.get(name="Otter Point").time_zone == "America/Toronto"

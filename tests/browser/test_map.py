"""Maps in a real browser: drawing a zone with the pointer, and with corners where there is no script."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from reedcrew.people.models import Account
from reedcrew.people.roles import Role
from reedcrew.stands.models import Stand, Zone
from tests import factories
from tests.browser.axe import PHONE
from tests.factories import account_of

pytestmark = pytest.mark.django_db(transaction=True)

SQUARE = {
    "type": "Polygon",
    "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]],
}


@pytest.fixture
def stand(live_site: str) -> Stand:
    group = factories.make_group()
    stand = factories.make_stand(group, name="North bay", outline=SQUARE)
    factories.make_zone(stand, name="Deep edge", depth_cm=60, outline=SQUARE)
    return stand


@pytest.fixture
def organizer(stand: Stand) -> Account:
    return account_of(factories.make_member(stand.site.group, role=Role.ORGANIZER))


def fill_zone(page: Page, name: str) -> None:
    page.get_by_label("Name").fill(name)
    page.get_by_label("Depth at the survey").fill("20")
    page.get_by_label("Surveyed on").fill("2026-07-01")


def press(board: Locator, across: float, down: float) -> None:
    """Press the map at a place, given as shares of its width and height."""
    place = board.locator("[data-place]")
    box = place.bounding_box()
    assert box is not None
    place.click(position={"x": box["width"] * across, "y": box["height"] * down})


def ready(page: Page, what: str) -> Locator:
    board = page.locator(what)
    expect(board).to_have_attribute("data-ready", "yes")
    board.scroll_into_view_if_needed()
    return board


def test_a_zone_is_drawn_with_the_pointer_and_its_corners_are_moved(
    page: Page, stand: Stand, organizer: Account, sign_in: Callable[..., None]
) -> None:
    sign_in(page, organizer)
    page.goto(f"/g/{stand.site.group.slug}/stands/{stand.pk}/zones/new/")
    fill_zone(page, "Shallows")
    board = ready(page, "[data-board]")
    page.get_by_role("button", name="Draw the outline").click()
    for across, down in ((0.4, 0.4), (0.6, 0.4), (0.6, 0.6), (0.5, 0.7), (0.4, 0.6)):
        press(board, across, down)
    page.get_by_role("button", name="Take the last corner back").click()
    page.get_by_role("button", name="Close the outline").click()
    expect(board.get_by_role("status")).to_contain_text("4 corners")
    text = page.get_by_label("Outline on the map")
    drawn = text.input_value()
    assert drawn.startswith('{"type":"Polygon"')
    page.get_by_role("button", name="Move corners").click()
    corner = board.locator(".leaflet-edit-move, .leaflet-editing-icon").first
    box = corner.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 4, box["y"] + 4)
    page.mouse.down()
    page.mouse.move(box["x"] - 20, box["y"] - 16, steps=4)
    page.mouse.up()
    expect(text).not_to_have_value(drawn)
    page.get_by_role("button", name="Record the zone").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("North bay")
    zone = Zone.objects.get(name="Shallows")
    assert zone.outline is not None
    assert len(zone.outline["coordinates"][0]) == 5
    assert zone.area_m2 > 100


def test_a_zone_is_walked_around_with_a_phone(
    new_page: Callable[..., Page], stand: Stand, organizer: Account, sign_in: Callable[..., None]
) -> None:
    page = new_page(viewport=PHONE, has_touch=True, permissions=["geolocation"])
    sign_in(page, organizer)
    page.goto(f"/g/{stand.site.group.slug}/stands/{stand.pk}/zones/new/")
    fill_zone(page, "Walked")
    board = ready(page, "[data-board]")
    places = ((44.2502, -76.4998), (44.2502, -76.4994), (44.2506, -76.4996))
    for latitude, longitude in places:
        page.context.set_geolocation({"latitude": latitude, "longitude": longitude, "accuracy": 4})
        page.get_by_role("button", name="Add a corner where I stand").click()
        expect(page.get_by_label("Outline on the map")).to_have_value(
            "\n".join(f"{y:.6f}, {x:.6f}" for y, x in places[: places.index((latitude, longitude)) + 1])
        )
    expect(board.get_by_role("status")).to_contain_text("exact to about 4 m")
    page.get_by_role("button", name="Record the zone").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("North bay")
    assert Zone.objects.get(name="Walked").outline is not None


def test_a_zone_is_given_by_corners_without_scripts_and_an_error_keeps_them(
    new_page: Callable[..., Page], stand: Stand, organizer: Account, sign_in: Callable[..., None]
) -> None:
    page = new_page(viewport=PHONE, java_script_enabled=False)
    sign_in(page, organizer)
    page.goto(f"/g/{stand.site.group.slug}/stands/{stand.pk}/zones/new/")
    fill_zone(page, "Shallows")
    expect(page.get_by_role("button", name="Draw the outline")).to_have_count(0)
    text = page.get_by_label("Outline on the map")
    text.fill("-76.5, 44.25\n-76.499, 44.25\n-76.499, 44.251")
    page.get_by_role("button", name="Record the zone").click()
    page.get_by_role("link", name="latitude comes first").click()
    expect(text).to_have_value("-76.5, 44.25\n-76.499, 44.25\n-76.499, 44.251")
    text.fill("44.25, -76.5\n44.25, -76.499\n44.251, -76.499")
    page.get_by_role("button", name="Record the zone").click()
    expect(page.get_by_role("img", name="Map, north up.")).to_be_visible()
    expect(page.get_by_role("table", name="Zones on the map")).to_contain_text("Shallows")
    assert Zone.objects.get(name="Shallows").area_m2 > 4000


def test_the_live_map_shows_stands_and_zones_by_name_and_pattern(
    page: Page, stand: Stand, organizer: Account, sign_in: Callable[..., None]
) -> None:
    sign_in(page, organizer)
    page.goto(f"/g/{stand.site.group.slug}/map/")
    figure = ready(page, "[data-map]")
    expect(figure.locator(".leaflet-tooltip.map-label")).to_have_text("Deep edge: deep")
    expect(figure.locator(".map-live path.zone-deep")).to_have_attribute("fill", "url(#map-deep)")
    expect(figure.locator(".map-sheet")).to_be_hidden()
    icon = figure.locator(".leaflet-marker-icon[alt]").first
    assert icon.evaluate("image => image.complete && image.naturalWidth > 0")
    icon.press("Enter")
    figure.get_by_role("link", name=stand.site.name).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(stand.site.name)


def test_the_map_is_accessible(
    phone: Page,
    stand: Stand,
    organizer: Account,
    sign_in: Callable[..., None],
    assert_accessible: Callable[[Page], None],
) -> None:
    sign_in(phone, organizer)
    phone.goto(f"/g/{stand.site.group.slug}/map/")
    ready(phone, "[data-map]")
    assert_accessible(phone)
    phone.goto(f"/g/{stand.site.group.slug}/stands/{stand.pk}/outline/")
    ready(phone, "[data-board]")
    assert_accessible(phone)

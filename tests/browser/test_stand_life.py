"""A stand's life in a real browser: which reed, two zones, ten quadrats, and water that changes the tool of a day.

Expected figures: stratified total by Cochran's formula set, area by the ellipsoid of WGS 84; over 30 cm of water the
spade gives way to the cane cutter (design, rule 4).
"""

import datetime
from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from reedcrew.people.roles import Role
from reedcrew.stands.models import Zone
from tests import factories
from tests.browser.walking import choose, panel

pytestmark = pytest.mark.django_db(transaction=True)

DAY = datetime.timedelta(days=1)
GAUGE_CM, RISE_CM = 100, 25
# Corners of two fields beside each other, latitude first, one corner a line.
BANK = "44.2500, -76.5000\n44.2500, -76.4995\n44.2503, -76.4995\n44.2503, -76.5000"
EDGE = "44.2503, -76.5000\n44.2503, -76.4995\n44.2506, -76.4995\n44.2506, -76.5000"
COUNTS = {"Bank": (42, 55, 38, 61, 47), "Edge": (12, 9, 20, 15, 11)}


def add_zone(page: Page, name: str, outline: str, *, depth_cm: int, today: datetime.date) -> None:
    page.get_by_role("link", name="Add a zone").click()
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Depth at the survey").fill(str(depth_cm))
    page.get_by_label("Surveyed on").fill(today.isoformat())
    page.get_by_label("Gauge level at the survey").fill(str(GAUGE_CM))
    page.get_by_label("Outline on the map").fill(outline)
    page.get_by_role("button", name="Record the zone").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("North bay")


def zone_panel(page: Page, name: str) -> Locator:
    return page.locator("section.panel").filter(has=page.get_by_role("heading", name=name, exact=True, level=3))


def test_a_stand_is_identified_drawn_surveyed_and_its_day_marked_when_the_water_rises(
    new_page: Callable[..., Page], sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    today = timezone.now().date() - DAY  # in every zone of time a day that has begun
    group = factories.make_group()
    site = factories.make_site(group, latitude="44.250300", longitude="-76.499800")
    factories.make_gauge(site)
    stand = factories.make_stand(group, site=site, name="North bay", identification="unchecked")
    page = new_page()
    sign_in(page, factories.make_member(group, role=Role.ORGANIZER, name="Robin Alder").account)

    page.goto(stand.get_absolute_url())
    expect(page.get_by_text("No work day can be posted on this stand.")).to_be_visible()
    page.get_by_role("link", name="Record a check").first.click()
    choose(page, "Leaf sheaths on dead stems", "Hold tight, hard to pull off")
    choose(page, "Colour of the lower stem", "Tan to dull green, no dark red")
    choose(page, "Round black spots on the stem", "None on several stems")
    page.get_by_role("button", name="Record the check").click()
    expect(panel(page, "What it finds")).to_contain_text("introduced")
    page.get_by_role("link", name="Decide which reed it is").click()
    choose(page, "Which reed it is", "introduced")
    page.get_by_role("group", name="Checks on which it rests").get_by_role("checkbox").first.check()
    page.get_by_label("Reason").fill("Sheaths hold and stems are tan on ten stems.")
    page.get_by_role("button", name="Record the decision").click()
    expect(panel(page, "Which reed it is")).to_contain_text("introduced")

    page.goto(stand.get_absolute_url())
    add_zone(page, "Bank", BANK, depth_cm=20, today=today)
    add_zone(page, "Edge", EDGE, depth_cm=60, today=today)

    page.get_by_role("link", name="Record a survey").click()
    page.get_by_label("Counted on").fill(today.isoformat())
    for zone, counts in COUNTS.items():
        for number, stems in enumerate(counts, 1):
            page.get_by_role("group", name=f"Quadrat {number} of {zone}").get_by_label("Stems").fill(str(stems))
    page.get_by_role("button", name="Record the survey").click()
    page.goto(stand.get_absolute_url())
    area = {zone.name: float(zone.area_m2 or 0) for zone in Zone.objects.filter(stand=stand)}
    expected = sum(area[zone] * sum(counts) / len(counts) for zone, counts in COUNTS.items())
    stems_panel = page.locator("#stems")
    expect(stems_panel).to_contain_text(f"{round(expected):,}")
    expect(stems_panel).to_contain_text("95 % interval")
    expect(page.locator("#outlook")).to_contain_text("Crew-days left")
    expect(zone_panel(page, "Bank")).to_contain_text("sharpened spade")
    assert_accessible(page)

    start = timezone.now() + 3 * DAY
    day = factories.make_day(stand, title="Saturday cut", starts_at=start, ends_at=start + DAY / 8, date=start.date())
    page.get_by_role("link", name="Record a gauge level").first.click()
    page.get_by_label("Gauge level").fill(str(GAUGE_CM + RISE_CM))
    page.get_by_role("button", name="Record the level").click()
    page.goto(stand.get_absolute_url())
    expect(zone_panel(page, "Bank")).to_contain_text("45 cm")
    expect(zone_panel(page, "Bank")).to_contain_text("cane cutter")
    page.goto(day.get_absolute_url())
    expect(page.get_by_text("Bank: 45 cm of water instead of 20 cm.")).to_be_visible()

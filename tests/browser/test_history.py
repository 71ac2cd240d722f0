"""A stand's years in a browser: charts load in both schemes, the tables fit a phone, all is accessible."""

import datetime
from collections.abc import Callable
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.people.models import Account
from reedcrew.stands.models import Stand
from tests.browser.axe import PHONE, faults_of
from tests.factories import account_of, make_closed_day, make_group, make_member, make_stand, make_survey, make_zone

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def stand() -> Stand:
    """Surveyed in three years and cut in two of them, the latest this year."""
    year = timezone.now().year
    found = make_stand(make_group(), first_cut_year=year - 2)
    deep = make_zone(found, name="Pool", depth_cm=60, area_m2=Decimal(100), surveyed_on=datetime.date(year - 2, 1, 2))
    bank = make_zone(found, name="Bank", depth_cm=0, area_m2=Decimal(50), surveyed_on=datetime.date(year - 2, 1, 2))
    for ago, counts in ((2, [80, 102, 121]), (1, [30, 41, 55]), (0, [9, 12, 20])):
        make_survey(found, {deep: counts, bank: counts}, surveyed_on=datetime.date(year - ago, 1, 3))
    for ago, stems in ((2, 3_900), (1, 2_700)):
        make_closed_day(found, datetime.date(year - ago, 8, 1), tallies={deep: stems, bank: 600}, in_water=8, on_land=3)
    return found


@pytest.mark.once
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_years_of_a_stand_are_seen_as_charts_and_tables(
    new_page: Callable[..., Page], sign_in: Callable[[Page, Account], None], stand: Stand, scheme: str
) -> None:
    page = new_page(viewport=PHONE, color_scheme=scheme, java_script_enabled=True)
    sign_in(page, account_of(make_member(stand.site.group)))
    page.goto(reverse("stands:history", args=[stand.site.group.slug, stand.pk]))
    charts = page.get_by_role("img", name="Chart:")
    expect(charts).to_have_count(3)
    for number in range(3):
        charts.nth(number).scroll_into_view_if_needed()
        expect(charts.nth(number)).to_have_js_property("complete", True, timeout=30_000)
        assert charts.nth(number).evaluate("image => image.naturalWidth") > 0
        assert f".{scheme}.svg" in charts.nth(number).evaluate("image => image.currentSrc")
    for summary in page.locator("main summary").all():
        summary.press("Enter")
    assert not list(faults_of(page))
    page.goto(f"{page.url}?in_water=4&on_land=2&hours=0")
    expect(page.get_by_label("Hours of each")).to_have_value("0")
    assert not list(faults_of(page))


@pytest.mark.once
def test_another_crew_is_asked_for_without_a_script(
    new_page: Callable[..., Page], sign_in: Callable[[Page, Account], None], stand: Stand
) -> None:
    page = new_page(viewport=PHONE, java_script_enabled=False)
    sign_in(page, account_of(make_member(stand.site.group)))
    page.goto(reverse("stands:stand", args=[stand.site.group.slug, stand.pk]))
    page.get_by_role("link", name="History and forecast").click()
    page.get_by_label("People cutting in water").fill("20")
    page.get_by_role("button", name="Reckon").click()
    expect(page.get_by_label("People cutting in water")).to_have_value("20")
    expect(page.get_by_role("heading", name="Work left")).to_be_visible()

"""A survey on a phone without scripts: places, ten quadrats, the estimate on the stand's page."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from reedcrew.people.models import Account
from reedcrew.people.roles import Role
from reedcrew.stands.models import Survey
from tests import factories
from tests.browser.axe import PHONE
from tests.browser.whole_group import OUTLINE
from tests.factories import account_of

pytestmark = pytest.mark.django_db(transaction=True)

EDGE, DEEP = (42, 55, 38, 61, 47), (12, 9, 20, 15, 11)


def test_ten_quadrats_are_entered_with_a_thumb_and_become_an_estimate(
    live_site: str, new_page: Callable[..., Page], sign_in: Callable[[Page, Account], None]
) -> None:
    group = factories.make_group()
    organizer = factories.make_member(group, role=Role.ORGANIZER, name="Robin Alder")
    stand = factories.make_stand(group)
    for name in ("Deep", "Edge"):
        factories.make_zone(stand, name=name, outline=OUTLINE, area_m2=Decimal(1774), stems=0)
    page = new_page(viewport=PHONE, java_script_enabled=False)
    sign_in(page, account_of(organizer))

    page.goto(stand.get_absolute_url())
    page.get_by_role("link", name="Record a survey").click()
    rows = [*(("Deep", number, stems) for number, stems in enumerate(DEEP, 1))]
    rows += [("Edge", number, stems) for number, stems in enumerate(EDGE, 1)]
    for zone, number, stems in rows:
        page.get_by_role("group", name=f"Quadrat {number} of {zone}").get_by_label("Stems").fill(str(stems))
    page.get_by_role("group", name="Quadrat 2 of Edge").get_by_label("Seed heads").fill("56")
    page.get_by_role("button", name="More rows for Edge").click()
    expect(page.get_by_role("group", name="Quadrat 10 of Edge")).to_be_visible()
    page.get_by_role("button", name="Record the survey").click()

    expect(page.get_by_role("alert")).to_contain_text("a stem carries one seed head at most, so write 55 or less")
    page.get_by_role("group", name="Quadrat 2 of Edge").get_by_label("Seed heads").fill("5")
    page.get_by_role("button", name="Record the survey").click()

    expect(page.get_by_text("The survey is recorded.")).to_be_visible()
    assert Survey.objects.get().quadrats.count() == 10
    page.goto(stand.get_absolute_url())
    # 1774 m² × (48.6 + 13.4) stems/m²; limits by the stratified formula with scipy's t.
    told = page.locator("#stems")
    expect(told).to_contain_text("109,988")
    expect(told).to_contain_text("Quadrats")
    told.get_by_text("How the total is computed").click()
    expect(told).to_contain_text("Satterthwaite")

"""Water and calendar in a real browser: a level marks a day, rows are mended, a year is read week by week."""

import datetime
import re
from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.people.roles import Role
from reedcrew.workdays.models import DayMark
from tests import factories
from tests.browser.walking import choose

pytestmark = pytest.mark.django_db(transaction=True)

DAY = datetime.timedelta(days=1)


def test_a_level_that_changes_the_tool_marks_the_day_until_the_organizer_looks(
    new_page: Callable[..., Page], sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    """Over 30 cm of water the spade gives way to the cane cutter (design, rule 4). Works without scripts."""
    now = timezone.now()
    group = factories.make_group()
    stand = factories.make_stand(group)
    factories.make_zone(stand, name="North edge", depth_cm=20, gauge_cm=100, surveyed_on=now.date() - DAY)
    start = now + 3 * DAY
    day = factories.make_day(stand, starts_at=start, ends_at=start + DAY / 8, date=start.date())
    page = new_page(java_script_enabled=False)
    sign_in(page, factories.make_member(group, role=Role.ORGANIZER, name="Robin Alder").account)

    page.goto(f"/g/{group.slug}/stands/sites/{stand.site_id}/level/")
    page.get_by_role("link", name="Record a gauge").click()
    page.get_by_label("Name or number of the gauge").fill("Pier staff")
    page.get_by_label("Read from this day on").fill("2020-01-01")
    page.get_by_role("button", name="Record the gauge").click()
    expect(page.get_by_role("link", name="Without a datum nobody can say later")).to_be_visible()
    page.get_by_label("Datum: what its zero is").fill("painted mark on the third pile")
    page.get_by_role("button", name="Record the gauge").click()

    page.get_by_role("link", name="Record a gauge level").click()
    page.get_by_label("Gauge level").fill("120")
    page.get_by_role("button", name="Record the level").click()
    page.goto(f"/g/{group.slug}/")
    page.get_by_role("link", name=f"Look at it, plan the day again ({day.title})").click()
    expect(page.get_by_text("North edge: 40 cm of water instead of 20 cm.")).to_be_visible()
    page.get_by_role("button", name="I have looked at it").click()
    expect(page.get_by_text("What moved, looked at by Robin Alder")).to_be_visible()
    assert DayMark.objects.get().seen_at is not None


def test_rows_of_readings_are_mended_where_they_are_wrong(
    phone: Page, sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    group = factories.make_group()
    gauge = factories.make_gauge(factories.make_site(group))
    sign_in(phone, factories.make_member(group, role=Role.ORGANIZER).account)
    phone.goto(f"/g/{group.slug}/stands/sites/{gauge.site_id}/levels/many/")
    phone.get_by_label("Readings").fill("read_at;level\n2021-08-01 09:30;120,4\n1.8.2021;118\n")
    phone.get_by_role("button", name="Keep the readings").click()
    expect(phone.get_by_role("link", name="Row 3, read_at")).to_be_visible()
    assert_accessible(phone)
    phone.get_by_label("Readings").fill("read_at;level\n2021-08-01 09:30;1,204\n2021-08-02 09:30;1,18\n")
    choose(phone, "Levels are in", "metres")
    phone.get_by_role("button", name="Keep the readings").click()
    expect(phone.get_by_text("2 new readings are kept.")).to_be_visible()
    assert_accessible(phone)
    assert list(gauge.levels.values_list("level_cm", flat=True)) == [118, 121]


def test_the_calendar_of_a_site_is_read_by_weeks_and_years(
    phone: Page, sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    group = factories.make_group()
    site = factories.make_site(group)
    factories.make_notice(site, scope="water")
    sign_in(phone, factories.make_member(group, role=Role.ORGANIZER).account)
    phone.goto(f"/g/{group.slug}/stands/sites/{site.pk}/calendar/?year=2025")
    july = phone.get_by_role("table", name="July 2025")
    expect(july.get_by_role("row", name="14–20 closed 14 dry ground only 15–20")).to_be_visible()
    assert_accessible(phone)
    phone.get_by_role("link", name="2026").click()
    expect(phone.get_by_role("table", name="July 2026").get_by_role("row")).to_have_count(6)
    phone.goto(f"/g/{group.slug}/stands/sites/{site.pk}/notices/")
    assert_accessible(phone)
    phone.get_by_role("link", name=re.compile("Change ?: Lake wardens")).click()
    assert_accessible(phone)

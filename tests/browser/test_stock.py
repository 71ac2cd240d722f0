"""A set of waders through a season on a phone: booked, handed out, returned, cleaned, dried, in stock again."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.contrib.auth.base_user import AbstractBaseUser
from django.utils import timezone
from playwright.sync_api import Page, expect

from reedcrew.crews import services
from reedcrew.people.roles import Role
from reedcrew.stock.models import Booking
from reedcrew.stock.views.sets import address_of
from reedcrew.trade.items import Item
from tests import factories
from tests.browser.axe import PHONE
from tests.crews.crowd import sign_up_shore, sign_up_waders
from tests.factories import account_of, make_sets, make_stock

pytestmark = pytest.mark.django_db(transaction=True)

SignIn = Callable[[Page, AbstractBaseUser], None]


def test_a_set_of_waders_goes_through_a_season_by_its_label(
    new_page: Callable[..., Page], sign_in: SignIn, live_site: str
) -> None:
    group = factories.make_group()
    sets = make_sets(group, Item.CHEST_WADERS, 2, size="43")
    make_stock(group, Item.LIFE_JACKET, 2, size="adult")
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    now = timezone.now().replace(second=0, microsecond=0)
    day = factories.make_day(stand)
    day.starts_at, day.ends_at = now + timedelta(hours=1), now + timedelta(hours=4)
    day.date = day.starts_at.astimezone(day.zone_info).date()
    day.save()
    sign_up_waders(day, "Ann Wader", "Bo Wader")
    ashore = sign_up_shore(day, "Ida Aid", "Sam Spotter")
    type(ashore[0].profile).objects.filter(member=ashore[0]).update(first_aid_until=day.date)
    lead = factories.make_member(group, role=Role.CREW_LEAD, name="Lea Lead")
    plan = services.make_plan(day=day, actor=None, now=now)
    services.accept_plan(plan=plan, actor=account_of(lead), now=now)
    waders = Booking.objects.get(member__name="Ann Wader").gear_set
    assert waders in sets

    page = new_page(viewport=PHONE, has_touch=True)
    label = address_of(waders)
    assert label.startswith(live_site)
    page.goto(label)
    expect(page.get_by_role("heading", name=str(waders))).to_have_count(0)  # whoever finds it signs in first
    sign_in(page, account_of(lead))
    page.goto(label)
    expect(page.get_by_role("heading", name=str(waders), level=1)).to_be_visible()

    page.goto(f"{day.get_absolute_url()}gear/")
    page.get_by_role("button", name="Hand out Ann Wader").tap()
    expect(page.get_by_text("Ann Wader has their gear.")).to_be_visible()
    page.goto(label)
    for press, place in (("Returned", "back, to clean and dry"), ("Cleaned", "cleaned, to dry"), ("Dried", "in stock")):
        page.get_by_role("button", name=press, exact=True).tap()
        expect(page.get_by_text(f"Recorded: {press.lower()}.")).to_be_visible()
        expect(page.locator("header, main").get_by_text(place, exact=True).first).to_be_visible()
    story = page.get_by_role("table", name="Its story, the latest first").locator("tbody tr")
    told = [row.locator("td").nth(1).inner_text() for row in story.all()]
    assert told == ["dried", "cleaned", "returned", "handed out", "booked", "received"]
    expect(page.get_by_role("link", name=f"Hand out: {day.title}")).to_be_visible()  # for the next one who needs it

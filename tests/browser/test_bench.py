"""The bench, from Thursday evening to Saturday morning: pinned, refused, supposed, accepted, amended; in a browser."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.contrib.auth.base_user import AbstractBaseUser
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from reedcrew.crews import services
from reedcrew.crews.models import Plan
from reedcrew.people.roles import Role
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.browser.axe import PHONE
from tests.crews.crowd import day_with_gear, sign_up_shore, sign_up_waders, units_of
from tests.factories import account_of

pytestmark = pytest.mark.django_db(transaction=True)

SignIn = Callable[[Page, AbstractBaseUser], None]
WADERS = tuple(f"{name} Wader" for name in ("Ann", "Bo", "Cy", "Di", "Ed", "Flo", "Gus", "Hal"))


@pytest.fixture
def day() -> WorkDay:
    """A day that begins in an hour: eight waders, and people on shore."""
    day = day_with_gear()
    now = timezone.now().replace(second=0, microsecond=0)
    day.starts_at, day.ends_at = now + timedelta(minutes=1), now + timedelta(hours=4)
    day.date = day.starts_at.astimezone(day.zone_info).date()
    day.save()
    sign_up_waders(day, *WADERS)
    ashore = sign_up_shore(day, "Ida Aid", "Sam Spotter", "Sol Shore")
    type(ashore[0].profile).objects.filter(member=ashore[0]).update(first_aid_until=day.date)
    services.make_plan(day=day, actor=None, now=now)
    return day


def choose_pin(page: Page, kind: str, person: str, other: str) -> Locator:
    """Fill in the pin form by hand, as with a keyboard; returns the form."""
    form = page.locator("#pin-form")
    form.get_by_label("What to pin").select_option(label=kind)
    form.get_by_label("Person", exact=True).select_option(label=person)
    form.get_by_label("Other person").select_option(label=other)
    return form


def test_a_plan_is_pinned_tried_accepted_read_and_amended(
    new_page: Callable[..., Page], sign_in: SignIn, day: WorkDay
) -> None:
    organizer, lead, volunteer = new_page(), new_page(viewport=PHONE, has_touch=True), new_page(viewport=PHONE)
    sign_in(organizer, account_of(factories.make_member(day.group, role=Role.ORGANIZER, name="Ada Organizer")))
    sign_in(lead, account_of(factories.make_member(day.group, role=Role.CREW_LEAD, name="Lea Lead")))
    sign_in(volunteer, account_of(day.sign_ups.get(member__name="Ann Wader").member))
    bench = f"{day.get_absolute_url()}plan/"

    organizer.goto(bench)
    choose_pin(organizer, "work in one unit", "Ann Wader", "Hal Wader").get_by_role("button", name="Pin").click()
    expect(organizer.get_by_text("It is pinned, and the day is planned anew.")).to_be_visible()
    unit = organizer.locator("section.panel").filter(has=organizer.get_by_role("heading", name=re.compile(r"^Unit \d")))
    expect(unit.filter(has_text="Ann Wader")).to_contain_text("Hal Wader")

    form = choose_pin(organizer, "work in one unit", "Bo Wader", "Sam Spotter")
    form.get_by_role("button", name="Pin", exact=True).click()
    wrong = organizer.locator("#pin-form .field-wrong")
    expect(wrong).to_contain_text("H4: Sam Spotter is not signed up as willing and able to work in water.")
    expect(wrong.get_by_label("Other person")).to_be_visible()
    expect(organizer.locator("#pins").get_by_role("button", name="Take back")).to_have_count(1)

    what_if = organizer.locator("#what-if")
    what_if.get_by_label("Water higher by").fill("40")
    what_if.get_by_role("button", name="Show what would change").click()
    expect(what_if).to_contain_text("People in water: 8 now, 0 then.")

    volunteer.goto("/")
    expect(volunteer.get_by_text("Places are decided by an organizer")).to_be_visible()
    expect(volunteer.get_by_text("beside Hal")).to_have_count(0)
    organizer.goto(bench)
    organizer.get_by_role("button", name="Accept the plan").click()
    expect(organizer.get_by_text("Accepted by Ada Organizer")).to_be_visible()
    volunteer.goto("/")
    expect(volunteer.get_by_text("beside Hal")).to_be_visible()
    for unsaid in ("Bo", "Cy", "Hal Wader", "Sam", "Ida"):
        expect(volunteer.get_by_role("main")).not_to_contain_text(unsaid)

    told = units_of(Plan.objects.get(told=True))
    pairs = [names for names in told.values() if "Ann Wader" not in names]
    gone = sorted(pairs[0]) + sorted(pairs[1])[:1]  # a whole pair, and one of another
    three_do_not_come(lead, day, gone)
    services.make_due_plan(day_pk=day.pk, now=timezone.now())

    lead.goto(bench)
    expect(lead.get_by_text("What people were told does not stand any more")).to_be_visible()
    expect(lead.get_by_text("2 units must not go into the water as they are.")).to_be_visible()
    lead.get_by_role("button", name="Accept the change").click()
    expect(lead.get_by_text("The change is accepted.")).to_be_visible()
    expect(lead.get_by_text("What people were told does not stand any more")).to_have_count(0)
    whole = {number: names for number, names in told.items() if not names & set(gone)}
    assert len(whole) == 2
    assert whole.items() <= units_of(Plan.objects.get(told=True)).items()
    volunteer.goto("/")
    expect(volunteer.get_by_text("beside Hal")).to_be_visible()


def three_do_not_come(page: Page, day: WorkDay, names: list[str]) -> None:
    """The crew lead marks them at sign-in, on a phone."""
    page.goto(f"{day.get_absolute_url()}field/people/")
    for name in names:
        page.get_by_role("button", name=f"Did not come ({name})").click()
        expect(page.get_by_text(f"{name} is marked as absent.")).to_be_visible()


def test_carrying_a_person_to_another_fills_in_the_form_and_pins_nothing(
    page: Page, sign_in: SignIn, day: WorkDay
) -> None:
    sign_in(page, account_of(factories.make_member(day.group, role=Role.ORGANIZER)))
    page.goto(f"{day.get_absolute_url()}plan/")
    form = page.locator("#pin-form")
    grip = page.locator(".grip[data-name='Bo Wader']")
    cy = page.get_by_role("table", name="Everybody with a place").get_by_role("row").filter(has_text="Cy Wader")
    for target, kind in (
        (page.locator("#put-row [data-zone]"), "zone"),
        (page.locator("#put-row [data-role='hauler']"), "role"),
        (cy, "pair"),
    ):
        carry(page, grip, target)
        expect(form.get_by_label("What to pin")).to_have_value(kind)
        expect(form.get_by_label("Person", exact=True).locator("option:checked")).to_have_text("Bo Wader")
    expect(form.get_by_label("Other person").locator("option:checked")).to_have_text("Cy Wader")
    expect(page.locator("#pin-said")).to_have_text("The form is filled in. Press Pin, or try it first.")
    assert not day.pins.exists()


def carry(page: Page, grip: Locator, target: Locator) -> None:
    """Press on the grip, which brings up the zones and roles, move over the target, and let go."""
    grip.scroll_into_view_if_needed()
    grip.hover()
    page.mouse.down()
    end = target.bounding_box()
    assert end is not None
    page.mouse.move(end["x"] + end["width"] / 2, end["y"] + end["height"] / 2, steps=5)
    page.mouse.up()

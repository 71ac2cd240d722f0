"""The pages of accounts, groups and people in a real browser: fitting, accessible, usable without a script."""

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from reedcrew.people.models import Member, Wish
from reedcrew.people.policy import change_policy
from reedcrew.people.roles import Role
from reedcrew.people.services import look_at_private, make_wish
from tests.factories import NOW, account_of, make_child, make_group, make_member, make_water_member

pytestmark = pytest.mark.django_db(transaction=True)


def season_group() -> tuple[Member, Member]:
    """An organizer and a volunteer of a group in which every page has something to show."""
    group = make_group(name="Willow Bend Reed Group", about="We cut on Saturday mornings and share a soup afterwards.")
    organizer = make_member(group, role=Role.ORGANIZER, name="Ada Organizer")
    volunteer = make_water_member(group, name="Nia Neighbour", profile={"boot_eu": None, "hand_mm": None})
    make_child(volunteer, name="Kim Child")
    make_wish(member=volunteer, other=organizer, kind=Wish.Kind.TOGETHER, actor=account_of(volunteer), now=NOW)
    change_policy(group=group, actor=account_of(organizer), now=NOW, wading_depth_cm_max=110, sun_days=21)
    look_at_private(member=volunteer, by=organizer, now=NOW, why="preparing the day")
    for number in range(60):
        make_member(group, name=f"Person {number:02}")
    return organizer, volunteer


def addresses(organizer: Member, volunteer: Member) -> dict[str, list[str]]:
    """The pages of this app, by who reads them."""
    slug = organizer.group.slug
    person = {name: reverse(f"people:{name}", args=[slug, volunteer.pk]) for name in PERSON_PAGES}
    own = ["member", "edit_profile", "emergency", "wishes", "leave"]
    kept = ["member", "standing", "private", "leave"]
    group = {name: reverse(f"people:{name}", args=[slug]) for name in GROUP_PAGES}
    return {
        "visitor": ["/", reverse("account_request_login_code")],
        "volunteer": [
            *("/", reverse("people:profile"), reverse("people:found"), reverse("people:security")),
            *(group["group"], group["rules"], group["add_child"]),
            *(person[name] for name in own),
        ],
        "organizer": [*group.values(), *(person[name] for name in kept)],
    }


PERSON_PAGES = ("member", "edit_profile", "emergency", "wishes", "standing", "private", "leave")
GROUP_PAGES = ("group", "edit_group", "rules", "change_rules", "members", "add_member", "add_child")


@pytest.mark.parametrize("reader", ["visitor", "volunteer", "organizer"])
def test_every_page_fits_a_phone_and_is_accessible(
    phone: Page, reader: str, sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    organizer, volunteer = season_group()
    if reader != "visitor":
        sign_in(phone, account_of({"volunteer": volunteer, "organizer": organizer}[reader]))
    for address in addresses(organizer, volunteer)[reader]:
        answer = phone.goto(address)
        assert answer is not None
        assert answer.status == 200, address
        assert_accessible(phone)


def test_a_refused_profile_is_accessible_and_leads_to_the_field(
    phone: Page, sign_in: Callable[..., None], assert_accessible: Callable[[Page], None]
) -> None:
    _organizer, volunteer = season_group()
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

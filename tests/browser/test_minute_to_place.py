"""The minute from a shared link to a place, on a phone: how many pages, questions and presses, and what they weigh."""

from collections.abc import Callable
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.browser.axe import PHONE
from tests.browser.walking import code_in
from tests.weights import packed

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.once]

PAGES_MAX, QUESTIONS_MAX, PRESSES_MAX = 3, 5, 5
FIRST_VIEW_BYTES_MAX = 150_000
# Counts what moves on a page by itself: https://wicg.github.io/layout-instability/#sec-layout-shift
WATCH_SHIFTS = """
window.shifts = 0;
new PerformanceObserver(seen => {
  for (const each of seen.getEntries()) if (!each.hadRecentInput) window.shifts += each.value;
}).observe({type: "layout-shift", buffered: true});
"""


class Walk:
    """A newcomer's way, counted: pages loaded, questions that stand on them, presses."""

    def __init__(self, page: Page) -> None:
        self.page, self.pages, self.questions, self.presses = page, 0, 0, 0
        page.on("load", self._arrived)

    def _arrived(self, page: Page) -> None:
        self.pages += 1

    def asked(self) -> None:
        """Count what this page asks."""
        self.questions += self.page.locator("main .field:visible").count()

    def press(self, what: Locator) -> None:
        what.click()
        self.presses += 1


@pytest.fixture
def day() -> WorkDay:
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    starts_at = timezone.now() + timedelta(days=20)
    return factories.make_day(stand, starts_at=starts_at, ends_at=starts_at + timedelta(hours=4), date=starts_at.date())


def test_from_the_shared_link_to_a_place_it_takes_few_pages_questions_and_presses(phone: Page, day: WorkDay) -> None:
    walk = Walk(phone)
    phone.goto(day.get_public_url())
    walk.asked()
    walk.press(phone.get_by_role("link", name="Sign up", exact=True))
    phone.get_by_label("Your name").fill("Nia Nettle")
    phone.get_by_label("Email address").fill("nia@example.org")
    walk.press(phone.get_by_role("radio", name="18 or older"))
    walk.press(phone.get_by_role("radio", name="in water"))
    walk.press(phone.get_by_role("button", name="Sign up"))
    expect(phone.get_by_role("heading", level=1)).to_have_text("Enter the code")
    walk.asked()
    phone.get_by_label("Code").fill(code_in(str(mail.outbox[-1].body)))
    walk.press(phone.get_by_role("button", name="Go on"))
    expect(phone.get_by_text("You have a place.")).to_be_visible()
    assert SignUp.objects.get().state == SignUp.State.CONFIRMED
    expect(phone.get_by_text("you are planned on land")).to_be_visible()  # until the sizes are known
    print(f"\nlink to place: {walk.pages} pages, {walk.questions} questions, {walk.presses} presses")
    assert walk.pages <= PAGES_MAX
    assert walk.questions <= QUESTIONS_MAX
    assert walk.presses <= PRESSES_MAX


def test_the_volunteers_pages_are_light_stand_still_and_fit_at_400_percent(
    new_page: Callable[..., Page], sign_in: Callable[..., None], day: WorkDay
) -> None:
    member = factories.make_water_member(day.group)
    factories.make_sign_up(day, member)
    own = day.get_public_url()
    profile = reverse("people:edit_profile", args=[day.group.slug, member.pk])
    visitor, person = new_page(viewport=PHONE), new_page(viewport=PHONE)
    sign_in(person, factories.account_of(member))
    faults = []
    for page, address in (
        *((visitor, each) for each in (own, reverse("account_request_login_code"))),
        *((person, each) for each in ("/", own, reverse("workdays:my_days"), profile)),
    ):
        page.add_init_script(WATCH_SHIFTS)
        answer = page.goto(address, wait_until="networkidle")
        assert answer is not None
        files = page.evaluate("performance.getEntriesByType('resource').map(each => each.name)")
        addresses = {urlsplit(each).path for each in files}
        weight = len(answer.body()) + sum(packed(each) for each in addresses)
        shifts = page.evaluate("window.shifts")
        print(f"\n{address}: {weight} bytes, {len(addresses)} files, shift {shifts}")
        page.set_viewport_size({"width": 320, "height": 256})  # 1280 by 1024 at 400 %: WCAG 2.2, 1.4.10
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        page.set_viewport_size(PHONE)
        if weight > FIRST_VIEW_BYTES_MAX or shifts or wide > 0:
            faults.append(f"{address}: {weight} bytes, shift {shifts}, {wide} px too wide")
        if any("htmx" in each for each in addresses):
            faults.append(f"{address} loads htmx and swaps nothing")
    assert faults == []

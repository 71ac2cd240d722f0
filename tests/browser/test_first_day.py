"""From an empty installation to the first posted day, by the steps that the start page gives: how many, how much.

Counts, never time: a page load is a new document in the window, a field is one thing that is written, ticked or chosen.
"""

import datetime
import zoneinfo
from typing import Any

import pytest
from django.core import mail
from django.utils import timezone
from playwright.sync_api import Frame, Locator, Page, expect

from reedcrew.people.models import Account
from reedcrew.workdays.models import WorkDay
from tests.browser.walking import choose, code_in

pytestmark = pytest.mark.django_db(transaction=True)

PAGES_MAX = 22
FIELDS_MAX = 30
GROUP = "Sedge Lake Reed Crew"
ZONE = "America/Toronto"
SEEN = (
    ("Leaf sheaths on dead stems", "Hold tight, hard to pull off"),
    ("Colour of the lower stem", "Tan to dull green, no dark red"),
)


class Walk:
    """A page with its counts of documents and of fields."""

    def __init__(self, page: Page) -> None:
        self.page, self.pages, self.fields = page, 0, 0
        page.on("framenavigated", self._loaded)

    def _loaded(self, frame: Frame) -> None:
        self.pages += frame == self.page.main_frame

    def fill(self, **values: str) -> None:
        for label, value in values.items():
            self.write(self.page.get_by_label(label.replace("_", " "), exact=True), value)

    def write(self, field: Locator, value: str) -> None:
        field.fill(value)
        self.fields += 1

    def tick(self, label: str) -> None:
        self.page.get_by_label(label).check()
        self.fields += 1

    def choose(self, question: str, answer: str) -> None:
        choose(self.page, question, answer)
        self.fields += 1

    def moment(self, label: str, day: datetime.date, clock: str) -> None:
        field = self.page.get_by_role("group", name=label, exact=True)
        self.write(field.get_by_label("Day"), day.isoformat())
        self.write(field.get_by_label("Time"), clock)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()
        self.page.wait_for_load_state()

    def next_step(self, label: str) -> None:
        """The step that the start page marks as the next, after its button is seen to say so."""
        step = self.page.locator("[aria-current=step]")
        expect(step.get_by_role("link")).to_have_text(label)
        step.get_by_role("link").click()

    def follow(self, name: str) -> None:
        self.page.get_by_role("link", name=name, exact=True).first.click()


def test_the_first_day_is_posted_from_an_empty_installation_in_few_steps(phone: Page, settings: Any) -> None:
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    assert not Account.objects.exists()
    walk = Walk(phone)
    found_group(walk)
    record_ground(walk)
    decide_which_reed(walk)
    count_gear_and_people(walk)
    post_day(walk)
    print(f"\nfirst day: {walk.pages} page loads, {walk.fields} fields")
    assert walk.pages <= PAGES_MAX
    assert walk.fields <= FIELDS_MAX
    walk.follow(GROUP)
    expect(phone.get_by_role("heading", name="The way to your first work day")).to_have_count(0)
    expect(phone.get_by_role("heading", name="What needs you in this group")).to_be_visible()


def found_group(walk: Walk) -> None:
    walk.page.goto("/")
    walk.follow("Sign in or start")
    walk.fill(Email_address="robin@example.org")
    walk.press("Mail me a code")
    walk.fill(Code=code_in(str(mail.outbox[-1].body)))
    walk.press("Go on")
    walk.follow("Found a group")
    walk.fill(Name_of_the_group=GROUP, Your_name="Robin Alder")
    walk.tick("I am 18 or older")
    walk.press("Found the group")


def record_ground(walk: Walk) -> None:
    walk.next_step("Record the site where you meet")
    walk.fill(Name="Sedge Lake", Latitude_and_longitude="44.3, -76.4", Time_zone=ZONE)
    walk.fill(Meeting_place="The gravel lot", Nearest_emergency_entrance="Mill road gate")
    walk.press("Record the site")
    walk.fill(Name="North bay")
    walk.press("Record the stand")
    today = timezone.localdate(timezone=zoneinfo.ZoneInfo(ZONE))
    walk.fill(Name="Deep edge", Depth_at_the_survey="60", Surveyed_on=today.isoformat())
    walk.press("Record the zone")


def decide_which_reed(walk: Walk) -> None:
    walk.follow("Record a check")
    for question, answer in SEEN:
        walk.choose(question, answer)
    walk.press("Record the check")
    walk.follow("Decide which reed it is")
    walk.choose("Which reed it is", "introduced")
    walk.fill(Reason="Sheaths stay on the dead stems, tan and rough, no spots.")
    walk.press("Record the decision")


def count_gear_and_people(walk: Walk) -> None:
    walk.follow(GROUP)
    walk.next_step("Count the gear you have")
    for label, number in (("Chest waders 40", "2"), ("Chest waders 43", "3"), ("Life jacket adult", "6")):
        walk.write(walk.page.get_by_label(label), number)
    walk.press("Put it into the stock")
    walk.next_step("Enter the people you can count on")
    walk.fill(**{"People, one a line": "Bo Birch, bo@example.org\nCy Cedar, cy@example.org\nDi Dogwood"})
    walk.tick("All of them are 18 or older")
    walk.press("Enter them")


def post_day(walk: Walk) -> None:
    walk.next_step("Post the first work day")
    day = datetime.date(timezone.now().year + 1, 8, 15)
    walk.fill(Title="Morning at the deep edge")
    walk.moment("Start", day, "09:00")
    walk.moment("End", day, "12:00")
    walk.press("Post the day")
    expect(walk.page.get_by_text("The day is posted. Share its public page.")).to_be_visible()
    assert WorkDay.objects.get().date == day

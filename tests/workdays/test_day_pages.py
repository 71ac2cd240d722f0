"""The row of links between the pages of a day, and the second row of a chapter."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.workdays.day_pages import Phase, chapter_links_for, links_for, phase_of
from tests import factories
from tests.factories import END, NOW, START

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return factories.make_member(factories.make_group(), role=Role.CREW_LEAD)


@pytest.fixture
def day(lead):
    return factories.make_day(factories.make_stand(lead.group))


def test_a_chapter_is_one_link_to_its_first_page_and_has_a_row_of_its_own(lead, day):
    people, water, paper = (
        reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk]) for name in ("people", "water", "paper")
    )
    found = links_for(day, lead, water, NOW)
    links = [*found.first, *found.others]
    assert [link.url for link in links if "/field/" in link.url] == [people]
    assert [str(link.label) for link in links if link.current] == ["Fieldbook"]
    chapter = chapter_links_for(day, lead, water)
    assert [(str(link.label), link.url) for link in chapter.links if link.current] == [("Water", water)]
    within = chapter_links_for(day, lead, paper)  # a page of the chapter that stands in no row
    assert [link.current for link in within.links] == [False] * len(chapter.links)


def test_what_is_seldom_opened_stands_in_the_row_of_its_chapter_only_while_it_is_open(lead, day):
    photos, water = (reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk]) for name in ("photos", "water"))
    chapter = chapter_links_for(day, lead, water)
    assert [str(link.label) for link in chapter.others] == ["Photos", "From phones"]
    assert "Emergency contacts" in [str(link.label) for link in chapter.links]
    assert photos in [link.url for link in chapter_links_for(day, lead, photos).links]


def test_other_pages_and_other_readers_have_no_second_row(lead, day):
    member = factories.make_member(lead.group)
    assert chapter_links_for(day, lead, day.get_absolute_url()) is None
    assert chapter_links_for(day, member, reverse("fieldbook:water", args=[day.group.slug, day.pk])) is None
    assert links_for(day, member, day.get_absolute_url(), NOW).others == []


@pytest.mark.parametrize(
    ("now", "phase", "first"),
    [
        (START - datetime.timedelta(days=1), Phase.BEFORE, ["The day", "Roster", "Plan", "Gear list", "Weather"]),
        (START - datetime.timedelta(hours=3), Phase.ON, ["The day", "Fieldbook", "Gear", "Plan", "Weather"]),
        (END + datetime.timedelta(days=2), Phase.AFTER, ["The day", "Fieldbook", "Hours", "Gear"]),
    ],
)
def test_what_is_done_now_comes_first_and_the_rest_is_one_press_away(day, now, phase, first):
    organizer = factories.make_member(day.group, role=Role.ORGANIZER)
    links = links_for(day, organizer, day.get_absolute_url(), now)
    assert phase_of(day, now) is phase
    assert [str(link.label) for link in links.first] == first
    assert "Write to the roster" in [str(link.label) for link in links.others]


def test_the_page_that_is_open_stands_in_the_row(lead, day):
    gear = reverse("crews:gear", args=[day.group.slug, day.pk])
    last = links_for(day, lead, gear, NOW).first[-1]
    assert (str(last.label), last.current) == ("Gear", True)

"""Days under which water or calendar moved: marked until an organizer has looked."""

import datetime
import re
from html import unescape

import pytest
import time_machine
from django.urls import reverse

from reedcrew.crews.models import PlanDue
from reedcrew.crews.services import make_due_plan
from reedcrew.people.models import AuditEntry
from reedcrew.people.roles import Role
from reedcrew.stands import services as stands
from reedcrew.stands.models import SiteNotice
from reedcrew.stands.queries import LevelRow
from reedcrew.trade.reasons import reason
from reedcrew.trade.season import Effect, MonthDay
from reedcrew.workdays import marks
from reedcrew.workdays.models import DayMark, WorkDay
from reedcrew.workdays.queries import marks_of
from tests.factories import (
    END,
    NOW,
    START,
    account_of,
    make_account,
    make_day,
    make_gauge,
    make_level,
    make_member,
    make_stand,
    make_zone,
)

pytestmark = pytest.mark.django_db

DAY = datetime.timedelta(days=1)


@pytest.fixture
def stand(group):
    """A stand with a spade zone of 20 cm and a deep one of 60 cm, surveyed at a gauge level of 100 cm."""
    stand = make_stand(group)
    make_zone(stand, name="North edge", depth_cm=20, gauge_cm=100)
    make_zone(stand, name="Deep edge", depth_cm=60, gauge_cm=100)
    make_level(make_gauge(stand.site), 100, NOW - 30 * DAY)
    return stand


def read_gauge(stand, level_cm, at=NOW):
    stands.record_water_level(site=stand.site, level_cm=level_cm, read_at=at, actor=make_account(), now=at)


def record_notice(site, **values):
    facts = {
        "kind": SiteNotice.Kind.NESTING,
        "effect": Effect.FORBIDS.value,
        "opens": MonthDay(8, 1),
        "closes": MonthDay(8, 31),
        "issuer": "Lake wardens",
        **values,
    }
    return stands.record_notice(site=site, actor=make_account(), now=NOW, **facts)


def codes_of(mark):
    return [each["code"] for each in mark.reasons]


def test_a_level_that_turns_a_spade_zone_into_a_cane_cutter_zone_marks_the_day(stand):
    """Rule 4 of the design: over 30 cm of water the stems are cut at the bed."""
    day = make_day(stand)
    read_gauge(stand, 120)
    mark = DayMark.objects.get()
    assert (mark.day, mark.code, mark.since, mark.seen_at) == (day, DayMark.Code.WATER, NOW, None)
    assert [because.text for because in mark.why] == [
        "North edge: 40 cm of water instead of 20 cm. It changes from the spade to the hand sickle or cane cutter, "
        "with chest waders and life jackets."
    ]
    assert PlanDue.objects.filter(day=day).exists()


def test_a_level_that_changes_no_method_gear_or_openness_marks_nothing(stand):
    make_day(stand)
    read_gauge(stand, 110)
    assert not DayMark.objects.exists()


def test_only_posted_days_to_come_on_these_zones_are_marked(stand):
    zones = {zone.name: zone for zone in stand.zones.all()}
    affected = make_day(stand, zones=[zones["North edge"]])
    make_day(stand, zones=[zones["Deep edge"]])
    make_day(stand, status=WorkDay.Status.CANCELLED, cancel_reason="Thunder")
    make_day(stand, starts_at=START - 14 * DAY, ends_at=END - 14 * DAY)
    make_day(make_stand(stand.site.group))
    read_gauge(stand, 115)
    assert [mark.day for mark in DayMark.objects.all()] == [affected]


def test_the_mark_stays_after_the_plan_was_made_anew_by_itself(stand):
    day = make_day(stand)
    read_gauge(stand, 120)
    assert make_due_plan(day_pk=day.pk, now=NOW) is not None
    assert not PlanDue.objects.exists()
    assert DayMark.objects.open().get().day == day


def test_what_comes_before_the_look_is_added_and_what_comes_later_makes_another_mark(stand):
    make_day(stand)
    organizer = make_account()
    read_gauge(stand, 120, NOW)
    read_gauge(stand, 150, NOW + DAY)
    mark = DayMark.objects.get()
    assert codes_of(mark) == ["moves.spade_to_cutter", "moves.now_too_deep"]
    assert (mark.since, mark.changed_at) == (NOW, NOW + DAY)
    seen = marks.see_mark(mark=mark, actor=organizer, now=NOW + DAY)
    assert marks.see_mark(mark=mark, actor=make_account(), now=NOW + 2 * DAY) == seen
    assert (seen.seen_by, seen.seen_at) == (organizer, NOW + DAY)
    assert AuditEntry.objects.filter(deed="mark seen").count() == 1
    read_gauge(stand, 100, NOW + 2 * DAY)
    assert [codes_of(each) for each in DayMark.objects.open()] == [["moves.now_open", "moves.cutter_to_spade"]]
    assert [each.seen_at is None for each in marks_of(WorkDay.objects.get())] == [True, False]


def test_the_same_reason_again_is_not_repeated(stand):
    day = make_day(stand)
    why = (reason("moves.season_closed"),)
    for _time in range(2):
        marks.mark_day(day=day, code=DayMark.Code.SEASON, reasons=why, now=NOW)
    assert codes_of(DayMark.objects.get()) == ["moves.season_closed"]
    assert marks.mark_day(day=day, code=DayMark.Code.WATER, reasons=(), now=NOW) is None


def test_a_zone_surveyed_anew_marks_its_days_too(stand):
    make_day(stand)
    zone = stand.zones.get(name="Deep edge")
    stands.change_zone(zone=zone, version=1, actor=make_account(), now=NOW, outline=None, depth_cm=10)
    assert codes_of(DayMark.objects.get()) == ["moves.cutter_to_spade"]


def test_many_readings_at_once_make_one_mark(stand):
    make_day(stand)
    gauge = stand.site.gauges.get()
    rows = [
        stands_row(number, NOW - number * datetime.timedelta(hours=1), 120 if number == 1 else 90)
        for number in range(1, 50)
    ]
    stands.record_levels(gauge=gauge, rows=rows, actor=make_account(), now=NOW)
    assert codes_of(DayMark.objects.get()) == ["moves.spade_to_cutter"]


def stands_row(line, read_at, level_cm):
    return LevelRow(line=line, read_at=read_at, level_cm=level_cm)


def test_a_notice_that_closes_a_posted_day_marks_it_with_its_cause(stand):
    day = make_day(stand)
    make_day(stand, starts_at=START + 30 * DAY, ends_at=END + 30 * DAY, date=START.date() + 30 * DAY)
    record_notice(stand.site)
    mark = DayMark.objects.get()
    assert (mark.day, mark.code) == (day, DayMark.Code.SEASON)
    assert codes_of(mark) == ["moves.season_closed", "season.forbidden"]
    assert "by Lake wardens" in mark.why[1].text


@pytest.mark.parametrize(
    ("year", "span"), [(None, "from 1 August to 31 August"), (2026, "from 1 August 2026 to 31 August 2026")]
)
def test_a_mark_names_the_days_of_the_notice_as_people_read_them(organizer, group, stand, year, span):
    day = make_day(stand)
    record_notice(stand.site, year=year)
    for address in (reverse("people:group", args=[group.slug]), day.get_absolute_url()):
        assert f"Work is forbidden {span} by Lake wardens." in text_of(organizer.get(address)), address


def test_a_notice_for_water_marks_days_in_water_only(stand):
    bank = make_zone(stand, name="Bank", depth_cm=0)
    wet = make_day(stand, water_places=0)  # on all zones
    make_day(stand, zones=[bank], water_places=0)
    places = make_day(stand, zones=[bank], water_places=3)
    record_notice(stand.site, scope=SiteNotice.Scope.IN_WATER)
    assert {mark.day for mark in DayMark.objects.all()} == {wet, places}
    assert codes_of(DayMark.objects.first()) == ["moves.season_water_closed", "season.forbidden_in_water"]


def test_a_notice_that_only_advises_or_ends_marks_nothing(stand):
    make_day(stand)
    record_notice(stand.site, force=SiteNotice.Force.ADVICE)
    assert not DayMark.objects.exists()
    notice = record_notice(stand.site)
    DayMark.objects.all().delete()
    stands.end_notice(notice=notice, until=NOW.date() - DAY, because="Withdrawn", actor=make_account(), now=NOW)
    assert not DayMark.objects.exists()


# --- Pages -----------------------------------------------------------------------------------------------------------
def text_of(response):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.text)).split())


@pytest.fixture
def organizer(client, group):
    member = make_member(group, role=Role.ORGANIZER, name="Robin Alder")
    client.force_login(account_of(member))
    with time_machine.travel(NOW, tick=False):
        yield client


def test_a_marked_day_is_shown_to_the_organizer_until_they_press(organizer, group, stand):
    day = make_day(stand)
    read_gauge(stand, 120)
    home, page = reverse("people:group", args=[group.slug]), day.get_absolute_url()
    for address in (home, page, reverse("crews:plan", args=[group.slug, day.pk])):
        assert "It changes from the spade to the hand sickle or cane cutter" in text_of(organizer.get(address)), address
    assert "The water moved: plan this day again" in text_of(organizer.get(page))
    seen = reverse("workdays:see_mark", args=[group.slug, day.pk, DayMark.objects.get().pk])
    assert organizer.get(seen).status_code == 405
    for _press in range(2):
        assert organizer.post(seen).status_code == 302
    assert "Look at it, plan the day again" not in text_of(organizer.get(home))
    said = text_of(organizer.get(page))
    assert "looked at by Robin Alder" in said
    assert "The water moved: plan this day again" not in said


def test_who_does_not_post_days_sees_no_button_and_may_not_press(client, group, stand):
    day = make_day(stand)
    read_gauge(stand, 120)
    mark = DayMark.objects.get()
    seen = reverse("workdays:see_mark", args=[group.slug, day.pk, mark.pk])
    with time_machine.travel(NOW, tick=False):
        for role, words in ((Role.CREW_LEAD, True), (Role.VOLUNTEER, False)):
            client.force_login(account_of(make_member(group, role=role)))
            page = client.get(day.get_absolute_url())
            assert ("The water moved" in text_of(page)) is words
            assert seen not in page.text
            assert client.post(seen).status_code in {403, 404}
    assert DayMark.objects.open().get() == mark


def test_a_mark_of_another_day_is_not_there(organizer, group, stand):
    make_day(stand, zones=[stand.zones.get(name="North edge")])
    read_gauge(stand, 120)
    other = make_day(make_stand(group))
    seen = reverse("workdays:see_mark", args=[group.slug, other.pk, DayMark.objects.get().pk])
    assert organizer.post(seen).status_code == 404

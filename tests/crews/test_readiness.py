"""A day's readiness: each line says in words what is missing and who can mend it."""

from decimal import Decimal

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.readiness import Line, State, readiness
from reedcrew.people.models import PrivateRecord, Profile
from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from reedcrew.trade.identification import Identification
from reedcrew.trade.items import Item
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.crews.crowd import full_day, lose, mark_absent, sign_up_shore, sign_up_waders, told_plan
from tests.factories import NOW, START

pytestmark = pytest.mark.django_db


def lines(day) -> dict[str, Line]:
    return {line.code: line for line in readiness(WorkDay.objects.with_stand().get(pk=day.pk), NOW).lines}


@pytest.fixture
def day():
    """A day on which all is ready but the shared gear, while birds may be nesting."""
    day = full_day()
    WorkDay.objects.filter(pk=day.pk).update(
        forecast_temp_c=Decimal(22),
        forecast_rh_percent=60,
        forecast_wind_km_h=Decimal(10),
        forecast_water_temp_c=Decimal(20),
    )
    Site.objects.update(phone_signal=Site.PhoneSignal.GOOD)
    for private in PrivateRecord.objects.all():
        private.emergency_phone = "555-0100"
        private.save()
    told_plan(day)
    return day


def test_each_subject_has_a_line_and_is_ready_when_it_is(day):
    found = lines(day)
    assert set(found) >= {
        *("first_aider", "spotters", "gear", "answers", "plan"),
        *("weather", "window", "identification", "emergency", "contacts"),
    }
    open_lines = {code for code, line in found.items() if line.state != State.READY}
    assert open_lines == {"gear", "window"}  # nobody has tools yet, and birds may be nesting in August
    assert "first-aid" in found["gear"].words


def test_whoever_reads_a_line_that_is_not_ready_learns_who_can_mend_it_and_where(day):
    day.forecast_temp_c = None
    for line in lines(factories.make_day(day.stand)).values():
        if line.state != State.READY:
            assert line.who
            assert line.url
            assert line.link


@pytest.mark.parametrize(
    ("change", "code", "state", "words"),
    [
        (
            lambda day: Profile.objects.update(first_aid_until=None),
            "first_aider",
            State.MISSING,
            "first-aid certificate",
        ),
        (lambda day: day.plans.all().delete(), "plan", State.MISSING, "There is no plan yet."),
        (lambda day: day.plans.update(told=False), "plan", State.MISSING, "proposed and not accepted"),
        (lambda day: services.order_plan(day=day, now=NOW), "plan", State.LOOK, "a new one is on its way"),
        (lambda day: lose(day, Item.LIFE_JACKET, 20), "plan", State.MISSING, "does not stand"),
        (lambda day: day.plans.all().delete(), "spotters", State.MISSING, "No plan says yet"),
        (lambda day: WorkDay.objects.update(forecast_water_temp_c=None), "weather", State.LOOK, "water"),
        (
            lambda day: WorkDay.objects.update(
                forecast_temp_c=None,
                forecast_rh_percent=None,
                forecast_wind_km_h=None,
                forecast_water_temp_c=None,
            ),
            "weather",
            State.MISSING,
            "No forecast",
        ),
        (
            lambda day: type(day.stand).objects.update(identification=Identification.NATIVE.value),
            "identification",
            State.MISSING,
            "do not cut it",
        ),
        (lambda day: Site.objects.update(phone_signal="none"), "emergency", State.LOOK, "no phone signal"),
        (lambda day: Site.objects.update(emergency_entrance=""), "emergency", State.MISSING, "No entrance"),
        (
            lambda day: PrivateRecord.objects.filter(member__name="Wader 2").update(emergency_phone=""),
            "contacts",
            State.MISSING,
            "Wader 2.",
        ),
        (
            lambda day: Profile.objects.filter(member__name="Wader 3").update(stature_cm=None),
            "answers",
            State.LOOK,
            "Wader 3.",
        ),
    ],
)
def test_a_line_says_what_is_missing(day, change, code, state, words):
    assert lines(day)[code].state == State.READY
    change(day)
    line = lines(day)[code]
    assert (line.state, words in line.words) == (state, True), line.words


@pytest.mark.parametrize(
    ("date", "state", "words"),
    [
        ("2026-09-19", State.READY, "Inside the permitted weeks"),
        ("2026-08-15", State.LOOK, "birds may be nesting"),
        ("2026-11-20", State.MISSING, "Outside the permitted weeks"),
    ],
)
def test_the_permitted_weeks_are_told_in_the_words_of_the_calendar(day, date, state, words):
    """Design, rule 1: from 15 July to 15 October."""
    WorkDay.objects.update(date=date)
    line = lines(day)["window"]
    assert (line.state, words in line.words) == (state, True), line.words


def test_a_spotter_who_does_not_come_is_missing(day):
    spotter = day.plans.get(told=True).assignments.get(role="spotter").sign_up.member.name
    mark_absent(day, spotter)
    assert lines(day)["spotters"].state == State.MISSING


def test_a_spotter_who_is_no_adult_does_not_count(day):
    """H10: an adult watches."""
    spotter = day.plans.get(told=True).assignments.get(role="spotter").sign_up.member
    Profile.objects.filter(member=spotter).update(born_on=None, adult=False)
    assert lines(day)["spotters"].state == State.MISSING


def test_the_panel_stands_on_the_day_for_who_plans(client, day, time_machine):
    time_machine.move_to(NOW, tick=False)
    for role, shown in (
        (Role.ORGANIZER, True),
        (Role.CREW_LEAD, True),
        (Role.COORDINATOR, False),
        (Role.VOLUNTEER, False),
    ):
        client.force_login(factories.make_member(day.group, role=role).account)
        assert ("Who can mend it" in client.get(day.get_absolute_url()).text) is shown, role


def test_the_panel_counts_in_words(client, day, time_machine):
    time_machine.move_to(NOW, tick=False)
    client.force_login(factories.make_member(day.group, role=Role.ORGANIZER).account)
    assert "8 ready, 1 to look at again, 1 missing" in client.get(day.get_absolute_url()).text


def test_the_lines_take_as_many_queries_for_40_people_as_for_6(day, count_queries):
    few = count_queries(lambda: lines(day))
    sign_up_waders(day, *(f"More {number}" for number in range(34)))
    sign_up_shore(day, *(f"Ashore {number}" for number in range(5)))
    assert SignUp.objects.count() > 40
    assert count_queries(lambda: lines(day)) == few


def test_the_page_of_a_day_still_opens_without_a_plan(client, time_machine):
    time_machine.move_to(START, tick=False)
    stand = factories.make_stand(factories.make_group())
    day = factories.make_day(stand)
    client.force_login(factories.make_member(day.group, role=Role.ORGANIZER).account)
    assert client.get(reverse("workdays:day", args=[day.group.slug, day.pk])).status_code == 200

"""Several days in one form, and a day once more: all or none, nothing lost, nobody copied."""

import datetime
import uuid
from typing import Any

import pytest
import time_machine
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.stands.models import SiteNotice
from reedcrew.trade.season import MonthDay
from reedcrew.workdays import errors, several
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.services import DayFacts
from tests import factories
from tests.factories import NOW, START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stand(group):
    stand = factories.make_stand(group, name="North bay")
    factories.make_zone(stand, name="Deep edge")
    return stand


@pytest.fixture
def organizer(client, group):
    client.force_login(account_of(factories.make_member(group, role=Role.ORGANIZER)))
    with time_machine.travel(NOW, tick=False):
        yield client


def address(stand):
    return f"{reverse('workdays:post_several', args=[stand.site.group.slug])}?stand={stand.pk}"


def data(stand, *dates, **fields):
    return {
        "submission": str(uuid.uuid4()),
        "rows": "4",
        "title": "Reed morning",
        "starts": "09:00",
        "ends": "13:00",
        "zones": [zone.pk for zone in stand.zones.all()],
        "water_places": "8",
        "land_places": "4",
        **{f"date_{number}": date for number, date in enumerate(dates, start=1)},
        **fields,
    }


def test_days_are_posted_together_on_the_clock_of_the_site_and_once(organizer, stand):
    sent = data(stand, "2026-08-22", "", "2026-09-05")
    for _press in range(2):
        page = organizer.post(address(stand), sent, follow=True)
    assert [day.starts_at.isoformat() for day in WorkDay.objects.order_by("date")] == [
        "2026-08-22T13:00:00+00:00",  # 09:00 in Toronto, UTC−4 in summer
        "2026-09-05T13:00:00+00:00",
    ]
    for day in WorkDay.objects.all():
        assert day.get_public_url() in page.text
        assert (day.title, day.water_places, day.zones.get().name) == ("Reed morning", 8, "Deep edge")


def test_going_back_to_change_the_time_posts_no_second_day_of_a_date(organizer, stand):
    sent = data(stand, "2026-08-22", "2026-08-29")
    organizer.post(address(stand), sent)
    page = organizer.post(address(stand), {**sent, "starts": "10:00", "date_3": "2026-09-05"})
    assert list(page.context["form"].errors) == ["date_1", "date_2"]
    assert WorkDay.objects.count() == 2
    organizer.post(address(stand), {**sent, "date_3": "2026-09-05"})
    assert WorkDay.objects.count() == 3


def test_a_date_on_which_an_authority_keeps_people_out_of_water_is_refused_for_itself(organizer, stand):
    notice = {"scope": SiteNotice.Scope.IN_WATER, "opens": MonthDay(8, 25), "closes": MonthDay(8, 31)}
    factories.make_notice(stand.site, **notice)
    page = organizer.post(address(stand), data(stand, "2026-08-22", "2026-08-29"))
    assert list(page.context["form"].errors) == ["date_2"]
    assert "Lake wardens" in page.context["form"].errors["date_2"][0]
    assert not WorkDay.objects.exists()


def test_none_is_posted_while_one_is_refused_and_its_row_says_why(organizer, stand):
    sent = data(stand, "2026-08-22", "2026-11-07", "2026-08-01", note="By the old pier")
    page = organizer.post(address(stand), sent)
    refused = page.context["form"].errors
    assert set(refused) == {"date_2", "date_3"}
    assert "outside the permitted weeks" in refused["date_2"][0]
    assert "posted by itself" in refused["date_2"][0]
    assert "start in the past" in refused["date_3"][0]
    assert not WorkDay.objects.exists()
    for kept in ("2026-08-22", "2026-11-07", "By the old pier", "09:00"):
        assert kept in page.text


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"date_2": "2026-08-22"}, "date_2", "another row already"),
        ({"date_1": "soon"}, "date_1", "Pick a day"),
        ({"date_1": ""}, "date_1", "at least one date"),
        ({"ends": "08:00"}, "ends", "must end after it starts"),
        ({"starts": "nine"}, "starts", "such as 09:30"),
        ({"water_places": "0", "land_places": "0"}, "water_places", "at least one place"),
        ({"title": ""}, "title", "required"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(organizer, stand, changed, field, words):
    page = organizer.post(address(stand), data(stand, "2026-08-22", **changed))
    assert words in " ".join(page.context["form"].errors[field])
    assert not WorkDay.objects.exists()


def test_a_clock_time_that_a_date_skips_is_named_at_its_row(organizer, stand):
    window = {"window_opens": (1, 1), "window_closes": (12, 31), "window_authority": "Lake board"}
    type(stand.site).objects.update(**window)
    page = organizer.post(address(stand), data(stand, "2027-03-13", "2027-03-14", starts="02:30"))
    assert list(page.context["form"].errors) == ["date_2"]  # in Toronto clocks go forward on 14 March 2027


def test_more_rows_come_by_a_press_and_what_is_written_stays(organizer, stand):
    page = organizer.post(address(stand), data(stand, "2026-08-22", "not yet", more="1", title="Half a ti"))
    assert not page.context["form"].errors
    assert "date_8" in page.context["form"].fields
    for kept in ("2026-08-22", "not yet", "Half a ti"):
        assert kept in page.text
    assert page.context["form"]["zones"].value() == [str(zone.pk) for zone in stand.zones.all()]
    assert "date_40" in organizer.post(address(stand), data(stand, rows="999", more="1")).context["form"].fields


def test_a_protected_stand_takes_no_days(organizer, group, stand):
    type(stand).objects.update(identification="native")
    page = organizer.post(address(stand), data(stand, "2026-08-22"))
    assert "is not confirmed as the introduced subspecies" in page.text
    assert not WorkDay.objects.exists()
    elsewhere = factories.make_stand(factories.make_group())
    slug = group.slug
    for query, status in ((f"stand={elsewhere.pk}", 404), ("stand=x", 404), ("", 302)):
        assert organizer.get(f"{reverse('workdays:post_several', args=[slug])}?{query}").status_code == status


def test_a_day_is_posted_again_without_anybody_of_its_roster(organizer, group, stand):
    start = datetime.datetime(2025, 8, 16, 13, 30, tzinfo=datetime.UTC)  # Saturday of week 33
    end = start + datetime.timedelta(hours=3)
    facts: dict[str, Any] = {"note": "Coffee first", "window_reason": "A school asked", "forecast_temp_c": 31}
    before = factories.make_day(stand, starts_at=start, ends_at=end, date=start.date(), title="Early cut", **facts)
    factories.make_sign_up(before, factories.make_member(group, name="Bo Birch"))
    page = organizer.get(reverse("workdays:post_again", args=[group.slug, before.pk]))
    assert "Sat 15 August 2026 is proposed" in page.text
    assert "week 33" in page.text
    assert "Bo Birch" not in page.text
    form = page.context["form"]
    sent = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    assert organizer.post(page.request["PATH_INFO"], sent).status_code == 302
    again = WorkDay.objects.exclude(pk=before.pk).get()
    assert (again.title, again.note, again.date.isoformat()) == ("Early cut", "Coffee first", "2026-08-15")
    assert again.ends_at - again.starts_at == datetime.timedelta(hours=3)
    assert (again.window_reason, again.forecast_temp_c, again.sign_ups.count()) == ("", None, 0)


def test_a_proposed_date_that_is_closed_says_why_and_names_the_nearest_open_one(organizer, group, stand):
    start = datetime.datetime(2025, 10, 25, 13, tzinfo=datetime.UTC)
    end = start + datetime.timedelta(hours=3)
    before = factories.make_day(stand, starts_at=start, ends_at=end, date=start.date())
    page = organizer.get(reverse("workdays:post_again", args=[group.slug, before.pk])).text
    assert "That date is closed" in page
    assert "nearest permitted day of the same weekday is Sat 10 October 2026" in page


def test_days_are_taken_back_together_while_nobody_has_signed_up(organizer, group, stand):
    days = [factories.make_day(stand), factories.make_day(stand)]
    keys = {"day": [day.pk for day in days]}
    page = reverse("workdays:posted", args=[group.slug])
    assert "Take them back" in organizer.get(page, keys).text
    sign_up = factories.make_sign_up(days[1], factories.make_member(group))
    assert "Take them back" not in organizer.get(page, keys).text
    back = reverse("workdays:take_back", args=[group.slug])
    assert "Somebody has signed up" in organizer.post(back, keys, follow=True).text
    assert WorkDay.objects.filter(status=WorkDay.Status.POSTED).count() == 2
    SignUp.objects.filter(pk=sign_up.pk).delete()
    assert "2 days are taken back." in organizer.post(back, keys, follow=True).text
    assert {day.cancel_reason for day in WorkDay.objects.filter(status="cancelled")} == {"Posted by mistake."}
    assert "0 days are taken back." in organizer.post(back, {"day": [*keys["day"], "x"]}, follow=True).text


def test_a_form_that_comes_again_with_other_words_is_refused(stand):
    token, actor, end = uuid.uuid4(), factories.make_account(), START + datetime.timedelta(hours=2)
    zones = list(stand.zones.all())

    def post(title):
        facts = DayFacts(title=title, starts_at=START, ends_at=end, zones=zones, water_places=1, land_places=1)
        several.post_days(stand=stand, facts=[facts], actor=actor, now=NOW, submission=token)

    post("One")
    with pytest.raises(errors.DaysRefused) as refused:
        post("Two")
    assert isinstance(refused.value.refusals[0], errors.PostedOtherwise)

"""The shared page of a day as the page of one's own: whom to call and when, what is missing, and what was done."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.people.models import Member, PrivateRecord
from reedcrew.people.roles import Role
from reedcrew.workdays import own
from tests import factories
from tests.factories import NOW, START, account_of

pytestmark = pytest.mark.django_db

A_DAY = datetime.timedelta(days=1)


@pytest.fixture(autouse=True)
def summer(time_machine):
    """The site's clock stands in the week before the day of the factories."""
    time_machine.move_to(NOW, tick=False)
    return time_machine


@pytest.fixture
def stand():
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand, area_m2=120)
    return stand


@pytest.fixture
def day(stand):
    return factories.make_day(stand)


def read(client, day, member):
    client.force_login(account_of(member))
    return client.get(day.get_public_url()).text


def sign_up(day, **fields):
    member = factories.make_member(day.group, **fields)
    factories.make_sign_up(day, member, place="land")
    return member


@pytest.mark.parametrize(
    ("away", "shown"),
    [(-2 * A_DAY, False), (-A_DAY, True), (datetime.timedelta(0), True)],
)
def test_a_leads_number_is_shown_from_the_day_before_and_only_to_people_of_the_day(client, day, summer, away, shown):
    sign_up(day, name="Lea Leader", role=Role.CREW_LEAD, profile={"phone": "+1 (613) 555-0142"})
    somebody, other = sign_up(day), factories.make_member(day.group)
    summer.move_to(START + away, tick=False)
    page = read(client, day, somebody)
    assert ('<a class="press" href="tel:+16135550142">+1 (613) 555-0142</a>' in page) is shown
    assert (day.group.contact_email in page.split('id="late"')[1].split("</section>")[0]) is not shown
    assert "555-0142" not in read(client, day, other)
    client.logout()
    assert "555-0142" not in client.get(day.get_public_url()).text


def test_numbers_of_people_who_do_not_run_days_are_shown_to_nobody(day):
    sign_up(day, profile={"phone": "613 555 0101"})
    assert own.leads_of(day, START) == []


def test_a_waiting_person_is_not_told_the_leads_number(client, day, summer):
    sign_up(day, role=Role.CREW_LEAD, profile={"phone": "613 555 0142"})
    waiting = factories.make_member(day.group)
    factories.make_sign_up(day, waiting, state="waiting")
    summer.move_to(START, tick=False)
    page = read(client, day, waiting)
    assert "613 555 0142" not in page
    assert "phone numbers" not in page
    assert reverse("workdays:withdraw", args=[day.share_code, day.sign_ups.get(member=waiting).pk]) in page


def test_the_number_is_there_until_the_day_ends_and_only_for_who_has_a_place_then(client, day, summer):
    lead = sign_up(day, role=Role.CREW_LEAD, profile={"phone": "613 555 0142"})
    somebody, promise = sign_up(day), "the phone numbers of the crew leads stand here"
    guardian = factories.make_member(day.group)
    factories.make_sign_up(day, factories.make_child(guardian), place="land")
    assert promise in read(client, day, somebody)
    summer.move_to(day.ends_at - datetime.timedelta(seconds=1), tick=False)
    assert all("613 555 0142" in read(client, day, each) for each in (somebody, guardian))
    day.sign_ups.filter(member=lead).update(outcome="absent")
    page = read(client, day, somebody)
    assert "613 555 0142" not in page
    assert promise not in page
    day.sign_ups.filter(member=lead).update(outcome="")
    day.sign_ups.filter(member=somebody).update(state="withdrawn")
    assert "613 555 0142" not in read(client, day, somebody)
    summer.move_to(day.ends_at, tick=False)
    assert "613 555 0142" not in read(client, day, guardian)


def test_what_is_asked_after_the_place_says_by_when(client, day):
    member = factories.make_member(day.group)
    factories.make_sign_up(day, member)
    page = read(client, day, member)
    assert page.count("Fri 14 August 2026") == 2  # the day before: sizes, and whom to call
    assert reverse("people:emergency", args=[day.group.slug, member.pk]) in page
    PrivateRecord.objects.update_or_create(member=member, defaults={"emergency_phone": "613 555 0101"})
    page = read(client, day, member)
    assert reverse("people:emergency", args=[day.group.slug, member.pk]) not in page
    assert "Boot size" in page


def test_a_closed_day_tells_its_people_what_was_done_and_strangers_nothing(client, stand):
    day = factories.make_closed_day(stand, START.date(), tallies={stand.zones.get(): 1234}, on_land=3, hours=2)
    one, *_others = Member.objects.filter(group=day.group, attendances__day=day)
    Member.objects.filter(pk=one.pk).update(name="Ada Marsh")
    factories.make_sign_up(day, one, place="land")
    page = read(client, day, one)
    for words in ("What we did together", "Ada Marsh was there for 2 h", "6 h", "1,234", "120\N{NO-BREAK SPACE}m²"):
        assert words in page
    assert reverse("stands:history_chart", args=[day.group.slug, stand.pk, "stems", "dark"]) in page
    assert "What we did together" not in read(client, day, factories.make_member(day.group))


def test_ones_days_stand_in_one_list_with_what_is_over(client, stand, day, count_queries):
    member = factories.make_member(day.group, name="Ada Marsh")
    child = factories.make_child(member, name="Tim Marsh")
    over = factories.make_day(stand, title="Reed at the mill", starts_at=NOW - 9 * A_DAY, ends_at=NOW - 8 * A_DAY)
    for who in (member, child):
        factories.make_sign_up(day, who)
        factories.make_sign_up(over, who)
    client.force_login(account_of(member))
    address = reverse("workdays:my_days")
    client.get(address)  # the first request of a session also notes the session
    page = client.get(address).text
    coming, past = page.split("What we did</h2>")
    assert coming.count(day.get_public_url()) == past.count(over.get_public_url()) == 1
    assert "Tim Marsh" in coming
    assert "Tim Marsh" in past
    few = count_queries(lambda: client.get(address))
    for _each in range(10):
        factories.make_sign_up(factories.make_day(stand), member)
    assert count_queries(lambda: client.get(address)) == few


def test_the_page_of_a_day_takes_as_many_queries_for_a_family_as_for_one(client, day, count_queries):
    member = factories.make_member(day.group)
    factories.make_sign_up(day, member)
    client.force_login(account_of(member))
    client.get(day.get_public_url())
    few = count_queries(lambda: client.get(day.get_public_url()))
    for _each in range(5):
        factories.make_sign_up(day, factories.make_child(member))
    assert count_queries(lambda: client.get(day.get_public_url())) == few

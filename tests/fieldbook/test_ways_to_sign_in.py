"""By code, as a walk-up, with gear: every way ends in the same stay."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.crews.services import accept_plan, make_plan
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.models import AuditEntry, Member
from reedcrew.people.roles import Role
from reedcrew.stock.models import Movement
from reedcrew.trade.items import Item
from tests import factories
from tests.factories import START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.CREW_LEAD, name="Lea Lead")


@pytest.fixture
def day(group):
    stand = factories.make_stand(group)
    factories.make_zone(stand)
    return factories.make_day(stand)


@pytest.fixture
def on_the_day(time_machine):
    time_machine.move_to(START + datetime.timedelta(hours=1), tick=False)


def address(name, day, *args):
    return reverse(f"fieldbook:{name}", args=[day.group.slug, day.pk, *args])


def test_a_code_leads_to_its_persons_line_of_the_day_and_to_nobody_elses_eyes(client, group, lead, day, on_the_day):
    member = factories.make_member(group, name="Ada Marsh")
    factories.make_sign_up(day, member)
    code = reverse("fieldbook:read_code", args=[group.slug, member.code])
    client.force_login(account_of(member))
    page = client.get(reverse("fieldbook:my_code", args=[group.slug]))
    assert member.code in page.text
    assert "<svg" in page.text
    assert client.get(code).status_code == 403
    client.force_login(account_of(lead))
    page = client.get(code, follow=True)
    assert page.redirect_chain[-1][0] == address("person", day, member.pk)
    signed_in = client.post(address("sign_in", day, member.pk), {"from": "person"}, follow=True)
    assert signed_in.redirect_chain[-1][0] == address("person", day, member.pk)
    assert "on site since" in signed_in.text
    client.force_login(factories.make_member(factories.make_group(), role=Role.ORGANIZER).account)
    assert client.get(code).status_code == 404


def test_a_code_on_a_day_without_work_says_so(client, group, lead):
    client.force_login(account_of(lead))
    page = client.get(reverse("fieldbook:read_code", args=[group.slug, lead.code]))
    assert "No day of the group is on now" in page.text


def test_gear_goes_out_with_the_press_that_signs_in(client, group, lead, day, on_the_day):
    factories.make_stock(group, Item.LIFE_JACKET, 4, size="adult")
    factories.make_stock(group, Item.CHEST_WADERS, 4, size="43")
    people = [factories.make_water_member(group, name=f"Wader {number}") for number in range(2)]
    spotter = factories.make_member(group, profile={"first_aid_until": datetime.date(2027, 1, 1)})
    for member in (*people, spotter):
        factories.make_sign_up(day, member)
    accept_plan(plan=make_plan(day=day, actor=account_of(lead), now=START), actor=account_of(lead), now=START)
    client.force_login(account_of(lead))
    page = client.get(address("person", day, people[0].pk))
    card = page.context["card"]
    assert card.gear
    sent = {"gear": "out", "submission": card.submission, "pieces": card.pieces, "in_water": "on"}
    client.post(address("sign_in", day, people[0].pk), sent)
    client.post(address("sign_in", day, people[0].pk), sent)  # a second press
    assert Attendance.objects.get().member == people[0]
    assert Movement.objects.filter(member=people[0]).count() == len(card.gear)
    page = client.post(address("sign_out", day, Attendance.objects.get().pk), {}, follow=True)
    assert "Wader 0 still has" in page.text


def test_somebody_new_is_entered_with_the_questions_of_a_sign_up_and_starts_on_land(
    client, group, lead, day, on_the_day
):
    client.force_login(account_of(lead))
    sent = {
        "form": "newcomer",
        "name": "Nia New",
        "age": "adult",
        "email": "nia@example.org",
        "emergency_name": "Bo New",
        "emergency_phone": "555 0142",
        "entry_id": "6f2c1c1e-8c53-4a62-9a39-0a4e0c9a7f10",
    }
    page = client.post(address("walk_up", day), sent, follow=True)
    assert "Nia New has a place and is signed in." in page.text
    assert "555 0142" not in page.text
    client.post(address("walk_up", day), sent)
    stay = Attendance.objects.get()
    assert (stay.member.name, stay.in_water, stay.member.private.emergency_phone) == ("Nia New", False, "555 0142")


def test_a_child_who_walks_up_needs_a_guardian_on_site_and_their_consent(client, group, lead, day, on_the_day):
    guardian = factories.make_member(group, name="Gus Guardian")
    factories.make_sign_up(day, guardian)
    client.force_login(account_of(lead))
    child = {"form": "newcomer", "name": "Kit Guardian", "age": "minor", "born_on": "2014-03-01", "consent": "on"}
    page = client.post(address("walk_up", day), {**child, "guardian": guardian.pk})
    assert "Select a valid choice" in page.text  # not on site yet
    client.post(address("sign_in", day, guardian.pk), {})
    assert "choose the guardian who came along" in client.post(address("walk_up", day), child).text
    without = {**child, "guardian": guardian.pk, "consent": ""}
    assert "agree" in client.post(address("walk_up", day), without).text
    assert not Member.objects.filter(name="Kit Guardian").exists()
    client.post(address("walk_up", day), {**child, "guardian": guardian.pk})
    kit = Member.objects.get(name="Kit Guardian")
    assert (kit.guardian, kit.attendances.get().in_water) == (guardian, False)
    assert AuditEntry.objects.filter(deed="guardian agreed").exists()


def test_late_and_early_are_said(client, group, lead, day, time_machine):
    member = factories.make_member(group)
    factories.make_sign_up(day, member)
    client.force_login(account_of(lead))
    time_machine.move_to(START + datetime.timedelta(minutes=20), tick=False)
    assert "late" in client.get(address("person", day, member.pk)).text
    client.post(address("sign_in", day, member.pk), {})
    time_machine.move_to(START + datetime.timedelta(hours=1), tick=False)
    client.post(address("sign_out", day, Attendance.objects.get().pk), {})
    assert "came late, left before the end" in client.get(address("person", day, member.pk)).text

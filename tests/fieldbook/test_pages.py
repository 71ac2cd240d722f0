"""The fieldbook through HTTP, as a crew lead uses it on the landing."""

import datetime

import pytest
from django.urls import reverse

from reedcrew.fieldbook.models import Attendance, Load, Tally
from reedcrew.people.models import PrivateLook, PrivateRecord
from reedcrew.people.roles import Role
from tests import factories
from tests.factories import END, START

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(group):
    return factories.make_member(group, role=Role.CREW_LEAD)


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


def test_a_press_signs_in_and_another_signs_out(client, group, lead, day, on_the_day):
    member = factories.make_member(group, name="Ada Marsh")
    factories.make_sign_up(day, member)
    client.force_login(lead.account)
    page = client.post(address("sign_in", day, member.pk), {"in_water": "on"}, follow=True)
    assert "Ada Marsh is signed in." in page.text
    stay = Attendance.objects.get()
    assert (stay.in_water, stay.signed_in_at) == (True, START + datetime.timedelta(hours=1))
    page = client.post(address("sign_out", day, stay.pk), {}, follow=True)
    assert "Ada Marsh is signed out." in page.text


def test_another_time_is_read_on_the_sites_clock(client, group, lead, day, on_the_day):
    member = factories.make_member(group)
    factories.make_sign_up(day, member)
    client.force_login(lead.account)
    client.post(address("sign_in", day, member.pk), {"at_day": "2026-08-15", "at_time": "09:05"})
    assert Attendance.objects.get().signed_in_at == START + datetime.timedelta(minutes=5)


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"at_day": "2026-08-15", "at_time": "12:00"}, "still to come"),
        ({"at_day": "2026-08-15"}, "both the day and the time"),
        ({"at_day": "2026-08-14", "at_time": "12:00"}, "6 hours before"),
    ],
)
def test_a_wrong_time_is_told_and_nobody_is_signed_in(client, group, lead, day, on_the_day, sent, words):
    member = factories.make_member(group)
    factories.make_sign_up(day, member)
    client.force_login(lead.account)
    assert words in client.post(address("sign_in", day, member.pk), sent, follow=True).text
    assert not Attendance.objects.exists()


def test_a_walk_up_is_added_and_a_full_day_says_so(client, group, lead, day, on_the_day):
    day.land_places = 1
    day.save()
    client.force_login(lead.account)
    first, second = factories.make_member(group), factories.make_member(group)
    client.post(address("walk_up", day), {"form": "member", "member": first.pk, "place": "land"})
    assert Attendance.objects.get().member == first
    refused = client.post(address("walk_up", day), {"form": "member", "member": second.pk, "place": "land"})
    assert "No place is free" in refused.text


def test_stems_are_written_down_counted_and_by_bundles(client, lead, day, on_the_day):
    client.force_login(lead.account)
    zone = day.zones.get()
    client.post(address("stems", day), {"zone": zone.pk, "method": "counted", "stems": "1,240"})
    client.post(
        address("stems", day), {"zone": zone.pk, "method": "bundles", "bundles": "3", "sample": "200, 210, 220"}
    )
    assert sorted(Tally.objects.values_list("stems", flat=True)) == [630, 1240]
    page = client.get(address("stems", day)).text
    assert "1,870" in page
    assert "3 × 210.0, the mean of 200, 210, 220" in page


def test_a_big_button_adds_stems_of_a_unit_once(client, lead, day, on_the_day):
    client.force_login(lead.account)
    zone = day.zones.get()
    client.post(address("stems", day), {"zone": zone.pk, "method": "counted", "stems": "40", "unit_number": "2"})
    (shown,) = client.get(address("stems", day)).context["zones"]
    unit = shown.units[0]
    press = {"entry_id": unit.entry_id, "zone": zone.pk, "method": "counted", "unit_number": unit.number, "stems": 50}
    client.post(address("stems", day), press)
    client.post(address("stems", day), press)
    (shown,) = client.get(address("stems", day)).context["zones"]
    assert [(unit.number, unit.stems) for unit in shown.units] == [(2, 90), (None, 0)]


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"method": "counted", "stems": ""}, "number of stems that were counted"),
        ({"method": "counted", "stems": "-4"}, "Stems"),
        ({"method": "bundles", "bundles": "3", "sample": ""}, "both the number of bundles"),
        ({"method": "bundles", "bundles": "2", "sample": "200, many"}, "whole numbers"),
        ({"method": "bundles", "bundles": "2", "sample": "200, 210, 220"}, "at most all of the bundles"),
        ({"method": "bundles", "bundles": "5", "sample": "200, 99999"}, "from 1 to 5000"),
    ],
)
def test_stems_that_cannot_be_are_named_and_kept(client, lead, day, on_the_day, sent, words):
    client.force_login(lead.account)
    response = client.post(address("stems", day), {"zone": day.zones.get().pk, "unit_number": "7", **sent})
    assert words in response.text
    assert 'value="7"' in response.text
    assert not Tally.objects.exists()


def test_seed_heads_never_go_on_a_pile(client, lead, day, on_the_day):
    client.force_login(lead.account)
    load = {"kind": "pile", "count": "2", "seed_heads": "on", "place": "Bank"}
    assert "Material with seed heads goes into bags" in client.post(address("loads", day), load).text
    client.post(address("loads", day), {**load, "kind": "bags"})
    assert Load.objects.get().sun_until == datetime.date(2026, 8, 29)


def test_an_entry_is_struck_out_with_a_reason(client, lead, day, on_the_day):
    client.force_login(lead.account)
    client.post(address("stems", day), {"zone": day.zones.get().pk, "method": "counted", "stems": "9000"})
    tally = Tally.objects.get()
    assert client.post(address("strike", day, "tally", tally.pk), {"reason": ""}).status_code == 200
    page = client.post(address("strike", day, "tally", tally.pk), {"reason": "A zero too many"}, follow=True)
    assert "A zero too many" in page.text
    assert client.get(address("strike", day, "tally", tally.pk)).status_code == 404


def test_a_day_closes_when_everyone_is_out(client, group, lead, day, time_machine):
    time_machine.move_to(END, tick=False)
    member = factories.make_member(group, name="Ada Marsh")
    factories.make_sign_up(day, member)
    client.force_login(lead.account)
    client.post(address("sign_in", day, member.pk), {"at_day": "2026-08-15", "at_time": "09:00"})
    ticks = dict.fromkeys(("gear", "cleaning", "loads"), "on")
    page = client.post(address("close", day), ticks, follow=True)
    assert "Still signed in: Ada Marsh" in page.text
    client.post(address("sign_out", day, Attendance.objects.get().pk), {})
    page = client.post(address("close", day), {**ticks, "cleaning": ""})
    assert "Clean what leaves for another site" in page.text
    page = client.post(address("close", day), ticks, follow=True)
    assert "The day is closed" in page.text
    # 200 mg/L in 10 L from 5.25 % bleach: 38.10 mL (worked from C1 V1 = C2 V2; Wis. Adm. Code NR 329.04)
    assert "38" in page.text


@pytest.mark.parametrize("name", ["people", "stems", "loads", "close"])
def test_the_fieldbook_is_for_those_who_run_the_day(client, group, lead, day, name):
    client.force_login(lead.account)
    assert client.get(address(name, day)).status_code == 200
    client.force_login(factories.make_member(group).account)
    assert client.get(address(name, day)).status_code == 403
    client.force_login(factories.make_member(factories.make_group(), role=Role.ORGANIZER).account)
    assert client.get(address(name, day)).status_code == 404


def test_the_sign_in_page_takes_as_many_queries_for_300_people_as_for_20(client, group, lead, day, count_queries):
    client.force_login(lead.account)
    client.get(address("people", day))  # the first request of a session also notes the session
    for _i in range(20):
        factories.make_sign_up(day, factories.make_member(group))
    few = count_queries(lambda: client.get(address("people", day)))
    for _i in range(280):
        factories.make_sign_up(day, factories.make_member(group))
    assert count_queries(lambda: client.get(address("people", day))) == few


# --- Emergency contacts ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("offset", "opens"), [(-2, False), (-1, True), (0, True), (1, True), (2, False)], ids=lambda value: str(value)
)
def test_a_crew_lead_opens_the_contacts_from_the_day_before_to_the_day_after(
    client, group, lead, day, time_machine, offset, opens
):
    time_machine.move_to(START + datetime.timedelta(days=offset), tick=False)
    member = factories.make_member(group, name="Ada Marsh")
    PrivateRecord.objects.filter(member=member).update(emergency_name="Bo Marsh", emergency_phone="555-0142")
    factories.make_sign_up(day, member)
    client.force_login(lead.account)
    assert "555-0142" not in client.get(address("emergency", day)).text
    page = client.post(address("emergency", day), {"why": "Roster for the landing"})
    assert ("555-0142" in page.text) is opens
    assert PrivateLook.objects.filter(member=member, why="Roster for the landing").exists() is opens


def test_the_contacts_are_opened_with_a_reason_only(client, lead, day, on_the_day):
    client.force_login(lead.account)
    assert "Why do you open them?" in client.post(address("emergency", day), {"why": ""}).text
    assert not PrivateLook.objects.exists()

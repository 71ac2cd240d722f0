"""The plan page as the bench: through HTTP, as an organizer, a crew lead or a volunteer meets it."""

import pytest
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.models import Plan, PlanDue, PlanPin
from reedcrew.people.roles import Role
from tests import factories
from tests.crews.crowd import (
    day_with_gear,
    full_day,
    mark_absent,
    organizer_of,
    sign_up_shore,
    sign_up_waders,
    told_plan,
    units_of,
)
from tests.factories import NOW, START, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


def address(name: str, day, *more: int) -> str:
    return reverse(f"crews:{name}", args=[day.group.slug, day.pk, *more])


def sign_in(client, day, role: Role = Role.ORGANIZER) -> None:
    client.force_login(factories.make_member(day.group, role=role).account)


def pin_data(day, kind: str, name: str, other: str = "", **more: object) -> dict[str, object]:
    people = dict(day.sign_ups.values_list("member__name", "member"))
    return {"kind": kind, "member": people[name], "other": people.get(other, ""), "step": "pin", **more}


def test_the_bench_says_what_each_person_may_do_and_why_not(client):
    day = full_day(4)
    sign_up_waders(day, "Una Unsaid")
    day.sign_ups.get(member__name="Una Unsaid").member.profile.__class__.objects.filter(
        member__name="Una Unsaid"
    ).update(stature_cm=None)
    sign_in(client, day)
    page = client.get(address("plan", day)).text
    for words in ("Who may do what", "may enter", "H6.stature_unknown", "The stature of Una Unsaid is unknown"):
        assert words in page
    for words in ("Zones today", "60\N{NO-BREAK SPACE}cm", "cut as near the bed as possible", "8 units at most"):
        assert words in page


def test_a_proposal_is_accepted_on_the_page_and_says_by_whom(client):
    day = full_day()
    plan = services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day, Role.CREW_LEAD)
    assert "Proposed, not accepted yet" in client.get(address("plan", day)).text
    page = client.post(address("accept", day, plan.pk), follow=True).text
    assert "The plan is accepted" in page
    assert "Accepted by Person" in page
    assert "Proposed, not accepted yet" not in page


def test_a_stale_press_on_accept_is_refused_in_words(client):
    day = full_day()
    plan = services.make_plan(day=day, actor=None, now=NOW)
    services.order_plan(day=day, now=NOW)
    sign_in(client, day)
    page = client.post(address("accept", day, plan.pk), follow=True).text
    assert "Something changed since this plan was made. Plan anew" in page
    assert not Plan.objects.filter(told=True).exists()


def test_a_pin_is_stored_listed_and_taken_back(client):
    day = full_day()
    sign_in(client, day)
    page = client.post(address("pin", day), pin_data(day, "pair", "Wader 1", "Wader 6"), follow=True).text
    assert "It is pinned, and the day is planned anew." in page
    assert "<strong>Wader 1, Wader 6</strong> work in one unit" in page
    assert {"Wader 1", "Wader 6"} in list(units_of(Plan.objects.get(current=True)).values())
    assert not PlanDue.objects.exists()
    page = client.post(address("unpin", day, PlanPin.objects.get().pk), follow=True).text
    assert "Nothing is pinned." in page


def test_a_pin_that_breaks_a_rule_stands_beside_its_field_with_code_and_sentence(client):
    day = full_day()
    services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day)
    page = client.post(address("pin", day), pin_data(day, "pair", "Wader 1", "Sam Spotter"))
    assert page.status_code == 200
    assert "H4: Sam Spotter is not signed up as willing and able to work in water." in str(
        page.context["pin_form"].errors["other"]
    )
    assert not PlanPin.objects.exists()
    assert Plan.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"kind": "pair", "other": ""}, "other"),
        ({"kind": "zone"}, "zone"),
        ({"kind": "role"}, "role"),
        ({"kind": "role", "role": "spotter"}, "zone"),  # of which zone
        ({"kind": "together"}, "kind"),
        ({"kind": "zone", "zone": "9" * 5000}, "zone"),
        ({"member": "x"}, "member"),
    ],
)
def test_a_pin_that_can_not_be_read_is_asked_back_at_its_field(client, data, field):
    day = full_day()
    sign_in(client, day)
    page = client.post(address("pin", day), pin_data(day, "pair", "Wader 1", "Wader 2") | data)
    assert page.status_code == 200
    assert field in page.context["pin_form"].errors
    assert not PlanPin.objects.exists()


def test_a_zone_is_left_aside_for_a_role_that_has_none(client):
    """As after carrying a person to a zone and choosing another role by hand."""
    day = full_day()
    sign_in(client, day)
    data = pin_data(day, "role", "Sol Shore", role="sign-in desk", zone=day.zones.get().pk)
    page = client.post(address("pin", day), data, follow=True).text
    assert "It is pinned, and the day is planned anew." in page
    assert PlanPin.objects.get().zone is None


def test_each_part_of_the_long_page_is_one_tap_away(client):
    day = full_day()
    services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day)
    page = client.get(address("plan", day)).text
    for part in ("proposal", "units", "shore", "pins", "what-if", "people", "gear"):
        assert f'href="#{part}"' in page
        assert f'id="{part}"' in page


def test_trying_a_pin_shows_what_would_change_and_stores_nothing(client):
    day = full_day()
    services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day)
    page = client.post(address("pin", day), pin_data(day, "not water", "Wader 1") | {"step": "try"}).text
    assert "People in water: 6 now, 5 then." in page
    assert "Nothing is stored yet" in page
    assert not PlanPin.objects.exists()
    assert Plan.objects.count() == 1


def test_a_what_if_tells_people_water_and_gear_and_stores_nothing(client):
    day = full_day()
    services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day, Role.CREW_LEAD)
    for asked, told in (
        ({"people": "2", "experienced": "on"}, "People in water: 6 now, 8 then."),
        ({"water_cm": "40"}, "People in water: 6 now, 0 then."),
        ({"water_cm": "-10"}, "People in water: 6 now, 6 then."),
        ({"without": "chest waders|43"}, "People in water: 6 now, 0 then."),
    ):
        assert told in client.get(address("plan", day), asked).text
    assert "newcomer 1" in client.get(address("plan", day), {"people": "2", "experienced": "on"}).text
    assert Plan.objects.count() == 1


def test_a_what_if_says_which_pins_could_not_be_kept_to_organizers_only(client):
    day = full_day()
    sign_in(client, day)
    client.post(address("pin", day), pin_data(day, "pair", "Wader 1", "Wader 6"))
    page = client.get(address("plan", day), {"water_cm": "40"}).text
    assert "People in water: 6 now, 0 then." in page
    assert "Pins that could not be kept then:" in page
    sign_in(client, day, Role.CREW_LEAD)
    page = client.get(address("plan", day), {"water_cm": "40"}).text
    assert "People in water: 6 now, 0 then." in page
    assert "Pins that could not be kept then:" not in page


@pytest.mark.parametrize(
    "asked",
    [
        {"people": "41"},
        {"people": "-1"},
        {"people": "two"},
        {"water_cm": "999"},
        {"without": "wings|9"},
        {"people": ""},
    ],
)
def test_a_what_if_that_means_nothing_is_asked_back(client, asked):
    day = full_day()
    sign_in(client, day)
    page = client.get(address("plan", day), asked)
    assert page.status_code == 200
    assert page.context["what_if"].errors
    assert page.context["supposed"] is None


def test_what_does_not_stand_is_said_in_big_words_with_the_change_to_accept(client, time_machine):
    day = full_day()
    told_plan(day)
    mark_absent(day, "Wader 1")
    services.make_due_plan(day_pk=day.pk, now=START)
    time_machine.move_to(START, tick=False)
    sign_in(client, day, Role.CREW_LEAD)
    page = client.get(address("plan", day)).text
    assert "What people were told does not stand any more" in page
    assert "1 unit must not go into the water as it is." in page
    assert "A new plan differs from what people were told" in page
    assert "did not come" in page
    proposal = Plan.objects.get(current=True)
    assert "The plan below is the new one." in client.get(f"{address('plan', day)}?proposal=1").text
    page = client.post(address("accept", day, proposal.pk), follow=True).text
    assert "The change is accepted." in page
    assert "does not stand any more" not in page


def test_only_organizers_see_and_make_pins(client):
    day = full_day()
    sign_in(client, day, Role.CREW_LEAD)
    page = client.get(address("plan", day)).text
    assert "Pins" not in page
    assert "What if?" in page
    assert client.post(address("pin", day), pin_data(day, "not water", "Wader 1")).status_code == 403
    sign_in(client, day, Role.COORDINATOR)
    plan = services.make_plan(day=day, actor=None, now=NOW)
    assert client.post(address("accept", day, plan.pk)).status_code == 403


def test_a_day_of_another_group_is_not_there(client):
    day, other = full_day(), full_day()
    plan = services.make_plan(day=other, actor=None, now=NOW)
    sign_in(client, day)
    assert client.post(address("accept", other, plan.pk)).status_code == 404
    assert client.post(address("accept", day, plan.pk)).status_code == 404


def test_the_page_takes_as_many_queries_for_40_people_as_for_10(client, count_queries):
    counts = []
    for waders in (10, 40):
        day = day_with_gear(60, units_max=30)
        sign_up_waders(day, *(f"Wader {number}" for number in range(waders)))
        sign_up_shore(day, *(f"Shore {number}" for number in range(8)))
        told_plan(day)
        account = organizer_of(day)
        newcomer = factories.make_water_member(day.group)
        factories.make_sign_up(day, newcomer)
        services.make_plan(day=day, actor=None, now=NOW + (START - NOW) / 2)
        client.force_login(account)
        client.get(address("plan", day))
        counts.append(count_queries(lambda day=day: client.get(address("plan", day))))
    assert counts[0] == counts[1]
    assert account_of(newcomer)

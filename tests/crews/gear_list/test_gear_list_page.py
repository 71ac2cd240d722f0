"""The gear list of a day through HTTP: rules with sources, what to get, what to pack from where; and own lists."""

import html

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.crews import services
from reedcrew.crews.gear.services import book_for
from reedcrew.crews.gear_list.queries import gear_list
from reedcrew.people.roles import Role
from reedcrew.stock.models import StockLine
from reedcrew.trade.clothing import COLD_WATER, clothes_for
from reedcrew.trade.gear.sources import SOURCES
from reedcrew.trade.items import Item
from tests import factories
from tests.crews.crowd import day_with_gear, full_day, organizer_of, sign_up_shore, sign_up_waders, told_plan
from tests.factories import NOW, account_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def before(time_machine):
    time_machine.move_to(NOW, tick=False)


def address(day):
    return reverse("crews:gear_list", args=[day.group.slug, day.pk])


def sign_in(client, day, role=Role.ORGANIZER):
    client.force_login(factories.make_member(day.group, role=role).account)


def planned_day():
    """A pair in water, a first-aider and two more on shore; two sets of waders and jackets."""
    day = day_with_gear(sets=2)
    sign_up_waders(day, "Nia Nettle", "Bo Birch")
    sign_up_shore(day, "Ida Aid", "Sam Spotter", "Sol Shore")
    return day


def test_every_kind_of_gear_names_its_source():
    assert set(SOURCES) == set(Item)


def test_lines_say_needed_own_in_stock_and_short_with_rule_and_source(client):
    day = planned_day()
    told_plan(day)
    sign_in(client, day)
    page = html.unescape(client.get(address(day)).text)
    for words in (
        "chest waders 43",
        "Chest waders for water work, from the boot size up to one size above (H5).",
        "29 CFR 1926.106(a)",
        "CSA Z1220-17, clause 6",
        "8 CCR § 3395(c)",
        "Wis. Adm. Code NR 329.04",
    ):
        assert words in page


def test_what_to_borrow_or_buy_can_be_copied(client):
    day = planned_day()
    told_plan(day)
    found = gear_list(day)
    lines = {(line.item, line.size): line for line in found.short}
    assert ("chest waders", "43") not in lines  # two are there for two people
    assert lines["throw line", ""].short == 1
    # 5 people × 4 h × 0.946 L = 18.93 L, rounded up to a tenth: 19 L.
    assert "19 L drinking water" in found.shopping.splitlines()
    assert "1 × throw line" in found.shopping.splitlines()
    sign_in(client, day, Role.COORDINATOR)
    assert "1 × throw line" in client.get(address(day)).text


def test_the_packing_list_goes_by_the_places_where_things_are_kept():
    day = planned_day()
    factories.make_stock(day.group, Item.SPRAYER, 3)
    factories.make_stock(day.group, Item.SHADE, 3)
    StockLine.objects.filter(item__in=[Item.LIFE_JACKET, Item.SPRAYER]).update(note="Rack by the door")
    StockLine.objects.filter(item=Item.SHADE).update(note="folding roof")
    sets = factories.make_sets(day.group, Item.CHEST_WADERS, 1, size="43", shelf="Crate 4")
    factories.make_stock(day.group, Item.BRUSH, 40)
    told_plan(day)
    crates = {crate.place: crate.lines for crate in gear_list(day).crates}
    assert list(crates)[-1] == ""  # what nobody wrote a place for
    assert [(line.item, line.number, line.sets) for line in crates["Crate 4"]] == [
        ("chest waders", 1, [sets[0].number])
    ]
    assert [(line.item, line.size, line.number) for line in crates["Rack by the door"]] == [
        ("life jacket", "adult", 2),
        ("sprayer", "", 1),
    ]
    rest = {line.item: line.number for line in crates[""]}
    assert [line.note for line in crates[""] if line.item == "shade"] == ["folding roof"]  # a note, not a place
    assert rest["chest waders"] == 1  # the second pair is counted, without a label
    assert rest["brush"] == 2  # one station, two brushes: no more than is needed


def test_the_sets_that_people_are_promised_are_packed_first():
    day = planned_day()
    many = factories.make_sets(day.group, Item.CHEST_WADERS, 6, size="43", shelf="Crate 4")
    told_plan(day)
    booked = book_for(day=day, actor=organizer_of(day), now=NOW).bookings
    promised = sorted(each.gear_set.number for each in booked)
    packed = [line for crate in gear_list(day).crates for line in crate.lines if line.sets]
    assert [number for line in packed for number in line.sets] == promised
    assert len(promised) < len(many)


def test_without_a_plan_the_page_says_so(client):
    day = planned_day()
    sign_in(client, day)
    assert "the day has none yet" in client.get(address(day)).text


def test_volunteers_do_not_read_the_list_of_the_group(client):
    day = planned_day()
    sign_in(client, day, Role.VOLUNTEER)
    assert client.get(address(day)).status_code == 403


def test_queries_do_not_grow_with_roster_or_stock(client):
    day = full_day(4)
    factories.make_sets(day.group, Item.CHEST_WADERS, 1, size="43", shelf="Crate 4")
    services.make_plan(day=day, actor=None, now=NOW)
    sign_in(client, day)
    client.get(address(day))
    with CaptureQueriesContext(connection) as few:
        client.get(address(day))
    sign_up_waders(day, *(f"More {number}" for number in range(6)))
    factories.make_sets(day.group, Item.CHEST_WADERS, 6, size="43", shelf="Crate 4")
    factories.make_sets(day.group, Item.LIFE_JACKET, 6, size="adult", shelf="Crate 5")
    services.make_plan(day=day, actor=None, now=NOW)
    with CaptureQueriesContext(connection) as many:
        client.get(address(day))
    assert len(many) == len(few)


# --- Own lists -------------------------------------------------------------------------------------------------------
def test_a_volunteer_reads_what_to_bring_and_after_acceptance_what_is_lent(client):
    day = planned_day()
    day.what_to_bring = "A cup for the soup"
    day.save()
    nia = day.sign_ups.get(member__name="Nia Nettle").member
    nia.profile.own_gear = [Item.GLOVES.value]
    nia.profile.save()
    services.make_plan(day=day, actor=None, now=NOW)
    client.force_login(account_of(nia))
    before = client.get(day.get_public_url()).text
    for words in ("gloves (own)", "closed shoes with firm soles", "A cup for the soup"):
        assert words in before
    assert "You will be lent" not in before  # nobody has accepted the plan
    told_plan(day)
    for page in (day.get_public_url(), day.get_absolute_url(), "/"):
        after = client.get(page).text
        lent = after[after.index("You will be lent") :].partition("</ul>")[0]
        assert "chest waders 43" in lent
        assert "gloves" not in lent
        for unsaid in ("Birch", "Sam Spotter"):
            assert unsaid not in after


def test_clothes_follow_the_place_and_the_forecast():
    # US Coast Guard: water below 21.1 °C (70 °F) is cold water; unknown counts as cold.
    assert COLD_WATER in clothes_for(in_water=True, water_temp_c=21.0)
    assert COLD_WATER in clothes_for(in_water=True)
    assert COLD_WATER not in clothes_for(in_water=True, water_temp_c=21.1)
    assert COLD_WATER not in clothes_for(in_water=False, water_temp_c=5)
    # 8 CCR § 3395: shade, and so light clothes, from 80 °F (26.7 °C).
    assert "light, loose clothes" in clothes_for(in_water=False, temp_c=26.7)
    assert "light, loose clothes" not in clothes_for(in_water=False, temp_c=26.6)

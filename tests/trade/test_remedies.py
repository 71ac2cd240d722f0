"""What would let somebody in: each remedy is tried by planning the day in which it came true."""

from dataclasses import replace
from decimal import Decimal

import pytest

from reedcrew.trade.day import Day, StockLine
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import plan_day
from reedcrew.trade.pins import Pin, PinKind
from reedcrew.trade.plan import NotPlaced, Plan, Remedy, ShoreRole
from reedcrew.trade.what_if import altered
from tests.trade.pairing_days import FIRST_AIDER, SPOTTER, ashore, child, day, in_water, sets, wader, zone


def remedies_of(plan: Plan, name: str) -> tuple[Remedy, ...]:
    ashore_or_left: tuple[ShoreRole | NotPlaced, ...] = (*plan.shore, *plan.not_placed)
    return next(place.remedies for place in ashore_or_left if place.volunteer == name)


def texts(of_day: Day, name: str) -> list[str]:
    return [remedy.text for remedy in remedies_of(plan_day(of_day), name)]


A, B = wader("a"), wader("b")

CASES = [
    pytest.param(
        day(A, wader("b", boot_eu=Decimal("43.5"))), "b", "One pair of chest waders in 44.", id="waders that nobody has"
    ),
    pytest.param(
        day(A, B, zones=zone(20), crew=(SPOTTER,)), "a", "One adult first-aider on the roster.", id="first-aider"
    ),
    pytest.param(day(A, B, stock=sets({"42": 5}, jackets=1)), "b", "One life jacket of class adult.", id="jacket"),
    pytest.param(
        day(A, wader("b", boots=False), zones=zone(20), stock=()), "b", "One pair of boots in 42.", id="boots"
    ),
    pytest.param(day(A, B, wader("c"), wader("d"), zones=zone(units_max=1)), "a", "One more unit in reach.", id="room"),
    pytest.param(
        day(A, wader("b", languages=frozenset({"pl"}))),
        "b",
        "One adult more for water who has been in it before and speaks pl.",
        id="language",
    ),
    pytest.param(
        day(wader("a", water_days=0), wader("b", water_days=0)),
        "a",
        "One adult more for water who has been in it before.",
        id="experience",
    ),
    pytest.param(
        day(A, child("kit", "g"), ashore("g", water_days=3), zones=zone(20)),
        "kit",
        "The guardian of kit in the unit, ready for water.",
        id="guardian",
    ),
    pytest.param(
        day(A, wader("b", stature_cm=None)),
        "b",
        "b tells what is not known of them: with usual sizes they could go in.",
        id="answer",
    ),
]


@pytest.mark.parametrize(("of_day", "name", "text"), CASES)
def test_a_remedy_is_named_and_puts_them_in_beside_those_who_are_in(of_day: Day, name: str, text: str):
    plan = plan_day(of_day)
    assert name not in in_water(plan)
    found = remedies_of(plan, name)
    assert text in [remedy.text for remedy in found]
    for remedy in found:
        # Nobody gives way, so the best plan of that day has more people in water.
        assert len(in_water(plan_day(altered(of_day, remedy.change)))) > len(in_water(plan))


def test_a_change_that_does_not_suffice_is_not_named():
    # c lacks waders and a jacket: one of the two alone lets nobody in.
    of_day = day(
        A, B, wader("c", boot_eu=Decimal(45)), wader("d", boot_eu=Decimal(45)), stock=sets({"42": 9}, jackets=2)
    )
    assert texts(of_day, "c") == []


def test_whoever_chose_the_shore_has_no_remedy():
    assert texts(day(A, B), SPOTTER.id) == []
    pinned = replace(day(A, B), pins=(Pin(kind=PinKind.NOT_WATER, person="a"),))
    assert texts(pinned, "a") == []


@pytest.mark.parametrize(
    ("closed", "text"),
    [
        (zone(60, 0), "One more unit in reach."),
        (replace(zone(60), current_m_s=None), "Measure the current in reach: in still water it would be open."),
        # 0.929 m²/s over a safety factor of 2 is 0.4645; at 1 m/s that is reached at 46.45 cm, so 46 cm is open.
        (zone(60, current_m_s=1.0), "Water in reach lower by 14 cm."),
        (zone(110), "Water in reach lower by 10 cm."),
    ],
)
def test_a_closed_zone_says_what_would_open_it(closed, text: str):
    of_day = day(A, B, zones=closed)
    (told,) = plan_day(of_day).closed_zones
    assert [remedy.text for remedy in told.remedies] == [text]
    assert plan_day(altered(of_day, told.remedies[0].change)).closed_zones == ()


def test_a_zone_closed_for_two_reasons_has_no_single_remedy():
    (told,) = plan_day(day(A, B, zones=zone(110, 0))).closed_zones
    assert told.remedies == ()


def test_without_a_first_aider_the_water_opens_with_one():
    (told,) = plan_day(day(A, B, crew=(SPOTTER,))).closed_zones
    assert [remedy.code for remedy in told.remedies] == ["remedy.first_aider"]


def test_more_checks_than_a_plan_takes_leave_remedies_out_and_not_the_plan():
    people = [
        wader(f"p{number:02}", boot_eu=Decimal(36 + number % 14), stature_cm=160 + number) for number in range(30)
    ]
    of_day = day(*people, crew=(FIRST_AIDER, SPOTTER, ashore("z3")), stock=(StockLine(item=Item.BAG, count=1),))
    plan = plan_day(of_day)
    assert len([duty for duty in plan.shore if duty.remedies]) <= 12

"""A unit put together at the landing is held to the plan's hard rules that can be judged there (design, H1 to H11)."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.policy import DEFAULT_POLICY
from reedcrew.trade.unit_rules import unit_refusals

ADULT = Volunteer(id="ada", adult=True, stature_cm=175, water_ready=True, water_days=3, languages=frozenset({"en"}))
OTHER = replace(ADULT, id="bo", water_days=0)
CHILD = replace(ADULT, id="kit", adult=False, guardian="ada", stature_cm=150, water_days=0)
ZONES = (
    Zone(name="shallow", depth_cm=25, units_max=5),
    Zone(name="deep", depth_cm=80, units_max=5),
    Zone(name="race", depth_cm=60, current_m_s=1.5, units_max=5),
    Zone(name="dry", depth_cm=0, units_max=5),
)


def codes(zone: str, *people: Volunteer) -> set[str]:
    day = Day(
        start=datetime(2026, 8, 15, 13, tzinfo=UTC),
        end=datetime(2026, 8, 15, 17, tzinfo=UTC),
        zones=ZONES,
        volunteers=people,
        policy=DEFAULT_POLICY,
    )
    names = {each.id: each.id.title() for each in people}
    return {each.code for each in unit_refusals(day, zone, [each.id for each in people], names)}


@pytest.mark.parametrize(
    ("zone", "people", "expected"),
    [
        ("deep", (ADULT, OTHER), set()),
        ("deep", (ADULT,), {"H1.unit"}),
        ("deep", (ADULT, OTHER, replace(OTHER, id="cy"), replace(OTHER, id="di")), {"H1.unit"}),
        ("deep", (OTHER, replace(OTHER, id="cy")), {"H2.unit"}),
        ("deep", (OTHER, replace(OTHER, id="cy", lead=True)), set()),
        ("shallow", (ADULT, CHILD), set()),
        ("shallow", (replace(ADULT, id="cy"), CHILD), {"H3.unit_guardian"}),
        ("deep", (ADULT, CHILD), {"H3.unit_depth", "H6.unit"}),  # 150 cm × 0.5 = 75 cm
        ("deep", (ADULT, replace(OTHER, water_ready=False)), {"H4.unit"}),
        ("deep", (ADULT, replace(OTHER, stature_cm=None)), {"H6.unit_unknown"}),
        ("deep", (ADULT, replace(OTHER, stature_cm=159)), {"H6.unit"}),  # floor(79.5) = 79 cm
        ("deep", (ADULT, replace(OTHER, stature_cm=160)), set()),
        ("race", (ADULT, OTHER), {"H7"}),
        ("dry", (ADULT, OTHER), {"unit.dry"}),
        ("deep", (ADULT, replace(OTHER, languages=frozenset({"fr"}))), {"H11.unit"}),
    ],
)
def test_each_rule_speaks_for_itself(zone, people, expected):
    assert codes(zone, *people) == expected


def test_somebody_without_a_place_is_named():
    day = Day(
        start=datetime(2026, 8, 15, 13, tzinfo=UTC),
        end=datetime(2026, 8, 15, 17, tzinfo=UTC),
        zones=ZONES,
        volunteers=(),
    )
    (said, *_more) = unit_refusals(day, "deep", ["x", "y"], {"x": "Xena", "y": "Yuri"})
    assert said.text == "Xena has no place on this day."

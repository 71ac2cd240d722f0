"""Kits and first-aiders by published head counts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.first_aid import (
    Hazard,
    KitSize,
    first_aiders_needed,
    kits_by_head_count,
    kits_for_cutting_crew,
    kits_needed,
)


@pytest.mark.parametrize(
    ("people", "size", "count"),
    [
        # CSA Z1220-17, clause 6.
        (1, KitSize.PERSONAL, 1),
        (2, KitSize.SMALL, 1),
        (25, KitSize.SMALL, 1),
        (26, KitSize.MEDIUM, 1),
        (50, KitSize.MEDIUM, 1),
        (51, KitSize.LARGE, 1),
        (100, KitSize.LARGE, 1),
        (101, KitSize.LARGE, 2),
    ],
)
def test_kits_by_head_count(people, size, count):
    kits = kits_by_head_count(people)
    assert (kits.size, kits.count) == (size, count)


@pytest.mark.parametrize(("people", "kits"), [(0, 0), (3, 1), (4, 2), (8, 3)])  # 29 CFR 1910.266 App. A, convention
def test_kits_for_a_cutting_crew(people, kits):
    assert kits_for_cutting_crew(people) == kits


@pytest.mark.parametrize(("people", "count"), [(0, 0), (1, 1), (2, 1), (8, 3), (26, 9), (101, 34)])
def test_the_larger_need_is_taken_and_said(people, count):
    need = kits_needed(people)
    assert need.count == count
    assert [because.code for because in need.reasons] == [
        "first_aid.by_heads",
        "first_aid.cutting_crew",
        "first_aid.larger",
    ]
    assert str(count) in need.reasons[-1].text


@pytest.mark.parametrize(
    ("hazard", "people", "count"),
    [
        # HSE L74, suggested numbers.
        (Hazard.HIGHER, 4, 0),
        (Hazard.HIGHER, 5, 1),
        (Hazard.HIGHER, 50, 1),
        (Hazard.HIGHER, 51, 2),
        (Hazard.HIGHER, 100, 2),
        (Hazard.HIGHER, 101, 3),
        (Hazard.LOW, 24, 0),
        (Hazard.LOW, 25, 1),
        (Hazard.LOW, 51, 1),
        (Hazard.LOW, 101, 2),
    ],
)
def test_first_aiders(hazard, people, count):
    assert first_aiders_needed(people, hazard).count == count


def test_a_small_crew_still_appoints_a_person():
    assert first_aiders_needed(4).reason.code == "first_aid.appointed_person"


@given(st.integers(0, 500))
def test_more_people_never_need_fewer_kits_or_first_aiders(people):
    assert kits_needed(people).count <= kits_needed(people + 1).count
    for hazard in Hazard:
        assert first_aiders_needed(people, hazard).count <= first_aiders_needed(people + 1, hazard).count


@pytest.mark.parametrize("ask", [kits_by_head_count, kits_for_cutting_crew, kits_needed, first_aiders_needed])
def test_fewer_than_no_people_are_refused(ask):
    with pytest.raises(UnusableInput, match="people"):
        ask(-1)

"""Rules 4 and 5 of the design: how reed is cut and what is worn, by depth."""

import pytest

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.items import Item
from reedcrew.trade.method import WATER_WORK_DEPTH_CM, Method, is_water_work, method_for, protective_wear


@pytest.mark.parametrize(
    ("depth_cm", "method"),
    [
        (0, Method.SPADE_AT_BASE),
        (WATER_WORK_DEPTH_CM, Method.SPADE_AT_BASE),
        (WATER_WORK_DEPTH_CM + 0.5, Method.CUT_AT_BED),
        (90, Method.CUT_AT_BED),
    ],
)
def test_rule_4_method_changes_just_over_30_cm(depth_cm, method):
    choice = method_for(depth_cm)
    assert choice.method is method
    assert str(depth_cm) in choice.reason.text


@pytest.mark.parametrize(
    ("depth_cm", "items", "in_pairs"),
    [
        (0, (Item.GLOVES, Item.EYE_PROTECTION), False),
        (1, (Item.BOOTS, Item.GLOVES, Item.EYE_PROTECTION), True),
        (30, (Item.BOOTS, Item.GLOVES, Item.EYE_PROTECTION), True),
        (31, (Item.CHEST_WADERS, Item.LIFE_JACKET, Item.GLOVES, Item.EYE_PROTECTION), True),
    ],
)
def test_rule_5_wear_follows_depth(depth_cm, items, in_pairs):
    wear = protective_wear(depth_cm)
    assert (wear.items, wear.in_pairs) == (items, in_pairs)


def test_rule_5_shallow_water_is_never_entered_barefoot():
    assert "never bare feet" in protective_wear(10).reasons[0].text


@pytest.mark.parametrize("ask", [is_water_work, method_for, protective_wear])
@pytest.mark.parametrize("depth_cm", [-1, 1001, float("nan")])
def test_an_impossible_depth_is_refused(ask, depth_cm):
    with pytest.raises(UnusableInput, match="depth_cm"):
        ask(depth_cm)

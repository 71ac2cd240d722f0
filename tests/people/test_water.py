"""What water work still needs to know of a person."""

import datetime
from decimal import Decimal

import pytest

from reedcrew.people.models import Member, Profile
from reedcrew.people.water import QUESTIONS, missing_for_water
from reedcrew.trade.items import Item, JacketClass

DAY = datetime.date(2026, 8, 15)


def complete(guardian_id=None, **changes):
    facts = {
        "adult": True,
        "languages": ["en"],
        "water_ready": True,
        "stature_cm": 175,
        "jacket_class": JacketClass.ADULT.value,
        "boot_eu": Decimal(43),
        "hand_mm": 210,
        **changes,
    }
    return Profile(member=Member(guardian_id=guardian_id), **facts)


def missing(profile, on=DAY):
    return [question.field for question in missing_for_water(profile, on)]


def test_nothing_is_missing_of_a_complete_profile():
    assert missing(complete()) == []


@pytest.mark.parametrize(
    ("rule", "changes", "field"),
    [
        ("H4", {"water_ready": False}, "water_ready"),
        ("H11", {"languages": []}, "languages"),
        ("H6", {"stature_cm": None}, "stature_cm"),
        ("H5", {"jacket_class": ""}, "body_mass"),
        ("H5", {"boot_eu": None}, "boot_size"),
        ("rule 5", {"hand_mm": None}, "hand_size"),
        ("H3", {"adult": False}, "guardian"),
        ("H3", {"born_on": datetime.date(2008, 8, 16)}, "guardian"),
        ("H5", {"boot_eu": None, "own_gear": [Item.CHEST_WADERS.value]}, "boot_size"),
        ("H5", {"jacket_class": "", "own_gear": [Item.LIFE_JACKET.value]}, "body_mass"),
    ],
)
def test_each_unknown_keeps_a_person_out_of_the_water(rule, changes, field):
    assert missing(complete(**changes)) == [field], rule


@pytest.mark.parametrize(
    ("guardian", "changes"),
    [
        (None, {"hand_mm": None, "own_gear": [Item.GLOVES.value]}),
        (1, {"adult": False}),
        (None, {"born_on": datetime.date(2008, 8, 15)}),  # 18 on the day
    ],
)
def test_what_is_settled_otherwise_is_not_asked(guardian, changes):
    assert missing(complete(guardian, **changes)) == []


def test_an_empty_profile_misses_everything_in_the_order_of_the_form():
    assert missing(Profile(member=Member())) == list(QUESTIONS)


def test_every_question_says_why():
    assert all(str(question.label) and str(question.why) for question in QUESTIONS.values())

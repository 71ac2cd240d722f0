"""How far a group may move its values."""

import dataclasses
from typing import Any, get_type_hints

import pytest

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.policy import DEFAULT_POLICY, Policy
from reedcrew.trade.policy_ranges import RANGES, check
from reedcrew.trade.season import MonthDay


def changed(**values: Any) -> Policy:
    return dataclasses.replace(DEFAULT_POLICY, **values)


def test_every_number_of_the_policy_has_a_range_that_holds_its_default():
    numbers = {name for name, kind in get_type_hints(Policy).items() if kind is not MonthDay}
    assert set(RANGES) == numbers
    for name, span in RANGES.items():
        assert span.low <= getattr(DEFAULT_POLICY, name) <= span.high, name


def test_the_defaults_are_accepted():
    check(DEFAULT_POLICY)


@pytest.mark.parametrize("name", sorted(RANGES))
def test_bounds_are_allowed_and_what_lies_beyond_is_refused_by_name(name):
    span = RANGES[name]
    whole = get_type_hints(Policy)[name] is int
    step = 1 if whole else 0.01
    for bound in (span.low, span.high):
        check(changed(**{name: bound}))
    for beyond in (span.low - step, span.high + step, float("nan")):
        with pytest.raises(UnusableInput) as refused:
            check(changed(**{name: beyond}))
        assert {fault.where for fault in refused.value.faults} == {name}


@pytest.mark.parametrize("value", ["14", None, True, 14.5])
def test_what_is_no_whole_number_of_days_is_refused(value):
    with pytest.raises(UnusableInput, match="sun_days"):
        check(changed(sun_days=value))


def test_every_faulty_value_is_named_at_once():
    faulty = dataclasses.replace(
        DEFAULT_POLICY,
        window_opens=MonthDay(2, 30),
        window_closes=MonthDay(13, 1),
        nest_check_until=MonthDay(7, 31),
        sun_days=0,
        wading_safety_factor=0.5,
    )
    with pytest.raises(UnusableInput) as refused:
        check(faulty)
    assert {fault.where for fault in refused.value.faults} == {
        "sun_days",
        "wading_safety_factor",
        "window_opens",
        "window_closes",
        "nest_check_until",
    }

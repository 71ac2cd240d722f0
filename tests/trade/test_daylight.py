"""Sun times against answers of the US Naval Observatory, and the polar days."""

import datetime
from zoneinfo import ZoneInfo

import pytest

from reedcrew.trade.daylight import SunState, sun_times, within_daylight
from reedcrew.trade.errors import UnusableInput

UTC = datetime.UTC


def hours(count):
    return datetime.timezone(datetime.timedelta(hours=count))


@pytest.mark.parametrize(
    ("latitude", "longitude", "day", "zone", "rise", "sets", "within_min"),
    [
        # USNO answers in whole minutes; tolerance 1.5 min up to 52° of latitude, 3 min up to 65°.
        (38.889444, -77.035278, (2024, 3, 5), hours(-5), "06:34", "18:06", 1.5),
        (51.5074, -0.1278, (2025, 6, 21), UTC, "03:43", "20:22", 1.5),
        (-0.1807, -78.4678, (2025, 3, 20), hours(-5), "06:18", "18:24", 1.5),
        (-54.8019, -68.3030, (2025, 12, 21), hours(-3), "04:52", "22:11", 3),
        (59.9139, 10.7522, (2025, 12, 21), UTC, "08:18", "14:12", 3),
        (59.9139, 10.7522, (2025, 6, 21), UTC, "01:54", "20:44", 3),
        (64.1466, -21.9426, (2025, 12, 21), UTC, "11:22", "15:30", 3),
        # In its own zone the day at Sydney runs forward again: 19:44 and 07:51 UTC of one UTC day.
        (-33.8688, 151.2093, (2025, 9, 22), ZoneInfo("Australia/Sydney"), "05:46", "17:51", 1.5),
    ],
)
def test_rise_and_set(latitude, longitude, day, zone, rise, sets, within_min):
    date = datetime.date(*day)
    times = sun_times(latitude, longitude, date, zone)
    assert times.state is SunState.RISES_AND_SETS
    for moment, clock in ((times.sunrise, rise), (times.sunset, sets)):
        printed = datetime.datetime.combine(date, datetime.time.fromisoformat(clock), zone)
        assert abs(moment - printed) <= datetime.timedelta(minutes=within_min)
    assert times.sunrise < times.sunset


@pytest.mark.parametrize(
    ("latitude", "longitude", "day", "zone", "dawn", "dusk"),
    [
        (38.889444, -77.035278, (2024, 3, 5), hours(-5), "06:07", "18:32"),
        (51.5074, -0.1278, (2025, 6, 21), UTC, "02:55", "21:09"),
    ],
)
def test_civil_twilight(latitude, longitude, day, zone, dawn, dusk):
    date = datetime.date(*day)
    times = sun_times(latitude, longitude, date, zone)
    for moment, clock in ((times.dawn, dawn), (times.dusk, dusk)):
        printed = datetime.datetime.combine(date, datetime.time.fromisoformat(clock), zone)
        assert abs(moment - printed) <= datetime.timedelta(minutes=1.5)


@pytest.mark.parametrize(
    ("day", "state"), [((2025, 12, 21), SunState.DOWN_ALL_DAY), ((2025, 6, 21), SunState.UP_ALL_DAY)]
)
def test_at_70_north_the_solstices_have_no_sunrise_and_no_sunset(day, state):
    times = sun_times(70, 0, datetime.date(*day), UTC)
    assert (times.state, times.sunrise, times.sunset) == (state, None, None)


@pytest.mark.parametrize("latitude", [-90, -75, 75, 90])
def test_every_day_near_the_poles_has_an_answer(latitude):
    first = datetime.date(2025, 1, 1)
    states = {sun_times(latitude, 0, first + datetime.timedelta(days=day), UTC).state for day in range(0, 365, 3)}
    assert {SunState.UP_ALL_DAY, SunState.DOWN_ALL_DAY} <= states


@pytest.mark.parametrize(
    ("start", "end", "within", "codes"),
    [
        ("09:00", "13:00", True, ["daylight.within"]),
        ("06:00", "13:00", False, ["daylight.before_sunrise"]),
        ("15:00", "19:00", False, ["daylight.after_sunset"]),
        ("05:00", "19:00", False, ["daylight.before_sunrise", "daylight.after_sunset"]),
    ],
)
def test_work_hours_against_daylight(start, end, within, codes):
    date, zone = datetime.date(2024, 3, 5), hours(-5)
    times = sun_times(38.889444, -77.035278, date, zone)  # sun from 06:34 to 18:06
    first, last = (datetime.datetime.combine(date, datetime.time.fromisoformat(clock), zone) for clock in (start, end))
    result = within_daylight(first, last, times)
    assert (result.within, [because.code for because in result.reasons]) == (within, codes)


@pytest.mark.parametrize(
    ("day", "within", "code"),
    [((2025, 6, 21), True, "daylight.up_all_day"), ((2025, 12, 21), False, "daylight.down_all_day")],
)
def test_work_hours_on_polar_days(day, within, code):
    date = datetime.date(*day)
    times = sun_times(70, 0, date, UTC)
    noon = datetime.datetime.combine(date, datetime.time(12), UTC)
    result = within_daylight(noon, noon + datetime.timedelta(hours=3), times)
    assert (result.within, result.reasons[0].code) == (within, code)


def test_an_impossible_place_names_both_coordinates():
    with pytest.raises(UnusableInput) as caught:
        sun_times(91, -181, datetime.date(2025, 1, 1), UTC)
    assert [fault.where for fault in caught.value.faults] == ["latitude", "longitude"]

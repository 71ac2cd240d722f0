"""One position as people copy it; RFC 5870 (its examples from memory), 1° = 60′ = 3600″."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.outline import UnusablePosition, read_position

QUARTER = (-76.5, 44.25)


@pytest.mark.parametrize(
    "text",
    [
        "44.25, -76.5",
        " 44.25 -76.5 ",
        "44.25;-76.5",
        "44.25,−76.5",
        "44,25 -76,5",
        "44,25, -76,5",
        "44,25; -76,5",
        "44.25N 76.5W",
        "76.5° W, 44.25° N",
        "N 44.25 W 76.5",
        "44.25 N, 76.5 O",  # ouest, oeste
        "44°15'N 76°30'W",
        "44° 15.0' N, 76° 30.0' W",
        "44 15 N 76 30 W",
        "44°15′00″N76°30′00″W",
        "44º15’00”N, 76º30’00”W",
        "44 15 00, -76 30 00",
        "N44°15'00.0\" W76°30'00.0\"",
        "44°15' N, 76.5° W",
        "44°15'00,0\"N 76°30'00,0\"O",
        "geo:44.25,-76.5",
        "GEO:44.25,-76.5,75.2;crs=wgs84;u=35",
        "geo:44.25,-76.5?z=17",
    ],
)
def test_a_position_is_read_however_it_was_copied(text):
    assert read_position(text) == QUARTER


@pytest.mark.parametrize(
    ("link", "position"),
    [  # examples of RFC 5870, sections 1 and 6 (from memory)
        ("geo:13.4125,103.8667", (103.8667, 13.4125)),
        ("geo:48.2010,16.3695,183", (16.3695, 48.201)),
        ("geo:48.198634,16.371648;crs=wgs84;u=40", (16.371648, 48.198634)),
    ],
)
def test_a_geo_link_gives_latitude_first(link, position):
    assert read_position(link) == position


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "point.unreadable"),
        ("the old boat landing", "point.unreadable"),
        ("44.25", "point.unreadable"),
        ("44.25, -76.5, 12.5", "point.unreadable"),
        ("44 15 00 76 30", "point.unreadable"),  # which of the five belong together?
        ("44°75'N 76°30'W", "point.unreadable"),
        ("44.25°15'N 76°30'W", "point.unreadable"),
        ("geo:44.25,-76.5;crs=nad27", "point.unreadable"),
        ("4" * 5000, "point.unreadable"),
        ("٤٤.٢٥, ٧٦.٥", "point.unreadable"),
        ("44.25N 76.5", "point.halves"),
        ("44.25N 76.5N", "point.halves"),
        ("44.25N -76.5W", "point.halves"),
        ("N44.25N 76.5W", "point.unreadable"),
        ("44, -76", "point.coarse"),
        ("44,25", "point.coarse"),  # a latitude with a decimal comma, and no longitude
        ("geo:66,30", "point.coarse"),
        ("-96.5, 44.25", "corners.out_of_range"),
        ("44.25, 181.5", "corners.out_of_range"),
        ("geo:91.5,0.5", "corners.out_of_range"),
    ],
)
def test_what_is_no_position_is_refused_with_its_cause(text, code):
    with pytest.raises(UnusablePosition) as caught:
        read_position(text)
    assert caught.value.problem.code == code
    assert [fault.where for fault in caught.value.faults] == ["position"]


@given(st.integers(-90 * 36000 + 1, 90 * 36000 - 1), st.integers(-180 * 36000 + 1, 180 * 36000 - 1))
def test_degrees_minutes_and_seconds_say_the_same_place(latitude, longitude):
    """In tenths of a second: whole degrees are 36 000 of them, minutes 600."""

    def written(tenths, letters):
        degrees, rest = divmod(abs(tenths), 36000)
        minutes, seconds = divmod(rest, 600)
        return f"{degrees}°{minutes:02}'{seconds / 10:04.1f}\"{letters[tenths < 0]}"

    lon, lat = read_position(f"{written(latitude, 'NS')} {written(longitude, 'EW')}")
    assert lat == pytest.approx(latitude / 36000, abs=1e-6)
    assert lon == pytest.approx(longitude / 36000, abs=1e-6)


@given(st.text("0123456789.,;+- °'\"NSEWO", max_size=40))
def test_any_text_is_a_place_on_the_map_or_refused(text):
    try:
        longitude, latitude = read_position(text)
    except UnusablePosition:
        return
    assert abs(latitude) <= 90
    assert abs(longitude) <= 180

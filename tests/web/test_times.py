"""Times are shown on the clock of the site."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils.translation import override

from reedcrew.web import times

BERLIN = "Europe/Berlin"


def at(year, month, day, hour=0, minute=0):
    return datetime(year, month, day, hour, minute, tzinfo=UTC)


def test_a_moment_is_shown_in_the_sites_zone_with_its_name():
    # CEST is UTC+2 (tz database, Europe/Berlin, summer 2026).
    assert times.moment_text(at(2026, 7, 18, 7, 0), BERLIN) == "Sat 18 July 2026, 09:00 CEST"
    assert times.clock_text(at(2026, 1, 5, 7, 0), BERLIN) == "08:00 CET"


def test_french_writes_the_first_of_a_month_as_an_ordinal_and_no_other_day():
    # From memory: rule of French typography; Spanish and English of this site write plain numbers.
    first, eleventh, twenty_first = date(2026, 3, 1), date(2026, 3, 11), date(2026, 3, 21)
    with override("fr"):
        assert times.day_text(first) == "dim 1er mars 2026"
        assert times.day_of_year_text(7, 1) == "1er juillet"
        assert times.moment_text(at(2026, 1, 31, 23, 30), BERLIN) == "dim 1er février 2026, 00:30 CET"
        assert (times.date_text(eleventh), times.date_text(twenty_first)) == ("11 mars 2026", "21 mars 2026")
    for language, text in (("en", "1 March 2026"), ("es", "1 de marzo de 2026")):
        with override(language):
            assert times.date_text(first) == text


def test_a_zone_without_letters_is_named_by_its_distance():
    # America/Sao_Paulo has had no letters in the tz database since 2017.
    assert times.clock_text(at(2026, 7, 18, 12, 0), "America/Sao_Paulo") == "09:00 UTC-03"


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="time zone"):
        times.moment_text(at(2026, 7, 18).replace(tzinfo=None), BERLIN)


def test_a_span_names_its_day_once():
    assert times.span_text(at(2026, 7, 18, 7), at(2026, 7, 18, 10, 30), BERLIN) == "Sat 18 July 2026, 09:00–12:30 CEST"


def test_a_span_over_midnight_names_both_days():
    text = times.span_text(at(2026, 7, 18, 20), at(2026, 7, 18, 23), BERLIN)
    assert text == "Sat 18 July 2026, 22:00 CEST to Sun 19 July 2026, 01:00 CEST"


def test_a_span_over_a_change_of_clocks_names_both_zones():
    # The clocks go back at 01:00 UTC on 25 October 2026 (EU Directive 2000/84/EC: last Sunday of October).
    text = times.span_text(at(2026, 10, 25, 0, 30), at(2026, 10, 25, 2, 0), BERLIN)
    assert text == "Sun 25 October 2026, 02:30 CEST–03:00 CET"


def test_times_beside_a_day_name_the_zone_once_unless_it_changes():
    assert times.clock_span_text(at(2026, 7, 18, 7, 0), at(2026, 7, 18, 10, 30), BERLIN) == "09:00–12:30 CEST"
    changing = times.clock_span_text(at(2026, 10, 25, 0, 30), at(2026, 10, 25, 2, 0), BERLIN)
    assert changing == "02:30 CEST–03:00 CET"


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (0, "0 min"),
        (59, "59 min"),
        (60, "1 h"),
        (210, "3 h 30 min"),
        (timedelta(minutes=210), "3 h 30 min"),
        (timedelta(seconds=89), "1 min"),
        (-75, "−1 h 15 min"),
        (60 * 1234, "1,234 h"),
    ],
)
def test_durations_are_hours_and_minutes(length, text):
    assert times.duration_text(length) == text

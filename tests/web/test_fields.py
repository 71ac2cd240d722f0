"""Fields forgive how people write, and say what would be right where they cannot."""

from datetime import UTC, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.web.forms import CountField, DayField, MonthDayField, NumberField, SiteTimeField


def cleaned(field, value):
    return field.clean(value)


def refused(field, value):
    with pytest.raises(ValidationError) as caught:
        field.clean(value)
    return " ".join(caught.value.messages)


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("12", "12"),
        ("12.5", "12.5"),
        ("12,5", "12.5"),
        (" 1 234,5 ", "1234.5"),
        ("1\N{NARROW NO-BREAK SPACE}234", "1234"),
        ("1'234.5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("0,125", "0.125"),
        (",5", "0.5"),
        ("−3", "-3"),
        ("1.200", "1.200"),
    ],
)
def test_a_number_is_read_with_point_or_comma(written, number):
    assert cleaned(NumberField(), written) == Decimal(number)


def test_a_number_that_could_be_two_is_asked_back():
    assert refused(NumberField(), "1,200") == "Write 1200 or 1.2, so that it is clear which of the two is meant."


@pytest.mark.parametrize("written", ["deep", "12cm", "1.2.3", "1,2,3", "--1", "1e3", "NaN", "Infinity", "."])
def test_what_is_no_number_is_refused_with_an_example(written):
    assert refused(NumberField(), written) == "Write a number, such as 12 or 12.5."


def test_limits_are_told_with_the_unit():
    assert refused(NumberField(unit="cm", max_value=400), "401") == "Write 400 cm or less."
    assert refused(NumberField(unit="cm", min_value=0), "-1") == "Write 0 cm or more."
    assert refused(CountField(), "-1") == "Write 0 or more."


@given(st.decimals(min_value=-100_000, max_value=100_000, places=2))
def test_every_number_written_with_a_comma_is_read_back(number):
    assert cleaned(NumberField(), f"{number:f}".replace(".", ",")) == number


@pytest.mark.parametrize(("written", "count"), [("12", 12), ("12 480", 12480), ("12,480", 12480), ("12.480", 12480)])
def test_a_count_is_read_with_any_separator(written, count):
    assert cleaned(CountField(), written) == count


@pytest.mark.parametrize("written", ["1.5", "12,48", "many"])
def test_a_count_is_whole(written):
    assert refused(CountField(), written) == "Write a whole number, such as 12."


def test_empty_optional_numbers_are_none():
    assert cleaned(NumberField(required=False), "") is None
    assert cleaned(CountField(required=False), " ") is None


def test_a_day_in_another_form_is_asked_back_with_an_example():
    assert "2026-07-18" in refused(DayField(), "18/07/2026")


def test_a_day_of_the_year_is_built_as_asked():
    assert cleaned(MonthDayField(), ["15", "7"]) == (7, 15)
    assert cleaned(MonthDayField(build=lambda month, day: f"{month}-{day}"), ["29", "2"]) == "2-29"


def test_a_day_that_the_month_does_not_have_is_refused_with_its_last():
    assert refused(MonthDayField(), ["31", "6"]) == "June has 30 days. Write a day from 1 to 30."
    assert refused(MonthDayField(), ["0", "6"]) == "June has 30 days. Write a day from 1 to 30."


def test_half_a_day_of_the_year_is_refused_even_where_the_answer_is_optional():
    assert refused(MonthDayField(required=False), ["15", ""]) == "Give both the day and the month."
    assert cleaned(MonthDayField(required=False), ["", ""]) is None


FIRST, LAST = datetime.fromisoformat("2020-01-01"), datetime.fromisoformat("2035-01-01")


class Start(forms.Form):
    at = SiteTimeField(label="Start", zone="Europe/Berlin")


def start(day, time):
    return Start({"at_day": day, "at_time": time})


def test_a_site_time_is_read_on_the_sites_clock():
    form = start("2026-07-18", "09:30")
    assert form.is_valid()
    assert form.cleaned_data["at"] == datetime(2026, 7, 18, 7, 30, tzinfo=UTC)
    assert form.cleaned_data["at"].tzinfo is UTC


def test_a_time_that_the_clocks_skip_is_refused():
    # Clocks go from 02:00 to 03:00 on 29 March 2026 (EU Directive 2000/84/EC: last Sunday of March).
    form = start("2026-03-29", "02:30")
    assert form.errors["at"] == [
        "The clocks go forward here and skip 02:30 on that day. Give a time before it, or 03:30."
    ]
    assert start("2026-03-29", "03:00").is_valid()
    assert start("2026-03-29", "01:59").is_valid()


def test_a_time_that_comes_twice_is_the_first_and_says_so():
    # Clocks go from 03:00 back to 02:00 on 25 October 2026 (same directive).
    form = start("2026-10-25", "02:30")
    assert form.is_valid()
    assert form.cleaned_data["at"] == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert "CEST" in str(form)
    assert "comes twice" in str(form)
    assert "comes twice" not in str(start("2026-10-25", "03:30"))


def test_half_a_site_time_is_refused_and_kept():
    form = start("2026-07-18", "")
    assert form.errors["at"] == ["Give both the day and the time."]
    assert 'value="2026-07-18"' in str(form)


def test_a_site_time_shows_a_stored_moment_on_the_sites_clock():
    html = str(Start(initial={"at": datetime(2026, 7, 18, 7, 30, tzinfo=UTC)}))
    assert 'value="2026-07-18"' in html
    assert 'value="09:30"' in html
    assert "Europe/Berlin" in html


@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "2200-01-01", "9999-12-31"])
def test_a_year_that_no_record_can_mean_is_asked_back(day):
    assert "1900 to 2199" in refused(DayField(), day)
    form = start(day, "23:30")
    assert "1900 to 2199" in str(form.errors["at"])


@pytest.mark.parametrize("day", ["1900-01-01", "2199-12-31", "2028-02-29"])
def test_the_first_and_the_last_year_are_taken(day):
    assert cleaned(DayField(), day).isoformat() == day


@pytest.mark.parametrize("field", [CountField(max_value=100, unit="%"), NumberField(max_value=100, unit="%")])
def test_a_limit_in_percent_is_said(field):
    assert refused(field, "101") == "Write 100 % or less."


def test_a_unit_in_the_reader_s_words_may_begin_with_a_percent_sign():
    field = NumberField(max_value=50, unit=gettext_lazy("% of the first survey"))
    assert refused(field, "51") == "Write 50 % of the first survey or less."


def test_an_unchanged_site_time_counts_as_unchanged():
    moment = datetime(2026, 7, 18, 7, 30, tzinfo=UTC)
    form = Start({"at_day": "2026-07-18", "at_time": "09:30"}, initial={"at": moment})
    assert not form.has_changed()


def test_the_zone_may_come_with_the_row_and_is_not_shared_between_forms():
    first, second = Start(), Start()
    mine, other = first.fields["at"], second.fields["at"]
    assert isinstance(mine, SiteTimeField)
    assert isinstance(other, SiteTimeField)
    mine.zone = ZoneInfo("America/Toronto")
    assert other.zone == ZoneInfo("Europe/Berlin")


def test_a_site_time_without_a_zone_is_a_fault_of_the_form():
    with pytest.raises(RuntimeError, match="zone"):
        SiteTimeField().clean(["2026-07-18", "09:30"])


@given(st.datetimes(min_value=FIRST, max_value=LAST).map(lambda m: m.replace(second=0, microsecond=0)))
def test_every_moment_survives_being_shown_and_read_unless_its_clock_time_comes_twice(moment):
    stored = moment.replace(tzinfo=UTC)
    local = stored.astimezone(ZoneInfo("Europe/Berlin"))
    form = start(f"{local:%Y-%m-%d}", f"{local:%H:%M}")
    assert form.is_valid()
    assert local.fold == 1 or form.cleaned_data["at"] == stored

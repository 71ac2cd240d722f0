"""What a forecast feels like, and where no number is claimed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.day import Weather
from reedcrew.trade.drinking_water import CEILING_L_PER_H, litres_per_person_hour
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.felt import felt_heat, felt_humidex, felt_wind
from reedcrew.trade.weather import HeatBand, HeatCategory, cautions, celsius, dew_point_c, fahrenheit, index_of


def in_f(temp_f, rh):
    return Weather(temp_c=celsius(temp_f), rh_percent=rh)


@pytest.mark.parametrize(
    ("temp_f", "rh", "index_f", "category"),
    [
        # National Weather Service chart (printed by its Tulsa office), whole °F; categories of the current variant.
        (90, 50, 95, HeatCategory.EXTREME_CAUTION),
        (96, 65, 121, HeatCategory.DANGER),
        (110, 40, 136, HeatCategory.EXTREME_DANGER),  # the hottest row of the chart
        (92, 90, 131, HeatCategory.EXTREME_DANGER),
    ],
)
def test_the_heat_index_of_the_chart_is_claimed(temp_f, rh, index_f, category):
    felt = felt_heat(in_f(temp_f, rh))
    assert round(fahrenheit(felt.value_c)) == index_f
    assert felt.category is category


@pytest.mark.parametrize(
    ("temp_f", "rh"),
    # Cells that the same chart leaves empty, and air hotter than any of its rows.
    [(92, 100), (100, 70), (110, 60), (114, 10), (140, 0)],
)
def test_past_the_charts_no_number_is_claimed_and_the_worst_is_assumed(temp_f, rh):
    felt = felt_heat(in_f(temp_f, rh))
    assert felt.value_c is None
    assert (felt.band, felt.category) == (HeatBand.VERY_HIGH, HeatCategory.EXTREME_DANGER)
    codes = [caution.code for caution in cautions(in_f(temp_f, rh))]
    assert codes[0] == "weather.heat_past_charts"
    assert "weather.rest" in codes
    assert litres_per_person_hour(index_of(in_f(temp_f, rh))) == CEILING_L_PER_H


@pytest.mark.parametrize(("temp_f", "rh"), [(65, 50), (79, 80), (80, 40)])  # each below 80 °F by the service's page
def test_below_80_f_the_heat_index_is_not_given(temp_f, rh):
    felt = felt_heat(in_f(temp_f, rh))
    assert (felt.value_c, felt.band, felt.category) == (None, HeatBand.LOWER, HeatCategory.NONE)
    assert felt.reason.code == "felt.heat_mild"


@pytest.mark.parametrize(
    ("temp_c", "rh", "dew_c"),
    # Dew points of printed psychrometric tables, by the Magnus formula; the two formulas agree to 0.4 °C here.
    [(30, 50, 18.4), (25, 60, 16.7), (20, 50, 9.3), (35, 40, 19.4), (20, 100, 20.0)],
)
def test_dew_point_from_temperature_and_humidity(temp_c, rh, dew_c):
    assert dew_point_c(temp_c, rh) == pytest.approx(dew_c, abs=0.4)


def test_humidex_of_30_degrees_with_dew_point_15():
    # Environment Canada's pair 30 °C / dew point 15 °C is 34; the humidity of that pair is 39 to 40 %.
    felt = felt_humidex(Weather(temp_c=30, rh_percent=39.7))
    assert round(felt.value_c) == 34
    assert felt.band == "some discomfort"


@pytest.mark.parametrize(
    ("weather", "code"),
    [
        (Weather(temp_c=30), "felt.humidex_unknown"),
        (Weather(temp_c=30, rh_percent=0), "felt.humidex_dry"),
        (Weather(temp_c=19.9, rh_percent=80), "felt.humidex_cool"),
    ],
)
def test_no_humidex_where_it_is_not_given(weather, code):
    felt = felt_humidex(weather)
    assert (felt.value_c, felt.band, felt.reason.code) == (None, None, code)


@pytest.mark.parametrize(
    ("weather", "code"),
    [
        (Weather(temp_c=5), "felt.chill_unknown"),
        (Weather(temp_c=10.1, wind_km_h=20), "felt.chill_warm"),  # NWS: at or below 10 °C
        (Weather(temp_c=5, wind_km_h=4.7), "felt.chill_calm"),  # and above 3 mph
    ],
)
def test_no_wind_chill_where_it_is_not_defined(weather, code):
    felt = felt_wind(weather)
    assert (felt.value_c, felt.band, felt.reason.code) == (None, None, code)


def test_wind_chill_of_the_printed_chart():
    # 35 °F in wind of 10 mph: 27 °F on the printed chart (NWS, 2001).
    felt = felt_wind(Weather(temp_c=celsius(35), wind_km_h=16.09344))
    assert round(fahrenheit(felt.value_c)) == 27


@given(st.floats(-60, 60), st.floats(0, 100), st.floats(0, 300))
def test_every_reading_has_a_number_or_a_reason(temp_c, rh, wind):
    weather = Weather(temp_c=temp_c, rh_percent=rh, wind_km_h=wind)
    for felt in (felt_heat(weather), felt_humidex(weather), felt_wind(weather)):
        assert felt.reason.sentence.format(**felt.reason.values)
    dew_c = dew_point_c(temp_c, rh)
    assert dew_c is None or dew_c <= temp_c


def test_readings_that_cannot_be_are_named():
    with pytest.raises(UnusableInput) as caught:
        dew_point_c(80, 101)
    assert [fault.where for fault in caught.value.faults] == ["temp_c", "rh_percent"]

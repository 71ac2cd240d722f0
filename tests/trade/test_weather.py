"""Heat index, humidex and wind chill against printed tables; bands at their printed bounds; cautions of a forecast."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.day import Weather
from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.weather import (
    HeatBand,
    HeatCategory,
    HumidexBand,
    WindChillBand,
    cautions,
    celsius,
    fahrenheit,
    heat_band,
    heat_category,
    heat_index_c,
    humidex,
    humidex_band,
    immersion,
    wind_chill_band,
    wind_chill_c,
)


def heat_index_f(temp_f, rh_percent):
    return fahrenheit(heat_index_c(celsius(temp_f), rh_percent))


@pytest.mark.parametrize(
    ("temp_f", "rh", "index_f"),
    [
        # Computed from Rothfusz (NWS SR 90-23) with the procedure of the NWS heat index page; °F to 0.01.
        (65, 50, 64.275),
        (70, 50, 69.525),
        (79, 80, 79.680),  # the mean is below 80, so the regression (82.186) is not used
        (80, 40, 79.790),
        (80, 75, 83.575),
        (80, 100, 89.288),  # damp adjustment +2.1
        (82, 95, 93.972),  # +1.0
        (84, 90, 98.343),  # +0.3
        (88, 60, 95.149),
        (90, 50, 94.597),
        (90, 70, 105.922),
        (95, 10, 89.450),  # dry adjustment -0.75
        (96, 65, 121.032),
        (100, 40, 109.256),
        (105, 5, 96.871),  # -1.283
    ],
)
def test_heat_index_by_the_weather_services_procedure(temp_f, rh, index_f):
    assert heat_index_f(temp_f, rh) == pytest.approx(index_f, abs=0.01)


# National Weather Service chart as printed by its Tulsa office: °F, for humidities from 40 % in steps of 5 %.
CHART = {
    80: (80, 80, 81, 81, 82, 82, 83, 84, 84, 85, 86, 86, 87),
    82: (81, 82, 83, 84, 84, 85, 86, 88, 89, 90, 91, 93, 95),
    84: (83, 84, 85, 86, 88, 89, 90, 92, 94, 96, 98, 100, 103),
    86: (85, 87, 88, 89, 91, 93, 95, 97, 100, 102, 105, 108, 112),
    88: (88, 89, 91, 93, 95, 98, 100, 103, 106, 110, 113, 117, 121),
    90: (91, 93, 95, 97, 100, 103, 106, 109, 113, 117, 122, 127, 132),
    92: (94, 96, 99, 101, 105, 108, 112, 116, 121, 126, 131),
    94: (97, 100, 103, 106, 110, 114, 119, 124, 129, 135),
    96: (101, 104, 108, 112, 116, 121, 126, 132),
    98: (105, 109, 113, 117, 123, 128, 134),
    100: (109, 114, 118, 124, 129, 136),
    104: (119, 124, 131, 137),
    110: (136,),
}
# The chart was drawn from the bare regression: where the damp adjustment applies it is 1 to 2 °F lower, and 90 °F
# with 45 % is printed 93 where the regression gives 92.49.
UNLIKE = {(86, 95), (84, 95), (84, 100), (82, 90), (82, 95), (82, 100), (80, 95), (80, 100), (90, 45)}
CELLS = [(temp_f, 40 + 5 * column, cell) for temp_f, row in CHART.items() for column, cell in enumerate(row)]


@pytest.mark.parametrize(("temp_f", "rh", "printed_f"), CELLS)
def test_heat_index_chart(temp_f, rh, printed_f):
    index_f = heat_index_f(temp_f, rh)
    if (temp_f, rh) in UNLIKE:
        assert index_f == pytest.approx(printed_f, abs=2.5)
    elif index_f >= 80:
        assert round(index_f) == printed_f
    else:
        # Below 80 °F the procedure uses the simple formula, the chart its regression.
        assert index_f == pytest.approx(printed_f, abs=1)


@pytest.mark.parametrize(
    ("index_f", "band"),
    [
        # OSHA heat index guide, lower bound inside; 115 is still high, above it very high.
        (90.9, HeatBand.LOWER),
        (91.0, HeatBand.MODERATE),
        (102.9, HeatBand.MODERATE),
        (103.0, HeatBand.HIGH),
        (115.0, HeatBand.HIGH),
        (115.1, HeatBand.VERY_HIGH),
    ],
)
def test_work_site_bands(index_f, band):
    assert heat_band(celsius(index_f)) is band


@pytest.mark.parametrize(
    ("index_f", "category"),
    [
        # Current bands of the weather service: 80-90, 90-103, 103-124, 125 and up.
        (79.9, HeatCategory.NONE),
        (80, HeatCategory.CAUTION),
        (90, HeatCategory.EXTREME_CAUTION),
        (103, HeatCategory.DANGER),
        (124.9, HeatCategory.DANGER),
        (125, HeatCategory.EXTREME_DANGER),
    ],
)
def test_weather_service_categories(index_f, category):
    assert heat_category(celsius(index_f)) is category


@given(st.floats(27, 43), st.floats(40, 100), st.floats(0, 5))
def test_warmer_air_never_lowers_the_heat_index_of_damp_days(temp_c, rh, more_c):
    # The damp adjustment ends at 87 °F by fading to nothing, so a rise stays a rise.
    assert heat_index_c(temp_c, rh) <= heat_index_c(temp_c + more_c, rh) + 0.1


@pytest.mark.parametrize(
    ("temp_c", "dew_point_c", "expected", "within"),
    [
        (30, 15, 34, 0.5),  # printed
        (30, 21, 38.4, 0.05),  # printed
        (30, 25, 42, 0.5),  # printed
        (30, 15, 33.97, 0.01),  # computed from Masterton and Richardson (1979)
        (30, 21, 38.42, 0.01),
        (30, 25, 42.34, 0.01),
        (25, 20, 32.57, 0.01),
        (35, 25, 47.34, 0.01),
        (20, 10, 21.28, 0.01),
    ],
)
def test_humidex(temp_c, dew_point_c, expected, within):
    assert humidex(temp_c, dew_point_c) == pytest.approx(expected, abs=within)


@pytest.mark.parametrize(
    ("value", "band"),
    [
        (29.9, HumidexBand.LITTLE),
        (30, HumidexBand.SOME),
        (39.9, HumidexBand.SOME),
        (40, HumidexBand.GREAT),
        (45, HumidexBand.GREAT),
        (45.1, HumidexBand.DANGEROUS),
    ],
)
def test_humidex_bands(value, band):
    assert humidex_band(value) is band


@pytest.mark.parametrize(
    ("temp_f", "wind_km_h", "printed_f"),
    # National Weather Service chart, 2001; wind given in mph (5, 10, 15, 15, 15, 30).
    [
        (40, 8.04672, 36),
        (35, 16.09344, 27),
        (30, 24.14016, 19),
        (20, 24.14016, 6),
        (0, 24.14016, -19),
        (-5, 48.28, -33),
    ],
)
def test_wind_chill_chart(temp_f, wind_km_h, printed_f):
    assert round(fahrenheit(wind_chill_c(celsius(temp_f), wind_km_h))) == printed_f


@pytest.mark.parametrize(
    ("temp_c", "wind_km_h", "chill_c"),
    # Computed from the metric formula of the same source.
    [(0, 20, -5.24), (-10, 20, -17.86), (-20, 30, -32.57), (-25, 40, -40.82)],
)
def test_wind_chill_metric(temp_c, wind_km_h, chill_c):
    assert wind_chill_c(temp_c, wind_km_h) == pytest.approx(chill_c, abs=0.005)


@pytest.mark.parametrize(
    ("chill_c", "band"),
    [
        # Environment and Climate Change Canada, whole numbers.
        (0.6, WindChillBand.NONE),
        (0, WindChillBand.LOW),
        (-9.4, WindChillBand.LOW),
        (-9.5, WindChillBand.LONG_EXPOSURE),
        (-27, WindChillBand.LONG_EXPOSURE),
        (-28, WindChillBand.SKIN_30_MIN),
        (-40, WindChillBand.SKIN_10_MIN),
        (-48, WindChillBand.SKIN_5_MIN),
        (-55, WindChillBand.SKIN_2_MIN),
    ],
)
def test_wind_chill_bands(chill_c, band):
    assert wind_chill_band(chill_c) is band


@pytest.mark.parametrize(
    ("water_f", "exhaustion", "survival"),
    [
        # Search-and-rescue table, read at mid-band because its bands share end points.
        (36, (15, 30), (30, 90)),
        (45, (30, 60), (60, 180)),
        (55, (60, 120), (60, 360)),
        (65, (120, 420), (120, 2400)),
        (75, (180, 720), (180, None)),
    ],
)
def test_times_in_cold_water(water_f, exhaustion, survival):
    times = immersion(celsius(water_f))
    assert (times.exhaustion_min, times.survival_min) == (exhaustion, survival)


@pytest.mark.parametrize(
    ("weather", "codes"),
    [
        (None, ["weather.unknown"]),
        (Weather(), ["weather.air_unknown", "weather.water_unknown"]),
        (Weather(temp_c=20, rh_percent=50, water_temp_c=22), []),
        # 90 °F and 50 %: heat index 94.6 °F, moderate; shade from 80 °F of air; rest from a heat index of 90 °F.
        (
            Weather(temp_c=32.2, rh_percent=50, water_temp_c=22),
            ["weather.heat_moderate", "weather.shade", "weather.rest"],
        ),
        (
            Weather(temp_c=33, rh_percent=None, water_temp_c=22),
            ["weather.humidity_unknown", "weather.shade", "weather.rest"],
        ),
        # Cold shock at or below 15 °C (boating safety guide), cold water below 21.1 °C (US Coast Guard).
        (Weather(temp_c=20, rh_percent=50, water_temp_c=15.0), ["weather.cold_shock"]),
        (Weather(temp_c=20, rh_percent=50, water_temp_c=15.1), ["weather.cold_water"]),
        (Weather(temp_c=20, rh_percent=50, water_temp_c=21.1), []),
        (Weather(temp_c=0, rh_percent=50, wind_km_h=20, water_temp_c=4), ["weather.cold_wind", "weather.cold_shock"]),
        (Weather(temp_c=9, rh_percent=50, wind_km_h=20, water_temp_c=22), ["weather.cool_wind"]),
        (Weather(temp_c=9, rh_percent=50, wind_km_h=2, water_temp_c=22), []),
    ],
)
def test_cautions_of_a_forecast(weather, codes):
    assert [caution.code for caution in cautions(weather)] == codes


@pytest.mark.parametrize(
    ("ask", "fields"),
    [
        (lambda: heat_index_c(200, 120), ["temp_c", "rh_percent"]),
        (lambda: humidex(20, 21), ["dew_point_c"]),
        (lambda: wind_chill_c(11, 4), ["temp_c", "wind_km_h"]),
        (lambda: immersion(50), ["water_temp_c"]),
        (
            lambda: cautions(Weather(temp_c=99, rh_percent=-1, wind_km_h=-3, water_temp_c=float("nan"))),
            ["temp_c", "rh_percent", "wind_km_h", "water_temp_c"],
        ),
    ],
)
def test_readings_that_cannot_be_are_named(ask, fields):
    with pytest.raises(UnusableInput) as caught:
        ask()
    assert [fault.where for fault in caught.value.faults] == fields

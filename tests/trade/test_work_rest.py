"""The NIOSH work/rest table (Criteria 2016-106)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.trade.errors import UnusableInput
from reedcrew.trade.weather import celsius
from reedcrew.trade.work_rest import Effort, Sky, work_rest

NORMAL, STOP = 60, 0


@pytest.mark.parametrize(
    ("temp_f", "light", "moderate", "heavy"),
    [
        # NIOSH, Heat Stress: Work/Rest Schedules; minutes of work an hour in 30 % humidity, in the shade.
        (90, NORMAL, NORMAL, NORMAL),
        (94, NORMAL, NORMAL, NORMAL),
        (95, NORMAL, NORMAL, 45),
        (96, NORMAL, NORMAL, 45),
        (97, NORMAL, NORMAL, 40),
        (98, NORMAL, NORMAL, 35),
        (99, NORMAL, NORMAL, 35),
        (100, NORMAL, 45, 30),
        (101, NORMAL, 40, 30),
        (102, NORMAL, 35, 25),
        (103, NORMAL, 30, 20),
        (104, NORMAL, 30, 20),
        (105, NORMAL, 25, 15),
        (106, 45, 20, STOP),
        (107, 40, 15, STOP),
        (108, 35, STOP, STOP),
        (109, 30, STOP, STOP),
        (110, 15, STOP, STOP),
        (111, STOP, STOP, STOP),
        (120, STOP, STOP, STOP),
    ],
)
def test_table(temp_f, light, moderate, heavy):
    found = tuple(work_rest(celsius(temp_f), 30, Sky.SHADE, effort).work_min for effort in Effort)
    assert found == (light, moderate, heavy)


def test_sun_and_humidity_are_added_before_the_table_is_read():
    # 90 °F, partly cloudy, 50 %: 90 + 7 + 6 = 103 °F, heavy work 20/40 (the corrections are from memory).
    result = work_rest(celsius(90), 50, Sky.PARTLY_CLOUDY, Effort.HEAVY)
    assert (result.work_min, result.rest_min) == (20, 40)
    assert "20 minutes of heavy work and 40" in result.reason.text


@given(
    st.floats(25, 45),
    st.floats(0, 5),
    st.floats(0, 100),
    st.floats(0, 100),
    st.sampled_from(Sky),
    st.sampled_from(Effort),
)
def test_more_heat_or_humidity_never_lengthens_the_work(temp_c, more_c, rh, other_rh, sky, effort):
    dry, damp = sorted((rh, other_rh))
    assert (
        work_rest(temp_c + more_c, damp, sky, effort).work_min
        <= work_rest(temp_c, dry, sky, effort).work_min
        <= work_rest(temp_c, dry, Sky.SHADE, effort).work_min
    )


def test_every_faulty_field_is_named():
    with pytest.raises(UnusableInput) as caught:
        work_rest(100, 101, Sky.SHADE, Effort.HEAVY)
    assert [fault.where for fault in caught.value.faults] == ["temp_c", "rh_percent"]

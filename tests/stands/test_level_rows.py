"""Rows of readings as people paste them: ISO 8601 for moments, a point or a comma before decimals."""

import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.stands.forms.level_rows import LevelUnit, read_level_rows

TORONTO = ZoneInfo("America/Toronto")


def read(text, unit=LevelUnit.CM):
    return read_level_rows(text, unit=unit, zone_info=TORONTO)


def utc(year, month, day, hour=0, minute=0, second=0):
    return datetime.datetime(year, month, day, hour, minute, second, tzinfo=datetime.UTC)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("2026-07-18 09:30,124\n2026-07-18T10:30,125", LevelUnit.CM),
        ("read_at,level\n2026-07-18 09:30,124\n2026-07-18 10:30,125\n", LevelUnit.CM),
        ("\ufeffread_at;level_cm\r\n2026-07-18 09:30;123,2\r\n\r\n2026-07-18 10:30;124,01\r\n".lstrip("\ufeff"), "cm"),
        ("level_m\tread_at\n1,232\t2026-07-18T13:30Z\n1.2401\t2026-07-18T14:30:00+00:00\n", LevelUnit.M),
        ('"2026-07-18 09:30";"124"\n"2026-07-18 10:30";"+125"', LevelUnit.CM),
        ("2026-07-18T09:30-04:00 ; 124\n20260718T103000 ; 125", LevelUnit.CM),
    ],
)
def test_all_ways_to_write_two_readings_mean_the_same(text, unit):
    """124 and 125 cm at 13:30 and 14:30 UTC; parts of a centimetre are rounded up."""
    found = read(text, LevelUnit(unit))
    assert not found.problems
    assert [(row.read_at, row.level_cm) for row in found.rows] == [
        (utc(2026, 7, 18, 13, 30), 124),
        (utc(2026, 7, 18, 14, 30), 125),
    ]


@pytest.mark.parametrize(
    ("text", "unit", "line", "column", "words"),
    [
        ("18.7.2026 09:30;124", "cm", 1, "read_at", "no day and time"),
        ("2026-07-18 09:30;124\n2026-07-18;125", "cm", 2, "read_at", "the time of the reading is missing"),
        ("2026-03-08 02:30;124", "cm", 1, "read_at", "go forward"),
        ("2026-07-18 09:30;" + "9" * 5_000, "cm", 1, "level", "no number"),
        ("2026-07-18 09:30;-" + "9" * 5_000, "m", 1, "level", "no number"),
        ("0001-03-08 02:30;124", "cm", 1, "read_at", "1900 to 2199"),
        ("2026-07-18 09:30;high", "cm", 1, "level", "no number"),
        ("2026-07-18 09:30;", "cm", 1, "level", "no number"),
        ("2026-07-18 09:30;nan", "cm", 1, "level", "no number"),
        ("2026-07-18 09:30;1e3", "cm", 1, "level", "no number"),
        ("2026-07-18 09:30;1,200", "cm", 1, "level", "thousands or decimals"),
        ("2026-07-18 09:30,123,5", "cm", 1, "read_at", "3 cells instead of 2"),
        ("2026-07-18 09:30", "cm", 1, "read_at", "1 cells instead of 2"),
        ("read_at;level_m\n2026-07-18 09:30;1.2", "cm", 1, "level", "the column is in m and the form says cm"),
        ("time;height\n2026-07-18 09:30;1.2", "cm", 1, "read_at", "name the columns read_at and level"),
        ("\n\n2026-07-18 09:30;124\n\nx1;125", "cm", 5, "read_at", "no day and time"),
    ],
)
def test_what_cannot_be_read_is_named_by_row_and_column(text, unit, line, column, words):
    problem = read(text, LevelUnit(unit)).problems[0]
    assert (problem.line, problem.column) == (line, column)
    assert words in str(problem)
    assert f"Row {line}, {column}" in str(problem)


def test_every_faulty_row_is_named_and_good_ones_are_read():
    found = read("x1;1\n2026-07-18 09:30;124\n2026-07-18 10:30;x")
    assert [problem.line for problem in found.problems] == [1, 3]
    assert [row.line for row in found.rows] == [2]


def test_an_hour_that_comes_twice_is_the_first_unless_its_offset_is_written():
    """In Toronto clocks go back on 1 November 2026 at 06:00 UTC; 01:30 comes at 05:30 and 06:30 UTC."""
    found = read("2026-11-01 01:30;10\n2026-11-01T01:30-05:00;11")
    assert [row.read_at for row in found.rows] == [utc(2026, 11, 1, 5, 30), utc(2026, 11, 1, 6, 30)]


@given(st.text(max_size=200))
def test_any_text_is_read_or_its_problems_are_named(text):
    found = read(text)
    assert all(isinstance(row.level_cm, int) for row in found.rows)
    assert all(str(problem) for problem in found.problems)

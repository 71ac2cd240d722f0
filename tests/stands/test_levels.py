"""Readings of gauges, one by hand and many at once."""

import datetime
from contextlib import contextmanager

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services, signals
from reedcrew.stands.errors import LevelImplausible, LevelRowUnfit, NoGaugeThen, ReadAlready, ReadingInFuture
from reedcrew.stands.models import WaterLevel
from reedcrew.stands.queries import LevelRow, depths_today, level_problems
from reedcrew.trade.moves import Ground
from tests.factories import NOW, make_account, make_gauge, make_group, make_level, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

HOUR = datetime.timedelta(hours=1)


@contextmanager
def heard():
    """What zone_changed says inside the block."""
    told = []

    def hear(sender, **said):
        told.append(said)

    signals.zone_changed.connect(hear)
    try:
        yield told
    finally:
        signals.zone_changed.disconnect(hear)


def record_level(site, level_cm, read_at=NOW):
    return services.record_water_level(site=site, level_cm=level_cm, read_at=read_at, actor=make_account(), now=NOW)


def record_levels(gauge, rows):
    return services.record_levels(gauge=gauge, rows=rows, actor=make_account(), now=NOW)


def rows_of(*levels, start=NOW - 1000 * HOUR):
    return [
        LevelRow(line=number + 1, read_at=start + number * HOUR, level_cm=level) for number, level in enumerate(levels)
    ]


def test_a_level_tells_each_stand_of_the_site_that_it_changes():
    group = make_group()
    site = make_site(group)
    make_gauge(site)
    gauged, other, elsewhere = make_stand(group, site=site), make_stand(group, site=site), make_stand(group)
    for stand, gauge_cm in ((gauged, 20), (gauged, 25), (other, None), (elsewhere, 20)):
        make_zone(stand, gauge_cm=gauge_cm)
    with heard() as told:
        level = record_level(site, 35)
    assert [said["stand"] for said in told] == [gauged]
    assert (level.level_cm, level.read_at) == (35, NOW)
    assert AuditEntry.objects.get().detail == {"level_cm": 35, "read_at": NOW.isoformat()}


def test_a_level_tells_what_each_zone_was_and_is():
    """Rule 4 of the design: from 20 cm to 40 cm a zone changes from the spade to the cane cutter (over 30 cm)."""
    stand = make_stand(make_group())
    zone = make_zone(stand, depth_cm=20, gauge_cm=100)
    make_gauge(stand.site)
    with heard() as told:
        record_level(stand.site, 120)
    (said,) = told
    assert (said["before"][zone.pk].depth_cm, said["before"][zone.pk].ground) == (20, Ground.SHALLOW)
    assert (said["after"][zone.pk].depth_cm, said["after"][zone.pk].ground) == (40, Ground.DEEP)


def test_a_level_pressed_twice_is_one_level_and_another_is_asked_back():
    site = make_site(make_group())
    make_gauge(site)
    assert record_level(site, 35) == record_level(site, 35)
    with pytest.raises(ReadAlready) as refused:
        record_level(site, 36)
    assert (refused.value.field, "35" in str(refused.value)) == ("read_at", True)
    assert WaterLevel.objects.count() == 1


def test_a_level_that_is_still_to_be_read_is_refused():
    site = make_site(make_group())
    make_gauge(site)
    with pytest.raises(ReadingInFuture):
        record_level(site, 35, read_at=NOW + datetime.timedelta(minutes=1))


def test_a_level_without_a_gauge_says_what_is_missing_and_how_to_mend_it():
    site = make_site(make_group())
    with pytest.raises(NoGaugeThen) as refused:
        record_level(site, 35)
    assert "Record the gauge with its datum" in str(refused.value)
    make_gauge(site, since=NOW.date())
    with pytest.raises(NoGaugeThen):
        record_level(site, 35, read_at=NOW - 24 * HOUR)


def test_a_late_reading_belongs_to_the_gauge_of_its_day():
    site = make_site(make_group())
    old = make_gauge(site, until=datetime.date(2026, 7, 31))
    new = make_gauge(site, since=datetime.date(2026, 8, 1))
    assert record_level(site, 35, read_at=NOW - 20 * 24 * HOUR).gauge == old
    assert record_level(site, 35).gauge == new


def test_no_level_puts_a_zone_deeper_than_the_rules_can_judge():
    """trade.water judges up to 1000 cm; a slip of the pen must not stop every page of the stand."""
    stand = make_stand(make_group())
    make_gauge(stand.site)
    zone = make_zone(stand, depth_cm=60, gauge_cm=20)
    with pytest.raises(LevelImplausible) as of_level:
        record_level(stand.site, 961)
    assert of_level.value.field == "level_cm"
    record_level(stand.site, 960)
    with pytest.raises(LevelImplausible) as of_zone:
        services.change_zone(zone=zone, version=1, actor=make_account(), now=NOW, outline=None, gauge_cm=19)
    assert of_zone.value.field == "gauge_cm"


def test_many_readings_are_kept_and_those_that_are_there_do_no_harm():
    stand = make_stand(make_group())
    gauge = make_gauge(stand.site)
    make_zone(stand, depth_cm=60, gauge_cm=20)
    rows = rows_of(10, 12, 14)
    kept = record_levels(gauge, [*rows, rows[0]])
    assert (kept.new, kept.known) == (3, 1)
    again = record_levels(gauge, rows)
    assert (again.new, again.known) == (0, 3)
    assert list(gauge.levels.values_list("level_cm", flat=True)) == [14, 12, 10]
    assert depths_today(stand, NOW)[0].depth_cm == 54
    assert [entry.detail for entry in AuditEntry.objects.all()] == [{"count": 3}]


@pytest.mark.parametrize("count", [3, 600])
def test_many_readings_tell_a_stand_once_with_as_many_reads_at_any_number_of_rows(count):
    stand = make_stand(make_group())
    gauge = make_gauge(stand.site)
    for _number in range(4):
        make_zone(stand, gauge_cm=20)
    actor = make_account()
    with (
        heard() as told,
        CaptureQueriesContext(
            connection,
        ) as asked,
    ):
        services.record_levels(gauge=gauge, rows=rows_of(*[20] * count), actor=actor, now=NOW)
    assert len(told) == 1
    reads = [query["sql"] for query in asked if query["sql"].startswith("SELECT")]
    # PostgreSQL takes all new rows in one statement, SQLite in as few as its number of parameters allows.
    writes = [query["sql"] for query in asked if query["sql"].startswith("INSERT INTO")]
    assert len(reads) <= 20
    assert len(writes) <= 1 + 1 + count // 200


def test_one_row_that_cannot_be_keeps_all_of_them_out():
    stand = make_stand(make_group())
    make_zone(stand, name="Edge", depth_cm=60, gauge_cm=20)
    gauge = make_gauge(stand.site, since=datetime.date(2026, 1, 1))
    make_level(gauge, 10, NOW - 1000 * HOUR)
    rows = [
        *rows_of(11, 12),
        LevelRow(line=3, read_at=NOW + HOUR, level_cm=12),
        LevelRow(line=4, read_at=datetime.datetime(2025, 12, 1, tzinfo=datetime.UTC), level_cm=12),
        LevelRow(line=5, read_at=NOW - 999 * HOUR, level_cm=13),
        LevelRow(line=6, read_at=NOW - HOUR, level_cm=20_000),
        LevelRow(line=7, read_at=NOW - 2 * HOUR, level_cm=970),
    ]
    found = [(problem.line, problem.column) for problem in level_problems(gauge, rows, NOW)]
    assert found == [(1, "level"), (3, "read_at"), (4, "read_at"), (5, "level"), (6, "level"), (7, "level")]
    said = " ".join(str(problem) for problem in level_problems(gauge, rows, NOW))
    for words in ("stood at 10 cm", "still to come", "was not read on", "row 2 gives 12 cm", "“Edge” 1010 cm deep"):
        assert words in said
    with pytest.raises(LevelRowUnfit) as refused:
        record_levels(gauge, rows)
    assert str(refused.value).startswith("Row 1, level:")
    assert gauge.levels.count() == 1


def test_more_rows_than_a_lot_may_have_are_a_mistake_of_the_caller():
    gauge = make_gauge(make_site(make_group()))
    with pytest.raises(ValueError, match="at most 20000 rows"):
        record_levels(gauge, rows_of(1) * (services.ROWS_MAX + 1))

"""Gauges: a level counts from one zero, and a gauge that is replaced leaves its levels behind."""

import datetime
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services
from reedcrew.stands.errors import (
    ChangedMeanwhile,
    GaugeBeginsInFuture,
    GaugeBeginsTooEarly,
    GaugeBeginsTooLate,
    LevelImplausible,
    NoGaugeThen,
)
from reedcrew.stands.models import Gauge
from reedcrew.stands.queries import depths_today, gauge_on
from tests.factories import NOW, make_account, make_gauge, make_group, make_level, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

TODAY = datetime.date(2026, 8, 10)
DAY = datetime.timedelta(days=1)


def record_gauge(site, **values):
    facts = {"name": "Staff B", "datum": "top of the new pile", "since": TODAY, **values}
    return services.record_gauge(site=site, actor=make_account(), now=NOW, **facts)


def change_gauge(gauge, **values):
    facts = {"name": gauge.name, "datum": gauge.datum, "since": gauge.since, "note": gauge.note, **values}
    return services.change_gauge(gauge=gauge, version=1, actor=make_account(), now=NOW, **facts)


def test_a_gauge_is_recorded_once_with_its_zero():
    site = make_site(make_group())
    gauge = record_gauge(site)
    assert record_gauge(site) == gauge
    assert (gauge_on(site, TODAY), gauge_on(site, TODAY - DAY)) == (gauge, None)
    assert AuditEntry.objects.get().detail == {"name": "Staff B", "datum": "top of the new pile"}


def test_a_gauge_without_a_datum_is_refused_whoever_asks():
    site = make_site(make_group())
    with pytest.raises(ValidationError) as refused:
        record_gauge(site, datum="")
    assert "datum" in refused.value.message_dict
    with pytest.raises(IntegrityError), transaction.atomic():
        make_gauge(site, datum="")
    assert not Gauge.objects.exists()


def test_a_new_gauge_ends_the_one_before_and_old_surveys_keep_their_own_depth():
    """Conservative: levels of two zeros are never compared, so the survey's depth stands and the reason says so."""
    stand = make_stand(make_group())
    old = make_gauge(stand.site)
    make_level(old, 120, NOW - 10 * DAY)
    zone = make_zone(stand, depth_cm=40, gauge_cm=100, surveyed_on=datetime.date(2026, 7, 1))
    assert depths_today(stand, NOW)[0].depth_cm == 60
    new = record_gauge(stand.site)
    old.refresh_from_db()
    assert old.until == TODAY - DAY
    make_level(new, 500)
    (known,) = depths_today(stand, NOW)
    assert (known.depth_cm, known.reason.code, known.level) == (40, "water.gauge_replaced", None)
    zone.surveyed_on, zone.gauge_cm = TODAY, 490
    zone.save()
    assert depths_today(stand, NOW)[0].depth_cm == 50


def test_a_zone_surveyed_at_a_gauge_that_nobody_has_read_yet_is_not_compared_with_the_old_one():
    stand = make_stand(make_group())
    make_level(make_gauge(stand.site, until=TODAY - DAY), 120, NOW - 10 * DAY)
    make_gauge(stand.site, since=TODAY)
    make_zone(stand, depth_cm=40, gauge_cm=500, surveyed_on=TODAY)
    (known,) = depths_today(stand, NOW)
    assert (known.depth_cm, known.reason.code) == (40, "water.no_gauge_today")


def test_a_new_gauge_begins_after_every_use_of_the_old_one():
    """A reading or survey of that day may have been taken at either."""
    stand = make_stand(make_group())
    old = make_gauge(stand.site)
    make_zone(stand, gauge_cm=20, surveyed_on=TODAY - 3 * DAY)
    with pytest.raises(GaugeBeginsTooEarly) as by_survey:
        record_gauge(stand.site, since=TODAY - 3 * DAY)
    assert "8 August 2026" in str(by_survey.value)
    make_level(old, 20, NOW - DAY)
    with pytest.raises(GaugeBeginsTooEarly) as by_reading:
        record_gauge(stand.site, since=TODAY - DAY)
    assert (by_reading.value.field, "10 August 2026" in str(by_reading.value)) == ("since", True)
    assert record_gauge(stand.site).since == TODAY


def test_a_gauge_begins_on_a_day_that_has_come():
    with pytest.raises(GaugeBeginsInFuture):
        record_gauge(make_site(make_group()), since=TODAY + DAY)


def test_words_of_a_gauge_are_mended_with_before_and_after():
    gauge = make_gauge(make_site(make_group()))
    change_gauge(gauge, datum="zero is 74.21 m")
    assert AuditEntry.objects.get().detail["changes"]["datum"] == [gauge.datum, "zero is 74.21 m"]
    with pytest.raises(ChangedMeanwhile):
        change_gauge(gauge, datum="zero is 74.22 m")


def test_the_first_day_of_a_gauge_moves_no_further_than_its_readings_and_the_gauge_before():
    site = make_site(make_group())
    former = make_gauge(site, until=datetime.date(2026, 5, 31))
    gauge = make_gauge(site, since=datetime.date(2026, 7, 1))
    make_level(gauge, 20, NOW - 5 * DAY)
    with pytest.raises(GaugeBeginsTooEarly):
        change_gauge(gauge, since=former.until)
    with pytest.raises(GaugeBeginsTooLate):
        change_gauge(gauge, since=TODAY)
    assert change_gauge(gauge, since=datetime.date(2026, 6, 1)).since == datetime.date(2026, 6, 1)


def test_a_gauge_that_reaches_back_to_a_survey_judges_its_levels():
    stand = make_stand(make_group())
    gauge = make_gauge(stand.site, since=datetime.date(2026, 7, 15))
    make_level(gauge, 1000)
    make_zone(stand, depth_cm=60, gauge_cm=20, surveyed_on=datetime.date(2026, 7, 1))
    with pytest.raises(LevelImplausible):
        change_gauge(gauge, since=datetime.date(2026, 6, 1))


def test_a_survey_s_level_needs_a_gauge_on_its_day():
    stand = make_stand(make_group())
    facts: dict[str, Any] = {"name": "Edge", "depth_cm": 60, "surveyed_on": TODAY, "gauge_cm": 20}
    with pytest.raises(NoGaugeThen) as refused:
        services.record_zone(stand=stand, actor=make_account(), now=NOW, **facts)
    assert refused.value.field == "gauge_cm"
    make_gauge(stand.site)
    assert services.record_zone(stand=stand, actor=make_account(), now=NOW, **facts).gauge_cm == 20


def test_a_gauge_never_begins_after_a_survey_that_read_it():
    """Conservative: without its gauge the zone would be 40 cm deep again, though the water has risen by 50 cm."""
    stand = make_stand(make_group())
    gauge = make_gauge(stand.site, since=datetime.date(2026, 1, 1))
    zone = make_zone(stand, depth_cm=40, gauge_cm=10, surveyed_on=datetime.date(2026, 7, 1))
    make_level(gauge, 60)
    with pytest.raises(GaugeBeginsTooLate):
        change_gauge(gauge, since=zone.surveyed_on + DAY)
    assert change_gauge(gauge, since=zone.surveyed_on).since == zone.surveyed_on
    assert [each.depth.depth_cm for each in depths_today(stand, NOW)] == [90]

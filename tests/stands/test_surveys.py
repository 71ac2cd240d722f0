"""Recording surveys and striking them out."""

import datetime
import json
import uuid
from contextlib import contextmanager
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services, signals
from reedcrew.stands.errors import (
    NoGaugeThen,
    NoQuadrats,
    QuadratsCoverMore,
    QuadratsRefused,
    SurveyInFuture,
    SurveyStruckAlready,
    TooManyQuadrats,
)
from reedcrew.stands.models import Quadrat, Survey, Zone
from reedcrew.stands.services import QuadratEntry
from reedcrew.trade.outline import read_outline
from tests.factories import NOW, make_account, make_gauge, make_group, make_stand, make_survey, make_zone

pytestmark = pytest.mark.django_db

TODAY = datetime.date(2026, 8, 10)  # of the site, at NOW
SQUARE = read_outline(
    json.dumps(
        {
            "type": "Polygon",
            "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.251], [-76.5, 44.25]]],
        }
    ),
    site=(-76.5, 44.25),
).geojson


@pytest.fixture
def stand():
    return make_stand(make_group())


@pytest.fixture
def gauge(stand):
    return make_gauge(stand.site)


@contextmanager
def heard(signal):
    told = []

    def hear(sender, **said):
        told.append(said)

    signal.connect(hear)
    try:
        yield told
    finally:
        signal.disconnect(hear)


def entry(zone, number=1, stems=5, **values):
    return QuadratEntry(zone=zone, number=number, stems=stems, **values)


def record(stand, quadrats, **values):
    facts = {"surveyed_on": TODAY, "quadrat_m2": Decimal(1), "actor": make_account(), "now": NOW, **values}
    return services.record_survey(stand=stand, quadrats=quadrats, **facts)


def strike(survey, reason="Counted in the wrong zone"):
    return services.strike_survey(survey=survey, reason=reason, actor=make_account(), now=NOW)


def depth_of(zone):
    zone.refresh_from_db()
    return zone.depth_cm, zone.surveyed_on, zone.gauge_cm


def test_a_survey_is_recorded_with_its_quadrats_and_by_whom(stand):
    zone, actor = make_zone(stand), make_account()
    with heard(signals.zone_changed) as told:
        made = record(
            stand,
            [entry(zone, 1, 12, height_cm=310, seed_heads=4), entry(zone, 2, 0)],
            counted_by="Robin and Sam",
            actor=actor,
        ).survey
    assert [(each.number, each.stems, each.height_cm) for each in made.quadrats.all()] == [(1, 12, 310), (2, 0, None)]
    assert (made.recorded_by, made.recorded_at, made.counted_by) == (actor, NOW, "Robin and Sam")
    assert [said["stand"] for said in told] == [stand]
    found = AuditEntry.objects.get(deed="survey recorded")
    assert (found.actor, found.detail) == (actor, {"surveyed_on": "2026-08-10", "quadrats": 2})


def test_the_same_form_sent_twice_makes_one_survey(stand):
    zone, token = make_zone(stand), uuid.uuid4()
    first = record(stand, [entry(zone)], submission=token)
    again = record(stand, [entry(zone)], submission=token)
    assert (again.survey, again.depths, Survey.objects.count(), Quadrat.objects.count()) == (first.survey, (), 1, 1)


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"surveyed_on": TODAY + datetime.timedelta(days=1)}, SurveyInFuture),
        ({"quadrats": []}, NoQuadrats),
        ({"quadrat_m2": Decimal(0)}, ValidationError),
        ({"gauge_cm": 20}, NoGaugeThen),
        ({"gauge_cm": 20_000}, (ValidationError, NoGaugeThen)),
    ],
)
def test_a_survey_that_cannot_be_is_refused_whole(stand, values, error):
    quadrats = values.pop("quadrats", [entry(make_zone(stand))])
    with pytest.raises(error):
        record(stand, quadrats, **values)
    assert not Survey.objects.exists()
    assert not AuditEntry.objects.filter(deed="survey recorded").exists()


def test_today_is_the_day_of_the_site(stand):
    """10 August 02:00 UTC is still 9 August in Toronto."""
    early = datetime.datetime(2026, 8, 10, 2, tzinfo=datetime.UTC)
    with pytest.raises(SurveyInFuture, match="9 August 2026"):
        record(stand, [entry(make_zone(stand))], now=early)


def test_more_quadrats_than_a_survey_takes_are_refused(stand):
    zone = make_zone(stand)
    with pytest.raises(TooManyQuadrats, match="501"):
        record(stand, [entry(zone, number) for number in range(1, 502)])


def test_quadrats_that_cover_more_than_the_zone_are_refused(stand):
    zone = make_zone(stand, name="Edge", area_m2=2)
    assert record(stand, [entry(zone, 1), entry(zone, 2)]).survey.quadrats.count() == 2
    with pytest.raises(QuadratsCoverMore, match=r"Edge.*3 quadrats of 1 m²"):
        record(stand, [entry(zone, 1), entry(zone, 2), entry(zone, 3)])


def test_what_is_wrong_with_quadrats_is_said_for_each(stand):
    dry, drawn = make_zone(stand, name="Bank", bed=Zone.Bed.DRY, depth_cm=0), make_zone(stand, outline=SQUARE)
    wrong = [
        entry(dry, 1, depth_cm=10),
        entry(dry, 1),
        entry(dry, 2, stems=3, seed_heads=4),
        entry(drawn, 3, latitude=Decimal("44.2505")),
        entry(drawn, 4, latitude=Decimal("44.2505"), longitude=Decimal("-76.498")),
        entry(drawn, 5, latitude=Decimal("44.2505"), longitude=Decimal("-76.4995")),
    ]
    with pytest.raises(QuadratsRefused) as caught:
        record(stand, wrong)
    assert [(fault.index, fault.field) for fault in caught.value.faults] == [
        (0, "depth_cm"),
        (1, "number"),
        (2, "seed_heads"),
        (3, "longitude"),
        (4, "latitude"),
    ]
    assert "Zone “Bank”, quadrat 1" in str(caught.value)
    # pyproj: 0.001° of longitude at 44.2505° north are 79.85 m.
    assert "80 m outside" in str(caught.value.faults[4].sentence)


@pytest.mark.parametrize(("longitude", "taken"), [("-76.498890", True), ("-76.498860", False)])
def test_a_phone_may_be_off_by_ten_metres(stand, longitude, taken):
    """The eastern edge is at −76.499: 0.00011° are 8.8 m, 0.00014° are 11.2 m."""
    zone = make_zone(stand, outline=SQUARE)
    quadrats = [entry(zone, latitude=Decimal("44.2505"), longitude=Decimal(longitude))]
    assert (services.ask_quadrats(quadrats) == ()) is taken


def test_the_database_refuses_what_no_service_lets_through(stand):
    zone = make_zone(stand)
    survey = make_survey(stand, {zone: [5]})
    for wrong in (
        {"number": 1, "stems": 5},
        {"number": 2, "stems": 5, "seed_heads": 6},
        {"number": 2, "stems": 5, "latitude": 44},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            Quadrat.objects.create(survey=survey, zone=zone, **wrong)
    with pytest.raises(IntegrityError), transaction.atomic():
        Survey.objects.filter(pk=survey.pk).update(struck_reason="No day")


def test_a_zone_with_quadrats_cannot_be_removed(stand):
    zone = make_zone(stand)
    make_survey(stand, {zone: [5]})
    assert [str(use) for use in services.uses_of(zone)] == ["quadrats"]


def test_a_zone_takes_the_greatest_depth_that_was_measured(stand, gauge):
    zone, other = make_zone(stand, depth_cm=25, gauge_cm=20), make_zone(stand, depth_cm=40)
    quadrats = [entry(zone, 1, depth_cm=20), entry(zone, 2, depth_cm=45), entry(other)]
    with heard(signals.zone_changed) as told:
        made = record(stand, quadrats, gauge_cm=30)
    assert depth_of(zone) == (45, TODAY, 30)
    assert depth_of(other)[0] == 40
    assert [(each.zone, each.depth_cm, each.taken) for each in made.depths] == [(zone, 45, True)]
    assert len(told) == 1
    assert AuditEntry.objects.filter(deed="zone changed").count() == 1


@pytest.mark.parametrize(
    ("own", "values", "taken"),
    [
        ({"depth_cm": 60, "gauge_cm": 20}, {"gauge_cm": 20}, False),  # shallower at the same water
        ({"depth_cm": 60, "gauge_cm": 20}, {"gauge_cm": 20, "deepest_measured": True}, True),
        ({"depth_cm": 60, "gauge_cm": 20}, {"gauge_cm": 5}, True),  # 15 cm less water: 45 cm are as deep as before
        ({"depth_cm": 30, "gauge_cm": 20}, {}, False),  # without a level the water could be followed no more
        ({"depth_cm": 30}, {}, True),  # it was not followed before
        ({"depth_cm": 30, "surveyed_on": TODAY}, {"surveyed_on": datetime.date(2026, 8, 1)}, False),  # older
        ({"depth_cm": 45}, {}, True),
        ({"depth_cm": 46}, {}, False),
    ],
)
def test_a_measured_depth_of_45_cm_is_taken_where_nobody_gets_less_careful_by_it(stand, gauge, own, values, taken):
    zone = make_zone(stand, **own)
    before = depth_of(zone)
    made = record(stand, [entry(zone, depth_cm=45)], **values)
    assert made.depths[0].taken is taken
    assert depth_of(zone)[0] == (45 if taken else before[0])


def test_dry_ground_follows_no_gauge(stand, gauge):
    zone = make_zone(stand, bed=Zone.Bed.DRY, depth_cm=0)
    assert record(stand, [entry(zone, depth_cm=0)], gauge_cm=20).depths == ()
    assert depth_of(zone)[2] is None


def test_levels_of_different_gauges_are_not_compared(stand, gauge):
    """60 cm at 20 on the old gauge; 100 on the new one says nothing of it, so 60 stays the greater."""
    gauge.until = datetime.date(2026, 7, 31)
    gauge.save()
    make_gauge(stand.site, since=datetime.date(2026, 8, 1))
    zone = make_zone(stand, depth_cm=60, gauge_cm=20, surveyed_on=datetime.date(2026, 7, 1))
    assert not record(stand, [entry(zone, depth_cm=59)], gauge_cm=-30).depths[0].taken
    assert record(stand, [entry(zone, depth_cm=60)], gauge_cm=100).depths[0].taken


def test_a_wrong_survey_is_struck_out_and_stays(stand):
    zone = make_zone(stand)
    survey = record(stand, [entry(zone)]).survey
    with heard(signals.zone_changed) as told:
        strike(survey)
    survey.refresh_from_db()
    assert (survey.struck_at, survey.struck_reason) == (NOW, "Counted in the wrong zone")
    assert survey.quadrats.count() == 1
    assert len(told) == 1
    assert AuditEntry.objects.get(deed="survey struck out").detail == {"reason": "Counted in the wrong zone"}
    with pytest.raises(SurveyStruckAlready):
        strike(survey)


@pytest.mark.parametrize("reason", ["", "x" * 201])
def test_striking_out_needs_a_reason(stand, reason):
    survey = record(stand, [entry(make_zone(stand))]).survey
    with pytest.raises((ValidationError, IntegrityError)), transaction.atomic():
        strike(survey, reason)
    survey.refresh_from_db()
    assert survey.struck_at is None


def test_a_zone_goes_back_to_the_depth_before_a_struck_out_survey(stand, gauge):
    zone = make_zone(stand, depth_cm=25, gauge_cm=20)
    before = depth_of(zone)
    first = record(stand, [entry(zone, depth_cm=45)], gauge_cm=20, surveyed_on=datetime.date(2026, 8, 1)).survey
    second = record(stand, [entry(zone, depth_cm=55)], gauge_cm=20).survey
    strike(first)
    assert depth_of(zone)[0] == 55  # a later survey stands
    strike(second)
    assert depth_of(zone) == before  # and the depth before it was that of a survey that is struck out


def test_a_depth_that_was_changed_since_is_left_alone(stand):
    zone = make_zone(stand, depth_cm=25)
    survey = record(stand, [entry(zone, depth_cm=45)]).survey
    zone.refresh_from_db()
    services.change_zone(zone=zone, version=zone.version, outline=None, depth_cm=70, actor=make_account(), now=NOW)
    strike(survey)
    assert depth_of(zone)[0] == 70

"""How many stems stand, read from surveys."""

import datetime
from decimal import Decimal

import pytest

from reedcrew.crews.inputs import day_input
from reedcrew.stands.queries import (
    StemsHow,
    stand_stems,
    standing_stems,
    survey_list,
    survey_total,
    survey_totals,
    survey_totals_of,
)
from tests.factories import NOW, make_account, make_day, make_group, make_stand, make_survey, make_zone

pytestmark = pytest.mark.django_db

# Invented, worked by the formulas of Freese with scipy: areas in m², stems in quadrats of 1 m².
AREAS = (120, 300, 80)
COUNTS = ((42, 55, 38, 61, 47), (12, 9, 20, 15, 11, 14), (70, 88, 64, 75))


@pytest.fixture
def stand():
    return make_stand(make_group())


def zones_of(stand, areas=AREAS):
    return [make_zone(stand, name=f"{letter}", area_m2=area) for letter, area in zip("abcdefgh", areas, strict=False)]


def struck(survey):
    survey.struck_at, survey.struck_by, survey.struck_reason = NOW, make_account(), "Wrong zone"
    survey.save()


def test_the_total_of_a_stand_with_its_interval(stand):
    # Computed: 15 822.0 stems, standard error 786.2938, 14 104.606 to 17 539.394.
    zones = zones_of(stand)
    make_survey(stand, dict(zip(zones, map(list, COUNTS), strict=True)))
    found = stand_stems(zones)
    assert (found.stems, found.low, found.high, found.quadrats) == (15_822, 14_104, 17_540, 15)
    assert found.total.estimate.se == pytest.approx(786.2938, abs=5e-5)
    assert (found.typed_zones, found.last_on) == ((), datetime.date(2026, 7, 10))


def test_zones_without_quadrats_are_told_apart(stand):
    counted, typed = zones_of(stand, (120, 300))
    make_survey(stand, {counted: list(COUNTS[0])})
    found = stand_stems([counted, typed])
    assert [each.zone for each in found.typed_zones] == [typed]
    assert (found.stems, found.typed_stems) == (round(48.6 * 120) + 3000, 3000)
    assert found.high < found.stems  # the interval belongs to what was counted
    assert found.zones[1].reasons[0].code == "stems.typed"


def test_a_zone_follows_the_latest_survey_with_quadrats_in_it(stand):
    here, there = zones_of(stand, (100, 100))
    make_survey(stand, {here: [9, 9, 12], there: [1, 3]}, surveyed_on=datetime.date(2025, 7, 1))
    latest = make_survey(stand, {here: [2, 4]}, surveyed_on=datetime.date(2026, 7, 1))
    found = standing_stems([here, there])
    assert (found[here.pk].stems, found[here.pk].survey) == (300, latest)
    assert (found[there.pk].stems, found[there.pk].survey.surveyed_on.year) == (200, 2025)
    together = stand_stems([here, there])
    assert (together.first_on.year, together.last_on.year) == (2025, 2026)


def test_of_two_surveys_of_one_day_the_later_record_counts(stand):
    (zone,) = zones_of(stand, (100,))
    make_survey(stand, {zone: [9, 9]}, recorded_at=NOW + datetime.timedelta(hours=1))
    make_survey(stand, {zone: [1, 1]}, recorded_at=NOW)
    assert standing_stems([zone])[zone.pk].stems == 900


def test_a_struck_out_survey_counts_for_nothing(stand):
    (zone,) = zones_of(stand, (100,))
    make_survey(stand, {zone: [1, 3]}, surveyed_on=datetime.date(2025, 7, 1))
    wrong = make_survey(stand, {zone: [50, 70]})
    struck(wrong)
    assert standing_stems([zone])[zone.pk].stems == 200
    assert [each.survey.surveyed_on.year for each in survey_totals(stand)] == [2025]
    assert survey_list(stand).struck == (wrong,)
    assert survey_total(wrong).total.estimate.value == pytest.approx(6000)


def test_one_quadrat_gives_a_number_without_an_interval(stand):
    (zone,) = zones_of(stand, (100,))
    make_survey(stand, {zone: [7]})
    found = standing_stems([zone])[zone.pk]
    assert (found.stems, found.low, found.high, found.how) == (700, None, None, StemsHow.SURVEYED)
    assert "no interval is claimed" in found.reasons[-1].text
    assert stand_stems([zone]).low is None


def test_no_stem_in_any_quadrat_leaves_an_upper_limit(stand):
    # Garwood: 0 counted, upper limit 3.6889, over 4 quadrats of 100, of which 96 were not seen.
    (zone,) = zones_of(stand, (100,))
    make_survey(stand, {zone: [0, 0, 0, 0]})
    found = standing_stems([zone])[zone.pk]
    assert (found.stems, found.low, found.high) == (0, 0, 89)  # 3.6889 / 4 × 96 = 88.53
    assert found.how is StemsHow.SURVEYED


def test_a_surveyed_zone_without_an_outline_keeps_the_estimate_by_eye(stand):
    zone = make_zone(stand, stems=2500)
    survey = make_survey(stand, {zone: [4, 6]})
    found = standing_stems([zone])[zone.pk]
    assert (found.stems, found.how, found.survey) == (2500, StemsHow.TYPED, survey)
    assert found.counts.density.value == 5
    assert found.reasons[0].code == "stems.typed_without_area"
    assert survey_total(survey).total is None


def test_quadrats_of_a_quarter_square_metre(stand):
    # Computed: 16 056.0 stems, 14 256.394 to 17 855.606.
    zones = zones_of(stand)
    quarters = ([11, 14, 9, 15, 12], [3, 2, 5, 4, 3, 4], [18, 22, 16, 19])
    make_survey(stand, dict(zip(zones, quarters, strict=True)), quadrat_m2=Decimal("0.25"))
    found = stand_stems(zones)
    assert (found.stems, found.low, found.high) == (16_056, 14_256, 17_856)


def test_the_surveys_of_a_stand_oldest_first(stand):
    here, there = zones_of(stand, (100, 50))
    for year, counts in ((2026, {here: [1, 3]}), (2024, {here: [20, 40], there: [9, 11]})):
        make_survey(stand, counts, surveyed_on=datetime.date(year, 7, 1))
    first, second = survey_totals(stand)
    assert (first.total.estimate.value, first.whole_stand, first.quadrats, first.area_m2) == (3500, True, 4, 150)
    assert (second.total.estimate.value, second.whole_stand, second.area_m2) == (200, False, 100)


def test_surveys_of_several_stands_are_read_as_those_of_each(stand, django_assert_num_queries):
    other, empty = make_stand(stand.site.group), make_stand(stand.site.group)
    for each in (stand, other):
        make_survey(each, {zone: [1, 3] for zone in zones_of(each)})
    with django_assert_num_queries(3):
        found = survey_totals_of([stand, other, empty])
    assert found == {each.pk: survey_totals(each) for each in (stand, other, empty)}


@pytest.mark.parametrize(("zones", "surveys"), [(1, 1), (8, 6)])
def test_reading_takes_the_same_queries_however_many_zones_and_surveys(
    stand, zones, surveys, django_assert_num_queries
):
    made = zones_of(stand, (100,) * zones)
    for year in range(surveys):
        make_survey(stand, {zone: [1, 2, 3] for zone in made}, surveyed_on=datetime.date(2015 + year, 7, 1))
    with django_assert_num_queries(3):
        assert len(standing_stems(made)) == zones
    with django_assert_num_queries(3):
        assert len(survey_totals(stand)) == surveys


def test_a_plan_counts_on_the_stems_of_the_survey(stand):
    surveyed, _typed = zones_of(stand, (100, 100))
    make_survey(stand, {surveyed: [2, 4]})
    day = make_day(stand)
    assert [zone.stems for zone in day_input(day, NOW).zones] == [300, 3000]

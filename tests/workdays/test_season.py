"""Posting a day against the calendar of its site: rule 1 of the design, and notices of authorities."""

import dataclasses

import pytest

from reedcrew.stands.models import SiteNotice
from reedcrew.trade.season import MonthDay
from reedcrew.workdays import services
from reedcrew.workdays.errors import ClosedByAuthority, OutsideWindow
from reedcrew.workdays.queries import season_warnings
from tests.factories import (
    END,
    NOW,
    START,
    make_account,
    make_gauge,
    make_group,
    make_level,
    make_notice,
    make_site,
    make_stand,
    make_zone,
)

pytestmark = pytest.mark.django_db


def facts(stand, **values):
    return services.DayFacts(
        **{
            "title": "Morning at the reed",
            "starts_at": START,
            "ends_at": END,
            "zones": list(stand.zones.all()),
            "water_places": 0,
            "land_places": 4,
            **values,
        }
    )


def post(stand, **values):
    return services.post_day(stand=stand, facts=facts(stand, **values), actor=make_account(), now=NOW)


@pytest.fixture
def stand():
    stand = make_stand(make_group())
    make_zone(stand, depth_cm=0)
    return stand


def test_a_closing_notice_asks_for_a_reason_and_for_the_permit(stand):
    make_notice(stand.site, reference="Notice 7")
    with pytest.raises(ClosedByAuthority) as refused:
        post(stand)
    assert refused.value.field == "window_reason"
    assert "Lake wardens (Notice 7)" in str(refused.value)
    with pytest.raises(ClosedByAuthority) as refused:
        post(stand, window_reason="The nests are empty", window_permit=" ")
    assert refused.value.field == "window_permit"
    day = post(stand, window_reason="The nests are empty", window_permit="Lake wardens, permit 12")
    assert day.window_permit == "Lake wardens, permit 12"
    assert [because.code for because in season_warnings(day)] == ["season.forbidden"]


def test_an_authority_s_own_weeks_are_its_word_too():
    site = make_site(
        make_group(), window_opens=MonthDay(9, 1), window_closes=MonthDay(9, 30), window_authority="Harbour board"
    )
    stand = make_stand(site.group, site=site)
    make_zone(stand)
    with pytest.raises(ClosedByAuthority, match="Harbour board"):
        post(stand, window_reason="Low water")


def test_outside_the_group_s_own_weeks_a_reason_is_enough(stand):
    late = {"starts_at": START.replace(month=11), "ends_at": END.replace(month=11)}
    with pytest.raises(OutsideWindow):
        post(stand, **late)
    assert post(stand, window_reason="Low water this late", **late).window_permit == ""


def test_a_notice_for_water_leaves_a_day_on_dry_ground_open_and_everyone_reads_it(stand):
    make_notice(stand.site, scope=SiteNotice.Scope.IN_WATER)
    day = post(stand)
    assert "season.forbidden_in_water" in [because.code for because in season_warnings(day)]


@pytest.mark.parametrize("wet", ["places", "zone", "risen"])
def test_a_day_with_places_in_water_or_a_wet_zone_is_work_in_water(stand, wet):
    """Unknown or wet counts as water: at its depth today, not at that of the survey."""
    make_notice(stand.site, scope=SiteNotice.Scope.IN_WATER)
    if wet == "zone":
        make_zone(stand, depth_cm=1)
    if wet == "risen":
        zone = make_zone(stand, depth_cm=0, gauge_cm=100)
        make_level(make_gauge(stand.site), 101)
        assert zone.depth_cm == 0
    with pytest.raises(ClosedByAuthority):
        post(stand, water_places=2 if wet == "places" else 0)


def test_a_notice_that_advises_closes_nothing(stand):
    make_notice(stand.site, force=SiteNotice.Force.ADVICE)
    day = post(stand)
    assert "season.advice_against" in [because.code for because in season_warnings(day)]


def test_a_day_that_is_moved_onto_closed_days_is_judged_again(stand):
    day = post(stand)
    make_notice(stand.site, opens=MonthDay(8, 20), closes=MonthDay(8, 31))
    moved = dataclasses.replace(facts(stand), starts_at=START.replace(day=22), ends_at=END.replace(day=22))
    with pytest.raises(ClosedByAuthority):
        services.edit_day(day=day, version=day.version, facts=moved, actor=make_account(), now=NOW)

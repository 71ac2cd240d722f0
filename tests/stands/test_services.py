import datetime
import uuid
from contextlib import contextmanager
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services, signals
from reedcrew.stands.errors import (
    ChangedMeanwhile,
    CheckInFuture,
    DryZoneHasDepth,
    LevelImplausible,
    ReadAlready,
    ReadingInFuture,
    RemovedMeanwhile,
    SiteNameTaken,
    StandNameTaken,
    SurveyInFuture,
    ZoneInUse,
    ZoneNameTaken,
)
from reedcrew.stands.models import IdentificationCheck, Site, Stand, WaterLevel, Zone
from reedcrew.trade.identification import Identification
from reedcrew.trade.outline import Outline, read_outline
from reedcrew.trade.season import MonthDay
from tests.factories import NOW, make_account, make_day, make_group, make_site, make_stand, make_zone

pytestmark = pytest.mark.django_db

TODAY = datetime.date(2026, 8, 10)
OUTLINE_TEXT = (
    '{"type": "Polygon", "coordinates": [[[-76.5, 44.25], [-76.499, 44.25], [-76.499, 44.251], [-76.5, 44.25]]]}'
)


@contextmanager
def heard(signal):
    """The stands for which a signal is sent inside the block."""
    stands = []

    def hear(sender, *, stand, now, **said):
        stands.append(stand)

    signal.connect(hear)
    try:
        yield stands
    finally:
        signal.disconnect(hear)


def site_values(**values):
    return {
        "name": "Heron Landing",
        "latitude": Decimal("44.25"),
        "longitude": Decimal("-76.5"),
        "time_zone": "America/Toronto",
        "meeting_place": "Gravel lot",
        "emergency_entrance": "North gate",
        **values,
    }


def record_site(group, **values):
    return services.record_site(group=group, actor=make_account(), now=NOW, **site_values(**values))


def record_zone(stand, **values):
    outline = values.pop("outline", None)
    facts = {"name": "Edge", "depth_cm": 60, "surveyed_on": TODAY, **values}
    return services.record_zone(stand=stand, actor=make_account(), now=NOW, outline=outline, **facts)


def change_zone(zone, *, version=1, outline=None, **values):
    return services.change_zone(zone=zone, version=version, actor=make_account(), now=NOW, outline=outline, **values)


def record_check(stand, result, **values):
    facts = {"characters": "sheaths held tight, stems tan", "checked_on": TODAY, "now": NOW, **values}
    return services.record_check(stand=stand, result=result, actor=make_account(), **facts)


def record_level(site, level_cm, read_at=NOW):
    return services.record_water_level(site=site, level_cm=level_cm, read_at=read_at, actor=make_account(), now=NOW)


def outline() -> Outline:
    return read_outline(OUTLINE_TEXT, site=(-76.5, 44.25))


def test_a_site_is_recorded_with_its_audit_entry():
    group, actor = make_group(), make_account()
    site = services.record_site(group=group, actor=actor, now=NOW, **site_values())
    entry = AuditEntry.objects.get()
    assert Site.objects.get().name == "Heron Landing"
    assert (entry.group, entry.actor, entry.at, entry.deed) == (group, actor, NOW, "site recorded")
    assert entry.subject == f"stands.Site:{site.pk}"


def test_two_sites_of_a_group_have_two_names():
    group = make_group()
    record_site(group)
    with pytest.raises(SiteNameTaken) as refused:
        record_site(group)
    assert refused.value.field == "name"
    assert "Heron Landing" in str(refused.value)
    assert Site.objects.count() == AuditEntry.objects.count() == 1


def test_two_groups_may_name_a_site_alike():
    assert record_site(make_group()).pk != record_site(make_group()).pk


@pytest.mark.parametrize(
    "values",
    [
        {"latitude": Decimal(91)},
        {"longitude": Decimal("-180.5")},
        {"time_zone": "America/Atlantis"},
        {"time_zone": "localtime"},
        {"window_opens": MonthDay(2, 31), "window_closes": MonthDay(3, 31), "window_authority": "Lake authority"},
        {"window_opens": MonthDay(8, 1)},
        {"window_opens": MonthDay(8, 1), "window_closes": MonthDay(9, 1)},
        {"meeting_place": ""},
    ],
)
def test_a_site_that_cannot_be_is_refused_whoever_asks(values):
    with pytest.raises(ValidationError):
        record_site(make_group(), **values)
    assert not Site.objects.exists()


def test_a_change_of_a_site_says_before_and_after():
    site = record_site(make_group())
    services.change_site(
        site=site,
        version=1,
        actor=make_account(),
        now=NOW,
        hazards="Soft mud",
        window_opens=MonthDay(8, 1),
        window_closes=MonthDay(9, 30),
        window_authority="Lake authority",
    )
    site.refresh_from_db()
    assert (site.hazards, site.window_opens, site.version) == ("Soft mud", MonthDay(8, 1), 2)
    assert AuditEntry.objects.get(deed="site changed").detail["changes"] == {
        "hazards": ["", "Soft mud"],
        "window_opens": ["", "08-01"],
        "window_closes": ["", "09-30"],
        "window_authority": ["", "Lake authority"],
    }


def test_a_site_keeps_its_own_name_but_takes_no_other_site_s():
    group = make_group()
    site, other = record_site(group), record_site(group, name="Otter Point")
    services.change_site(site=site, version=1, actor=make_account(), now=NOW, name=site.name, parking="Two cars")
    with pytest.raises(SiteNameTaken):
        services.change_site(site=other, version=1, actor=make_account(), now=NOW, name=site.name)


def test_a_stale_change_is_refused_and_changes_nothing():
    site = record_site(make_group())
    services.change_site(site=site, version=1, actor=make_account(), now=NOW, hazards="Soft mud")
    with pytest.raises(ChangedMeanwhile):
        services.change_site(site=site, version=1, actor=make_account(), now=NOW, hazards="None")
    site.refresh_from_db()
    assert (site.hazards, site.version) == ("Soft mud", 2)


def test_the_same_change_twice_is_one_change():
    site = record_site(make_group())
    for _press in range(2):
        services.change_site(site=site, version=1, actor=make_account(), now=NOW, hazards="Soft mud")
    site.refresh_from_db()
    assert site.version == 2
    assert AuditEntry.objects.filter(deed="site changed").count() == 1


def test_a_new_stand_is_protected_until_somebody_checks_it():
    stand = services.record_stand(site=make_site(make_group()), name="North bay", actor=make_account(), now=NOW)
    assert stand.identification == Identification.UNCHECKED
    assert not stand.may_be_cut


def test_two_stands_of_a_site_have_two_names():
    site = make_site(make_group())
    services.record_stand(site=site, name="North bay", actor=make_account(), now=NOW)
    with pytest.raises(StandNameTaken):
        services.record_stand(site=site, name="North bay", actor=make_account(), now=NOW)


def test_a_stand_s_facts_change_but_not_its_identification():
    stand = make_stand(make_group())
    changed = services.change_stand(
        stand=stand, version=1, name="South bay", first_cut_year=2025, note="", actor=make_account(), now=NOW
    )
    assert (changed.name, changed.first_cut_year) == ("South bay", 2025)
    assert changed.identification == Identification.INTRODUCED
    with pytest.raises(ChangedMeanwhile):
        services.change_stand(
            stand=stand, version=1, name="West bay", first_cut_year=None, note="", actor=make_account(), now=NOW
        )


@pytest.mark.parametrize(
    ("result", "may_be_cut"),
    [(Identification.INTRODUCED, True), (Identification.NATIVE, False), (Identification.NOT_SURE, False)],
)
def test_a_check_decides_whether_a_stand_may_be_cut(result, may_be_cut):
    """Rule 2 of the design: native, or any doubt, protects the stand."""
    stand = make_stand(make_group(), identification=Identification.UNCHECKED.value)
    with heard(signals.identification_changed) as told:
        check = record_check(stand, result)
    assert told == [stand]
    assert Stand.objects.get().may_be_cut is may_be_cut
    assert stand.may_be_cut is may_be_cut
    assert (check.characters, check.checked_on, check.recorded_at) == ("sheaths held tight, stems tan", TODAY, NOW)
    assert AuditEntry.objects.get().detail == {"result": result.value, "checked_on": "2026-08-10"}


def test_a_later_check_replaces_an_earlier_one():
    stand = make_stand(make_group())
    record_check(stand, Identification.INTRODUCED)
    record_check(stand, Identification.NATIVE, now=NOW + datetime.timedelta(minutes=1))
    assert Stand.objects.get().identification == Identification.NATIVE
    assert IdentificationCheck.objects.count() == 2


def test_an_old_check_recorded_late_does_not_open_a_protected_stand():
    stand = make_stand(make_group())
    record_check(stand, Identification.NATIVE)
    with heard(signals.identification_changed) as told:
        record_check(
            stand,
            Identification.INTRODUCED,
            checked_on=TODAY - datetime.timedelta(days=300),
            now=NOW + datetime.timedelta(hours=1),
        )
    assert Stand.objects.get().identification == Identification.NATIVE
    assert told == []


def test_a_check_pressed_twice_is_one_check():
    stand, token = make_stand(make_group()), uuid.uuid4()
    first = record_check(stand, Identification.NATIVE, submission=token)
    assert record_check(stand, Identification.NATIVE, submission=token) == first
    assert IdentificationCheck.objects.count() == 1


def test_the_token_of_another_stand_s_check_hides_nothing():
    group, token = make_group(), uuid.uuid4()
    for stand in (make_stand(group), make_stand(group)):
        record_check(stand, Identification.NATIVE, submission=token)
    assert IdentificationCheck.objects.count() == 2


def test_a_check_of_tomorrow_is_refused_by_the_clock_of_the_site():
    """At 12:00 UTC on the 10th it is the 11th already on Kiritimati (UTC+14)."""
    ahead = make_stand(make_group(), site=make_site(make_group(), time_zone="Pacific/Kiritimati"))
    tomorrow = TODAY + datetime.timedelta(days=1)
    record_check(ahead, Identification.INTRODUCED, checked_on=tomorrow)
    with pytest.raises(CheckInFuture):
        record_check(make_stand(make_group()), Identification.INTRODUCED, checked_on=tomorrow)


def test_a_zone_is_recorded_with_outline_area_and_signal():
    stand = make_stand(make_group())
    with heard(signals.zone_changed) as told:
        zone = record_zone(stand, outline=outline())
    assert told == [stand]
    zone.refresh_from_db()
    assert zone.outline == outline().geojson
    assert zone.area_m2 == round(Decimal(outline().area_m2), 1)
    assert AuditEntry.objects.get().deed == "zone recorded"


@pytest.mark.parametrize(
    ("values", "refusal", "field"),
    [
        ({"surveyed_on": TODAY + datetime.timedelta(days=1)}, SurveyInFuture, "surveyed_on"),
        ({"bed": Zone.Bed.DRY, "depth_cm": 1}, DryZoneHasDepth, "depth_cm"),
    ],
)
def test_a_zone_that_contradicts_itself_is_refused_at_its_field(values, refusal, field):
    with pytest.raises(refusal) as refused:
        record_zone(make_stand(make_group()), **values)
    assert refused.value.field == field
    assert not Zone.objects.exists()


@pytest.mark.parametrize("values", [{"depth_cm": -1}, {"depth_cm": 1001}, {"current_m_s": Decimal(-1)}, {"bed": "ice"}])
def test_a_zone_with_a_value_out_of_range_is_refused_whoever_asks(values):
    with pytest.raises(ValidationError):
        record_zone(make_stand(make_group()), **values)


def test_two_zones_of_a_stand_have_two_names():
    stand = make_stand(make_group())
    record_zone(stand)
    with pytest.raises(ZoneNameTaken):
        record_zone(stand)


def test_a_changed_depth_is_told_with_before_and_after():
    zone = make_zone(make_stand(make_group()), depth_cm=60)
    with heard(signals.zone_changed) as told:
        change_zone(zone, depth_cm=80)
    assert told == [zone.stand]
    assert AuditEntry.objects.get().detail["changes"] == {"depth_cm": ["60", "80"]}


def test_a_zone_sent_unchanged_tells_nobody():
    zone = make_zone(make_stand(make_group()), depth_cm=60)
    with heard(signals.zone_changed) as told:
        change_zone(zone, depth_cm=60)
    assert told == []
    assert not AuditEntry.objects.exists()


def test_a_stale_depth_never_replaces_a_newer_one():
    zone = make_zone(make_stand(make_group()), depth_cm=60)
    change_zone(zone, depth_cm=90)
    with pytest.raises(ChangedMeanwhile):
        change_zone(zone, depth_cm=40)
    assert Zone.objects.get().depth_cm == 90


def test_an_outline_is_taken_back_with_its_area():
    zone = record_zone(make_stand(make_group()), outline=outline())
    change_zone(zone, outline=None)
    zone.refresh_from_db()
    assert (zone.outline, zone.area_m2) == (None, None)


def test_a_zone_that_nothing_rests_on_is_removed():
    zone = make_zone(make_stand(make_group()))
    with heard(signals.zone_changed) as told:
        services.remove_zone(zone=zone, actor=make_account(), now=NOW)
    assert told == [zone.stand]
    assert not Zone.objects.exists()
    assert AuditEntry.objects.get().deed == "zone removed"


def test_a_zone_of_a_work_day_stays_and_the_sentence_names_why():
    stand = make_stand(make_group())
    zone = make_zone(stand)
    make_day(stand)
    with pytest.raises(ZoneInUse) as refused:
        services.remove_zone(zone=zone, actor=make_account(), now=NOW)
    assert "work days" in str(refused.value)
    assert Zone.objects.get() == zone


def test_a_zone_that_is_gone_is_said_to_be_gone():
    zone = make_zone(make_stand(make_group()))
    Zone.objects.all().delete()
    with pytest.raises(RemovedMeanwhile):
        services.remove_zone(zone=zone, actor=make_account(), now=NOW)
    with pytest.raises(RemovedMeanwhile):
        change_zone(zone, depth_cm=10)


def test_a_level_tells_each_stand_of_the_site_that_it_changes():
    group = make_group()
    site = make_site(group)
    gauged, other, elsewhere = make_stand(group, site=site), make_stand(group, site=site), make_stand(group)
    for stand, gauge_cm in ((gauged, 20), (gauged, 25), (other, None), (elsewhere, 20)):
        make_zone(stand, gauge_cm=gauge_cm)
    with heard(signals.zone_changed) as told:
        level = record_level(site, 35)
    assert told == [gauged]
    assert (level.level_cm, level.read_at) == (35, NOW)
    assert AuditEntry.objects.get().detail == {"level_cm": 35, "read_at": NOW.isoformat()}


def test_a_level_pressed_twice_is_one_level_and_another_is_asked_back():
    site = make_site(make_group())
    assert record_level(site, 35) == record_level(site, 35)
    with pytest.raises(ReadAlready) as refused:
        record_level(site, 36)
    assert (refused.value.field, "35" in str(refused.value)) == ("read_at", True)
    assert WaterLevel.objects.count() == 1


def test_a_level_that_is_still_to_be_read_is_refused():
    with pytest.raises(ReadingInFuture):
        record_level(make_site(make_group()), 35, read_at=NOW + datetime.timedelta(minutes=1))


def test_no_level_and_no_survey_puts_a_zone_deeper_than_the_rules_can_judge():
    """trade.water judges up to 1000 cm; a slip of the pen must not stop every page of the stand."""
    stand = make_stand(make_group())
    zone = make_zone(stand, depth_cm=60, gauge_cm=20)
    with pytest.raises(LevelImplausible) as of_level:
        record_level(stand.site, 961)
    assert of_level.value.field == "level_cm"
    record_level(stand.site, 960)
    with pytest.raises(LevelImplausible) as of_zone:
        change_zone(zone, gauge_cm=19)
    assert of_zone.value.field == "gauge_cm"

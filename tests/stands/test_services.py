import datetime
from contextlib import contextmanager
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.forms import model_to_dict

from reedcrew.people.models import AuditEntry
from reedcrew.stands import services, signals
from reedcrew.stands.errors import (
    ChangedMeanwhile,
    DryZoneHasDepth,
    RemovedMeanwhile,
    SiteNameTaken,
    StandNameTaken,
    SurveyInFuture,
    ZoneInUse,
    ZoneNameTaken,
)
from reedcrew.stands.models import Site, Zone
from reedcrew.stands.queries import removed_zones
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


def test_a_removed_zone_comes_back_as_it_was_and_its_stand_hears_of_it():
    zone = record_zone(make_stand(make_group()), outline=outline())
    zone.refresh_from_db()
    was = model_to_dict(zone)
    services.remove_zone(zone=zone, actor=make_account(), now=NOW)
    ((key, removal),) = removed_zones(zone.stand, zone.stand.zones.all(), NOW)
    with heard(signals.zone_changed) as told:
        back = services.put_back_zone(stand=zone.stand, removal=removal, actor=make_account(), now=NOW)
    assert told == [zone.stand]
    back.refresh_from_db()
    assert model_to_dict(back) == was
    assert (key, back.pk, removed_zones(zone.stand, zone.stand.zones.all(), NOW)) == (zone.pk, zone.pk, [])


def test_a_removed_zone_is_offered_for_30_days_and_its_name_may_be_taken_meanwhile():
    zone = record_zone(make_stand(make_group()))
    services.remove_zone(zone=zone, actor=make_account(), now=NOW)
    assert removed_zones(zone.stand, zone.stand.zones.all(), NOW + datetime.timedelta(days=31)) == []
    record_zone(zone.stand, name=zone.name)
    ((_key, removal),) = removed_zones(zone.stand, zone.stand.zones.all(), NOW)
    with pytest.raises(ZoneNameTaken):
        services.put_back_zone(stand=zone.stand, removal=removal, actor=make_account(), now=NOW)


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

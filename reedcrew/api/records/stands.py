"""Stands with their zones, the state of the reed and what was counted."""

import datetime
from collections.abc import Sequence
from typing import Any

from django.db.models import Max, QuerySet

from reedcrew.api.records.changes import Moments, changed_keys, last_deeds, latest
from reedcrew.people.models import AuditEntry, Group
from reedcrew.stands.models import Site, Stand, Survey, Zone
from reedcrew.stands.queries import Standing, standing_stems, stems_together
from reedcrew.trade.effort import CONFIDENCE
from reedcrew.trade.outline import outline_from

Record = dict[str, Any]
CONFIDENCE_PERCENT = round(100 * CONFIDENCE)  # of every interval that trade.sampling claims


def changed_since(group: Group, since: datetime.datetime) -> list[int]:
    """Keys of the stands that changed since then, with their zones, surveys and sites. Eight queries."""
    stands = list(Stand.objects.of_group(group).only("pk", "site"))
    return changed_keys(_moments(group, stands, whole_group=True), since)


def stand_records(stands: QuerySet[Stand], group: Group, *, outlines: bool) -> list[Record]:
    """The stands as records, in the order given. The queries do not grow with their number."""
    found = list(stands.select_related("site").prefetch_related("zones"))
    zones = {stand.pk: list(stand.zones.all()) for stand in found}
    stems = standing_stems([zone for own in zones.values() for zone in own])
    moments = _moments(group, found)
    return [
        _stand(stand, [stems[zone.pk] for zone in zones[stand.pk]], moments.get(stand.pk), outlines=outlines)
        for stand in found
    ]


# --- Private ---------------------------------------------------------------------------------------------------------


def _stand(stand: Stand, zones: Sequence[Standing], updated_at: datetime.datetime | None, *, outlines: bool) -> Record:
    together = stems_together(zones)
    return {
        "id": stand.pk,
        "name": stand.name,
        "site": {"id": stand.site_id, "name": stand.site.name, "time_zone": stand.site.time_zone},
        "identification": stand.identification,
        "may_be_cut": stand.may_be_cut,
        "first_cut_year": stand.first_cut_year,
        "area_m2": None if stand.area_m2 is None else float(stand.area_m2),
        "stems": {
            "stems": together.stems,
            "counted_stems": together.counted_stems,
            "counted_stems_low": together.low,
            "counted_stems_high": together.high,
            "estimated_by_eye_stems": together.typed_stems,
            "confidence_percent": CONFIDENCE_PERCENT,
        },
        "zones": [_zone(each, outlines=outlines) for each in zones],
        "outline": _outline(stand) if outlines else None,
        "updated_at": updated_at,
    }


def _zone(standing: Standing, *, outlines: bool) -> Record:
    zone = standing.zone
    return {
        "id": zone.pk,
        "name": zone.name,
        "surveyed_depth_cm": zone.depth_cm,
        "depth_surveyed_on": zone.surveyed_on,
        "gauge_at_survey_cm": zone.gauge_cm,
        "current_m_s": float(zone.current_m_s),
        "bed": zone.bed,
        "most_units": zone.units_max,
        "area_m2": None if zone.area_m2 is None else float(zone.area_m2),
        "stems": standing.stems,
        "stems_low": standing.low,
        "stems_high": standing.high,
        "stems_known_by": standing.how.value,
        "density": _density(standing),
        "outline": _outline(zone) if outlines else None,
    }


def _density(standing: Standing) -> Record | None:
    if standing.counts is None:
        return None
    counts = standing.counts
    density = counts.density
    return {
        "stems_per_m2": _rounded(density.value),
        "stems_per_m2_low": _rounded(density.low),
        "stems_per_m2_high": _rounded(density.high),
        "confidence_percent": CONFIDENCE_PERCENT,
        "quadrats": counts.sample.sample.n,
        "quadrat_m2": counts.sample.quadrat_m2,
        "surveyed_on": counts.survey.surveyed_on,
    }


def _rounded(value: float | None) -> float | None:
    """A density to the hundredth of a stem: more digits are the arithmetic's."""
    return None if value is None else round(value, 2)


def _outline(row: Stand | Zone) -> Record | None:
    return outline_from(row.outline).geojson if row.outline else None


def _moments(group: Group, stands: Sequence[Stand], *, whole_group: bool = False) -> Moments:
    """When each stand last changed: it, its site, its surveys, its zones, also those that are gone. Seven queries."""
    keys = [stand.pk for stand in stands]
    sites = {stand.site_id for stand in stands}
    zones = dict(Zone.objects.filter(stand__in=keys).order_by().values_list("pk", "stand"))
    surveys = dict(Survey.objects.filter(stand__in=keys).order_by().values_list("pk", "stand"))
    parts: dict[int, list[datetime.datetime]] = {}
    for kind, of_stand in ((Zone, zones), (Survey, surveys)):
        for key, at in last_deeds(group, kind, None if whole_group else of_stand).items():
            if key in of_stand:
                parts.setdefault(of_stand[key], []).append(at)
    removals = AuditEntry.objects.filter(group=group, deed="zone removed").order_by()
    for lost_by, at in removals.values_list("detail__stand").annotate(at=Max("at")):
        if lost_by is not None:
            parts.setdefault(int(lost_by), []).append(at)
    own = last_deeds(group, Stand, None if whole_group else keys)
    of_sites = last_deeds(group, Site, None if whole_group else sites)
    return {
        stand.pk: latest(own.get(stand.pk), of_sites.get(stand.site_id), *parts.get(stand.pk, ())) for stand in stands
    }

"""Stands as a GeoJSON FeatureCollection (RFC 7946), as exactly as the group lets others see them."""

import json
from collections.abc import Iterator
from typing import Any

from reedcrew.grants.open_data.licences import TERMS
from reedcrew.grants.open_data.rows import OpenRecords
from reedcrew.grants.open_data.stands import OpenStand, generalized, withheld

MEDIA_TYPE = "application/geo+json"  # RFC 7946, 12


def stands_text(records: OpenRecords) -> Iterator[str]:
    """The text of the collection, a line for each stand. Licence and credit are foreign members (RFC 7946, 6.1).

    A stand is its outline where the group publishes it, else the point that stands for it in all records.
    """
    head = {
        "type": "FeatureCollection",
        "license": TERMS[records.licence].address,
        "rightsHolder": records.group.name,
        "dataGeneralizations": generalized(records.blurring),
        "informationWithheld": withheld(records.blurring),
    }
    yield f'{_text(head)[:-1]}, "features": ['
    before = "\n"
    for stand in records.stands.values():
        yield before + _text(_feature(stand))
        before = ",\n"
    yield "\n]}\n"


# --- Private ---------------------------------------------------------------------------------------------------------


def _text(value: dict[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _feature(stand: OpenStand) -> dict[str, Any]:
    point = {"type": "Point", "coordinates": list(stand.place.position)}
    properties = {
        "locality": stand.locality,
        **stand.taxon,
        "areaInSquareMeters": stand.area_m2,
        "firstCutYear": stand.first_cut_year,
        "coordinateUncertaintyInMeters": stand.place.uncertainty_m,
        "coordinatePrecision": float(stand.place.precision),
        "locationRemarks": stand.where,
    }
    return {
        "type": "Feature",
        "id": stand.key,
        "geometry": stand.outline.geojson if stand.outline else point,
        "properties": {name: value for name, value in properties.items() if value not in ("", None)},
    }

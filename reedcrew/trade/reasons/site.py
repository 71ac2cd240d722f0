"""Sentences about the weeks of work at a site, and about outlines on the map."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.words import gettext_noop as _

SITE_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # trade.season; days are written month-day
        "season.open": _("Inside the permitted weeks, {opens} to {closes}."),
        "season.first_week": _(
            "The first week of the permitted days: birds may still nest and fish may still spawn here."
        ),
        "season.last_week": _("The last week of the permitted days: the plant is ceasing to move reserves."),
        "season.nesting": _("Until {until} birds may be nesting: check for active nests before cutting."),
        "season.outside": _("Outside the permitted weeks, {opens} to {closes}, which are common practice."),
        "season.outside_by": _("Outside the permitted weeks, {opens} to {closes}, set by {authority}."),
        "season.forbidden": _("Work is forbidden from {opens} to {closes} by {issuer}."),
        "season.not_permitted": _("Work is permitted only from {opens} to {closes} by {issuer}."),
        "season.forbidden_in_water": _(
            "Work in water is forbidden from {opens} to {closes} by {issuer}; dry zones may be worked."
        ),
        "season.not_permitted_in_water": _(
            "Work in water is permitted only from {opens} to {closes} by {issuer}; dry zones may be worked."
        ),
        "season.advice_against": _("{issuer} asks for special care from {opens} to {closes}: read the notice."),
        "season.advice_only": _("{issuer} advises to work only from {opens} to {closes}: read the notice."),
        # trade.outline; positions are written [longitude, latitude]
        "outline.long": _("The text is longer than {limit} characters. Paste one outline alone."),
        "outline.not_json": _(
            "This is neither GeoJSON nor a list of corners. Give one corner a line as latitude, longitude, or paste a "
            "GeoJSON polygon, beginning with {{ and ending with }}."
        ),
        "outline.features": _(
            "The collection has {count} features. It must have exactly one, a Polygon or MultiPolygon."
        ),
        "outline.not_polygon": _("The geometry is of type {kind}. It must be a Polygon or MultiPolygon."),
        "outline.empty": _("The polygon has no coordinates. It must have a list of rings, each a list of positions."),
        "outline.short": _(
            "Positions of a ring: {count}. It needs at least {least}, of which the last repeats the first."
        ),
        "outline.open": _("A ring starts at {first} and ends at {last}. It must end where it starts."),
        "outline.position": _("{position} is no position. A position is [longitude, latitude] in decimal degrees."),
        "outline.out_of_range": _(
            "{position} is not on the map: longitude, given first, is from -180 to 180 and latitude from -90 to 90."
        ),
        "outline.swapped": _(
            "Longitude and latitude seem to be swapped at {position}: the other way round the outline lies at the "
            "site. GeoJSON gives longitude first."
        ),
        "outline.far": _(
            "{position} lies {away_km} km from the site. An outline stays within {limit_km} km: check the positions "
            "here and those of the site."
        ),
        "outline.parts": _("Two parts of the outline overlap near {position}. Draw them as one, or apart."),
        "outline.flat": _(
            "The outline encloses less than {least} m². Give at least three corners that do not lie on one line."
        ),
        "outline.crosses_itself": _("The outline crosses or touches itself at {position}. Draw it without a crossing."),
        "outline.holes": _(
            "Near {position} a ring crosses itself or a hole reaches out of the outline or into another hole."
        ),
        "outline.outside": _(
            "The zone {name} lies wholly outside the outline of its stand. One of the two is of another place: draw it "
            "anew, or choose the stand it belongs to."
        ),
        "outline.partly_outside": _(
            "{area_m2} m² of the zone {name}, {percent} % of it, lie outside the outline of its stand."
        ),
        "outline.overlaps": _(
            "The zones {name} and {other} overlap by {area_m2} m². Stems there count twice: draw one of them anew."
        ),
        # trade.outline; corners are written latitude, longitude
        "corners.line": _(
            "Line {line}, “{text}”, is no corner. Give latitude and longitude in decimal degrees, such as "
            "44.251934, -76.502218."
        ),
        "corners.short": _("Corners: {count}. An outline needs at least {least}, one a line."),
        "corners.out_of_range": _(
            "{position} is not on the map: latitude, given first, is from -90 to 90 and longitude from -180 to 180."
        ),
        "corners.swapped": _(
            "Latitude and longitude seem to be swapped at {position}: the other way round the outline lies at the "
            "site. In a list of corners latitude comes first."
        ),
        # trade.outline.points; one position, written latitude, longitude
        "point.unreadable": _(
            "“{text}” is no position. Write latitude and longitude, such as 44.251934, -76.502218 or "
            "44°15'07\"N 76°30'08\"W, or paste a geo: link."
        ),
        "point.halves": _(
            "“{text}” does not say which half of the globe it means. Give each number a letter, one of them N or S and "
            "the other E or W, and no sign; or no letters, with a minus for south and west."
        ),
        "point.coarse": _(
            "{position} is in whole degrees, about 100 km apart. Copy the position with its decimals or its minutes."
        ),
    }
)

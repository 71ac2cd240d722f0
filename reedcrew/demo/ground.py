"""Draws the ground of the demo group: outlines of the stands, and the boundaries within which it may work."""

import datetime
from collections.abc import Mapping

from reedcrew.demo.places import BOATHOUSE, ISLET, LANDING, MILL_DITCH, QUARRY, SEDGE_CORNER
from reedcrew.demo.shore import outline_of
from reedcrew.people.models import Account
from reedcrew.stands import services
from reedcrew.stands.models import Site, Stand

# Corners in metres east and north of the site's meeting place. The zones of a stand lie inside its outline.
OUTLINES: Mapping[str, tuple[tuple[float, float], ...]] = {
    LANDING: ((-10, -12), (35, -18), (40, -35), (45, -61), (12, -67), (-3, -57), (-9, -22)),
    SEDGE_CORNER: ((62, -22), (74, -18), (79, -31), (68, -39), (60, -33)),
    QUARRY: ((49, 28), (72, 32), (69, 51), (74, 67), (58, 77), (45, 64)),
    MILL_DITCH: ((-64, 12), (-58, 15), (-41, 58), (-46, 61), (-60, 37)),
    BOATHOUSE: ((-33, 4), (-10, 8), (-13, 28), (-31, 26)),
    ISLET: ((-88, 61), (-74, 66), (-77, 79), (-90, 77)),
}
BOUNDARIES: Mapping[str, tuple[tuple[float, float], ...]] = {
    "Quillet Landing": ((-30, 24), (95, 20), (98, -82), (-28, -86)),
    "Quarry Marsh": ((-82, -12), (96, -16), (94, 98), (-78, 92)),
}


def draw_ground(sites: Mapping[str, Site], stands: Mapping[str, Stand], actor: Account, now: datetime.datetime) -> None:
    """Draw all outlines and boundaries."""
    for name, corners in BOUNDARIES.items():
        site = sites[name]
        services.draw_outline(row=site, version=site.version, outline=outline_of(site, corners), actor=actor, now=now)
    for name, corners in OUTLINES.items():
        stand = Stand.objects.get(pk=stands[name].pk)  # its checks have raised its version since it was entered
        services.draw_outline(
            row=stand, version=stand.version, outline=outline_of(stand.site, corners), actor=actor, now=now
        )

"""Tables of sites, stands, zones, checks and gauge levels."""

from reedcrew.stands.models.checks import IdentificationCheck
from reedcrew.stands.models.levels import WaterLevel
from reedcrew.stands.models.sites import GAUGE_RANGE, Site, SiteQuerySet
from reedcrew.stands.models.stands import Stand, StandQuerySet
from reedcrew.stands.models.zones import UNITS_MAX, Zone

__all__ = [
    "GAUGE_RANGE",
    "UNITS_MAX",
    "IdentificationCheck",
    "Site",
    "SiteQuerySet",
    "Stand",
    "StandQuerySet",
    "WaterLevel",
    "Zone",
]

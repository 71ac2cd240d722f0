"""Everything that changes sites, stands, zones, checks and gauge levels."""

from reedcrew.stands.services.checks import record_check
from reedcrew.stands.services.levels import record_water_level
from reedcrew.stands.services.sites import change_site, record_site
from reedcrew.stands.services.stands import change_stand, record_stand
from reedcrew.stands.services.zones import change_zone, record_zone, remove_zone, uses_of

__all__ = [
    "change_site",
    "change_stand",
    "change_zone",
    "record_check",
    "record_site",
    "record_stand",
    "record_water_level",
    "record_zone",
    "remove_zone",
    "uses_of",
]

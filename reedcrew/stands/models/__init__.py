"""Tables of sites, stands, zones, checks and gauge levels."""

from reedcrew.stands.models.checks import IdentificationCheck
from reedcrew.stands.models.decisions import IdentificationDecision
from reedcrew.stands.models.gauges import Gauge
from reedcrew.stands.models.levels import WaterLevel
from reedcrew.stands.models.notices import SiteNotice
from reedcrew.stands.models.photos import CheckPhoto
from reedcrew.stands.models.sites import GAUGE_RANGE, Site, SiteQuerySet
from reedcrew.stands.models.stands import Stand, StandQuerySet
from reedcrew.stands.models.surveys import QUADRATS_MAX, Quadrat, Survey, SurveyQuerySet
from reedcrew.stands.models.zones import UNITS_MAX, Zone

__all__ = [
    "GAUGE_RANGE",
    "QUADRATS_MAX",
    "UNITS_MAX",
    "CheckPhoto",
    "Gauge",
    "IdentificationCheck",
    "IdentificationDecision",
    "Quadrat",
    "Site",
    "SiteNotice",
    "SiteQuerySet",
    "Stand",
    "StandQuerySet",
    "Survey",
    "SurveyQuerySet",
    "WaterLevel",
    "Zone",
]

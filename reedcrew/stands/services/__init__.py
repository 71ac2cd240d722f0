"""Everything that changes sites, stands, zones, checks and gauge levels."""

from reedcrew.stands.services.checks import record_check
from reedcrew.stands.services.decisions import decide_identification
from reedcrew.stands.services.gauges import change_gauge, record_gauge
from reedcrew.stands.services.geojson import Step, Takeover, Taking, rehearse, take_over
from reedcrew.stands.services.levels import ROWS_MAX, KeptLevels, record_levels, record_water_level
from reedcrew.stands.services.moves import season_told, zones_told
from reedcrew.stands.services.notices import change_notice, end_notice, record_notice, resume_notice
from reedcrew.stands.services.outlines import draw_outline
from reedcrew.stands.services.photos import add_photos, remove_photo
from reedcrew.stands.services.sites import change_site, record_site
from reedcrew.stands.services.stands import change_stand, record_stand
from reedcrew.stands.services.surveys import (
    MeasuredDepth,
    QuadratEntry,
    Recorded,
    ask_quadrats,
    record_survey,
    strike_survey,
)
from reedcrew.stands.services.zones import change_zone, put_back_zone, record_zone, remove_zone, uses_of

__all__ = [
    "ROWS_MAX",
    "KeptLevels",
    "MeasuredDepth",
    "QuadratEntry",
    "Recorded",
    "Step",
    "Takeover",
    "Taking",
    "add_photos",
    "ask_quadrats",
    "change_gauge",
    "change_notice",
    "change_site",
    "change_stand",
    "change_zone",
    "decide_identification",
    "draw_outline",
    "end_notice",
    "put_back_zone",
    "record_check",
    "record_gauge",
    "record_levels",
    "record_notice",
    "record_site",
    "record_stand",
    "record_survey",
    "record_water_level",
    "record_zone",
    "rehearse",
    "remove_photo",
    "remove_zone",
    "resume_notice",
    "season_told",
    "strike_survey",
    "take_over",
    "uses_of",
    "zones_told",
]

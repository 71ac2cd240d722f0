"""Rows of the fieldbook: what phones and pages sent, and what follows from it."""

from reedcrew.fieldbook.models.briefing import BriefingHeard
from reedcrew.fieldbook.models.entries import (
    LOAD_COUNT_MAX,
    Attendance,
    AttendanceQuerySet,
    FieldEntry,
    FieldEntryQuerySet,
    Load,
    Tally,
)
from reedcrew.fieldbook.models.incidents import Incident
from reedcrew.fieldbook.models.kiosks import KioskLink
from reedcrew.fieldbook.models.photos import DayPhoto
from reedcrew.fieldbook.models.submissions import PhoneOfDay, Submission
from reedcrew.fieldbook.models.water import HeadCheck, WaterStint, WaterStintQuerySet

__all__ = [
    "LOAD_COUNT_MAX",
    "Attendance",
    "AttendanceQuerySet",
    "BriefingHeard",
    "DayPhoto",
    "FieldEntry",
    "FieldEntryQuerySet",
    "HeadCheck",
    "Incident",
    "KioskLink",
    "Load",
    "PhoneOfDay",
    "Submission",
    "Tally",
    "WaterStint",
    "WaterStintQuerySet",
]

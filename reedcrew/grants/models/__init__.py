"""Tables of the hours ledger, of grants and of earlier work."""

from reedcrew.grants.models.earlier import EarlierBatch, EarlierLine
from reedcrew.grants.models.grants import (
    ACTIVITIES,
    KINDS,
    ROLES,
    ROUNDINGS,
    Family,
    Grant,
    HourlyRate,
    Licence,
    ReportingDate,
)
from reedcrew.grants.models.hours import Approval, Claim, HourEntry, Release
from reedcrew.grants.models.jobs import ExportJob
from reedcrew.grants.models.open_data import BLURRINGS, LICENCES, OpenDataChoice

__all__ = [
    "ACTIVITIES",
    "BLURRINGS",
    "KINDS",
    "LICENCES",
    "ROLES",
    "ROUNDINGS",
    "Approval",
    "Claim",
    "EarlierBatch",
    "EarlierLine",
    "ExportJob",
    "Family",
    "Grant",
    "HourEntry",
    "HourlyRate",
    "Licence",
    "OpenDataChoice",
    "Release",
    "ReportingDate",
]

"""A grant's report for a period: made once, and the same for the page and for every file."""

from reedcrew.grants.reports.making import make_report
from reedcrew.grants.reports.records import Report
from reedcrew.grants.reports.scope import Scope

__all__ = ["Report", "Scope", "make_report"]

"""Everything that changes the hours ledger, grants, claims and hourly values."""

from reedcrew.grants.services.approval import approve_day, reopen_day
from reedcrew.grants.services.claims import claim_eligible, claim_entry, is_eligible, release_claim
from reedcrew.grants.services.grants import (
    GrantFacts,
    add_reporting_date,
    change_family,
    change_grant,
    mark_report_sent,
    record_family,
    record_grant,
    remove_reporting_date,
    take_back_report_sent,
)
from reedcrew.grants.services.ledger import ExtraHours, correct_entry, enter_extra_hours, enter_hours
from reedcrew.grants.services.open_data import choose_open_data
from reedcrew.grants.services.rates import RateFacts, record_rate, withdraw_rate

__all__ = [
    "ExtraHours",
    "GrantFacts",
    "RateFacts",
    "add_reporting_date",
    "approve_day",
    "change_family",
    "change_grant",
    "choose_open_data",
    "claim_eligible",
    "claim_entry",
    "correct_entry",
    "enter_extra_hours",
    "enter_hours",
    "is_eligible",
    "mark_report_sent",
    "record_family",
    "record_grant",
    "record_rate",
    "release_claim",
    "remove_reporting_date",
    "reopen_day",
    "take_back_report_sent",
    "withdraw_rate",
]

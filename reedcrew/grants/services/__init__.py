"""Everything that changes the hours ledger, grants and claims."""

from reedcrew.grants.services.claims import claim_eligible, claim_entry, is_eligible
from reedcrew.grants.services.grants import GrantFacts, change_grant, record_grant
from reedcrew.grants.services.ledger import correct_entry, enter_hours

__all__ = [
    "GrantFacts",
    "change_grant",
    "claim_eligible",
    "claim_entry",
    "correct_entry",
    "enter_hours",
    "is_eligible",
    "record_grant",
]

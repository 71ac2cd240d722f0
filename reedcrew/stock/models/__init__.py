"""The gear of a group: lines and known sets, the ledger of their movements, loans, and what is booked for a day."""

from reedcrew.stock.models.agreements import Booking, Loan
from reedcrew.stock.models.gear import GearSet, GearSetQuerySet, StockLine, StockLineQuerySet, new_set_code
from reedcrew.stock.models.ledger import IN_HOUSE, MOVES, Entry, Kind, Movement, Occasion, Place

__all__ = [
    "IN_HOUSE",
    "MOVES",
    "Booking",
    "Entry",
    "GearSet",
    "GearSetQuerySet",
    "Kind",
    "Loan",
    "Movement",
    "Occasion",
    "Place",
    "StockLine",
    "StockLineQuerySet",
    "new_set_code",
]

"""Everything that changes the stock. Each deed is judged under the lock of the group's row."""

from reedcrew.stock.services.bookings import Booked, Want, book, release, tell_times
from reedcrew.stock.services.care import mark
from reedcrew.stock.services.issue import Pieces, issue, occasion_of, take_back
from reedcrew.stock.services.lines import (
    COUNTED_KINDS,
    Counted,
    add_line,
    ask_size,
    count_first,
    give_labels,
    record_movement,
)
from reedcrew.stock.services.loans import borrow, lend, return_counted
from reedcrew.stock.services.sets import keep_set, move_set, next_kinds

__all__ = [
    "COUNTED_KINDS",
    "Booked",
    "Counted",
    "Pieces",
    "Want",
    "add_line",
    "ask_size",
    "book",
    "borrow",
    "count_first",
    "give_labels",
    "issue",
    "keep_set",
    "lend",
    "mark",
    "move_set",
    "next_kinds",
    "occasion_of",
    "record_movement",
    "release",
    "return_counted",
    "take_back",
    "tell_times",
]

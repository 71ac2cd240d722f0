"""What of the stock a day can be given: design, rule 7, and loans that go back before."""

import datetime
from collections import Counter
from dataclasses import dataclass

from django.db.models import QuerySet

from reedcrew.people.models import Group
from reedcrew.stock.models import Booking, Loan, Movement, Occasion, Place
from reedcrew.stock.queries.counting import group_counts, open_of_loans
from reedcrew.stock.queries.lines import lines_in_order
from reedcrew.stock.queries.sets import SetState, states_of_group
from reedcrew.trade import day
from reedcrew.trade.items import Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Outing:
    """A day that needs gear, as the app of the days tells the stock: keys of the day and its site, and when it is."""

    key: int
    site: int
    title: str
    address: str
    date: datetime.date
    starts_at: datetime.datetime
    ends_at: datetime.datetime


def may_be_used(state: SetState, outing: Outing | None) -> bool:
    """Whether a set may go to a day: clean and dry; dry is enough at the site where it was used last (rule 7, cp).

    A borrowed set must not be due before the day. Without a day: whether it is in stock for any.
    """
    if outing is None:
        return state.is_ready
    loan = state.gear_set.loan
    if loan is not None and loan.due_on < outing.date:
        return False
    return state.is_ready or is_dry_at(state, outing.site)


def is_dry_at(state: SetState, site: int) -> bool:
    """Whether a set is dry though not cleaned, and was used at this site."""
    return state.place is Place.AIRED and state.occasion is not None and state.occasion.site == site


def trade_stock(group: Group, outing: Outing | None = None) -> tuple[day.StockLine, ...]:
    """What of a group's stock a day can be given, as the rules of the trade read it; only lines that hold any.

    That is what is in stock clean and dry, what is dry and was used at the same site, and what the day's own people
    have been handed already; less borrowed pieces that are due before the day. Bookings and plans of other days are not
    taken off here. The number of queries does not grow with the stock.
    """
    free: Counter[int] = Counter()
    for line, places in group_counts(group, counted_only=True).items():
        free[line] += places[Place.SHELF]
    for state in states_of_group(group):
        handed_out_here = outing is not None and state.occasion is not None and state.occasion.key == outing.key
        if may_be_used(state, outing) or (state.place is Place.ISSUED and handed_out_here):
            free[state.gear_set.line_id] += 1
    if outing is not None:
        for line, pieces in _handed_out(group, outing).items():
            free[line] += pieces
        for line, pieces in _due_before(group, outing.date).items():
            free[line] -= pieces
    return tuple(
        day.StockLine(item=Item(line.item), size=line.size, count=free[line.pk])
        for line in lines_in_order(group)
        if free[line.pk] > 0
    )


def _handed_out(group: Group, outing: Outing) -> Counter[int]:
    """Counted pieces that the day's own people have, by line."""
    found: Counter[int] = Counter()
    moved = Movement.objects.filter(occasion__group=group, occasion__key=outing.key, gear_set=None)
    for line, number, target in moved.values_list("line", "number", "target"):
        found[line] += number if target == Place.ISSUED else -number
    return found


def _due_before(group: Group, date: datetime.date) -> Counter[int]:
    """Counted borrowed pieces that are to be back with their owners before a day, by line."""
    loans = Loan.objects.filter(group=group, direction=Loan.Direction.BORROWED, due_on__lt=date)
    found: Counter[int] = Counter()
    for lines in open_of_loans(loans).values():
        found.update(lines)
    return found


def booked_elsewhere(group: Group, outing: Outing) -> dict[int, Occasion]:
    """Sets that are booked for another day which overlaps this one, by the set's key; one query."""
    standing = (
        Booking.objects.filter(
            gear_set__group=group,
            ended_at=None,
            occasion__starts_at__lt=outing.ends_at,
            occasion__ends_at__gt=outing.starts_at,
        )
        .exclude(occasion__key=outing.key)
        .select_related("occasion")
    )
    return {each.gear_set_id: each.occasion for each in standing}


def standing_bookings(group: Group, key: int) -> QuerySet[Booking]:
    """The bookings of a day that stand."""
    return Booking.objects.filter(occasion__group=group, occasion__key=key, ended_at=None)


def free_sets(group: Group, outing: Outing) -> list[SetState]:
    """Sets that the day can be given and that no overlapping day has booked.

    Those that only this site may use come first, then by number.
    """
    taken = booked_elsewhere(group, outing)
    found = [state for state in states_of_group(group) if may_be_used(state, outing) and state.gear_set.pk not in taken]
    return sorted(found, key=lambda state: (state.is_ready, state.gear_set.number))

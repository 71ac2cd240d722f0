"""Promising sets to the people of a day, as its plan gives them."""

import datetime
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from reedcrew.people.locks import lock_group
from reedcrew.people.models import Account, Group, Member
from reedcrew.stock.models import Booking, GearSet, Occasion, Place, StockLine
from reedcrew.stock.queries import Outing, free_sets, group_counts, last_movements, standing_bookings, states_of_group
from reedcrew.stock.services.issue import occasion_of
from reedcrew.trade.items import Item

GONE = frozenset({Place.OUTSIDE, Place.REPAIR, Place.LENT, Place.LOST, Place.RETIRED})  # no booking outlasts these


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """One piece that a plan gives to a person."""

    member: Member
    item: Item
    size: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Booked:
    """The bookings of a day that stand now, and what no set was free for."""

    bookings: Sequence[Booking]
    unmet: Sequence[Want]


@transaction.atomic
def book(
    *, group: Group, outing: Outing, wants: Sequence[Want], actor: Account | None, now: datetime.datetime
) -> Booked:
    """Promise a set for each thing that a day's plan gives somebody, where the group knows such sets one by one.

    What is booked and still wanted stays with the same person; what is wanted no longer is free again; the rest gets
    the sets that only this site may use first, then by number. Doing it again changes nothing. Days that overlap are
    never promised the same set. Wants of items without labelled sets are no booking: they are counted.
    """
    group = lock_group(group)
    occasion = occasion_of(group, outing)
    known = set(GearSet.objects.of_group(group).values_list("line__item", "line__size").distinct())
    open_wants = [want for want in wants if (want.item.value, want.size) in known]
    kept, dropped = [], []
    standing = list(standing_bookings(group, outing.key).select_related("gear_set__line", "member"))
    last = last_movements(booking.gear_set for booking in standing)
    for booking in standing:
        line = booking.gear_set.line
        want = next(
            (
                want
                for want in open_wants
                if (want.member.pk, want.item.value, want.size) == (booking.member_id, line.item, line.size)
                and last[booking.gear_set_id].target not in GONE
            ),
            None,
        )
        if want is None:
            dropped.append(booking.pk)
        else:
            open_wants.remove(want)
            kept.append(booking)
    Booking.objects.filter(pk__in=dropped).update(ended_at=now, ended_by=actor)
    sets_kept = {each.gear_set_id for each in kept}
    _strike_what_they_have(open_wants, occasion, sets_kept)
    made, unmet = _promise(group, outing, occasion, open_wants, sets_kept, actor, now)
    return Booked(bookings=[*kept, *made], unmet=unmet)


@transaction.atomic
def release(*, group: Group, key: int, actor: Account | None, now: datetime.datetime) -> int:
    """End all bookings of a day, as when it is cancelled. Returns how many stood."""
    group = lock_group(group)
    return standing_bookings(group, key).update(ended_at=now, ended_by=actor)


@transaction.atomic
def tell_times(*, group: Group, outing: Outing) -> None:
    """Keep the stock's word for a day up to date after the day was changed, where it has one."""
    group = lock_group(group)
    if Occasion.objects.filter(group=group, key=outing.key).exists():
        occasion_of(group, outing)


def _strike_what_they_have(wants: list[Want], occasion: Occasion, booked: set[int]) -> None:
    """Whoever was handed another set of the kind on the day wants none any more."""
    for state in states_of_group(occasion.group):
        if state.occasion != occasion or state.holder is None or state.gear_set.pk in booked:
            continue
        line = state.gear_set.line
        want = Want(member=state.holder, item=line.kind, size=line.size)
        if want in wants:
            wants.remove(want)


def _unlabelled(group: Group) -> Counter[tuple[str, str]]:
    """Pieces in stock without a label, which serve as well where no set is free, by item and size."""
    places = group_counts(group, counted_only=True)
    lines = StockLine.objects.of_group(group).filter(pk__in=places)
    return Counter({(line.item, line.size): places[line.pk][Place.SHELF] for line in lines})


def _promise(
    group: Group,
    outing: Outing,
    occasion: Occasion,
    wants: Sequence[Want],
    kept: set[int],
    actor: Account | None,
    now: datetime.datetime,
) -> tuple[list[Booking], list[Want]]:
    free = [state.gear_set for state in free_sets(group, outing) if state.gear_set.pk not in kept]
    unlabelled = _unlabelled(group)
    made, unmet = [], []
    for want in wants:
        fits = next((each for each in free if (each.line.item, each.line.size) == (want.item.value, want.size)), None)
        if fits is None:
            if unlabelled[want.item.value, want.size]:
                unlabelled[want.item.value, want.size] -= 1
            else:
                unmet.append(want)
            continue
        free.remove(fits)
        made.append(Booking(occasion=occasion, gear_set=fits, member=want.member, made_by=actor, made_at=now))
    return Booking.objects.bulk_create(made), unmet

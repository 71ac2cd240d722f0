"""Sets that are known one by one: where each is, and its whole story."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Max, QuerySet
from django.utils.translation import gettext

from reedcrew.people.models import Group, Member
from reedcrew.people.queries import member_name
from reedcrew.people.roles import Deed
from reedcrew.stock.models import Booking, GearSet, Movement, Occasion, Place, StockLine


@dataclass(frozen=True, slots=True, kw_only=True)
class SetState:
    """A set and its last movement, which says where it is. Nothing moved yet: it is outside."""

    gear_set: GearSet
    last: Movement | None

    @property
    def place(self) -> Place:
        return Place(self.last.target) if self.last else Place.OUTSIDE

    @property
    def occasion(self) -> Occasion | None:
        """The day on which it was used last, until it is in stock again."""
        return self.last.occasion if self.last else None

    @property
    def holder(self) -> Member | None:
        """Who has it, while it is handed out."""
        return self.last.member if self.last and self.place is Place.ISSUED else None

    @property
    def is_ready(self) -> bool:
        """In stock: clean, dry, and in one piece."""
        return self.place is Place.SHELF


def set_states(sets: QuerySet[GearSet]) -> tuple[SetState, ...]:
    """Each set with where it is, in the sets' order; two queries."""
    rows = list(sets.select_related("line", "group", "loan"))
    last = last_movements(rows)
    return tuple(SetState(gear_set=each, last=last.get(each.pk)) for each in rows)


def last_movements(sets: Iterable[GearSet]) -> dict[int, Movement]:
    """The last movement of each set, by the set's key; one query."""
    latest = (
        Movement.objects.filter(gear_set__in=[each.pk for each in sets])
        .values("gear_set")
        .annotate(last=Max("pk"))
        .order_by()
        .values("last")
    )
    found = Movement.objects.filter(pk__in=latest).select_related("entry", "occasion", "member")
    return {each.gear_set_id: each for each in found if each.gear_set_id is not None}


def states_of_group(group: Group) -> tuple[SetState, ...]:
    """All sets of a group with where they are; two queries."""
    return set_states(GearSet.objects.of_group(group))


def states_of_line(line: StockLine) -> tuple[SetState, ...]:
    """The sets of one line with where they are; two queries."""
    return set_states(GearSet.objects.filter(line=line))


def state_of(gear_set: GearSet) -> SetState:
    """One set with where it is; one query."""
    return SetState(gear_set=gear_set, last=last_movements([gear_set]).get(gear_set.pk))


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryRow:
    """One line of a set's story. ``who`` is the person that it is about, ``by`` who recorded it."""

    at: datetime.datetime
    what: str
    place: str
    who: str
    occasion: Occasion | None
    by: str
    note: str


def story(gear_set: GearSet, reader: Member) -> Sequence[StoryRow]:
    """All that happened to a set, the latest first: movements and bookings; two queries.

    Names are for those who may see the people of the group; others read their own name only.
    """
    names = reader.may(Deed.SEE_PEOPLE)

    def shown(member: Member | None) -> str:
        if member is None:
            return ""
        return member.name if names or member.pk == reader.pk else gettext("a member")

    def author(name: str | None) -> str:
        return (name or gettext("not known")) if names else gettext("staff")

    rows = [
        StoryRow(
            at=each.entry.made_at,
            what=each.get_kind_display(),
            place=each.get_target_display(),
            who=shown(each.member),
            occasion=each.occasion,
            by=author(vars(each)["recorded_by"]),
            note=each.entry.note,
        )
        for each in gear_set.movements.select_related("entry", "occasion", "member")
        .annotate(recorded_by=member_name(group="line__group", account="entry__made_by"))
        .order_by("pk")
    ]
    for booking in (
        gear_set.bookings.select_related("occasion", "member")
        .annotate(
            booked_by=member_name(group="gear_set__group", account="made_by"),
            dropped_by=member_name(group="gear_set__group", account="ended_by"),
        )
        .order_by("pk")
    ):
        rows.append(_booked(booking, shown(booking.member), author(vars(booking)["booked_by"])))
        if booking.ended_at is not None:
            by = author(vars(booking)["dropped_by"])
            rows.append(_booked(booking, shown(booking.member), by, ended_at=booking.ended_at))
    return sorted(rows, key=lambda row: row.at, reverse=False)[::-1]


def _booked(booking: Booking, who: str, by: str, ended_at: datetime.datetime | None = None) -> StoryRow:
    return StoryRow(
        at=ended_at or booking.made_at,
        what=gettext("booking dropped") if ended_at else gettext("booked"),
        place="",
        who=who,
        occasion=booking.occasion,
        by=by,
        note="",
    )

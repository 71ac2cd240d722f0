"""The gear of a day, person by person: what the plan gives them, what is booked, what they have and had."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from reedcrew.crews.gear.outings import outing_of
from reedcrew.crews.models import Assignment
from reedcrew.people.models import Member
from reedcrew.stock.models import GearSet, Kind, Movement, Place, StockLine
from reedcrew.stock.queries import PlaceCounts, free_sets, group_counts, standing_bookings
from reedcrew.stock.services import Pieces, Want
from reedcrew.trade.items import Item
from reedcrew.trade.plan import Source
from reedcrew.workdays.models import WorkDay

ItemSize = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetWanted:
    """A labelled set that the plan gives somebody who has none yet: the booked one, and which others would do."""

    item: str
    size: str
    booked: GearSet | None
    choices: Sequence[GearSet]


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonGear:
    """One person's gear on a day."""

    member: Member
    task: str
    own: Sequence[ItemSize]
    sets_wanted: Sequence[SetWanted]
    counted_wanted: Sequence[Pieces]
    missing: Sequence[ItemSize]  # planned from the stock, which has no line of it
    sets_out: Sequence[GearSet]
    counted_out: Sequence[Pieces]
    gave_back: int

    @property
    def sets_booked(self) -> list[GearSet]:
        return [wanted.booked for wanted in self.sets_wanted if wanted.booked is not None]

    @property
    def waits_for_gear(self) -> bool:
        """Whether one press can hand out something that the plan gives this person."""
        return bool(self.sets_booked or self.counted_wanted)

    @property
    def has_gear(self) -> bool:
        return bool(self.sets_out or self.counted_out)

    @property
    def unbooked(self) -> list[SetWanted]:
        """Sets that the plan gives and that nobody has chosen yet."""
        return [wanted for wanted in self.sets_wanted if wanted.booked is None]


@dataclass(frozen=True, slots=True, kw_only=True)
class GearSheet:
    """The gear of a day: people in the order of their names."""

    people: Sequence[PersonGear]

    @property
    def pieces_out(self) -> int:
        return sum(len(person.sets_out) + sum(each.number for each in person.counted_out) for person in self.people)

    @property
    def to_hand_out(self) -> int:
        return sum(
            len(person.sets_wanted) + sum(each.number for each in person.counted_wanted) for person in self.people
        )

    @property
    def has_unbooked(self) -> bool:
        return any(person.unbooked for person in self.people)

    def of(self, member: Member) -> PersonGear | None:
        return next((person for person in self.people if person.member.pk == member.pk), None)


def wants_of(day: WorkDay) -> list[Want]:
    """What the plan of a day gives its people from the stock: the plan that they were told, else the proposal."""
    return [
        Want(member=each.sign_up.member, item=Item(piece["item"]), size=piece["size"])
        for each in _in_force(day)
        for piece in each.gear
        if piece["from"] == Source.STOCK
    ]


def gear_sheet(day: WorkDay) -> GearSheet:
    """Everybody with a place on a day, and whoever still has gear from it. The queries do not grow with the roster."""
    return _Sheet(day).sheet()


def pieces_out(day: WorkDay) -> list[tuple[Member, str]]:
    """Who still has what from a day, for the page on which it is closed."""
    found = []
    for person in gear_sheet(day).people:
        found += [(person.member, str(each)) for each in person.sets_out]
        found += [(person.member, f"{each.line} × {each.number}") for each in person.counted_out]
    return found


@dataclass(slots=True, kw_only=True)
class _Had:
    """What moved to and from one person on the day."""

    went_out: Counter[ItemSize] = field(default_factory=Counter)
    sets: dict[int, GearSet] = field(default_factory=dict)
    counted: Counter[int] = field(default_factory=Counter)
    gave_back: int = 0


class _Sheet:
    """Reads all rows of a day's gear once."""

    def __init__(self, day: WorkDay) -> None:
        self._day = day
        group = day.group
        outing = outing_of(day)
        self._lines = {(line.item, line.size): line for line in StockLine.objects.of_group(group)}
        self._by_key = {line.pk: line for line in self._lines.values()}
        self._assignments = {each.sign_up.member_id: each for each in _in_force(day)}
        self._members = {each.member_id: each.member for each in day.sign_ups.confirmed().for_roster()}
        self._had = self._movements()
        plain = group_counts(group, counted_only=True)
        self._plain = {pk: plain.get(pk, PlaceCounts()) for pk in self._by_key}
        self._labelled = set(GearSet.objects.of_group(group).values_list("line__item", "line__size").distinct())
        self._booked: dict[tuple[int, str, str], list[GearSet]] = {}
        taken = set()
        for booking in standing_bookings(group, day.pk).select_related("gear_set__line", "gear_set__group"):
            line = booking.gear_set.line
            self._booked.setdefault((booking.member_id, line.item, line.size), []).append(booking.gear_set)
            taken.add(booking.gear_set_id)
        self._free: dict[ItemSize, list[GearSet]] = {}
        self._ready = set()
        for state in free_sets(group, outing):
            self._ready.add(state.gear_set.pk)
            if state.gear_set.pk not in taken:
                line = state.gear_set.line
                self._free.setdefault((line.item, line.size), []).append(state.gear_set)

    def sheet(self) -> GearSheet:
        people = [self._person(member) for member in self._members.values()]
        return GearSheet(people=sorted(people, key=lambda person: (person.member.name, person.member.pk)))

    def _movements(self) -> Mapping[int, _Had]:
        had: dict[int, _Had] = {}
        moved = Movement.objects.filter(occasion__group=self._day.group, occasion__key=self._day.pk)
        rows = moved.exclude(member=None).select_related("gear_set__line", "gear_set__group", "member", "line")
        for row in rows.order_by("pk"):
            if row.member is None:
                continue
            person = had.setdefault(row.member.pk, _Had())
            if row.kind == Kind.ISSUED:
                self._members.setdefault(row.member.pk, row.member)
                person.went_out[row.line.item, row.line.size] += row.number
            back = row.source == Place.ISSUED
            person.gave_back += row.number if back else 0
            if row.gear_set is not None and back:
                person.sets.pop(row.gear_set.pk, None)
            elif row.gear_set is not None:
                person.sets[row.gear_set.pk] = row.gear_set
            else:
                person.counted[row.line_id] += -row.number if back else row.number
        return had

    def _person(self, member: Member) -> PersonGear:
        assignment = self._assignments.get(member.pk)
        had = self._had.get(member.pk, _Had())
        gear = assignment.gear if assignment else []
        planned = Counter((piece["item"], piece["size"]) for piece in gear if piece["from"] == Source.STOCK)
        wanted = planned - had.went_out
        sets, counted, missing = [], [], []
        for (item, size), number in wanted.items():
            line = self._lines.get((item, size))
            if (item, size) in self._labelled:
                wanted_sets = self._sets_wanted(member, item, size, number)
                # Pieces without a label serve as well where no set is free.
                without = sum(each.booked is None and not each.choices for each in wanted_sets)
                if line is not None and (plain := min(without, self._plain[line.pk][Place.SHELF])) > 0:
                    counted.append(Pieces(line=line, number=plain))
                    wanted_sets = [each for each in wanted_sets if each.booked or each.choices]
                sets += wanted_sets
            elif line is not None:
                counted.append(Pieces(line=line, number=number))
            else:
                missing += [(item, size)] * number
        return PersonGear(
            member=member,
            task=_task(assignment),
            own=[(piece["item"], piece["size"]) for piece in gear if piece["from"] == Source.OWN],
            sets_wanted=sets,
            counted_wanted=counted,
            missing=missing,
            sets_out=list(had.sets.values()),
            counted_out=[
                Pieces(line=self._by_key[line], number=number) for line, number in had.counted.items() if number
            ],
            gave_back=had.gave_back,
        )

    def _sets_wanted(self, member: Member, item: str, size: str, number: int) -> list[SetWanted]:
        booked = [each for each in self._booked.get((member.pk, item, size), ()) if each.pk in self._ready]
        free = self._free.get((item, size), [])
        return [
            SetWanted(
                item=item,
                size=size,
                booked=booked[place] if place < len(booked) else None,
                choices=[*booked[place : place + 1], *free],
            )
            for place in range(number)
        ]


def _in_force(day: WorkDay) -> list[Assignment]:
    return list(
        Assignment.objects.in_force().filter(plan__day=day).select_related("sign_up__member", "zone").order_by("pk")
    )


def _task(assignment: Assignment | None) -> str:
    if assignment is None:
        return ""
    zone = assignment.zone.name if assignment.zone else ""
    return ", ".join(word for word in (str(assignment.get_role_display()), zone) if word)

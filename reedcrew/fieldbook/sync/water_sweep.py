"""Who was in water when, from the entries of a day in the order of time."""

import datetime
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field

from reedcrew.fieldbook.sync.facts import Facts, Remark, Said


def row_of(entry_id: uuid.UUID, member: int) -> uuid.UUID:
    """The row of one person of an entry that names several."""
    return uuid.uuid5(entry_id, str(member))


@dataclass(slots=True, kw_only=True)
class Stint:
    """One time of one person in water. ``merged`` names the entry that it repeats; then it does not count."""

    said: Said
    member: int
    zone: int | None
    unit: int | None
    in_at: datetime.datetime
    out_at: datetime.datetime | None = None
    out: Said | None = None
    merged: Said | None = None

    @classmethod
    def of(cls, said: Said, member: int) -> "Stint":
        return cls(said=said, member=member, zone=said.data.get("zone"), unit=said.data.get("unit"), in_at=said.at)

    @property
    def id(self) -> uuid.UUID:
        return row_of(self.said.entry_id, self.member)

    def covers(self, moment: datetime.datetime) -> bool:
        return self.merged is None and self.in_at <= moment and (self.out_at is None or moment < self.out_at)


@dataclass(slots=True)
class Water:
    """All times in water of a day. ``counted`` tells of each head count how many people were in water then."""

    stints: list[Stint] = field(default_factory=list)
    by_member: dict[int, list[Stint]] = field(default_factory=dict)
    counted: dict[uuid.UUID, int] = field(default_factory=dict)

    def covers(self, member: int, moment: datetime.datetime) -> bool:
        """Whether somebody is in water at a moment; the second of coming out counts no more."""
        return any(stint.covers(moment) for stint in self.by_member.get(member, ()))

    def unit_at(self, zone: int | None, unit: int | None, moment: datetime.datetime) -> list[int]:
        """The people of a unit in its zone at a moment."""
        return [
            stint.member for stint in self.stints if (stint.zone, stint.unit) == (zone, unit) and stint.covers(moment)
        ]


def sweep(valid: Sequence[Said], facts: Facts, remarks: dict[tuple[uuid.UUID, str], Remark]) -> Water:
    """Go through the entries about water in the order of time.

    An "all out" takes everybody out whose going in is known, but only if just as many were counted: else all stay in
    water until they are seen.
    """
    water, inside = Water(), dict[int, Stint]()
    for each in valid:
        if each.kind in {"all_out", "head_check"}:
            water.counted[each.entry_id] = len(inside)
        if each.kind == "water_in":
            for member in each.members:
                _go_in(each, member, water, inside)
        elif each.kind == "water_out":
            for member in each.members:
                if (stint := inside.pop(member, None)) is not None:
                    stint.out_at, stint.out = each.at, each
                elif member not in water.by_member:
                    remarks.setdefault(each.key, Remark(code="never_in_water", values=facts.named(member)))
        elif each.kind == "all_out" and each.data["count"] == len(inside):
            for stint in inside.values():
                stint.out_at, stint.out = each.at, each
            inside.clear()
        elif each.kind in {"all_out", "head_check"}:
            seen = each.data["count"] if each.kind == "all_out" else each.data["seen"]
            if seen != len(inside):
                names = ", ".join(sorted(facts.name(member) for member in inside))
                values = {"seen": str(seen), "in_water": str(len(inside)), "names": names}
                remarks.setdefault(each.key, Remark(code="counts_differ", values=values))
    return water


def _go_in(each: Said, member: int, water: Water, inside: dict[int, Stint]) -> None:
    stint = Stint.of(each, member)
    water.stints.append(stint)
    there = inside.get(member)
    if there is not None and (there.zone, there.unit) == (stint.zone, stint.unit):
        stint.merged = there.said
        return
    if there is not None:  # from one zone or unit to another
        there.out_at, there.out = each.at, each
    inside[member] = stint
    water.by_member.setdefault(member, []).append(stint)

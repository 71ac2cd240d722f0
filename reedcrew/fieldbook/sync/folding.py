"""What follows from all that was sent for a day, whatever the order in which it arrived.

Pure: the same entries, in any order and with any repeats, give the same state. Everything is read in the order of the
times at which it happened. One phone never undoes another: of two sign-ins the earlier time stands, of two sign-outs
the later, what was struck stays struck, and each such entry is remarked with the other version. Where entries leave it
open, people count as on site and in water until somebody says otherwise: nobody is forgotten.
"""

import datetime
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from reedcrew.fieldbook.hours import minute_of
from reedcrew.fieldbook.sync.facts import Facts, Remark, Said
from reedcrew.fieldbook.sync.water_sweep import Stint, Water, sweep


@dataclass(slots=True, kw_only=True)
class Stay:
    """One sign-in and what became of it. ``merged`` names the sign-in that it repeats; then it does not count."""

    said: Said
    member: int
    in_at: datetime.datetime
    in_water: bool
    out_at: datetime.datetime | None = None
    out: Said | None = None
    merged: Said | None = None

    def covers(self, moment: datetime.datetime) -> bool:
        """Whether the person is on site at a moment by this stay; the minute of leaving counts no more."""
        return self.in_at <= moment and (self.out_at is None or moment < self.out_at)


@dataclass(slots=True, kw_only=True)
class Folded:
    """The state of a day: each standing version, what was struck by what, stays, times in water, and remarks."""

    standing: Mapping[uuid.UUID, Said]
    strikes: Mapping[uuid.UUID, Said]
    stays: Sequence[Stay]
    stints: Sequence[Stint]
    counted: Mapping[uuid.UUID, int]
    absent: Mapping[int, Said]
    remarks: Mapping[tuple[uuid.UUID, str], Remark] = field(default_factory=dict)


def fold(said: Iterable[Said], facts: Facts) -> Folded:
    """Fold the entries of one day. Entries that were refused for good are not among them."""
    remarks: dict[tuple[uuid.UUID, str], Remark] = {}
    standing = _standing(said, remarks)
    entries = sorted(standing.values(), key=lambda each: each.order)
    strikes = _strikes(entries, standing, remarks)
    valid = [each for each in entries if each.entry_id not in strikes]
    water = sweep(valid, facts, remarks)
    stays = _stays(valid, standing, water, facts, remarks)
    struck_stays = [_struck(each, entries) for each in entries if each.is_sign_in and each.entry_id in strikes]
    _judge(valid, stays, water, facts, remarks)
    absent = _absent(valid, stays, facts, remarks)
    struck_stints = [
        Stint.of(each, member)
        for each in entries
        if each.kind == "water_in" and each.entry_id in strikes
        for member in each.members
    ]
    return Folded(
        standing=standing,
        strikes=strikes,
        stays=[*stays, *struck_stays],
        stints=[*water.stints, *struck_stints],
        counted=water.counted,
        absent=absent,
        remarks=remarks,
    )


# --- Private ---------------------------------------------------------------------------------------------------------

Remarks = dict[tuple[uuid.UUID, str], Remark]


def _standing(said: Iterable[Said], remarks: Remarks) -> dict[uuid.UUID, Said]:
    """Of each entry the version that was written first; the others are remarked, and so is the one that stands."""
    versions: dict[uuid.UUID, dict[str, Said]] = {}
    for each in said:
        versions.setdefault(each.entry_id, {})[each.digest] = each
    standing = {}
    for entry_id, found in versions.items():
        first, *others = sorted(found.values(), key=lambda each: (each.at, each.digest))
        standing[entry_id] = first
        for other in others:
            remarks[other.key] = Remark(code="other_version", refused=True, other=entry_id)
        if others:
            remarks[first.key] = Remark(code="other_version", other=entry_id)
    return standing


def _strikes(entries: Sequence[Said], standing: Mapping[uuid.UUID, Said], remarks: Remarks) -> dict[uuid.UUID, Said]:
    """The first strike of each entry. A strike itself is never struck."""
    strikes: dict[uuid.UUID, Said] = {}
    for each in entries:
        if each.kind != "strike":
            continue
        for target in each.targets:
            wrong = standing.get(target)
            if wrong is None or wrong.kind == "strike":
                remarks.setdefault(each.key, Remark(code="strike_of_nothing", refused=True, other=target))
            else:
                strikes.setdefault(target, each)
    return strikes


def _stays(
    valid: Sequence[Said],
    standing: Mapping[uuid.UUID, Said],
    water: Water,
    facts: Facts,
    remarks: Remarks,
) -> list[Stay]:
    """Go through sign-ins and sign-outs of each person in the order of time."""
    stays: list[Stay] = []
    here: dict[int, Stay] = {}
    last: dict[int, Stay] = {}
    for each in valid:
        if each.is_sign_in and each.member is not None:
            stay = Stay(said=each, member=each.member, in_at=minute_of(each.at), in_water=each.in_water)
            stays.append(stay)
            if (open_stay := here.get(each.member)) is not None:
                stay.merged = open_stay.said
                open_stay.in_water = open_stay.in_water or stay.in_water
                values = facts.named(each.member, earlier=facts.clock(open_stay.in_at), later=facts.clock(stay.in_at))
                if stay.in_at != open_stay.in_at or each.phone != open_stay.said.phone:
                    remarks.setdefault(
                        each.key, Remark(code="signed_in_twice", values=values, other=open_stay.said.entry_id)
                    )
            else:
                here[each.member] = last[each.member] = stay
        elif each.kind == "sign_out":
            _sign_out(each, standing, water, facts, here, last, remarks)
    for stay in stays:
        times = water.by_member.get(stay.member, ()) if stay.merged is None else ()
        stay.in_water = stay.in_water or any(stay.covers(minute_of(stint.in_at)) for stint in times)
    return stays


def _sign_out(
    each: Said,
    standing: Mapping[uuid.UUID, Said],
    water: Water,
    facts: Facts,
    here: dict[int, Stay],
    last: dict[int, Stay],
    remarks: Remarks,
) -> None:
    sign_in = standing.get(each.stay) if each.stay else None
    member = sign_in.member if sign_in is not None and sign_in.is_sign_in else None
    if member is None:
        remarks.setdefault(each.key, Remark(code="stay_unknown", refused=True, other=each.stay))
        return
    named = facts.named(member, at=facts.clock(each.at))
    stay, at = last.get(member), minute_of(each.at)
    if sign_in is not None and each.at < sign_in.at:
        values = {**named, "signed_in": facts.clock(sign_in.at)}
        remarks.setdefault(each.key, Remark(code="out_before_in", refused=True, values=values, other=each.stay))
    elif stay is None:
        remarks.setdefault(each.key, Remark(code="stay_struck", refused=True, values=named, other=each.stay))
    elif water.covers(member, each.at):
        remarks.setdefault(each.key, Remark(code="still_in_water", refused=True, values=named))
    elif member in here:
        stay.out_at, stay.out = at, each
        del here[member]
    elif stay.out is not None and stay.out_at is not None:
        if at != stay.out_at:
            values = facts.named(member, earlier=facts.clock(stay.out_at), later=facts.clock(at))
            remarks.setdefault(each.key, Remark(code="signed_out_twice", values=values, other=stay.out.entry_id))
        stay.out_at, stay.out = at, each


def _struck(each: Said, entries: Sequence[Said]) -> Stay:
    """A struck sign-in with the last sign-out that was meant for it: it stays readable."""
    outs = [out for out in entries if out.kind == "sign_out" and out.stay == each.entry_id and out.at >= each.at]
    out = outs[-1] if outs else None
    return Stay(
        said=each,
        member=each.member or 0,
        in_at=minute_of(each.at),
        in_water=each.in_water,
        out_at=minute_of(out.at) if out else None,
        out=out,
    )


def _judge(valid: Sequence[Said], stays: Sequence[Stay], water: Water, facts: Facts, remarks: Remarks) -> None:
    """Remark what should not have happened: it is written down as it was, and a person looks at it."""
    by_member: dict[int, list[Stay]] = {}
    for stay in stays:
        if stay.merged is None:
            by_member.setdefault(stay.member, []).append(stay)

    def on_site(member: int | None, at: datetime.datetime) -> bool:
        minute = minute_of(at)
        return any(stay.covers(minute) for stay in by_member.get(member or 0, ()))

    heard: dict[int, datetime.datetime] = {}
    for each in valid:
        if each.kind == "briefing_heard":
            for member in each.members:
                heard.setdefault(member, each.at)
    for stint in water.stints:
        at, member, key = stint.in_at, stint.member, stint.said.key
        if not on_site(member, at):
            remarks.setdefault(key, Remark(code="not_signed_in", values=facts.named(member)))
        if member in facts.minors:
            guardian = facts.minors[member]
            if stint.zone in facts.deep_zones:
                remarks.setdefault(key, Remark(code="too_deep_under_18", values=facts.named(member)))
            elif guardian is None or not water.covers(guardian, at):
                remarks.setdefault(key, Remark(code="guardian_not_in_water", values=facts.named(member)))
        if water.unit_at(stint.zone, stint.unit, at) in ([], [member]):
            remarks.setdefault(key, Remark(code="alone_in_water", values=facts.named(member)))
        if member not in heard or heard[member] > at:
            remarks.setdefault(key, Remark(code="briefing_not_heard", values=facts.named(member)))
    children: dict[int, list[int]] = {}
    for minor, guardian in facts.minors.items():
        if guardian is not None:
            children.setdefault(guardian, []).append(minor)
    for stay in stays:
        if stay.merged is not None:
            continue
        named = facts.named(stay.member)
        if stay.member not in facts.placed:
            remarks.setdefault(stay.said.key, Remark(code="no_place", values=named))
        if stay.member in facts.minors and not on_site(facts.minors[stay.member], stay.in_at):
            remarks.setdefault(stay.said.key, Remark(code="guardian_not_on_site", values=named))
        if stay.out is not None and stay.out_at is not None:
            left = [child for child in children.get(stay.member, ()) if on_site(child, stay.out_at)]
            if left:
                values = {"children": ", ".join(facts.name(child) for child in left), **named}
                remarks.setdefault(stay.out.key, Remark(code="children_on_site", values=values))


def _absent(valid: Sequence[Said], stays: Sequence[Stay], facts: Facts, remarks: Remarks) -> dict[int, Said]:
    """Who did not come: nobody who was on site, whoever says so."""
    came = {stay.member: stay.said for stay in stays}
    absent: dict[int, Said] = {}
    for each in valid:
        if each.kind != "absent" or each.member is None:
            continue
        if each.member in came:
            values = facts.named(each.member)
            remark = Remark(code="was_on_site", refused=True, values=values, other=came[each.member].entry_id)
            remarks.setdefault(each.key, remark)
        else:
            absent.setdefault(each.member, each)
    return absent

"""Whether what people were told still keeps the hard rules, as the day is now.

Judged by the same functions as a new plan. On the side of safety: what is true of a whole zone, such as a missing
spotter, takes every unit of the zone out of the water.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from reedcrew.crews.models import Assignment, Plan
from reedcrew.crews.records import reason_records
from reedcrew.trade.day import Day
from reedcrew.trade.items import Item
from reedcrew.trade.pairing import eligibility
from reedcrew.trade.pairing.eligibility import Candidate
from reedcrew.trade.pairing.roles import spotters_for
from reedcrew.trade.pairing.zones import closure
from reedcrew.trade.plan import PAIR, Role, Source
from reedcrew.trade.reasons import Reason, reason

Fallen = Mapping[int, tuple[Reason, ...]]


def note_fallen(plan: Plan, day: Day) -> None:
    """Write on the assignments of a plan that was told which of them stand no longer, and why."""
    found = fallen_of(plan, day)
    changed = []
    for each in plan.assignments.all():
        records = reason_records(found.get(each.pk, ()))
        if each.fallen != records:
            each.fallen = records
            changed.append(each)
    Assignment.objects.bulk_update(changed, ["fallen"])


def fallen_of(plan: Plan, day: Day) -> Fallen:
    """Why assignments of a plan stand no longer on this day, by their keys. One that stands is not named.

    A unit falls as a whole, a role with the person who has it. Two of a unit of three may go on without the third.
    """
    rows = list(plan.assignments.select_related("sign_up"))
    here = {one.id: one for one in eligibility.candidates(day)}
    found: dict[int, tuple[Reason, ...]] = {}
    units: dict[int, list[Assignment]] = {}
    for each in rows:
        if each.kind == Assignment.Kind.UNIT:
            units.setdefault(each.unit_number or 0, []).append(each)
        elif _who(each) not in here:
            found[each.pk] = (reason("told.gone", who=_who(each)),)
    of_zones = _faults_of_zones(day, rows, units, here)
    of_gear = _faults_of_gear(day, rows)
    for members in units.values():
        zone = str(members[0].zone_id)
        faults = [*_faults_of_unit(day, zone, [_who(each) for each in members], here), *of_zones.get(zone, ())]
        faults.extend(fault for each in members for fault in of_gear.get(each.pk, ()))
        if faults:
            found.update({each.pk: _each_once(faults) for each in members})
    return found


# --- Private ---------------------------------------------------------------------------------------------------------


def _each_once(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    found: list[Reason] = []
    for one in reasons:
        if one not in found:
            found.append(one)
    return tuple(found)


def _who(assignment: Assignment) -> str:
    return str(assignment.sign_up.member_id)


def _faults_of_unit(day: Day, zone: str, told: Sequence[str], here: Mapping[str, Candidate]) -> Iterator[Reason]:
    """H1 to H4, H6, H8 and H11 of one unit."""
    members = [here[who] for who in told if who in here]
    if len(members) < PAIR:
        yield from (reason("told.gone", who=who) for who in told if who not in here)
        yield reason("H1")
        return
    for one in members:
        if zone not in one.zones:
            yield from one.refusals or (reason("told.not_here", who=one.id, zone=zone),)
    if not _may_be_together(members):
        yield reason("told.not_together")


def _may_be_together(members: Sequence[Candidate]) -> bool:
    """H2, H3, H8 and H11 for two or three. Why not is not told: H8 is private."""
    ids = {one.id for one in members}
    return (
        any(one.experienced for one in members)
        and all(eligibility.beside_guardian(one, ids - {one.id}) for one in members)
        and not any(eligibility.kept_apart(one, other) for one in members for other in members if one is not other)
        and bool(frozenset.intersection(*(one.person.languages for one in members)))
    )


def _faults_of_zones(
    day: Day, rows: Sequence[Assignment], units: Mapping[int, Sequence[Assignment]], here: Mapping[str, Candidate]
) -> dict[str, tuple[Reason, ...]]:
    """H6, H7, H9 and H10: what takes everybody of a zone out of the water."""
    zones = {zone.name: zone for zone in day.zones}
    count: dict[str, int] = {}
    for members in units.values():
        if sum(_who(each) in here for each in members) >= PAIR:
            name = str(members[0].zone_id)
            count[name] = count.get(name, 0) + 1
    found: dict[str, tuple[Reason, ...]] = {}
    for name in {str(members[0].zone_id) for members in units.values()}:
        faults: list[Reason] = []
        if not eligibility.first_aiders(day):
            faults.append(reason("H10.no_first_aider"))
        if name not in zones:
            faults.append(reason("told.zone_gone"))
        else:
            faults.extend(closure(zones[name], day.policy))
            here_now, most = count.get(name, 0), zones[name].units_max
            if here_now > most > 0:
                faults.append(reason("told.room", zone=name, units=here_now, most=most))
            needed = spotters_for(here_now, day.policy)
            watching = sum(
                each.role == Role.SPOTTER and str(each.zone_id) == name and _is_adult(here.get(_who(each)))
                for each in rows
            )
            if watching < needed:
                faults.append(reason("told.unwatched", zone=name, needed=needed, watching=watching))
        found[name] = tuple(faults)
    return found


def _is_adult(one: Candidate | None) -> bool:
    return one is not None and one.person.adult


def _faults_of_gear(day: Day, rows: Sequence[Assignment]) -> dict[int, tuple[Reason, ...]]:
    """H5: sets of waders and jackets that were promised and are not there any more, for all who were to get one."""
    found: dict[int, tuple[Reason, ...]] = {}
    for item in (Item.CHEST_WADERS, Item.LIFE_JACKET):
        stock = eligibility.stock_of(day, item)
        holders: dict[str, list[Assignment]] = {}
        for each in rows:
            for piece in each.gear:
                if piece["item"] == item and piece["from"] == Source.STOCK:
                    holders.setdefault(piece["size"], []).append(each)
        for size, wearing in holders.items():
            there = stock.get(size, 0)
            if there < len(wearing):
                fault = reason("told.gear", item=item.value, size=size, promised=len(wearing), there=there)
                for each in wearing:
                    found[each.pk] = (*found.get(each.pk, ()), fault)
    return found

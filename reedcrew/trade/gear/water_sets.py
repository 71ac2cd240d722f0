"""Chest waders and life jackets: what the draft hands out, and what keeps people ashore who would go in.

``needed`` of these lines counts two groups of people:

- everyone in a unit, for the piece that the draft gave them (their own, or one of the stock);
- everyone whom gear alone keeps ashore. These are in no unit and hold no post that H10 asks for (spotter, first-aider);
  they are ready for water work (H4), deep enough water within their limit is open (H3, H6, H7), it has a free place
  (H9), their sizes are known, and an adult first-aider and an adult who can spot are there. If what the draft left in
  stock fits all of them, something else keeps them out (a partner rule, H2, H8 or H11) and none is counted. Else each
  counts for every piece that they do not own, because the stock that is left cannot put them all into water.

So ``short = max(0, needed − own − in stock)`` of a size is what to get for everyone to go in. ``own`` counts the first
group only: an own piece of somebody ashore needs no stock, and neither side of the sum counts it. ``without`` names the
people of the second group for whom no fitting piece is left.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.gear.norms import PIECE
from reedcrew.trade.gear.shelf import Need, Shelf, size_order
from reedcrew.trade.items import Item
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing.eligibility import first_aiders
from reedcrew.trade.plan import Allotment, GearLine, Plan, Role, Source
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import reason
from reedcrew.trade.sizes import wader_labels
from reedcrew.trade.water import wading_limit_cm, wading_verdict

UNIT_SIZE = 2  # people in a unit; the one unit of three only takes in who is left over
SETS = (Item.CHEST_WADERS, Item.LIFE_JACKET)


def lines(day: Day, plan: Plan, drafted: Mapping[str, tuple[Allotment, ...]], shelf: Shelf) -> tuple[GearLine, ...]:
    """The lines of chest waders and life jackets. Takes what the draft and the waiting people get from the shelf."""
    for allotments in drafted.values():
        for allotment in allotments:
            if allotment.source is Source.STOCK:
                shelf.take(allotment.item, allotment.size)
    waiting = _would_go_in(day, plan)
    needs = {item: [_need(item, person) for person in waiting] for item in SETS}
    served = {item: shelf.match(item, needs[item]) for item in SETS}
    kept_out_by_gear = any(not need.owns and need.person not in served[item] for item in SETS for need in needs[item])
    found: list[GearLine] = []
    for item in SETS:
        waiting_needs = [need for need in needs[item] if not need.owns] if kept_out_by_gear else []
        found.extend(_lines_of(item, drafted, waiting_needs, served[item], shelf))
    return tuple(found)


def _lines_of(
    item: Item,
    drafted: Mapping[str, tuple[Allotment, ...]],
    waiting: Sequence[Need],
    served: Mapping[str, str],
    shelf: Shelf,
) -> list[GearLine]:
    given = [
        (person, allotment)
        for person, allotments in drafted.items()
        for allotment in allotments
        if allotment.item is item
    ]
    waiting_sizes = {need.person: served.get(need.person, need.sizes[0]) for need in waiting}
    needed = Counter([allotment.size for _, allotment in given]) + Counter(waiting_sizes.values())
    found = []
    for size in sorted(needed, key=size_order):
        own = sum(allotment.size == size and allotment.source is Source.OWN for _, allotment in given)
        in_stock = shelf.total(item, size)
        waits = tuple(person for person, fitting in waiting_sizes.items() if fitting == size)
        reasons = [reason("gear.chest_waders" if item is Item.CHEST_WADERS else "gear.life_jacket")]
        if waits:
            reasons.append(reason("gear.would_go_in", people=len(waits)))
        found.append(
            GearLine(
                item=item,
                size=size,
                unit=PIECE,
                needed=needed[size],
                own=own,
                in_stock=in_stock,
                short=max(0, needed[size] - own - in_stock),
                reasons=tuple(reasons),
                who=tuple(person for person, allotment in given if allotment.size == size),
                without=tuple(person for person in waits if person not in served),
            )
        )
    return found


def _need(item: Item, person: Volunteer) -> Need:
    sizes: tuple[str, ...] = ("",)
    if item is Item.CHEST_WADERS and person.boot_eu is not None:
        sizes = wader_labels(person.boot_eu)
    if item is Item.LIFE_JACKET and person.jacket_class is not None:
        sizes = (person.jacket_class.value,)
    return Need(person=person.id, sizes=sizes, owns=item in person.own)


def _would_go_in(day: Day, plan: Plan) -> tuple[Volunteer, ...]:
    """Everyone who would be in water work if gear were no matter, as far as free places go, in a fixed order."""
    if not first_aiders(day):
        return ()
    placed = Counter({unit.zone: 0 for unit in plan.units})
    for unit in plan.units:
        placed[unit.zone] += len(unit.members)
    closed = {zone.zone for zone in plan.closed_zones}
    free = {
        zone.name: max(0, zone.units_max * UNIT_SIZE - placed[zone.name])
        for zone in day.zones
        if zone.name not in closed and _is_open(zone, day.policy)
    }
    depths = {zone.name: zone.depth_cm for zone in day.zones if zone.name in free}
    busy = {member for unit in plan.units for member in unit.members}
    busy |= {duty.volunteer for duty in plan.shore if duty.role in (Role.SPOTTER, Role.FIRST_AIDER)}
    limits = {
        person.id: _limit_cm(person, day.policy)
        for person in day.volunteers
        if person.id not in busy and person.water_ready and _sizes_known(person)
    }
    found = []
    # The shorter a person's reach, the fewer zones they can choose from: they choose first, and the deepest they may
    # enter.
    for person in sorted(
        (person for person in day.volunteers if person.id in limits), key=lambda person: (limits[person.id], person.id)
    ):
        within_reach = [name for name in free if free[name] > 0 and depths[name] <= limits[person.id]]
        if within_reach:
            free[max(within_reach, key=lambda name: (depths[name], name))] -= 1
            found.append(person)
    return _with_a_spotter_ashore(day, plan, sorted(found, key=lambda person: person.id))


def _with_a_spotter_ashore(day: Day, plan: Plan, waiting: list[Volunteer]) -> tuple[Volunteer, ...]:
    # H10: one adult stays ashore, so if all would go in, the last must not. H1: nobody goes in alone.
    wet = {member for unit in plan.units for member in unit.members} | {person.id for person in waiting}
    if waiting and not any(person.adult and person.id not in wet for person in day.volunteers):
        last_adult = max((person for person in waiting if person.adult), key=lambda person: person.id, default=None)
        waiting = [person for person in waiting if person is not last_adult]
    return () if len(waiting) < UNIT_SIZE and not plan.units else tuple(waiting)


def _is_open(zone: Zone, policy: Policy) -> bool:
    return is_water_work(zone.depth_cm) and wading_verdict(zone.depth_cm, zone.current_m_s, policy).open


def _sizes_known(person: Volunteer) -> bool:
    return person.boot_eu is not None and person.jacket_class is not None


def _limit_cm(person: Volunteer, policy: Policy) -> int:
    # An unknown stature keeps a person out, and so does H3: a child without a guardian enters no water.
    if person.stature_cm is None or (not person.adult and person.guardian is None):
        return 0
    limit_cm = wading_limit_cm(person.stature_cm, policy)
    return limit_cm if person.adult else min(limit_cm, policy.minor_depth_cm_max)

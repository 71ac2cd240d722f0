"""What each worker wears and carries beside waders and life jacket: own first, then stock by size, else short."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from reedcrew.trade.gear.norms import PIECE, each
from reedcrew.trade.gear.shelf import Need, Shelf, size_order
from reedcrew.trade.gear.workers import Worker, boot_sizes, glove_sizes
from reedcrew.trade.items import Item
from reedcrew.trade.plan import Allotment, GearLine, Source
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason

CUTTING_TOOLS = (Item.HAND_SICKLE, Item.CANE_CUTTER)  # stock is handed out in this order


@dataclass(slots=True, kw_only=True)
class Outfit:
    """What the workers get, person by person, and the lines that count it."""

    given: dict[str, list[Allotment]] = field(default_factory=dict)
    lines: list[GearLine] = field(default_factory=list)

    def give(self, person: str, item: Item, size: str, source: Source) -> None:
        """Note one piece for one person."""
        self.given.setdefault(person, []).append(Allotment(item=item, size=size, source=source))


def outfit(workers: Sequence[Worker], shelf: Shelf, policy: Policy) -> Outfit:
    """Dress and equip all workers in the plan's order, and list what that takes."""
    found = Outfit()
    boots = [
        Need(person=worker.person.id, sizes=boot_sizes(worker.person.boot_eu), owns=Item.BOOTS in worker.person.own)
        for worker in workers
        if worker.wears(Item.BOOTS)
    ]
    gloves = [
        Need(person=worker.person.id, sizes=glove_sizes(worker.person.hand_mm), owns=Item.GLOVES in worker.person.own)
        for worker in workers
        if worker.wears(Item.GLOVES)
    ]
    _hand_out(found, shelf, Item.BOOTS, boots, "gear.boots")
    _hand_out(found, shelf, Item.GLOVES, gloves, "gear.gloves")
    eyes = [worker for worker in workers if worker.wears(Item.EYE_PROTECTION)]
    _hand_out(found, shelf, Item.EYE_PROTECTION, _plain(Item.EYE_PROTECTION, eyes), "gear.eye_protection")
    in_water_work = [worker for worker in workers if worker.in_water_work]
    _hand_out_cutting_tools(found, shelf, in_water_work, policy)
    _hand_out_spades(found, shelf, [worker for worker in workers if worker.uses_spade], policy)
    _hand_out(found, shelf, Item.WHISTLE, _plain(Item.WHISTLE, in_water_work), "gear.whistle")
    return found


def _plain(item: Item, workers: Sequence[Worker]) -> list[Need]:
    return [Need(person=worker.person.id, sizes=("",), owns=item in worker.person.own) for worker in workers]


def _hand_out(found: Outfit, shelf: Shelf, item: Item, needs: Sequence[Need], code: str) -> None:
    served = shelf.match(item, needs)
    sizes = {need.person: served.get(need.person, need.sizes[0]) for need in needs}
    for need in needs:
        if need.owns:
            found.give(need.person, item, sizes[need.person], Source.OWN)
        elif need.person in served:
            found.give(need.person, item, sizes[need.person], Source.STOCK)
    needed = Counter(sizes.values())
    for size in sorted(needed, key=size_order):
        of_size = [need for need in needs if sizes[need.person] == size]
        own = sum(need.owns for need in of_size)
        reasons = [reason(code)]
        if item in (Item.BOOTS, Item.GLOVES) and not size:
            reasons.append(reason("gear.size_unknown", people=len(of_size)))
        found.lines.append(
            _line(item, size, needed[size], own, shelf, reasons, *_who(of_size, served)),
        )


def _who(needs: Sequence[Need], served: dict[str, str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    has = tuple(need.person for need in needs if need.owns or need.person in served)
    lacks = tuple(need.person for need in needs if not need.owns and need.person not in served)
    return has, lacks


def _line(
    item: Item,
    size: str,
    needed: int,
    own: int,
    shelf: Shelf,
    reasons: Sequence[Reason],
    who: tuple[str, ...],
    without: tuple[str, ...],
) -> GearLine:
    in_stock = shelf.total(item, size)
    return GearLine(
        item=item,
        size=size,
        unit=PIECE,
        needed=needed,
        own=own,
        in_stock=in_stock,
        short=max(0, needed - own - in_stock),
        reasons=tuple(reasons),
        who=who,
        without=without,
    )


def _hand_out_spades(found: Outfit, shelf: Shelf, workers: Sequence[Worker], policy: Policy) -> None:
    if not workers:
        return
    needs = _plain(Item.SPADE, workers)
    served = shelf.match(Item.SPADE, needs)
    for need in needs:
        if need.owns or need.person in served:
            found.give(need.person, Item.SPADE, "", Source.OWN if need.owns else Source.STOCK)
    spares = each(len(workers), policy.spare_tool_every)
    because = reason("gear.spade", workers=len(workers), spares=spares, every=policy.spare_tool_every)
    own = sum(need.owns for need in needs)
    found.lines.append(_line(Item.SPADE, "", len(workers) + spares, own, shelf, [because], *_who(needs, served)))


def _hand_out_cutting_tools(found: Outfit, shelf: Shelf, workers: Sequence[Worker], policy: Policy) -> None:
    """One hand sickle or cane cutter a water worker, and spares. What neither kind covers stands short as sickles."""
    if not workers:
        return
    who: dict[Item, list[str]] = {item: [] for item in CUTTING_TOOLS}
    own: Counter[Item] = Counter()
    without: list[str] = []
    for worker in workers:
        person = worker.person.id
        brings = next((item for item in CUTTING_TOOLS if item in worker.person.own), None)
        takes = next((item for item in CUTTING_TOOLS if shelf.left(item) > 0), None)
        if brings is not None:
            own[brings] += 1
            who[brings].append(person)
            found.give(person, brings, "", Source.OWN)
        elif takes is not None:
            shelf.take(takes)
            who[takes].append(person)
            found.give(person, takes, "", Source.STOCK)
        else:
            without.append(person)
    spares = each(len(workers), policy.spare_tool_every)
    spares_of: Counter[Item] = Counter()
    for item in CUTTING_TOOLS:
        spares_of[item] = min(spares - spares_of.total(), shelf.left(item))
        shelf.take(item, count=spares_of[item])
    spares_of[Item.HAND_SICKLE] += spares - spares_of.total()
    because = reason("gear.cutting_tool", workers=len(workers), spares=spares, every=policy.spare_tool_every)
    for item in CUTTING_TOOLS:
        lacking = tuple(without) if item is Item.HAND_SICKLE else ()
        needed = len(who[item]) + spares_of[item] + len(lacking)
        if needed:
            found.lines.append(_line(item, "", needed, own[item], shelf, [because], tuple(who[item]), lacking))

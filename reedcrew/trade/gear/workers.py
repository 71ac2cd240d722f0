"""Who works where in a drafted plan, and what each of them wears and carries."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.items import Item
from reedcrew.trade.method import Method, is_water_work, method_for, protective_wear
from reedcrew.trade.plan import Plan, Role
from reedcrew.trade.sizes import boot_labels, glove_size

SIZE_UNKNOWN = ("",)
DRAFTED = frozenset({Item.CHEST_WADERS, Item.LIFE_JACKET})  # what the draft of a plan hands out already


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """One person who handles reed: where, how deep it is there, whether they cut."""

    person: Volunteer
    zone: str | None
    depth_cm: int
    cuts: bool

    @property
    def in_water_work(self) -> bool:
        """Whether they stand in water over 30 cm deep."""
        return is_water_work(self.depth_cm)

    @property
    def uses_spade(self) -> bool:
        """Whether they cut with a spade rather than a sickle or cane cutter (rule 4)."""
        return self.cuts and method_for(self.depth_cm).method is Method.SPADE_AT_BASE

    def wears(self, item: Item) -> bool:
        """Whether they need this piece of protective wear (rule 5), beyond what a draft hands out.

        Somebody who brings chest waders and no boots wears those in shallow water.
        """
        if item is Item.BOOTS and Item.CHEST_WADERS in self.person.own and Item.BOOTS not in self.person.own:
            return False
        return item in protective_wear(self.depth_cm).items and item not in DRAFTED


def workers_of(day: Day, plan: Plan) -> tuple[Worker, ...]:
    """Everyone who handles reed, in the plan's order: units, then spade crew and haulers."""
    people = {person.id: person for person in day.volunteers}
    depths = {zone.name: zone.depth_cm for zone in day.zones}
    return tuple(_workers(plan, people, depths))


def _workers(plan: Plan, people: Mapping[str, Volunteer], depths: Mapping[str, int]) -> Iterator[Worker]:
    for unit in plan.units:
        for member in unit.members:
            # Nobody under 18 is handed a blade, in a unit no more than on shore: they gather beside their guardian.
            person = people[member]
            yield Worker(person=person, zone=unit.zone, depth_cm=depths[unit.zone], cuts=person.adult)
    for duty in plan.shore:
        if duty.role is Role.SPADE_CREW:
            depth_cm = 0 if duty.zone is None else depths[duty.zone]
            yield Worker(person=people[duty.volunteer], zone=duty.zone, depth_cm=depth_cm, cuts=True)
        elif duty.role is Role.HAULER:
            # Haulers take the cut reed over at the shore and stay out of the water.
            yield Worker(person=people[duty.volunteer], zone=duty.zone, depth_cm=0, cuts=False)


def cutters_in(zone: Zone, workers: tuple[Worker, ...]) -> int:
    """How many people cut in a zone."""
    return sum(worker.cuts and worker.zone == zone.name for worker in workers)


def boot_sizes(boot_eu: Decimal | None) -> tuple[str, ...]:
    """Boot labels that fit, or the unknown size."""
    return SIZE_UNKNOWN if boot_eu is None else boot_labels(boot_eu)


def glove_sizes(hand_mm: int | None) -> tuple[str, ...]:
    """The one glove size that fits, or the unknown size."""
    return SIZE_UNKNOWN if hand_mm is None else (str(glove_size(hand_mm)),)

"""Who may enter which zone, and which two people may share a unit: the hard rules that can be told in advance.

Rules about one person (H3 to H7) and about two (H2, H3, H8, H11) are settled here; what depends on the whole plan (H1,
H5's counts, H9, H10) is a constraint of pairing.model.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from reedcrew.trade.day import Day, Volunteer, Zone
from reedcrew.trade.errors import Faults
from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.method import is_water_work
from reedcrew.trade.pairing import goals
from reedcrew.trade.pairing.pin_shapes import check_pins, check_told
from reedcrew.trade.pairing.zones import open_water
from reedcrew.trade.pins import PinKind
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sizes import boot_labels, wader_labels
from reedcrew.trade.water import wading_limit_cm


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One person as the planner sees them.

    ``zones`` are the names of the open zones with water that they may enter; ``refusals`` say why there is none and are
    empty otherwise. ``wader_labels`` are the labels in stock that fit, smallest first, for who has no waders of their
    own; ``boot_labels`` are the same of boots. ``guardian`` is set for a person under 18 whose guardian is an adult of
    the roster. ``barred`` are people whom an organizer pinned never to be in a unit with them.
    """

    person: Volunteer
    experienced: bool
    seasoned: bool
    guardian: str | None
    zones: tuple[str, ...]
    refusals: tuple[Reason, ...]
    wader_labels: tuple[str, ...]
    boot_labels: tuple[str, ...]
    jacket_class: JacketClass | None
    barred: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        """The person's id."""
        return self.person.id

    @property
    def owns_waders(self) -> bool:
        """Whether they bring chest waders, which count for nobody else (H5)."""
        return Item.CHEST_WADERS in self.person.own

    @property
    def owns_footwear(self) -> bool:
        """Whether they bring something for their feet in shallow water: boots or water shoes, or else chest waders."""
        return Item.BOOTS in self.person.own or self.owns_waders

    @property
    def owns_jacket(self) -> bool:
        """Whether they bring a life jacket, which counts for nobody else (H5)."""
        return Item.LIFE_JACKET in self.person.own


def check(day: Day) -> None:
    """Accept a day whose people have different ids, whose zones have different names, and whose pins have their shape.

    Raises UnusableInput with a fault for each repeated id or name each faulty field of a pin, and each person who
    was told two things.
    """
    faults = Faults()
    for where, names in (
        ("volunteers", [person.id for person in day.volunteers]),
        ("zones", [zone.name for zone in day.zones]),
    ):
        for place, name in enumerate(names):
            faults.unless(name not in names[:place], f"{where}[{place}]", f"{name} stands there twice")
    check_pins(faults, day)
    check_told(faults, day)
    faults.raise_any()


def stock_of(day: Day, item: Item) -> Mapping[str, int]:
    """Sets in stock by size; lines of the same size are added up and empty ones left out."""
    found: dict[str, int] = {}
    for line in day.stock:
        if line.item is item and line.count > 0:
            found[line.size] = found.get(line.size, 0) + line.count
    return found


def first_aiders(day: Day) -> tuple[str, ...]:
    """Ids of the first-aiders whom H10 counts, sorted.

    Adults only: a person under 18 is on site in the care of someone else, not answerable for others (convention).
    """
    return tuple(sorted(person.id for person in day.volunteers if person.first_aider and person.adult))


def is_experienced(person: Volunteer, policy: Policy) -> bool:
    """Whether a person can be the one whom H2 asks for: an adult with enough earlier water days, or a trained lead.

    A lead counts only as an adult (convention, on the side of safety).
    """
    return person.adult and (person.lead or person.water_days >= policy.water_days_min)


def may_share_unit(one: Candidate, other: Candidate) -> bool:
    """Whether two people alone may be a unit: H2, H3, H8 and H11. Which zone is another question."""
    return (
        (one.experienced or other.experienced)
        and beside_guardian(one, {other.id})
        and beside_guardian(other, {one.id})
        and not kept_apart(one, other)
        and bool(one.person.languages & other.person.languages)
    )


def beside_guardian(one: Candidate, partners: set[str]) -> bool:
    """H3: whether a person is an adult or has their own guardian among these partners."""
    return one.person.adult or one.guardian in partners


def kept_apart(one: Candidate, other: Candidate) -> bool:
    """H8: whether either asked to be kept apart from the other, or an organizer pinned them so."""
    return other.id in one.person.apart or one.id in other.person.apart or other.id in one.barred


def candidates(day: Day) -> tuple[Candidate, ...]:
    """Everyone on the roster, sorted by id. Pins that keep somebody out of water or a zone count as refusals."""
    people = {person.id: person for person in sorted(day.volunteers, key=lambda person: person.id)}
    zones = open_water(day)
    stock = {item: stock_of(day, item) for item in (Item.CHEST_WADERS, Item.BOOTS, Item.LIFE_JACKET)}
    own_merit = {name: _judge(day, person, zones, _guardian(person, people), stock) for name, person in people.items()}
    own_merit = {name: _pinned(day, candidate) for name, candidate in own_merit.items()} if day.pins else own_merit
    if not first_aiders(day):  # H10: nobody enters water
        return tuple(replace(candidate, zones=()) for candidate in own_merit.values())
    return tuple(_beside_guardian(candidate, own_merit) for candidate in own_merit.values())


# --- Private ---------------------------------------------------------------------------------------------------------


def _guardian(person: Volunteer, people: Mapping[str, Volunteer]) -> str | None:
    if person.adult or person.guardian is None or person.guardian == person.id:
        return None
    guardian = people.get(person.guardian)
    return guardian.id if guardian is not None and guardian.adult else None


def _judge(
    day: Day,
    person: Volunteer,
    zones: tuple[Zone, ...],
    guardian: str | None,
    stock: Mapping[Item, Mapping[str, int]],
) -> Candidate:
    """The person by their own merits; whether the guardian may go along is asked later."""
    waders, boots = (
        () if person.boot_eu is None else tuple(one for one in labels(person.boot_eu) if one in stock[item])
        for item, labels in ((Item.CHEST_WADERS, wader_labels), (Item.BOOTS, boot_labels))
    )
    refusals = [*_refusals_anywhere(person, guardian)]
    allowed: tuple[Zone, ...] = ()
    if not zones:
        refusals.append(reason("H9.no_zone"))
    elif person.stature_cm is None:
        refusals.append(reason("H6.stature_unknown", who=person.id))
    else:
        limit_cm = wading_limit_cm(person.stature_cm, day.policy)
        allowed = tuple(zone for zone in zones if zone.depth_cm <= limit_cm)
        if not allowed:
            refusals.append(reason("H6.depth", who=person.id, depth_cm=zones[0].depth_cm, limit_cm=limit_cm))
    if not person.adult and allowed:
        allowed = tuple(zone for zone in allowed if zone.depth_cm <= day.policy.minor_depth_cm_max)
        if not allowed:
            refusals.append(reason("H3.depth", who=person.id, limit_cm=day.policy.minor_depth_cm_max))
    missing_in = {
        True: _missing_sets(person, waders, stock[Item.LIFE_JACKET]),
        False: _missing_footwear(person, boots),
    }
    equipped = tuple(zone for zone in allowed if not missing_in[is_water_work(zone.depth_cm)])
    if not equipped:
        for water_work in sorted({is_water_work(zone.depth_cm) for zone in allowed}):
            refusals.extend(one for one in missing_in[water_work] if one not in refusals)
    return Candidate(
        person=person,
        experienced=is_experienced(person, day.policy),
        seasoned=goals.is_seasoned(person, day),
        guardian=guardian,
        zones=() if refusals else tuple(zone.name for zone in equipped),
        refusals=tuple(refusals),
        wader_labels=waders,
        boot_labels=boots,
        jacket_class=person.jacket_class,
    )


def _pinned(day: Day, candidate: Candidate) -> Candidate:
    """The person as the pins that speak of them alone leave them, and whom they are pinned never to work with."""
    zones, refusals = candidate.zones, candidate.refusals
    barred: set[str] = set()
    for pin in day.pins:
        if pin.kind is PinKind.NOT_PAIR and candidate.id in (pin.person, pin.other) and pin.other is not None:
            barred.add(pin.other if pin.person == candidate.id else pin.person)
        if pin.person != candidate.id:
            continue
        if pin.kind is PinKind.NOT_ZONE:
            zones = tuple(zone for zone in zones if zone != pin.zone)
        elif pin.kind is PinKind.NOT_WATER:
            zones, refusals = (), (*refusals, reason("pin.not_water", who=candidate.id))
        elif pin.kind is PinKind.ROLE:
            zones, refusals = (), (*refusals, reason("pin.role", who=candidate.id))
    if candidate.zones and not zones and not refusals:
        refusals = (reason("pin.not_water", who=candidate.id),)
    return replace(candidate, zones=zones, refusals=refusals, barred=frozenset(barred))


def _refusals_anywhere(person: Volunteer, guardian: str | None) -> tuple[Reason, ...]:
    found = []
    if not person.water_ready:
        found.append(reason("H4", who=person.id))
    if not person.adult and guardian is None:
        code = "H3.no_guardian" if person.guardian is None else "H3.guardian_absent"
        found.append(reason(code, who=person.id))
    if not person.languages:
        found.append(reason("H11.unknown", who=person.id))
    return tuple(found)


def _missing_sets(person: Volunteer, labels: tuple[str, ...], jackets: Mapping[str, int]) -> tuple[Reason, ...]:
    """Why H5 keeps a person out of water work; empty if a set of each kind exists that fits.

    Not even an own set is known to fit somebody whose boot size or body mass is unknown.
    """
    found = []
    if person.boot_eu is None:
        found.append(reason("H5.boot_unknown", who=person.id))
    elif Item.CHEST_WADERS not in person.own and not labels:
        fitting = ", ".join(wader_labels(person.boot_eu))
        found.append(reason("H5.waders", boot_eu=f"{person.boot_eu.normalize():f}", labels=fitting))
    if person.jacket_class is None:
        found.append(reason("H5.mass_unknown", who=person.id))
    elif Item.LIFE_JACKET not in person.own and person.jacket_class.value not in jackets:
        found.append(reason("H5.jacket", size=person.jacket_class.value))
    return tuple(found)


def _missing_footwear(person: Volunteer, labels: tuple[str, ...]) -> tuple[Reason, ...]:
    """Why rule 5 keeps a person out of shallow water, where nobody is barefoot (old stubs are sharp).

    Boots, water shoes or waders of one's own will do, for one knows what fits; else a pair of the stock must fit.
    """
    if Item.BOOTS in person.own or Item.CHEST_WADERS in person.own or labels:
        return ()
    if person.boot_eu is None:
        return (reason("H5.footwear_unknown", who=person.id),)
    return (reason("H5.footwear", who=person.id, labels=", ".join(boot_labels(person.boot_eu))),)


def _beside_guardian(candidate: Candidate, own_merit: Mapping[str, Candidate]) -> Candidate:
    """A person under 18 may enter only what their guardian may enter too (H3)."""
    if candidate.guardian is None or not candidate.zones:
        return candidate
    both = tuple(zone for zone in candidate.zones if zone in own_merit[candidate.guardian].zones)
    refusals = () if both else (reason("H3.guardian_ashore", who=candidate.id, other=candidate.guardian),)
    return replace(candidate, zones=both, refusals=refusals)

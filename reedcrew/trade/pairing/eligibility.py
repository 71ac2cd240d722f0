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
from reedcrew.trade.pairing.zones import open_water
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.sizes import wader_labels
from reedcrew.trade.water import wading_limit_cm


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One person as the planner sees them.

    ``zones`` are the names of the open zones with water that they may enter; ``refusals`` say why there is none and are
    empty otherwise. ``wader_labels`` are the labels in stock that fit, smallest first, for who has no waders of their
    own. ``guardian`` is set for a person under 18 whose guardian is an adult of the roster.
    """

    person: Volunteer
    experienced: bool
    seasoned: bool
    guardian: str | None
    zones: tuple[str, ...]
    refusals: tuple[Reason, ...]
    wader_labels: tuple[str, ...]
    jacket_class: JacketClass | None

    @property
    def id(self) -> str:
        """The person's id."""
        return self.person.id

    @property
    def owns_waders(self) -> bool:
        """Whether they bring chest waders, which count for nobody else (H5)."""
        return Item.CHEST_WADERS in self.person.own

    @property
    def owns_jacket(self) -> bool:
        """Whether they bring a life jacket, which counts for nobody else (H5)."""
        return Item.LIFE_JACKET in self.person.own


def check(day: Day) -> None:
    """Accept a day whose people have different ids and whose zones have different names.

    Raises UnusableInput with a fault for each repeated id or name.
    """
    faults = Faults()
    for where, names in (
        ("volunteers", [person.id for person in day.volunteers]),
        ("zones", [zone.name for zone in day.zones]),
    ):
        for place, name in enumerate(names):
            faults.unless(name not in names[:place], f"{where}[{place}]", f"{name} stands there twice")
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
    """H8: whether either asked to be kept apart from the other."""
    return other.id in one.person.apart or one.id in other.person.apart


def candidates(day: Day) -> tuple[Candidate, ...]:
    """Everyone on the roster, sorted by id."""
    people = {person.id: person for person in sorted(day.volunteers, key=lambda person: person.id)}
    zones = open_water(day)
    own_merit = {name: _judge(day, person, zones, _guardian(person, people)) for name, person in people.items()}
    return tuple(_beside_guardian(candidate, own_merit) for candidate in own_merit.values())


# --- Private ---------------------------------------------------------------------------------------------------------


def _guardian(person: Volunteer, people: Mapping[str, Volunteer]) -> str | None:
    if person.adult or person.guardian is None or person.guardian == person.id:
        return None
    guardian = people.get(person.guardian)
    return guardian.id if guardian is not None and guardian.adult else None


def _judge(day: Day, person: Volunteer, zones: tuple[Zone, ...], guardian: str | None) -> Candidate:
    """The person by their own merits; whether the guardian may go along is asked later."""
    stock = stock_of(day, Item.CHEST_WADERS)
    labels = () if person.boot_eu is None else tuple(one for one in wader_labels(person.boot_eu) if one in stock)
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
    missing = _missing_sets(day, person, labels)
    if missing and allowed:
        allowed = tuple(zone for zone in allowed if not is_water_work(zone.depth_cm))
        if not allowed:
            refusals.extend(missing)
    return Candidate(
        person=person,
        experienced=is_experienced(person, day.policy),
        seasoned=goals.is_seasoned(person, day),
        guardian=guardian,
        zones=() if refusals else tuple(zone.name for zone in allowed),
        refusals=tuple(refusals),
        wader_labels=labels,
        jacket_class=person.jacket_class,
    )


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


def _missing_sets(day: Day, person: Volunteer, labels: tuple[str, ...]) -> tuple[Reason, ...]:
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
    elif Item.LIFE_JACKET not in person.own and person.jacket_class.value not in stock_of(day, Item.LIFE_JACKET):
        found.append(reason("H5.jacket", size=person.jacket_class.value))
    return tuple(found)


def _beside_guardian(candidate: Candidate, own_merit: Mapping[str, Candidate]) -> Candidate:
    """A person under 18 may enter only what their guardian may enter too (H3)."""
    if candidate.guardian is None or not candidate.zones:
        return candidate
    both = tuple(zone for zone in candidate.zones if zone in own_merit[candidate.guardian].zones)
    refusals = () if both else (reason("H3.guardian_ashore", who=candidate.id, other=candidate.guardian),)
    return replace(candidate, zones=both, refusals=refusals)

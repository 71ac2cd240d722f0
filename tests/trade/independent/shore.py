"""Every way to fill the shore of a small day beside given units: pinned roles, told roles, and spotters (H10)."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from tests.trade.independent.limits import Json, Limits, has_water, spotters_needed
from tests.trade.independent.rules import has_first_aider, has_guardian_among
from tests.trade.independent.values import UnitOf

Post = tuple[str, str | None]  # a role and its zone


def fewest_changes(day: Json, units: Sequence[UnitOf], limits: Limits) -> int | None:
    """How few people who were told something are changed beside these units; None where no shore fits them."""
    told = day.get("told") or {"units": [], "shore": []}
    here = {person["id"] for person in day["volunteers"]}
    placed = {(unit.zone, frozenset(member["id"] for member in unit.members)) for unit in units}
    changed = 0
    for unit in told["units"]:
        members = frozenset(here & set(unit["members"]))
        changed += 0 if (unit["zone"], members) in placed else len(members)
    duties = {line["id"]: (line["role"], line["zone"]) for line in told["shore"] if line["id"] in here}
    shores = list(_shores(day, units, duties, limits))
    if not shores:
        return None
    return changed + min(sum(shore.get(name) != post for name, post in duties.items()) for shore in shores)


def _shores(
    day: Json, units: Sequence[UnitOf], duties: Mapping[str, Post], limits: Limits
) -> Iterator[Mapping[str, Post]]:
    """Every choice of who keeps a post, such that the others can watch what is left to watch."""
    wet = {member["id"] for unit in units for member in unit.members}
    ashore = [person for person in day["volunteers"] if person["id"] not in wet]
    pinned: dict[str, list[Post]] = {}
    for pin in day.get("pins") or []:
        if pin["kind"] == "role":
            pinned.setdefault(pin["person"], []).append((pin["role"], pin.get("zone")))
    choices: list[list[Post | None]] = []
    for person in ashore:
        name = person["id"]
        wishes: list[Post] = [duties[name]] if name in duties else []
        allowed: list[Post | None] = [None, *wishes]
        if name in pinned:
            land = [each["name"] for each in day["zones"] if _is_land(each)]
            allowed = [
                (role, each)
                for role, zone in pinned[name]
                for each in (land if role == "spade crew" and zone is None else [zone])
            ]
            allowed = [post for post in allowed if post is not None and all(_suits(post, pin) for pin in pinned[name])]
        choices.append([post for post in allowed if post is None or _may_hold(day, person, post, units, limits)])
    yield from (shore for shore in _products(ashore, choices) if _is_watched(day, ashore, shore, units, limits))


def _products(people: Sequence[Json], choices: Sequence[Sequence[Post | None]]) -> Iterator[dict[str, Post]]:
    if not people:
        yield {}
        return
    for rest in _products(people[1:], choices[1:]):
        for post in choices[0]:
            yield rest if post is None else rest | {people[0]["id"]: post}


def _suits(post: Post, pinned: Post) -> bool:
    return post[0] == pinned[0] and pinned[1] in (None, post[1])


def _is_land(zone: Json) -> bool:
    return not has_water(zone) and (zone["units_max"] or 0) > 0


def _may_hold(day: Json, person: Json, post: Post, units: Sequence[UnitOf], limits: Limits) -> bool:
    role, zone = post
    if _is_barred(day, person, role, zone):
        return False
    if person["adult"] is not True and not (role == "hauler" and has_guardian_among(person, day["volunteers"])):
        return False
    if role == "first-aider" and person.get("first_aider") is not True:
        return False
    if role == "spotter":
        return any(unit.zone == zone for unit in units)
    land = {each["name"] for each in day["zones"] if _is_land(each)}
    if role == "spade crew":
        return zone in land
    adults = any(each["adult"] is True for each in day["volunteers"])
    return zone is None and bool(units or (land and adults))


def _is_barred(day: Json, person: Json, role: str, zone: str | None) -> bool:
    return any(
        (pin["kind"] == "not role" and pin["role"] == role)
        or (pin["kind"] == "not zone" and zone is not None and pin["zone"] == zone)
        for pin in day.get("pins") or []
        if pin["person"] == person["id"]
    )


def _is_watched(
    day: Json, ashore: Sequence[Json], shore: Mapping[str, Post], units: Sequence[UnitOf], limits: Limits
) -> bool:
    """H10, and that no dry zone holds more of a spade crew than it has places."""
    crews = Counter(zone for role, zone in shore.values() if role == "spade crew")
    rooms = {zone["name"]: 2 * (zone["units_max"] or 0) for zone in day["zones"]}
    if any(count > rooms[zone or ""] for zone, count in crews.items()):
        return False
    posted = Counter(zone for role, zone in shore.values() if role == "spotter")
    missing = [
        zone
        for zone, count in Counter(unit.zone for unit in units).items()
        for _ in range(max(0, spotters_needed(count, limits) - posted[zone]))
    ]
    if units and not has_first_aider(day):
        return False
    free = [person for person in ashore if person["adult"] is True and person["id"] not in shore]
    return _can_watch(day, free, missing)


def _can_watch(day: Json, free: Sequence[Json], missing: Sequence[str]) -> bool:
    if not missing:
        return True
    return any(
        _can_watch(day, [other for other in free if other is not person], missing[1:])
        for person in free
        if not _is_barred(day, person, "spotter", missing[0])
    )

"""Judges a plan against the day it is for: every hard rule that is broken, and every fault of structure.

``broken_rules(day, plan)`` takes the two plain dicts of the plan contract (input and output) and knows nothing of how
plans are made.
"""

from collections import Counter
from collections.abc import Iterator

from tests.trade.independent.limits import (
    BOOTS,
    JACKET,
    ROLES,
    WADERS,
    Json,
    Limits,
    has_water,
    is_too_fast,
    is_water_work,
    jacket_class,
    limits_of,
    sets_in_stock,
    spotters_needed,
    waders_fit,
)
from tests.trade.independent.pins import changed, pin_breaches
from tests.trade.independent.rules import Breach, has_first_aider, has_guardian_among, unit_breaches
from tests.trade.independent.shape import shape_breaches


def broken_rules(day: Json, plan: Json) -> list[Breach]:
    """All breaches, in the order of the checks; empty for a plan that may be shown.

    A plan that does not have the contract's shape is judged for its shape alone.
    """
    found = list(shape_breaches(plan))
    return found or list(_Judge(day, plan).breaches())


class _Judge:
    """One day and one plan of the right shape, with the look-ups that the checks share."""

    def __init__(self, day: Json, plan: Json) -> None:
        self.day = day
        self.plan = plan
        self.limits: Limits = limits_of(day)
        self.people: dict[str, Json] = {person["id"]: person for person in day["volunteers"]}
        self.zones: dict[str, Json] = {zone["name"]: zone for zone in day["zones"]}
        self.in_units = {member for unit in plan["units"] for member in unit["members"]}

    def breaches(self) -> Iterator[Breach]:
        unknown = list(self._unknown_names())
        yield from unknown
        if unknown:
            return  # nothing more can be said of people and zones that are not there
        yield from self._places()
        for unit in self.plan["units"]:
            members = [self.people[member] for member in unit["members"]]
            zone = self.zones[unit["zone"]]
            if not has_water(zone):
                yield Breach("S-DRY", f"Zone {zone['name']} is dry land and has a unit.")
            yield from unit_breaches(zone, members, self.limits)
            yield from self._unit_gear(zone, unit)
        yield from self._trios()
        yield from self._zones()
        yield from self._shore()
        yield from self._cover()
        yield from self._stock_used()
        yield from self._gear_lines()
        yield from pin_breaches(self.day, self.plan)
        if set(self.plan.get("changed", [])) != changed(self.day, self.plan):
            yield Breach("S-CHANGED", "The plan names others as changed than those who were told something else.")
        if self.plan["status"] == "no_water_work" and self.plan["units"]:
            yield Breach("S-STATUS", "The status says no water work, and there are units.")

    def _unknown_names(self) -> Iterator[Breach]:
        named = [member for unit in self.plan["units"] for member in unit["members"]]
        named += [person for unit in self.plan["units"] for person in unit["gear"]]
        named += [line["id"] for line in [*self.plan["shore"], *self.plan["not_placed"]]]
        for name in sorted(set(named) - set(self.people)):
            yield Breach("S-UNKNOWN", f"No volunteer has the id {name}.")
        zones = {line["zone"] for key in ("units", "shore", "closed_zones") for line in self.plan[key]} - {None}
        for name in sorted(zones - set(self.zones)):
            yield Breach("S-UNKNOWN", f"No zone has the name {name}.")

    def _places(self) -> Iterator[Breach]:
        """Each volunteer stands in exactly one of units, shore and not_placed."""
        places = Counter(member for unit in self.plan["units"] for member in unit["members"])
        places.update(line["id"] for line in self.plan["shore"])
        places.update(line["id"] for line in self.plan["not_placed"])
        for person in self.people:
            if places[person] > 1:
                yield Breach("S-TWICE", f"{person} stands in {places[person]} places of the plan.")
            elif places[person] == 0:
                yield Breach("S-MISSING", f"{person} stands nowhere in the plan.")

    def _unit_gear(self, zone: Json, unit: Json) -> Iterator[Breach]:
        """H5, and that each member has an entry and is given only what is theirs or what exists."""
        if set(unit["gear"]) != set(unit["members"]):
            yield Breach("S-GEAR", f"The gear of the unit in zone {zone['name']} does not name exactly its members.")
        for member, pieces in unit["gear"].items():
            person = self.people[member]
            for item, times in Counter(piece["item"] for piece in pieces).items():
                if times > 1:
                    yield Breach("S-GEAR", f"{member} is given {item} {times} times.")
            for piece in pieces:
                yield from _owned(person, piece)
        if is_water_work(zone):
            for member in unit["members"]:
                pieces = unit["gear"].get(member, [])
                yield from self._waders(self.people[member], [piece for piece in pieces if piece["item"] == WADERS])
                yield from self._jacket(self.people[member], [piece for piece in pieces if piece["item"] == JACKET])
        elif has_water(zone):
            for member, pieces in unit["gear"].items():
                yield from self._footwear(self.people[member], pieces)

    def _waders(self, person: Json, pieces: list[Json]) -> Iterator[Breach]:
        if not pieces:
            yield Breach("H5", f"{person['id']} has no chest waders in water work.")
        for piece in pieces:
            if piece["from"] == "stock" and person.get("boot_eu") is not None and not waders_fit(person, piece["size"]):
                yield Breach("H5", f"Waders {piece['size']} do not fit {person['id']}, boot size {person['boot_eu']}.")

    def _jacket(self, person: Json, pieces: list[Json]) -> Iterator[Breach]:
        right = jacket_class(person)
        if not pieces:
            yield Breach("H5", f"{person['id']} has no life jacket in water work.")
        for piece in pieces:
            if piece["from"] == "stock" and right is not None and piece["size"] != right:
                yield Breach("H5", f"{person['id']} needs a life jacket of class {right}, not {piece['size']}.")

    def _footwear(self, person: Json, pieces: list[Json]) -> Iterator[Breach]:
        """Nobody is barefoot in shallow water (design, rule 5): boots, or their own waders."""
        if not any(piece["item"] == BOOTS or (piece["item"], piece["from"]) == (WADERS, "own") for piece in pieces):
            yield Breach("H5", f"{person['id']} has nothing on their feet in shallow water.")
        for piece in pieces:
            fits = person.get("boot_eu") is None or waders_fit(person, piece["size"])
            if piece["item"] == BOOTS and piece["from"] == "stock" and not fits:
                yield Breach("H5", f"Boots {piece['size']} do not fit {person['id']}, boot size {person['boot_eu']}.")

    def _trios(self) -> Iterator[Breach]:
        trios = sum(len(unit["members"]) == 3 for unit in self.plan["units"])
        if trios > 1:
            yield Breach("H1", f"The plan has {trios} units of three; one is allowed.")

    def _zones(self) -> Iterator[Breach]:
        """H9, and that closed zones are named and empty."""
        closed = {line["zone"] for line in self.plan["closed_zones"]}
        units = Counter(unit["zone"] for unit in self.plan["units"])
        for name, zone in self.zones.items():
            if units[name] > (zone.get("units_max") or 0) and has_water(zone):
                yield Breach("H9", f"Zone {name} has {units[name]} units and room for {zone.get('units_max')}.")
            if is_too_fast(zone, self.limits) and name not in closed:
                yield Breach("S-CLOSED", f"Zone {name} is not safe to wade and is not named as closed.")
            if name in closed and units[name]:
                yield Breach("S-CLOSED", f"Zone {name} is closed and has {units[name]} units.")
        for line in self.plan["shore"]:
            if line["zone"] in closed and line["role"] == "spade crew":
                yield Breach("S-CLOSED", f"Zone {line['zone']} is closed and has {line['id']} at work in it.")

    def _shore(self) -> Iterator[Breach]:
        """Who may do what on shore; and H1, since a spade crew in a zone with water would be outside a unit."""
        for line in self.plan["shore"]:
            person, role = self.people[line["id"]], line["role"]
            for piece in line.get("gear", []):
                yield from _owned(person, piece)
            if role not in ROLES:
                yield Breach("S-ROLE", f"{line['id']} has the unknown role {role}.")
            if role == "spotter" and line["zone"] is None:
                yield Breach("S-ROLE", f"Spotter {line['id']} has no zone.")
            if role == "first-aider" and person.get("first_aider") is not True:
                yield Breach("S-ROLE", f"{line['id']} is named first-aider and is none.")
            if role == "spade crew" and line["zone"] is not None and has_water(self.zones[line["zone"]]):
                yield Breach("H1", f"{line['id']} works in the water of zone {line['zone']} without a unit.")
            if person["adult"] is not True:
                if role == "spotter":
                    yield Breach("S-MINOR", f"{line['id']} is under 18 and a spotter.")
                elif role != "hauler":
                    yield Breach("S-MINOR", f"{line['id']} is under 18 and {role}; only hauling is for them.")
                if not has_guardian_among(person, self.day["volunteers"]):
                    yield Breach(
                        "S-MINOR", f"{line['id']} is under 18 with a role and without a guardian on the roster."
                    )

    def _cover(self) -> Iterator[Breach]:
        """H10: adult spotters, each in no unit and at one zone; and an adult first-aider on the roster."""
        spotters = {
            line["id"]: line["zone"]
            for line in self.plan["shore"]
            if line["role"] == "spotter"
            and self.people[line["id"]]["adult"] is True
            and line["id"] not in self.in_units
        }
        posted = Counter(spotters.values())
        units = Counter(unit["zone"] for unit in self.plan["units"])
        for name, count in units.items():
            needed = spotters_needed(count, self.limits)
            if posted[name] < needed:
                yield Breach(
                    "H10", f"Zone {name} has {count} units, {posted[name]} adult spotters, and needs {needed}."
                )
        if units and not has_first_aider(self.day):
            yield Breach("H10", "People are in water and no adult first-aider is on the roster.")

    def _stock_used(self) -> Iterator[Breach]:
        """One set serves one person, and only what is in stock can be given."""
        used = Counter(
            (piece["item"], piece["size"])
            for pieces in [
                *(pieces for unit in self.plan["units"] for pieces in unit["gear"].values()),
                *(line.get("gear", []) for line in self.plan["shore"]),
            ]
            for piece in pieces
            if piece["from"] == "stock"
        )
        sets = sets_in_stock(self.day)
        for (item, size), count in used.items():
            if count > sets.get((item, size), 0):
                yield Breach(
                    "S-STOCK", f"{count} of {item} {size} are given and {sets.get((item, size), 0)} are in stock."
                )

    def _gear_lines(self) -> Iterator[Breach]:
        """The sums of the gear list for waders and life jackets."""
        sets = sets_in_stock(self.day)
        for item in (WADERS, JACKET):
            lines = [line for line in self.plan["gear"] if line["item"] == item]
            pieces = [
                piece
                for unit in self.plan["units"]
                for member_pieces in unit["gear"].values()
                for piece in member_pieces
                if piece["item"] == item
            ]
            for size, times in Counter(line["size"] for line in lines).items():
                if times > 1:
                    yield Breach("S-LINE", f"{item} {size} stands on {times} lines of the gear list.")
            for line in lines:
                yield from _line_sums(line, sets.get((item, line["size"]), 0))
                given = sum(piece["from"] == "stock" and piece["size"] == line["size"] for piece in pieces)
                if given > line["needed"] - line["own"]:
                    yield Breach("S-LINE", f"{item} {line['size']}: {given} are given, more than needed less own.")
            for size in sorted({piece["size"] for piece in pieces} - {line["size"] for line in lines}):
                yield Breach("S-LINE", f"{item} {size} is given and stands on no line of the gear list.")
            needed, own = sum(line["needed"] for line in lines), sum(line["own"] for line in lines)
            # The list may also ask for sets that would let more people in: at most one for each who is ready.
            ready = sum(
                person.get("water_ready") is True
                and name not in self.in_units
                and item not in (person.get("own") or [])
                for name, person in self.people.items()
            )
            if not len(pieces) <= needed <= len(pieces) + ready:
                yield Breach("S-LINE", f"{item}: the list needs {needed}; {len(pieces)} are used, {ready} could be.")
            if own != sum(piece["from"] == "own" for piece in pieces):
                yield Breach("S-LINE", f"{item}: the list counts {own} own, which is not what the units bring.")


def _owned(person: Json, piece: Json) -> Iterator[Breach]:
    if piece["from"] == "own" and piece["item"] not in (person.get("own") or []):
        yield Breach("S-NOT-OWNED", f"{person['id']} owns no {piece['item']}.")


def _line_sums(line: Json, in_stock: int) -> Iterator[Breach]:
    where = f"{line['item']} {line['size']}"
    if line["in_stock"] != in_stock:
        yield Breach("S-LINE", f"{where}: the list says {line['in_stock']} in stock, the day says {in_stock}.")
    short = max(0, line["needed"] - line["own"] - line["in_stock"])
    if line["short"] != short:
        yield Breach("S-LINE", f"{where}: short {line['short']}, but needed less own less in stock is {short}.")

"""A plan in plain words, for a terminal."""

from collections.abc import Iterable, Iterator, Sequence, Set

from reedcrew.crews.queries import GearListLine, PersonLine, PlanSheet
from reedcrew.trade.gear.norms import PIECE
from reedcrew.trade.reasons import Reason
from reedcrew.web.times import span_text
from reedcrew.workdays.models import WorkDay


def plan_in_words(day: WorkDay, sheet: PlanSheet, for_water: Set[str]) -> Iterator[str]:
    """The lines of a plan: day, units by zone, shore roles, who is not placed and why, what is short, warnings.

    ``for_water`` are the names of those who signed up for the water.
    """
    place = f"{day.stand.name}, {day.stand.site.name}"
    yield f"Plan of “{day.title}”, {place}"
    yield span_text(day.starts_at, day.ends_at, day.zone_info)
    proven = "no better plan exists" if sheet.is_optimal else "a better plan may exist"
    yield f"{sheet.people_in_water} people in water in {sheet.unit_count} units ({proven})"
    for zone in sheet.zones:
        yield from section(f"{zone.zone}, {zone.depth_cm} cm deep", (given_names(unit.people) for unit in zone.units))
    yield from section("Closed", (f"{each.zone}: {because(each.reasons)}" for each in sheet.closed_zones))
    yield from section("On shore", shore(sheet.shore))
    yield from section("Signed up for the water and kept ashore", kept_ashore(sheet.shore, for_water))
    yield from section("Not placed", (f"{given(each.name)}: {because(each.reasons)}" for each in sheet.not_placed))
    yield from section("Short of gear", (short(line) for line in sheet.short))
    yield from section("Warnings", (warning.text for warning in sheet.warnings))


def given(name: str) -> str:
    """The first word of a name."""
    return name.split()[0]


def given_names(people: Sequence[PersonLine]) -> str:
    """Two or three given names as they are said."""
    names = [given(person.name) for person in people]
    return f"{', '.join(names[:-1])} and {names[-1]}"


def because(reasons: Sequence[Reason]) -> str:
    """The sentences of some reasons."""
    return " ".join(each.text for each in reasons)


def shore(people: Sequence[PersonLine]) -> Iterator[str]:
    """One line a role and zone, with everyone who has it."""
    roles: dict[str, list[str]] = {}
    for person in people:
        role = f"{person.role} ({person.zone})" if person.zone else person.role
        roles.setdefault(role, []).append(given(person.name))
    for role, names in roles.items():
        yield f"{role}: {', '.join(names)}"


def kept_ashore(people: Sequence[PersonLine], for_water: Set[str]) -> Iterator[str]:
    """One line for each person on shore who wanted to be in water, with the reasons beside that of the role."""
    for person in people:
        reasons = [each for each in person.reasons if not each.code.startswith("role.")]
        if person.name in for_water and reasons:
            yield f"{given(person.name)}: {because(reasons)}"


def short(line: GearListLine) -> str:
    """What of a line is missing, and whom it keeps waiting."""
    unit = "" if line.unit == PIECE else f" {line.unit}"
    names = f" (for {', '.join(given(name) for name in line.without)})" if line.without else ""
    return f"{line.item} {line.size}".strip() + f": {line.short:g}{unit} of {line.needed:g}{names}"


def section(heading: str, lines: Iterable[str]) -> Iterator[str]:
    """A heading with its lines, or nothing where there are none."""
    found = list(lines)
    if found:
        yield f"\n{heading}:"
        yield from (f"  {line}" for line in found)

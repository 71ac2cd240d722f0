"""Whether pins and what was told say something: fields that a kind needs, about people and zones of the day."""

from reedcrew.trade.day import Day
from reedcrew.trade.errors import Faults
from reedcrew.trade.pins import HAS_ZONE, NEEDS_OTHER, NEEDS_ROLE, NEEDS_ZONE, PinKind
from reedcrew.trade.plan import Role


def check_pins(faults: Faults, day: Day) -> None:
    """Note a fault for each faulty field of each pin, such as ``pins[0].person``."""
    people = {person.id for person in day.volunteers}
    zones = {zone.name for zone in day.zones}
    for place, pin in enumerate(day.pins):
        where = f"pins[{place}]"
        faults.unless(pin.person in people, f"{where}.person", "must be the id of a volunteer")
        if pin.kind in NEEDS_OTHER:
            fits = pin.other in people and pin.other != pin.person
            faults.unless(fits, f"{where}.other", "must be the id of another volunteer")
        else:
            faults.unless(pin.other is None, f"{where}.other", f'must be absent for the kind "{pin.kind}"')
        if pin.kind in NEEDS_ROLE:
            roles = ", ".join(role.value for role in Role)
            faults.unless(pin.role is not None, f"{where}.role", f"must be one of: {roles}")
        else:
            faults.unless(pin.role is None, f"{where}.role", f'must be absent for the kind "{pin.kind}"')
        if pin.kind is PinKind.ROLE:
            if pin.role is Role.SPOTTER:
                faults.unless(pin.zone in zones, f"{where}.zone", "must be the name of the zone that is watched")
            elif pin.role in HAS_ZONE:
                fits = pin.zone is None or pin.zone in zones
                faults.unless(fits, f"{where}.zone", "must be the name of a zone, or absent")
            else:
                faults.unless(pin.zone is None, f"{where}.zone", "must be absent: this role has no zone")
        elif pin.kind in NEEDS_ZONE:
            faults.unless(pin.zone in zones, f"{where}.zone", "must be the name of a zone")
        else:
            faults.unless(pin.zone is None, f"{where}.zone", f'must be absent for the kind "{pin.kind}"')


def check_told(faults: Faults, day: Day) -> None:
    """Note a fault for each person who was told two things."""
    if day.told is None:
        return
    seen: set[str] = set()
    named = [(f"told.units[{place}]", unit.members) for place, unit in enumerate(day.told.units)]
    named += [(f"told.shore[{place}]", (role.volunteer,)) for place, role in enumerate(day.told.roles)]
    for where, people in named:
        for person in people:
            faults.unless(person not in seen, where, f"{person} stands there twice")
            seen.add(person)

"""Pins and what people were told, as the plan contract has them (crews.contract)."""

from reedcrew.crews.json_fields import JsonFields
from reedcrew.trade.pins import Pin, PinKind
from reedcrew.trade.plan import Role
from reedcrew.trade.told import Told, ToldRole, ToldUnit

PINS_MAX = 1000  # what an entry can mean (convention)


def pins_from_json(whole: JsonFields) -> tuple[Pin, ...] | None:
    """The pins, of which kinds and roles are known; None, with a fault, where one is not."""
    kinds, roles = {kind.value for kind in PinKind}, {role.value for role in Role}
    found = []
    whole_ones = True
    for fields_of_pin in whole.objects("pins", most=PINS_MAX):
        kind, role = fields_of_pin.text("kind"), fields_of_pin.text("role", required=False)
        person = fields_of_pin.text("person")
        fields_of_pin.unless(kind in kinds or not kind, "kind", f"must be one of: {', '.join(sorted(kinds))}")
        fields_of_pin.unless(role in roles or not role, "role", f"must be one of: {', '.join(sorted(roles))}")
        other, zone = (fields_of_pin.text(name, required=False) or None for name in ("other", "zone"))
        fields_of_pin.close()
        if kind in kinds and person and (not role or role in roles):
            pin = Pin(kind=PinKind(kind), person=person, other=other, zone=zone, role=Role(role) if role else None)
            found.append(pin)
        else:
            whole_ones = False
    return tuple(found) if whole_ones else None


def told_from_json(whole: JsonFields, most: int) -> Told | None:
    """What people were told, at most so many units and roles; None where the field is absent."""
    if whole.is_absent("told"):
        return None
    told = whole.object_at("told")
    roles = {role.value for role in Role}
    units = [
        ToldUnit(zone=unit.text("zone"), members=unit.texts("members")) for unit in told.objects("units", most=most)
    ]
    duties = []
    for duty in told.objects("shore", most=most):
        name = duty.text("role")
        duty.unless(name in roles or not name, "role", f"must be one of: {', '.join(sorted(roles))}")
        role = Role(name) if name in roles else Role.HAULER
        duties.append(ToldRole(volunteer=duty.text("id"), role=role, zone=duty.text("zone", required=False) or None))
    # A plan of before may be given as it was printed, so what else it tells is no mistake and nothing is closed.
    return Told(units=tuple(units), roles=tuple(duties))

"""A stored plan as the trade's, for what compares or follows plans. Reasons and remedies stay behind."""

from reedcrew.crews.models import Assignment, Plan
from reedcrew.trade import plan as trade
from reedcrew.trade.items import Item


def trade_plan(plan: Plan) -> trade.Plan:
    """The plan of these rows, people and zones named by their keys. One query."""
    rows = list(plan.assignments.select_related("sign_up"))
    units: dict[tuple[int, int], list[Assignment]] = {}
    for each in rows:
        if each.kind == Assignment.Kind.UNIT:
            units.setdefault((each.unit_number or 0, each.zone_id or 0), []).append(each)
    return trade.Plan(
        status=trade.Status(plan.status),
        objective=tuple(plan.answer["objective"]),
        bound=tuple(plan.answer["bound"]),
        units=tuple(
            trade.Unit(
                zone=str(zone),
                members=tuple(who(each) for each in members),
                gear=tuple((who(each), allotments(each)) for each in members),
                reasons=(),
            )
            for (_number, zone), members in sorted(units.items())
        ),
        shore=tuple(
            trade.ShoreRole(
                volunteer=who(each),
                role=trade.Role(each.role),
                zone=str(each.zone_id) if each.zone_id else None,
                reasons=(),
                gear=allotments(each),
            )
            for each in rows
            if each.kind == Assignment.Kind.SHORE
        ),
        not_placed=tuple(
            trade.NotPlaced(volunteer=who(each), reasons=()) for each in rows if each.kind == Assignment.Kind.NOT_PLACED
        ),
        closed_zones=tuple(trade.ClosedZone(zone=closed["zone"], reasons=()) for closed in plan.answer["closed_zones"]),
        gear=tuple(
            trade.GearLine(
                item=Item(line["item"]),
                **{name: line[name] for name in ("size", "unit", "needed", "own", "in_stock", "short")},
            )
            for line in plan.answer["gear"]
        ),
        warnings=(),
    )


def who(assignment: Assignment) -> str:
    """The key of the assignment's person, as the trade takes it."""
    return str(assignment.sign_up.member_id)


def allotments(assignment: Assignment) -> tuple[trade.Allotment, ...]:
    """The gear of an assignment."""
    return tuple(
        trade.Allotment(item=Item(piece["item"]), size=piece["size"], source=trade.Source(piece["from"]))
        for piece in assignment.gear
    )

"""Whether a plan has the shape of the plan contract: its keys, their types, and reasons in words."""

from collections.abc import Iterator
from typing import Any

from tests.trade.independent.limits import STATUSES, Json
from tests.trade.independent.rules import Breach

GOALS = 5
_LINES: dict[str, dict[str, tuple[type, ...]]] = {
    "units": {"zone": (str,), "members": (list,), "gear": (dict,), "reasons": (list,)},
    "shore": {"id": (str,), "role": (str,), "zone": (str, type(None)), "reasons": (list,)},
    "not_placed": {"id": (str,), "reasons": (list,)},
    "closed_zones": {"zone": (str,), "reasons": (list,)},
    "gear": {
        "item": (str,),
        "size": (str,),
        "needed": (int, float),
        "own": (int, float),
        "in_stock": (int, float),
        "short": (int, float),
    },
    "warnings": {"code": (str,), "text": (str,)},
}
_PIECE: dict[str, tuple[type, ...]] = {"item": (str,), "size": (str,), "from": (str,)}
_REASON: dict[str, tuple[type, ...]] = {"code": (str,), "text": (str,)}


def shape_breaches(plan: Any) -> Iterator[Breach]:
    """S-SHAPE for a missing or wrong key, S-REASON for a place in the plan that does not say why in words."""
    if not isinstance(plan, dict):
        yield Breach("S-SHAPE", "The plan is not an object.")
        return
    if plan.get("status") not in STATUSES:
        yield Breach("S-SHAPE", f"The status {plan.get('status')!r} is not one of {', '.join(sorted(STATUSES))}.")
    for key in ("objective", "bound"):
        numbers = plan.get(key)
        if not isinstance(numbers, list) or len(numbers) != GOALS or not all(_is(n, (int, float)) for n in numbers):
            yield Breach("S-SHAPE", f"{key} is not a list of {GOALS} numbers, one for each goal.")
    for key, fields in _LINES.items():
        if not isinstance(plan.get(key), list):
            yield Breach("S-SHAPE", f"{key} is not a list.")
            continue
        for number, line in enumerate(plan[key]):
            where = f"{key}[{number}]"
            faults = list(_fields(where, line, fields))
            yield from faults
            if not faults:
                yield from _inside(where, key, line)


def _inside(where: str, key: str, line: Json) -> Iterator[Breach]:
    if key == "units":
        if not all(isinstance(member, str) for member in line["members"]):
            yield Breach("S-SHAPE", f"{where}.members are not all ids.")
        for member, pieces in line["gear"].items():
            if not isinstance(pieces, list):
                yield Breach("S-SHAPE", f"{where}.gear.{member} is not a list.")
                continue
            for piece in pieces:
                yield from _fields(f"{where}.gear.{member}", piece, _PIECE)
                if isinstance(piece, dict) and piece.get("from") not in ("own", "stock"):
                    yield Breach("S-SHAPE", f"{where}.gear.{member}: from is neither own nor stock.")
    if "reasons" in _LINES[key]:
        if not line["reasons"]:
            yield Breach("S-REASON", f"{where} gives no reason.")
        for reason in line["reasons"]:
            faults = list(_fields(f"{where}.reasons", reason, _REASON))
            yield from faults
            if not faults and not (reason["code"].strip() and reason["text"].strip()):
                yield Breach("S-REASON", f"{where} gives a reason without code or words.")


def _fields(where: str, line: Any, fields: dict[str, tuple[type, ...]]) -> Iterator[Breach]:
    if not isinstance(line, dict):
        yield Breach("S-SHAPE", f"{where} is not an object.")
        return
    for name, types in fields.items():
        if name not in line:
            yield Breach("S-SHAPE", f"{where} has no {name}.")
        elif not _is(line[name], types):
            yield Breach("S-SHAPE", f"{where}.{name} is of the wrong type.")


def _is(value: Any, types: tuple[type, ...]) -> bool:
    """Whether the value has one of the types; true and false are no numbers here."""
    return isinstance(value, types) and not isinstance(value, bool)

"""A day as several phones may write it down, contradictions and all: the same seed gives the same entries."""

import datetime
import uuid
from random import Random
from typing import Any

from reedcrew.trade.briefing import Item
from tests.factories import START

SECOND = datetime.timedelta(seconds=1)
DAY_S = 4 * 3600  # from the start of the day to its end
KINDS = {
    "sign_in": 20,
    "sign_out": 20,
    "briefing_heard": 4,
    "water_in": 12,
    "water_out": 12,
    "all_out": 3,
    "head_check": 6,
    "tally": 10,
    "load": 4,
    "absent": 3,
    "strike": 6,
}


def entries_of_phones(
    rng: Random, *, number: int, phones: int, members: list[int], zones: list[int]
) -> list[tuple[int, dict[str, Any]]]:
    """So many entries, each with the phone that made it: anybody may write anything at any time, in any order."""
    made: list[tuple[int, dict[str, Any]]] = []
    sign_ins: list[str] = []
    for _number in range(number):
        kind = rng.choices(list(KINDS), weights=list(KINDS.values()))[0]
        phone, at = rng.randrange(phones), START + rng.randrange(DAY_S) * SECOND
        entry: dict[str, Any] = {"id": str(uuid.UUID(int=rng.getrandbits(128))), "kind": kind, "at": at.isoformat()}
        entry["data"] = _data(rng, kind, members, zones, sign_ins, [one["id"] for _phone, one in made])
        if kind == "sign_in":
            sign_ins.append(entry["id"])
        made.append((phone, entry))
        if rng.random() < 0.02:  # the same id with other words
            made.append((phone, {**entry, "at": (at + rng.randrange(60) * SECOND).isoformat()}))
    return made


def _data(
    rng: Random, kind: str, members: list[int], zones: list[int], sign_ins: list[str], known: list[str]
) -> dict[str, Any]:
    some = sorted(rng.sample(members, rng.randint(1, 3)))
    stranger = str(uuid.UUID(int=rng.getrandbits(128)))
    match kind:
        case "sign_in":
            return {"member": rng.choice(members), "in_water": rng.random() < 0.5}
        case "sign_out":
            return {"stay": rng.choice(sign_ins or [stranger])}
        case "absent":
            return {"member": rng.choice(members)}
        case "briefing_heard":
            return {"items": [item.value for item in Item], "members": some}
        case "water_in":
            return {"members": some, "zone": rng.choice(zones), "unit": rng.randint(1, 3)}
        case "water_out":
            return {"members": some}
        case "all_out":
            return {"count": rng.randrange(8), "expected": 3}
        case "head_check":
            return {"seen": rng.randrange(8), "expected": 3}
        case "tally":
            return {"zone": rng.choice(zones), "unit": rng.randint(1, 3), "stems": rng.randrange(500)}
        case "load":
            return {"as": "bags", "count": rng.randint(1, 9), "seed_heads": True, "place": "South bank"}
        case _:
            return {"entry": rng.choice(known or [stranger]), "reason": "A slip"}

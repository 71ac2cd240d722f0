"""Days for judging the planner, as the JSON of the plan contract: varied, realistic, the same for the same seed.

``generated_day(seed)`` has up to 40 volunteers and 4 zones, most days few; ``small_day(seed)`` is small enough to try
every plan of it; ``days()`` is a hypothesis strategy that shrinks toward fewer people and zones.
"""

from collections.abc import Sequence
from random import Random
from typing import TypeVar

from hypothesis import strategies as st

from tests.trade.independent.limits import Json

T = TypeVar("T")
OFF_ROSTER = "elsewhere"  # an id of nobody who signed up: a friend who stays at home, a parent who does not come
_LANGUAGES: tuple[tuple[str, ...], ...] = (("en",), ("fr",), ("en", "fr"), ("pl",), ("pl", "fr"), ())
_SIZES = [str(size) for size in range(35, 49)]


def generated_day(seed: int) -> Json:
    """A day of 0 to 40 volunteers and 1 to 4 zones; most days have at most 12 people."""
    rng = Random(seed)
    few, some, many, any_number = rng.randint(0, 8), rng.randint(4, 12), rng.randint(8, 20), rng.randint(0, 40)
    people = rng.choice([few, few, few, some, some, some, some, many, many, any_number])
    return build_day(rng, people=people, zones=rng.randint(1, 4))


def small_day(seed: int) -> Json:
    """A day of at most 7 people and 2 zones, more often fit for water than a day of ``generated_day``."""
    rng = Random(seed)
    people = rng.choice([3, 4, 5, 5, 6, 6, 6, 7, 7, 7])
    return build_day(rng, people=people, zones=rng.choice([1, 1, 2]), trouble=0.2)


def pinned_day(seed: int) -> Json:
    """A day of 2 to 9 people, mostly few, and 1 to 3 zones with one to four pins, some of which no plan can keep."""
    rng = Random(seed)
    people = rng.choice([2, 3, 4, 4, 5, 5, 6, 6, 7, 9])
    day = build_day(rng, people=people, zones=rng.choice([1, 1, 2, 2, 3]), trouble=0.5)
    return day | {"pins": [_pin(rng, day) for _ in range(rng.choice([1, 1, 2, 3, 4]))]}


def on_the_day(seed: int, day: Json, plan: Json) -> Json:
    """The same day in the morning: its plan was told, up to three people do not come, the water may have moved."""
    rng = Random(seed)
    away = set(
        rng.sample([person["id"] for person in day["volunteers"]], min(len(day["volunteers"]), rng.randint(0, 3)))
    )
    rise = rng.choice([0, 0, 0, -15, 10, 20])
    return day | {
        "volunteers": [person for person in day["volunteers"] if person["id"] not in away],
        "zones": [zone | {"depth_cm": max(0, zone["depth_cm"] + rise)} for zone in day["zones"]],
        "pins": [pin for pin in day.get("pins") or [] if not away & {pin["person"], pin.get("other")}],
        "told": {
            "units": [{"zone": unit["zone"], "members": unit["members"]} for unit in plan["units"]],
            "shore": [{name: line[name] for name in ("id", "role", "zone")} for line in plan["shore"]],
        },
    }


def _pin(rng: Random, day: Json) -> Json:
    person, other = rng.sample([one["id"] for one in day["volunteers"]], 2)
    zone = rng.choice(day["zones"])["name"]
    kind = rng.choice(["pair", "pair", "zone", "zone", "role", "role", "not pair", "not zone", "not water", "not role"])
    pin: Json = {"kind": kind, "person": person}
    if kind in ("pair", "not pair"):
        pin["other"] = other
    if kind in ("zone", "not zone"):
        pin["zone"] = zone
    if kind in ("role", "not role"):
        pin["role"] = rng.choice(["spotter", "first-aider", "sign-in desk", "hauler", "spade crew"])
    if pin.get("role") == "spotter" and kind == "role":
        pin["zone"] = zone
    return pin


@st.composite
def days(draw: st.DrawFn) -> Json:
    """Any day of the generator; a failing one shrinks to few people, few zones and a low seed."""
    people = draw(st.integers(0, 14))
    zones = draw(st.integers(1, 4))
    return build_day(Random(draw(st.integers(0, 2**20))), people=people, zones=zones)


def build_day(rng: Random, *, people: int, zones: int, trouble: float = 1.0) -> Json:
    """A day of so many people and zones. ``trouble`` (0 to 1) scales how often something keeps people out of water."""
    ids = [f"v{number:02d}" for number in range(1, people + 1)]
    island = rng.random() < 0.3  # a day whose people fall into groups without a common language
    volunteers = [_adult(rng, name, island, trouble) for name in ids]
    for person in volunteers[1:]:
        if rng.random() < 0.18 * trouble + 0.04:
            _make_minor(rng, person)
    adults = [person["id"] for person in volunteers if person["adult"]]
    for person in volunteers:
        if not person["adult"]:
            person["guardian"] = rng.choice(
                [rng.choice(adults), rng.choice(adults), rng.choice(adults), OFF_ROSTER, None]
            )
        _add_ties(rng, person, [other for other in ids if other != person["id"]])
    if rng.random() < 0.06 * trouble:
        for person in volunteers:
            person["first_aider"] = False
    elif volunteers:
        rng.choice(volunteers[:3])["first_aider"] = True
    rng.shuffle(volunteers)
    return {
        "day": {"date": "2026-08-15", "start": "09:00", "end": "12:30", "timezone": "UTC"},
        "policy": _policy(rng, trouble),
        "weather": rng.choice([None, {"temp_c": 24, "rh_percent": 60, "water_temp_c": 18}]),
        "zones": [_zone(rng, name, people, trouble) for name in ("inlet", "north edge", "point", "slip")[:zones]],
        "volunteers": volunteers,
        "stock": _stock(rng, people, trouble),
    }


def _adult(rng: Random, name: str, island: bool, trouble: float) -> Json:
    shares = {"chest waders": 0.15, "life jacket": 0.15, "gloves": 0.15, "boots": 0.6}
    tall = rng.randint(148, 202)
    return {
        "id": name,
        "adult": True,
        "guardian": None,
        "stature_cm": _or_null(rng, tall, 0.06 * trouble),
        "mass_kg": _or_null(rng, rng.choice([40.8, 41, 52.5, 64, 71, 80, 95, 110]), 0.06 * trouble),
        "boot_eu": _or_null(
            rng, round((tall - 148) / 6 + 36 + rng.randint(0, 5)) - rng.choice([0, 0, 0.5]), 0.06 * trouble
        ),
        "glove_mm": _or_null(rng, rng.randint(160, 270), 0.2),
        "water_ready": rng.random() >= 0.25 * trouble,
        "water_days": rng.choice([0, 0, 1, 2, 3, 4, 9]),
        "lead": rng.random() < 0.12,
        "first_aider": rng.random() < 0.12,
        "wishes": [],
        "apart": [],
        "languages": list(rng.choice(_LANGUAGES) if island else rng.choice([("en",), ("en",), ("en", "fr")])),
        "own": [item for item in ("chest waders", "life jacket", "gloves", "boots") if rng.random() < shares[item]],
        "recent": [],
    }


def _make_minor(rng: Random, person: Json) -> None:
    person["adult"] = False
    person["lead"] = False
    person["stature_cm"] = _or_null(rng, rng.randint(98, 178), 0.05)
    person["mass_kg"] = _or_null(rng, rng.choice([12, 13.6, 20, 22.7, 35, 40.8, 41, 58]), 0.05)
    person["boot_eu"] = _or_null(rng, rng.randint(30, 43), 0.05)


def _add_ties(rng: Random, person: Json, others: Sequence[str]) -> None:
    known = [*others, OFF_ROSTER]
    person["wishes"] = _some(rng, known, rng.choice([0, 0, 1, 1, 2, 3]))
    person["recent"] = _some(rng, known, rng.choice([0, 0, 1, 2]))
    wished = set(person["wishes"])
    person["apart"] = _some(
        rng, [name for name in known if name not in wished], rng.choice([0, 0, 0, 0, 0, 0, 0, 1, 2])
    )


def _zone(rng: Random, name: str, people: int, trouble: float) -> Json:
    depth = rng.choice([rng.randint(1, 29), 30, 31, rng.randint(32, 70), rng.randint(32, 70), rng.randint(32, 70)])
    if rng.random() < 0.2 * trouble:
        depth = rng.choice([0, 0, rng.randint(71, 105)])
    current = rng.choice([0, 0, 0, 0.1, 0.2, 0.3])
    if rng.random() < 0.15 * trouble:
        current = rng.choice([0.6, 0.9, 1.2, 2.5])
    room = rng.choice([0, 1, 1, 2, 3]) if rng.random() < 0.4 else max(1, people // 2)
    return {"name": name, "depth_cm": depth, "current_m_s": current, "stems": rng.randint(0, 4000), "units_max": room}


def _stock(rng: Random, people: int, trouble: float) -> list[Json]:
    most = max(2, people // 5)
    waders = [
        {"item": "chest waders", "size": size, "count": rng.randint(0, most)}
        for size in _SIZES
        if rng.random() > 0.3 * trouble
    ]
    jackets = [
        {"item": "life jacket", "size": "adult", "count": rng.choice([people, people, rng.randint(0, people + 1)])},
        {"item": "life jacket", "size": "youth", "count": rng.randint(0, 3)},
        {"item": "life jacket", "size": "child", "count": rng.randint(0, 1)},
    ]
    tools = [
        {"item": item, "size": "", "count": rng.randint(0, people + 2)}
        for item in ("hand sickle", "spade", "throw line")
    ]
    boots = [{"item": "boots", "size": size, "count": rng.randint(0, 2)} for size in rng.sample(_SIZES, 5)]
    return waders + boots + jackets[: rng.choice([1, 2, 3, 3])] + tools


def _policy(rng: Random, trouble: float) -> Json:
    if rng.random() > 0.25 * trouble:
        return {}
    choices: Json = {
        "water_days_min": rng.choice([1, 2]),
        "minor_depth_cm_max": rng.choice([15, 30, 40, 50]),
        "wading_depth_cm_max": rng.choice([60, 80, 100]),
        "wading_stature_share": rng.choice([0.35, 0.4, 0.45]),
        "wading_safety_factor": rng.choice([2.0, 2.5, 4.0]),
        "units_per_spotter": rng.choice([1, 2, 3, 5]),
        "seasoned_water_days": rng.choice([2, 3, 5]),
    }
    return {name: choices[name] for name in rng.sample(sorted(choices), rng.randint(1, 3))}


def _or_null(rng: Random, value: T, share: float) -> T | None:
    return None if rng.random() < share else value


def _some(rng: Random, names: Sequence[str], count: int) -> list[str]:
    return sorted(rng.sample(list(names), min(count, len(names))))

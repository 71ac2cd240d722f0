"""One day and one plan made by hand that break nothing, for the judge's own tests to damage."""

from typing import Any

from tests.trade.independent.limits import Json

_WHY = [{"code": "H1", "text": "Works in a pair."}]
OWN_BOOTS = {"item": "boots", "size": "", "from": "own"}


def person(name: str, **changes: Any) -> Json:
    """An adult of 180 cm, 80 kg and boot size 42 in their own boots, ready for water and three times in it before.

    ``changes`` say what is otherwise.
    """
    return {
        "id": name,
        "adult": True,
        "guardian": None,
        "stature_cm": 180,
        "mass_kg": 80,
        "boot_eu": 42,
        "glove_mm": 220,
        "water_ready": True,
        "water_days": 3,
        "lead": False,
        "first_aider": False,
        "wishes": [],
        "apart": [],
        "languages": ["en"],
        "own": ["boots"],
        "recent": [],
    } | changes


def zone(name: str, depth_cm: int, *, current_m_s: float = 0, units_max: int = 5) -> Json:
    """A zone of the input."""
    return {"name": name, "depth_cm": depth_cm, "current_m_s": current_m_s, "stems": 100, "units_max": units_max}


def bare_day(zones: list[Json], volunteers: list[Json], stock: list[Json], policy: Json | None = None) -> Json:
    """A day of the input around what matters to a test."""
    return {
        "day": {"date": "2026-08-15", "start": "09:00", "end": "12:00", "timezone": "UTC"},
        "policy": policy or {},
        "weather": None,
        "zones": zones,
        "volunteers": volunteers,
        "stock": stock,
    }


def stock_line(item: str, size: str, count: int) -> Json:
    """A line of the stock."""
    return {"item": item, "size": size, "count": count}


def sound_day() -> Json:
    """Two pairs in deep water, a parent and child in shallow water, a dry bank and a race that is too fast."""
    return bare_day(
        [
            zone("deep", 60, units_max=2),
            zone("shallow", 20, units_max=1),
            zone("bank", 0),
            zone("race", 80, current_m_s=1.5),
        ],
        [
            person("ada", first_aider=True),
            person("ben", water_days=0, boot_eu=43.5, own=["chest waders"], wishes=["ada"]),
            person("cleo", water_days=1, boot_eu=40.5, languages=["fr"], recent=["dov"]),
            person("dov", water_days=0, own=["life jacket"], languages=["en", "fr"]),
            person("eve", water_days=2),
            person("finn", adult=False, guardian="eve", stature_cm=120, mass_kg=30, boot_eu=34, water_days=1),
            person("gus", water_ready=False),
            person("hana", stature_cm=None),
            person("ivo", adult=False, guardian="gus", water_ready=False),
            person("jun", water_ready=False),
            person("kit", mass_kg=40.8, boot_eu=44),
        ],
        [
            stock_line("chest waders", "41", 1),
            stock_line("chest waders", "42", 1),
            stock_line("chest waders", "43", 1),
            stock_line("life jacket", "adult", 3),
            stock_line("life jacket", "youth", 1),
        ],
    )


def sound_plan() -> Json:
    """A plan of ``sound_day`` that breaks nothing."""
    return {
        "status": "optimal",
        "objective": [6, 1, 1, 1, 0],
        "bound": [6, 1, 1, 1, 0],
        "units": [
            unit(
                "deep", ada=gear("42", "adult"), ben=[piece("chest waders", "", "own"), piece("life jacket", "adult")]
            ),
            unit("deep", cleo=gear("41", "adult"), dov=[piece("chest waders", "43"), piece("life jacket", "", "own")]),
            unit("shallow", eve=[OWN_BOOTS], finn=[OWN_BOOTS]),
        ],
        "shore": [
            ashore("gus", "spotter", "deep"),
            ashore("hana", "spotter", "shallow"),
            ashore("ivo", "hauler", None),
            ashore("jun", "spade crew", "bank"),
        ],
        "not_placed": [{"id": "kit", "reasons": _WHY}],
        "closed_zones": [{"zone": "race", "reasons": _WHY}],
        "gear": [
            line("chest waders", "", needed=1, own=1, in_stock=0),
            line("chest waders", "41", needed=1, own=0, in_stock=1),
            line("chest waders", "42", needed=1, own=0, in_stock=1),
            line("chest waders", "43", needed=1, own=0, in_stock=1),
            line("life jacket", "", needed=1, own=1, in_stock=0),
            line("life jacket", "adult", needed=3, own=0, in_stock=3),
            line("whistle", "", needed=4, own=0, in_stock=0),
        ],
        "warnings": [],
    }


def unit(zone_name: str, **members: list[Json]) -> Json:
    """A unit of the plan: each member by name with their gear."""
    return {"zone": zone_name, "members": list(members), "gear": dict(members), "reasons": _WHY}


def ashore(name: str, role: str, zone_name: str | None) -> Json:
    """A line of the plan's shore."""
    return {"id": name, "role": role, "zone": zone_name, "reasons": _WHY}


def piece(item: str, size: str, source: str = "stock") -> Json:
    """A piece of gear of one member."""
    return {"item": item, "size": size, "from": source}


def gear(waders: str, jacket: str) -> list[Json]:
    """Waders and jacket of the stock."""
    return [piece("chest waders", waders), piece("life jacket", jacket)]


def line(item: str, size: str, *, needed: int, own: int, in_stock: int) -> Json:
    """A line of the gear list with the right sum."""
    short = max(0, needed - own - in_stock)
    return {"item": item, "size": size, "needed": needed, "own": own, "in_stock": in_stock, "short": short}

"""Made-up days of any size, in the form of the plan contract. The same size and seed make the same day."""

import random
from typing import Any

LANGUAGES = ("en", "en", "en", "fr", "es")
BOOTS = [size / 2 for size in range(72, 93)]  # EU 36 to 46


def crowd(people: int, seed: int) -> dict[str, Any]:
    """A day on one shallow and three deep zones with room for nearly everyone, and waders for about as many.

    A tenth is under 18, a sixth stays ashore; most have wishes and recent partners, a tenth asked to be kept apart.
    """
    chance = random.Random(seed)
    ids = [f"p{number:03}" for number in range(people)]
    adults = [number == 0 or chance.random() > 0.1 for number in range(people)]
    grown = [one for one, adult in zip(ids, adults, strict=True) if adult]
    return {
        "day": {"date": "2025-08-02", "start": "09:00", "end": "12:30", "timezone": "UTC"},
        "policy": {},
        "weather": {"temp_c": 25, "rh_percent": 60, "water_temp_c": 19},
        "zones": [
            {"name": "edge", "depth_cm": 20, "current_m_s": 0, "stems": 4000, "units_max": people // 10},
            {"name": "inner", "depth_cm": 45, "current_m_s": 0, "stems": 9000, "units_max": people // 8},
            {"name": "middle", "depth_cm": 60, "current_m_s": 0.1, "stems": 9000, "units_max": people // 8},
            {"name": "outer", "depth_cm": 80, "current_m_s": 0.2, "stems": 9000, "units_max": people // 8},
        ],
        "volunteers": [_volunteer(chance, one, adult, grown, ids) for one, adult in zip(ids, adults, strict=True)],
        "stock": [
            *({"item": "chest waders", "size": str(size), "count": people // 12} for size in range(36, 48)),
            {"item": "life jacket", "size": "adult", "count": people * 3 // 4},
        ],
    }


def _volunteer(chance: random.Random, name: str, adult: bool, grown: list[str], ids: list[str]) -> dict[str, Any]:
    def others(most: int) -> list[str]:
        return [one for one in chance.sample(ids, chance.randint(0, most)) if one != name]

    return {
        "id": name,
        "adult": adult,
        "guardian": None if adult else chance.choice(grown),
        "stature_cm": chance.randint(150, 195) if adult else chance.randint(130, 170),
        "mass_kg": chance.randint(48, 110) if adult else chance.randint(30, 60),
        "boot_eu": chance.choice(BOOTS),
        "glove_mm": chance.randint(170, 280),
        "water_ready": chance.random() < 0.85,
        "water_days": chance.choice([0, 0, 1, 2, 3, 5]),
        "lead": chance.random() < 0.05,
        "first_aider": name == ids[0] or chance.random() < 0.1,
        "wishes": others(2),
        "apart": others(1) if chance.random() < 0.2 else [],
        "languages": sorted({chance.choice(LANGUAGES), *(LANGUAGES[-2:] if chance.random() < 0.25 else ())}),
        "own": ["boots", *(["chest waders"] if chance.random() < 0.2 else [])],
        "recent": others(6),
    }

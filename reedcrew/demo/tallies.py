"""Stems that the demo's crews cut: so many an hour, and never more than stood."""

from collections.abc import Mapping
from dataclasses import dataclass
from random import Random

from reedcrew.crews.models import Assignment
from reedcrew.demo.places import ZONES
from reedcrew.fieldbook import services as fieldbook
from reedcrew.fieldbook.models import Attendance
from reedcrew.people.models import Account
from reedcrew.stands.models import Zone
from reedcrew.trade.plan import Role
from reedcrew.workdays.models import WorkDay

# Stems per person-hour: in water, with a spade, and of everyone on shore where no plan said who has a spade (invented).
WATER_RATE, SPADE_RATE, SHORE_RATE = 92, 128, 55
DAYS_DIFFER, UNITS_DIFFER = (0.78, 1.22), (0.85, 1.15)
MOST_OF_STANDING = 0.8  # nobody finds the last stem of a zone in one morning
COUNTED = 0.4  # how often stems are counted one by one
COUNTED_AT_MOST = 900  # more are bundled
BUNDLE_STEMS = (170, 260)
BUNDLE_MEAN = sum(BUNDLE_STEMS) // 2
HOURS = 3.7  # of one person on a morning, breaks taken off


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Stems of one entry: of a planned unit, or of a zone as a whole."""

    zone: Zone
    unit_number: int | None
    stems: int


def cuts_of(day: WorkDay, units: Mapping[int, tuple[int, Zone]], rng: Random, *, seasons_ago: int) -> list[Cut]:
    """What each unit cuts, or each zone where no units were planned. Everybody has arrived."""
    stays = Attendance.objects.standing().filter(day=day)
    spades = Assignment.objects.filter(plan__day=day, plan__current=True, role=Role.SPADE_CREW.value).count()
    zones = list(day.zones.order_by("pk"))
    of_units: dict[tuple[int, int], int] = {}
    for number, zone in units.values():
        of_units[zone.pk, number] = of_units.get((zone.pk, number), 0) + 1
    others = [zone for zone in zones if zone.pk not in {zone for zone, _ in of_units}]
    wet, dry = [[zone for zone in others if (zone.depth_cm > 0) is side] for side in (True, False)]
    pace = rng.uniform(*DAYS_DIFFER)
    found = []
    for zone in zones:
        left = _standing(zone, seasons_ago) * MOST_OF_STANDING
        for (pk, number), people in sorted(of_units.items()):
            if pk == zone.pk:
                stems = min(left, people * HOURS * WATER_RATE * pace * rng.uniform(*UNITS_DIFFER))
                left -= stems
                found.append(Cut(zone=zone, unit_number=number, stems=int(stems)))
        if zone in wet and not units:
            hours = stays.filter(in_water=True).count() / len(wet) * HOURS * WATER_RATE
        elif zone in dry:
            on_land = spades * SPADE_RATE if spades else stays.filter(in_water=False).count() * SHORE_RATE
            hours = on_land / len(dry) * HOURS
        else:
            continue  # water that no unit of the plan entered
        found.append(Cut(zone=zone, unit_number=None, stems=int(min(left, hours * pace * rng.uniform(*UNITS_DIFFER)))))
    return found


def enter(day: WorkDay, cut: Cut, rng: Random, *, lead: Account) -> int:
    """Enter one cut, counted or as bundles with a sample; returns its stems as they stand in the fieldbook."""
    now = day.ends_at
    if cut.stems < BUNDLE_STEMS[1] or (cut.stems <= COUNTED_AT_MOST and rng.random() < COUNTED):
        return fieldbook.tally_counted(
            day=day, zone=cut.zone, stems=cut.stems, unit_number=cut.unit_number, actor=lead, now=now
        ).stems
    bundles = max(2, cut.stems // BUNDLE_MEAN)
    sample = [rng.randint(*BUNDLE_STEMS) for _ in range(min(bundles, rng.randint(2, 4)))]
    return fieldbook.tally_bundles(
        day=day, zone=cut.zone, bundles=bundles, sample=sample, unit_number=cut.unit_number, actor=lead, now=now
    ).stems


def _standing(zone: Zone, seasons_ago: int) -> int:
    """What the survey of that season found."""
    facts = next(each for each in ZONES if (each.stand, each.name) == (zone.stand.name, zone.name))
    return facts.stems[2 - seasons_ago]

"""Cleaning gear before it goes to another site: rule 7 of the design."""

from dataclasses import dataclass

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason

MG_PER_L_PER_PERCENT = 10_000  # 1 % = 10 000 mg/L
GEAR_MG_L = 200  # gear between waters: Wis. Adm. Code NR 329.04 and 345.04
GEAR_CONTACT_MIN = 10  # same
SOLUTION_GOOD_H = 24  # cdc.gov/hygiene: at most 24 h
DRY_DAYS = 5  # dry after cleaning: an agency's decontamination sheet
# Strengths that household bleach is labelled with (CDC), in %; others can be computed, with a caution.
LABEL_PERCENT_MIN, LABEL_PERCENT_MAX = 5, 9
STRENGTH_PERCENT_MIN, STRENGTH_PERCENT_MAX = 0.5, 15  # what an entry can mean (convention)
TARGET_MG_L_MAX = 10_000  # stronger is no rinse for gear (convention)
VOLUME_L_MAX = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BleachSolution:
    """How to mix a solution: bleach made up to the volume with water; how long it acts; what to mind."""

    bleach_ml: float
    water_l: float
    contact_min: int
    cautions: tuple[Reason, ...]


def bleach_ml(target_mg_l: float, volume_l: float, strength_percent: float) -> float:
    """mL of bleach in a finished volume: V1 = C2 × V2 / C1, with 1 % = 10 000 mg/L. The volume includes the bleach.

    A fixed recipe is right only for the strength it was written for, so the strength is always asked.

    Raises UnusableInput for a target outside 1 to 10 000 mg/L, a volume outside 0.1 to 10 000 L, a strength outside 0.5
    to 15 %, or a target stronger than the bleach.
    """
    faults = Faults()
    faults.range("target_mg_l", target_mg_l, 1, TARGET_MG_L_MAX, "mg/L")
    faults.range("volume_l", volume_l, 0.1, VOLUME_L_MAX, "L")
    faults.range("strength_percent", strength_percent, STRENGTH_PERCENT_MIN, STRENGTH_PERCENT_MAX, "%")
    faults.raise_any()
    strength_mg_l = strength_percent * MG_PER_L_PER_PERCENT
    faults.unless(
        target_mg_l <= strength_mg_l, "target_mg_l", f"must not be above the bleach's own {strength_mg_l:g} mg/L"
    )
    faults.raise_any()
    share = target_mg_l / strength_mg_l  # first, so that rounding never makes more bleach than there is volume
    return volume_l * 1000 * share


def gear_solution(volume_l: float, strength_percent: float) -> BleachSolution:
    """The mild solution for footwear, clothing and gear: 200 mg/L for 10 min (Wis. Adm. Code NR 329.04, 345.04).

    Cautions as on CDC's and the agencies' sheets. Raises UnusableInput as bleach_ml does.
    """
    bleach = bleach_ml(GEAR_MG_L, volume_l, strength_percent)
    cautions = [
        reason("cleaning.mud_first"),
        reason("cleaning.never_mix"),
        reason("cleaning.protect"),
        reason("cleaning.contact", minutes=GEAR_CONTACT_MIN),
        reason("cleaning.fresh", hours=SOLUTION_GOOD_H),
        reason("cleaning.keep_out_of_water"),
        reason("cleaning.dry", days=DRY_DAYS),
    ]
    if not LABEL_PERCENT_MIN <= strength_percent <= LABEL_PERCENT_MAX:
        cautions.insert(
            0,
            reason("cleaning.strength", percent=strength_percent, low=LABEL_PERCENT_MIN, high=LABEL_PERCENT_MAX),
        )
    return BleachSolution(
        bleach_ml=bleach, water_l=volume_l - bleach / 1000, contact_min=GEAR_CONTACT_MIN, cautions=tuple(cautions)
    )

"""Drinking water for a crew, by heat and hours."""

from dataclasses import dataclass

from reedcrew.trade.errors import Faults
from reedcrew.trade.reasons import Reason, reason
from reedcrew.trade.weather import HeatBand, heat_band

FLUID_OUNCE_L = 0.0295735295625
US_QUART_L = 32 * FLUID_OUNCE_L

# On site for each person-hour of the shift: 8 CCR § 3395(c). NIOSH asks for 24 to 32 fl oz an hour.
SUPPLY_L_PER_H = US_QUART_L
CEILING_L_PER_H = 48 * FLUID_OUNCE_L  # never drink more (NIOSH, CDC 45851): 1.42 L/h
# Litres per person-hour by heat: one quart, up to the ceiling once the OSHA guide calls the heat high (convention).
RATES_L_PER_H: dict[HeatBand, float] = {
    HeatBand.LOWER: SUPPLY_L_PER_H,
    HeatBand.MODERATE: SUPPLY_L_PER_H,
    HeatBand.HIGH: CEILING_L_PER_H,
    HeatBand.VERY_HIGH: CEILING_L_PER_H,
}
HOURS_MAX = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSupply:
    """Litres to bring for the whole crew, litres a person-hour behind it, and why."""

    litres: float
    litres_per_person_hour: float
    reasons: tuple[Reason, ...]


def litres_per_person_hour(heat_index: float | None) -> float:
    """Litres to plan for each person-hour at a heat index in °C; an unknown heat index counts as mild.

    0.946 L (8 CCR § 3395(c)), and from a heat index of 103 °F the ceiling of 1.42 L (NIOSH).
    """
    return SUPPLY_L_PER_H if heat_index is None else RATES_L_PER_H[heat_band(heat_index)]


def supply(people: int, hours: float, asked_l_per_h: float) -> WaterSupply:
    """Drinking water for a crew: people × hours × litres an hour; more than 1.42 L an hour is cut to that and said.

    Raises UnusableInput for fewer than 0 people, hours outside 0 to 24 or a rate below 0.
    """
    faults = Faults()
    faults.unless(people >= 0, "people", f"must be 0 or more, not {people}")
    faults.range("hours", hours, 0, HOURS_MAX, "h")
    faults.unless(asked_l_per_h >= 0, "asked_l_per_h", f"must be 0 or more, not {asked_l_per_h:g}")
    faults.raise_any()

    rate = min(asked_l_per_h, CEILING_L_PER_H)
    reasons = [reason("drinking_water.rate", litres=round(rate, 2), people=people, hours=round(hours, 2))]
    if asked_l_per_h > CEILING_L_PER_H:
        reasons.append(reason("drinking_water.ceiling", asked=round(asked_l_per_h, 2), litres=round(rate, 2)))
    return WaterSupply(litres=people * hours * rate, litres_per_person_hour=rate, reasons=tuple(reasons))

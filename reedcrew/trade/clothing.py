"""What people wear and carry themselves on a day of cutting reed (common practice, no published source)."""

from reedcrew.trade.weather import COLD_WATER_C, SHADE_TEMP_C
from reedcrew.trade.words import gettext_noop as _

EVERYBODY = (
    _("long sleeves and long trousers"),
    _("closed shoes with firm soles"),
    _("rain wear"),
    _("drinking bottle, filled"),
    _("something to eat"),
)
SUN = (_("sun hat"), _("sunscreen"))
IN_WATER = (_("warm socks for the waders"), _("towel and dry clothes to change into"))
COLD_WATER = _("warm layer to wear under the waders")
HEAT = _("light, loose clothes")


def clothes_for(*, in_water: bool, temp_c: float | None = None, water_temp_c: float | None = None) -> tuple[str, ...]:
    """What to wear and bring, for work in water or on land, by the forecast in °C.

    Water of unknown temperature counts as cold; the limits are those of trade.weather.
    """
    found = [*EVERYBODY[:2]]
    if temp_c is not None and temp_c >= SHADE_TEMP_C:
        found.append(HEAT)
    if in_water:
        found += IN_WATER
        if water_temp_c is None or water_temp_c < COLD_WATER_C:
            found.append(COLD_WATER)
    return (*found, *SUN, *EVERYBODY[2:])

"""How pages name the gear that people own and the bands of body mass."""

from collections.abc import Mapping
from types import MappingProxyType

from django.utils.formats import number_format
from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from reedcrew.trade import sizes
from reedcrew.trade.items import Item
from reedcrew.web.amounts import beside

# What a volunteer may bring along; the rest of trade.items belongs to the group.
OWN_GEAR: Mapping[Item, str | Promise] = MappingProxyType(
    {
        Item.CHEST_WADERS: _("Chest waders"),
        Item.BOOTS: _("Rubber boots"),
        Item.LIFE_JACKET: _("Life jacket"),
        Item.GLOVES: _("Work gloves"),
        Item.EYE_PROTECTION: _("Eye protection"),
        Item.HAND_SICKLE: _("Hand sickle"),
        Item.CANE_CUTTER: _("Long-handled cane cutter"),
        Item.SPADE: _("Sharpened spade"),
        Item.WHISTLE: _("Whistle"),
    }
)
TOO_LIGHT = "lighter"  # the answer below every class of life jacket; never stored


def jacket_bands() -> list[tuple[str, str]]:
    """The bands of body mass that decide the life jacket, heaviest first, then the mass that none holds."""
    bands, above, bound, pounds = [], "", "", ""
    for lightest_kg, belongs, user_class in sizes.JACKET_CLASSES:
        bound = number_format(lightest_kg)
        start = gettext("from %(kg)s kg") if belongs else gettext("over %(kg)s kg")
        pounds = beside(lightest_kg, "kg")
        bands.append((user_class.value, " ".join(filter(None, [start % {"kg": bound} + pounds, above]))))
        above = (gettext("to under %(kg)s kg") if belongs else gettext("to %(kg)s kg")) % {"kg": bound} + pounds
    return [*bands, (TOO_LIGHT, gettext("under %(kg)s kg") % {"kg": bound} + pounds)]

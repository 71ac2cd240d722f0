"""Where the rule behind each line of the gear list comes from, for pages that show the line."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.items import Item
from reedcrew.trade.words import gettext_noop as _

_PRACTICE = _("Common practice, no published source.")
_CONVENTION = _("A convention of this project; a group's habits may differ.")
_TOOLS = _("Common practice, no published source; how many spares is a rule of the group.")
_STATION = _("Cleaning before gear goes to another site is common practice; how much of it is a convention.")

# Values and their sources stand in the docstrings of the functions that use them.
SOURCES: Mapping[Item, str] = MappingProxyType(
    {
        Item.CHEST_WADERS: _("Common practice; sizes by ISO 19407 from the boot size, rounded up (convention)."),
        Item.BOOTS: _("Common practice; sizes by ISO 19407, rounded up (convention)."),
        Item.LIFE_JACKET: _("29 CFR 1926.106(a), where drowning is possible; classes by body mass: 46 CFR part 160."),
        Item.GLOVES: _("Common practice; sizes by hand circumference: EN 420:2003."),
        Item.EYE_PROTECTION: _PRACTICE,
        Item.HAND_SICKLE: _TOOLS,
        Item.CANE_CUTTER: _TOOLS,
        Item.SPADE: _TOOLS,
        Item.SHARPENING_STONE: _CONVENTION,
        Item.THROW_LINE: _("Length: ring buoys of 29 CFR 1926.106(c); one a zone of water work is common practice."),
        Item.WHISTLE: _PRACTICE,
        Item.SLED: _PRACTICE,
        Item.TWINE: _("Computed from a thatching bundle; two ties of 1 m are a convention."),
        Item.BAG: _("Cut reed leaves the site: common practice; how many stems a bag holds is a convention."),
        Item.FIRST_AID_KIT: _("The larger of CSA Z1220-17, clause 6, and 29 CFR 1910.266 App. A. Local rules decide."),
        Item.DRINKING_WATER: _("8 CCR § 3395(c), California; never more an hour than NIOSH says (CDC 45851)."),
        Item.SUNSCREEN: _("30 mL for an adult: dermatology bodies; every 2 h: 21 CFR 201.327 (from memory)."),
        Item.BLEACH: _(
            "200 mg/L for 10 minutes: Wis. Adm. Code NR 329.04 and 345.04; cautions: CDC. The label decides."
        ),
        Item.CLEANING_WATER: _STATION,
        Item.BRUSH: _STATION,
        Item.SPRAYER: _STATION,
        Item.SHADE: _("Shade is offered in heat: 8 CCR § 3395, California; one for so many people is a convention."),
        Item.SIGN_IN_SHEET: _CONVENTION,
    }
)

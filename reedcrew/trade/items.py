"""The gear of the trade, by the names that stock, plans and pages share."""

from enum import StrEnum

from reedcrew.trade.words import gettext_noop as _


class Item(StrEnum):
    """A kind of gear. Values are the words used in stock, in plan files and on pages."""

    CHEST_WADERS = _("chest waders")
    BOOTS = _("boots")
    LIFE_JACKET = _("life jacket")
    GLOVES = _("gloves")
    EYE_PROTECTION = _("eye protection")
    HAND_SICKLE = _("hand sickle")
    CANE_CUTTER = _("cane cutter")
    SPADE = _("spade")
    SHARPENING_STONE = _("sharpening stone")
    THROW_LINE = _("throw line")
    WHISTLE = _("whistle")
    SLED = _("sled")
    TWINE = _("twine")
    BAG = _("bag")
    FIRST_AID_KIT = _("first-aid kit")
    DRINKING_WATER = _("drinking water")
    SUNSCREEN = _("sunscreen")
    BLEACH = _("bleach")
    CLEANING_WATER = _("cleaning water")
    BRUSH = _("brush")
    SPRAYER = _("sprayer")
    SHADE = _("shade")
    SIGN_IN_SHEET = _("sign-in sheet")


# What nobody under 18 is handed (conservative; local rules on the work of minors decide).
BLADES = frozenset({Item.HAND_SICKLE, Item.CANE_CUTTER, Item.SPADE})


class JacketClass(StrEnum):
    """User class of a life jacket by body mass; bounds in trade.sizes."""

    ADULT = _("adult")
    YOUTH = _("youth")
    CHILD = _("child")

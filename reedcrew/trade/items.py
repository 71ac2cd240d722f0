"""The gear of the trade, by the names that stock, plans and pages share."""

from enum import StrEnum


class Item(StrEnum):
    """A kind of gear. Values are the words used in stock, in plan files and on pages."""

    CHEST_WADERS = "chest waders"
    BOOTS = "boots"
    LIFE_JACKET = "life jacket"
    GLOVES = "gloves"
    EYE_PROTECTION = "eye protection"
    HAND_SICKLE = "hand sickle"
    CANE_CUTTER = "cane cutter"
    SPADE = "spade"
    SHARPENING_STONE = "sharpening stone"
    THROW_LINE = "throw line"
    WHISTLE = "whistle"
    SLED = "sled"
    TWINE = "twine"
    BAG = "bag"
    FIRST_AID_KIT = "first-aid kit"
    DRINKING_WATER = "drinking water"
    SUNSCREEN = "sunscreen"
    BLEACH = "bleach"
    CLEANING_WATER = "cleaning water"
    BRUSH = "brush"
    SPRAYER = "sprayer"
    SHADE = "shade"
    SIGN_IN_SHEET = "sign-in sheet"


# What nobody under 18 is handed (conservative; local rules on the work of minors decide).
BLADES = frozenset({Item.HAND_SICKLE, Item.CANE_CUTTER, Item.SPADE})


class JacketClass(StrEnum):
    """User class of a life jacket by body mass; bounds in trade.sizes."""

    ADULT = "adult"
    YOUTH = "youth"
    CHILD = "child"

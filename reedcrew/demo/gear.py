"""The stock of the demo group, with its gaps: no waders in 44, few life jackets for youths."""

import datetime

from reedcrew.demo.gear_story import give_labels
from reedcrew.people.models import Account, Group
from reedcrew.stock import services
from reedcrew.stock.models import Kind, StockLine
from reedcrew.trade.items import Item

# Item, size, how many came when the group was founded, and where it is kept.
RECEIVED: tuple[tuple[Item, str, int, str], ...] = (
    (Item.CHEST_WADERS, "37", 1, ""),
    (Item.CHEST_WADERS, "38", 2, ""),
    (Item.CHEST_WADERS, "39", 3, ""),
    (Item.CHEST_WADERS, "40", 1, ""),
    (Item.CHEST_WADERS, "42", 4, ""),
    (Item.CHEST_WADERS, "43", 3, ""),
    (Item.CHEST_WADERS, "44", 2, ""),
    (Item.CHEST_WADERS, "46", 1, ""),
    (Item.BOOTS, "35", 2, ""),
    (Item.BOOTS, "36", 3, ""),
    (Item.BOOTS, "38", 4, ""),
    (Item.BOOTS, "39", 3, ""),
    (Item.BOOTS, "41", 3, ""),
    (Item.BOOTS, "43", 4, ""),
    (Item.BOOTS, "45", 2, ""),
    (Item.LIFE_JACKET, "adult", 22, "Boathouse, left rack"),
    (Item.LIFE_JACKET, "youth", 2, "Boathouse, left rack"),
    (Item.GLOVES, "6", 4, ""),
    (Item.GLOVES, "7", 10, ""),
    (Item.GLOVES, "8", 12, ""),
    (Item.GLOVES, "9", 10, ""),
    (Item.GLOVES, "10", 3, ""),
    (Item.EYE_PROTECTION, "", 30, ""),
    (Item.HAND_SICKLE, "", 14, "Locked box"),
    (Item.CANE_CUTTER, "", 6, "Locked box"),
    (Item.SPADE, "", 14, "Sharpened each spring"),
    (Item.SHARPENING_STONE, "", 6, ""),
    (Item.THROW_LINE, "", 3, "30 m each"),
    (Item.WHISTLE, "", 25, ""),
    (Item.SLED, "", 6, ""),
    (Item.TWINE, "", 10, "Balls of 100 m, sisal"),
    (Item.BAG, "", 60, "Thick, clear"),
    (Item.FIRST_AID_KIT, "", 12, "Small kits of the higher-risk type"),
    (Item.DRINKING_WATER, "", 150, "Litres in cans"),
    (Item.SUNSCREEN, "", 2400, "Millilitres"),
    (Item.BLEACH, "", 3000, "Millilitres, plain and unscented"),
    (Item.CLEANING_WATER, "", 100, "Litres in the tank"),
    (Item.BRUSH, "", 8, ""),
    (Item.SPRAYER, "", 4, ""),
    (Item.SHADE, "", 4, "Folding roofs"),
    (Item.SIGN_IN_SHEET, "", 20, ""),
)

# Item, size, what happened, how many, why, and how many days after the founding.
MOVED: tuple[tuple[Item, str, Kind, int, str, int], ...] = (
    (Item.HAND_SICKLE, "", Kind.LOST, 1, "Dropped in the outer edge", 108),
    (Item.CHEST_WADERS, "44", Kind.RETIRED, 2, "Seams leak, cannot be mended", 150),
    (Item.CHEST_WADERS, "42", Kind.RECEIVED, 1, "Gift of a member", 160),
    (Item.LIFE_JACKET, "youth", Kind.RETIRED, 1, "Failed the float check", 155),
    (Item.WHISTLE, "", Kind.RECOUNTED, 23, "", 160),
    (Item.BAG, "", Kind.RECEIVED, 40, "Bought for the autumn", 165),
)
LABELLED_AFTER_DAYS = 170  # waders and life jackets are known one by one from then on


def enter_stock(group: Group, actor: Account, founded: datetime.datetime) -> None:
    """Enter what the group owns, and what became of some of it."""
    lines: dict[tuple[Item, str], StockLine] = {}
    for item, size, number, note in RECEIVED:
        lines[item, size] = services.add_line(
            group=group, item=item, size=size, number=number, note=note, actor=actor, now=founded
        )
    for item, size, kind, number, note, days in MOVED:
        services.record_movement(
            line=lines[item, size],
            kind=kind,
            number=number,
            note=note,
            actor=actor,
            now=founded + datetime.timedelta(days=days),
        )
    give_labels(group, actor, founded + datetime.timedelta(days=LABELLED_AFTER_DAYS))

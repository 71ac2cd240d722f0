"""Which sizes a stock line of an item can have, and how many pieces."""

from collections.abc import Mapping
from types import MappingProxyType

from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.sizes import GLOVES

# Whole EU labels of waders (convention: common makers' range). Boots are labelled alike, see trade.sizes.boot_labels.
FOOT_LABELS = tuple(str(label) for label in range(35, 51))
JACKET_LABELS = tuple(jacket.value for jacket in JacketClass)
GLOVE_LABELS = tuple(str(row[0]) for row in GLOVES)
NO_SIZE = ("",)
COUNT_MAX = 100_000  # pieces of one line; what an entry can mean (convention)

# Items that are not listed have no size.
SIZES_OF: Mapping[Item, tuple[str, ...]] = MappingProxyType(
    {
        Item.CHEST_WADERS: FOOT_LABELS,
        Item.BOOTS: FOOT_LABELS,
        Item.LIFE_JACKET: JACKET_LABELS,
        Item.GLOVES: GLOVE_LABELS,
    }
)


def sizes_of(item: Item) -> tuple[str, ...]:
    """The sizes that a line of this item can have, smallest first; only "" for an item without sizes."""
    return SIZES_OF.get(item, NO_SIZE)


def size_fits(item: Item, size: str) -> bool:
    """Whether a stock line of this item can have this size, written as in sizes_of."""
    return size in sizes_of(item)


# What a new group is asked to count first (cp): what a day in shallow and deep water needs, in the sizes that most
# people have. Everything else is added to the stock later.
FIRST_COUNT: tuple[tuple[Item, tuple[str, ...]], ...] = (
    (Item.CHEST_WADERS, tuple(str(label) for label in range(37, 47))),
    (Item.LIFE_JACKET, (JacketClass.ADULT.value, JacketClass.YOUTH.value)),
    *(
        (item, NO_SIZE)
        for item in (
            *(Item.HAND_SICKLE, Item.CANE_CUTTER, Item.SPADE, Item.SHARPENING_STONE, Item.EYE_PROTECTION),
            *(Item.THROW_LINE, Item.WHISTLE, Item.FIRST_AID_KIT, Item.SLED, Item.TWINE, Item.BAG),
        )
    ),
)

from decimal import Decimal

import pytest

from reedcrew.trade.items import Item, JacketClass
from reedcrew.trade.sizes import boot_labels, wader_labels
from reedcrew.trade.stock_sizes import size_fits, sizes_of


@pytest.mark.parametrize(
    ("item", "size", "fits"),
    [
        (Item.CHEST_WADERS, "35", True),
        (Item.CHEST_WADERS, "50", True),
        (Item.CHEST_WADERS, "34", False),
        (Item.CHEST_WADERS, "51", False),
        (Item.CHEST_WADERS, "42.5", False),
        (Item.CHEST_WADERS, "", False),
        (Item.BOOTS, "43", True),
        (Item.BOOTS, "", False),
        (Item.LIFE_JACKET, "adult", True),
        (Item.LIFE_JACKET, "Adult", False),
        (Item.LIFE_JACKET, "43", False),
        (Item.GLOVES, "4", True),
        (Item.GLOVES, "13", True),
        (Item.GLOVES, "3", False),
        (Item.GLOVES, "14", False),
        (Item.SPADE, "", True),
        (Item.SPADE, "43", False),
    ],
)
def test_a_line_has_only_a_size_of_its_item(item, size, fits):
    assert size_fits(item, size) is fits


@pytest.mark.parametrize("item", list(Item))
def test_every_item_has_sizes_or_none(item):
    sizes = sizes_of(item)
    assert len(set(sizes)) == len(sizes)
    assert all(sizes) or sizes == ("",)


def test_the_labels_that_the_rules_look_for_are_labels_of_the_stock():
    assert set(wader_labels(Decimal("41.5"))) <= set(sizes_of(Item.CHEST_WADERS))
    assert set(boot_labels(Decimal(38))) <= set(sizes_of(Item.BOOTS))
    assert {jacket.value for jacket in JacketClass} == set(sizes_of(Item.LIFE_JACKET))

"""The stock of a day while it is handed out, and who gets which size."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from reedcrew.trade.day import StockLine
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import NO_SIZE, sizes_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One person's need of one piece. ``sizes`` fit, smallest first; the first is what to get if there is none."""

    person: str
    sizes: tuple[str, ...]
    owns: bool


def size_order(size: str) -> tuple[int, str]:
    """Orders sizes: none first, then numbers by value, then words."""
    if size.isdecimal():
        return (int(size), "")
    return (-1, "") if not size else (1_000_000, size)


class Shelf:
    """Counts of pieces by item and size. An item without sizes has one count, whatever a line calls its size."""

    def __init__(self, stock: Sequence[StockLine]) -> None:
        self._total: Counter[tuple[Item, str]] = Counter()
        for line in stock:
            self._total[self._key(line.item, line.size)] += line.count
        self._left = Counter(self._total)

    @staticmethod
    def _key(item: Item, size: str) -> tuple[Item, str]:
        return (item, "" if sizes_of(item) == NO_SIZE else size)

    def total(self, item: Item, size: str = "") -> int:
        """Pieces in stock before any was handed out."""
        return self._total[self._key(item, size)]

    def left(self, item: Item, size: str = "") -> int:
        """Pieces not handed out yet."""
        return self._left[self._key(item, size)]

    def take(self, item: Item, size: str = "", count: int = 1) -> None:
        """Hand out pieces; the caller has looked whether they are there."""
        self._left[self._key(item, size)] -= count

    def match(self, item: Item, needs: Sequence[Need]) -> dict[str, str]:
        """Hand out as many fitting pieces as can be, and return each served person's size. Owners are passed over.

        Fitting sizes are neighbours, so the person whose largest fitting size is smallest chooses first and takes the
        smallest piece that fits: no other order serves more people. Ties keep the order of ``needs``.
        """
        served: dict[str, str] = {}
        for need in sorted(needs, key=lambda need: size_order(need.sizes[-1])):
            if need.owns:
                continue
            size = next((size for size in need.sizes if self.left(item, size) > 0), None)
            if size is not None:
                self.take(item, size)
                served[need.person] = size
        return served

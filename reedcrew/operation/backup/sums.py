"""What is compared after a restore: the number of rows of a table, and a checksum that knows no order."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(slots=True)
class TableSum:
    """Rows counted, and the sum of their SHA-256 digests: databases give rows in any order, and rows may be alike."""

    rows: int = 0
    total: int = 0

    def add(self, row: bytes) -> None:
        self.rows += 1
        self.total = (self.total + int.from_bytes(hashlib.sha256(row).digest(), "big")) % 2**256

    def record(self) -> list[object]:
        """As it stands in sums.json."""
        return [self.rows, f"{self.total:064x}"]


def differences(expected: Mapping[str, object], found: Mapping[str, object]) -> list[str]:
    """The names of what is missing, too much or not the same; empty where all is equal."""
    return sorted(name for name in expected.keys() | found.keys() if expected.get(name) != found.get(name))

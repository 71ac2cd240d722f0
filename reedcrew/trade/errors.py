"""The error of the trade: input that cannot be judged. A rule that says no is a result, never an error."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One field that is wrong: where it is, and what would be right."""

    where: str
    message: str


class UnusableInput(ValueError):
    """Input that no rule can judge. ``faults`` has one entry for each faulty field, never fewer."""

    code = "unusable_input"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.where}: {fault.message}" for fault in self.faults))


class Faults:
    """Collects faults field by field, so that one error can name them all."""

    def __init__(self) -> None:
        self._found: list[Fault] = []

    def unless(self, fits: bool, where: str, message: str) -> None:
        """Note a fault of the field ``where`` unless it fits."""
        if not fits:
            self._found.append(Fault(where=where, message=message))

    def range(self, where: str, value: float, low: float, high: float, unit: str = "") -> None:
        """Note a fault unless ``low <= value <= high``. A value that is no number never fits."""
        of_unit = f" {unit}" if unit else ""
        self.unless(low <= value <= high, where, f"must be from {low:g} to {high:g}{of_unit}, not {value:g}")

    def raise_any(self) -> None:
        """Raise UnusableInput if a fault was noted."""
        if self._found:
            raise UnusableInput(self._found)

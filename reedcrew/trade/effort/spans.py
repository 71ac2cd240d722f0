"""A value with the limits of its interval, and how such values combine."""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A value and the limits of its 95 % interval; where the value is exact all three are the same."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> "Span":
        """The same span in another unit; ``factor`` is 0 or more."""
        return Span(value=self.value * factor, low=self.low * factor, high=self.high * factor)

    def at_most(self, limit: float) -> "Span":
        """The span with what lies above ``limit`` cut off."""
        return Span(value=min(self.value, limit), low=min(self.low, limit), high=min(self.high, limit))


NOTHING = Span(value=0, low=0, high=0)


def quotient(above: Span, below: Span) -> Span:
    """``above`` ÷ ``below`` of two independent values, limits added in quadrature on the log scale.

    This is the method of variance estimates recovery for a ratio (from memory): with one of the two exact it gives the
    limits of the other, and for log-normal values the exact interval. ``below`` is above 0 with its limits.
    """
    if above.value <= 0:
        return Span(value=0, low=0, high=above.high / below.low)
    value = above.value / below.value
    fall = math.hypot(_log_ratio(above.value, above.low), math.log(below.high / below.value))
    rise = math.hypot(math.log(above.high / above.value), math.log(below.value / below.low))
    return Span(value=value, low=value * math.exp(-fall), high=value * math.exp(rise))


def total(spans: Sequence[Span]) -> Span:
    """The sum of independent values, their half-widths added in quadrature; never below 0."""
    value = sum(each.value for each in spans)
    below = math.hypot(*(each.value - each.low for each in spans))
    above = math.hypot(*(each.high - each.value for each in spans))
    return Span(value=value, low=max(0.0, value - below), high=value + above)


def _log_ratio(value: float, low: float) -> float:
    return math.inf if low <= 0 else math.log(value / low)

"""US customary amounts beside metric ones, for reading. Every rule, limit and stored value stays metric.

1 in = 2.54 cm, 1 ft = 12 in, 1 mi = 1.609344 km, 1 lb = 0.45359237 kg, 1 US gal = 3.785411784 L = 128 fl oz, all exact
by definition; °F = °C × 9/5 + 32 (NIST Handbook 44, Appendix C; NIST SP 811, Appendix B, both from memory). US gallons
and fluid ounces are meant, not imperial ones.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from types import MappingProxyType

from django.utils.translation import gettext_noop as _

# Abbreviations of words, which other languages write in their own way; all other units below are symbols.
SQUARE_FEET, MILES_PER_HOUR, GALLONS, FLUID_OUNCES = _("sq ft"), _("mph"), _("gal"), _("fl oz")

_CM_PER_INCH = Decimal("2.54")
_M_PER_FOOT = 12 * _CM_PER_INCH / 100
_KM_PER_MILE = Decimal("1.609344")
_KG_PER_POUND = Decimal("0.45359237")
_L_PER_GALLON = Decimal("3.785411784")
_ML_PER_FLUID_OUNCE = 1000 * _L_PER_GALLON / 128
_DEGREES_F_PER_C = Decimal(9) / 5
_F_AT_0_C = 32

_FINE_BELOW = 10  # below it one decimal, from it on whole numbers
_COARSE_FROM = 1000  # from here on three significant digits


@dataclass(frozen=True, slots=True)
class Customary:
    """A rounded amount and the unit that it is in."""

    amount: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class _Unit:
    symbol: str
    each: Decimal  # of the metric unit in one of this
    is_fine: bool = True  # whether tenths are worth reading below 10


_UNITS: Mapping[str, _Unit] = MappingProxyType(
    {
        "cm": _Unit("in", _CM_PER_INCH),
        "m": _Unit("ft", _M_PER_FOOT),
        "km": _Unit("mi", _KM_PER_MILE),
        "m²": _Unit(SQUARE_FEET, _M_PER_FOOT**2),
        "m/s": _Unit("ft/s", _M_PER_FOOT),
        "m²/s": _Unit("ft²/s", _M_PER_FOOT**2),
        "km/h": _Unit(MILES_PER_HOUR, _KM_PER_MILE, is_fine=False),
        "kg": _Unit("lb", _KG_PER_POUND, is_fine=False),
        "L": _Unit(GALLONS, _L_PER_GALLON),
        "mL": _Unit(FLUID_OUNCES, _ML_PER_FLUID_OUNCE),
    }
)
CONVERTED = ("°C", *_UNITS)  # the metric units that have a customary amount


def customary(value: float | Decimal, unit: str, *, is_difference: bool = False) -> Customary | None:
    """The customary amount of ``value`` in a metric unit; None for any other unit, and for a value that is no number.

    Rounded to the nearest, halves away from zero: metric decides, so no side is the safe one. Tenths below 10 (whole
    numbers for °F, mph and lb), whole numbers from 10, three significant digits from 1000; an amount that would round
    to nothing keeps one significant digit. Less than a gallon is told in fluid ounces.

    ``is_difference``: a temperature by which something is warmer, so that 0 °C is 0 °F.
    """
    metric = Decimal(str(value))
    if not metric.is_finite():
        return None
    if unit == "°C":
        degrees = metric * _DEGREES_F_PER_C + (0 if is_difference else _F_AT_0_C)
        whole = degrees.quantize(Decimal(1), ROUND_HALF_UP)
        return Customary(whole or Decimal(0), "°F")  # no minus before nothing
    if unit == "L" and abs(metric) < _L_PER_GALLON:
        return customary(1000 * metric, "mL")
    if unit not in _UNITS:
        return None
    known = _UNITS[unit]
    return Customary(_rounded(metric / known.each, is_fine=known.is_fine), known.symbol)


def _rounded(amount: Decimal, *, is_fine: bool) -> Decimal:
    if abs(amount) >= _COARSE_FROM:
        return Context(prec=3, rounding=ROUND_HALF_UP).plus(amount).quantize(Decimal(1))
    places = Decimal("0.1") if is_fine and abs(amount) < _FINE_BELOW else Decimal(1)
    rounded = amount.quantize(places, ROUND_HALF_UP)
    if amount and not rounded:
        return Context(prec=1, rounding=ROUND_HALF_UP).plus(amount)
    return rounded

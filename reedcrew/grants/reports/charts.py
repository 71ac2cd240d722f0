"""The charts of a report: hours, value and stems over its months or years."""

import datetime
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from reedcrew.grants.reports.records import DayLine, Report
from reedcrew.trade.effort import together
from reedcrew.web.charts import Bar, BarChart

MONTHS_MOST = 24  # more are drawn as years (convention)
LABELS_MOST = 6  # that a phone can read beside one another


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One bar's month or year, with its days."""

    label: str
    days: tuple[DayLine, ...]

    @property
    def title(self) -> str:
        """The month or year in words, as in a table."""
        return self._written("YEAR_MONTH_FORMAT")

    @property
    def short_title(self) -> str:
        """The same as a drawing has room for: the short name of the month over its year."""
        return self._written("N\nY")

    @property
    def counted(self) -> int:
        """Minutes after rounding."""
        return sum(day.hours.counted for day in self.days)

    @property
    def stems(self) -> tuple[int, int, int]:
        """Stems with the limits of their sum."""
        return together([(day.stems.stems, day.stems.low, day.stems.high) for day in self.days])

    @property
    def untallied(self) -> int:
        return sum(not day.stems.tallies for day in self.days)

    def _written(self, month_style: str) -> str:
        year, _dash, month = self.label.partition("-")
        return date_format(datetime.date(int(year), int(month), 1), month_style) if month else year


def parts_of(report: Report) -> tuple[Part, ...]:
    """The months from the first to the last work day, those without work too; years where there are many months."""
    if not report.days:
        return ()
    first, last = report.days[0].date, report.days[-1].date
    months = [divmod(month, 12) for month in range(_month(first), _month(last) + 1)]
    by_year = len(months) > MONTHS_MOST
    labels = [f"{year}" if by_year else f"{year}-{month + 1:02d}" for year, month in months]
    days: dict[str, list[DayLine]] = {label: [] for label in labels}
    for day in report.days:
        days[f"{day.date:%Y}" if by_year else f"{day.date:%Y-%m}"].append(day)
    return tuple(Part(label=label, days=tuple(found)) for label, found in days.items())


def hours_chart(report: Report) -> BarChart:
    """Counted hours."""
    parts = parts_of(report)
    bars = tuple(Bar(label=label, value=part.counted / 60) for label, part in zip(_labels(parts), parts, strict=True))
    return BarChart(x_label=_x_label(parts), y_label=_("Hours counted"), bars=bars)


def stems_chart(report: Report) -> BarChart:
    """Stems removed with their intervals."""
    parts = parts_of(report)
    bars = []
    for label, part in zip(_labels(parts), parts, strict=True):
        stems, low, high = part.stems
        bars.append(Bar(label=label, value=stems, low=low, high=high))
    return BarChart(x_label=_x_label(parts), y_label=_("Stems removed"), bars=tuple(bars))


CHARTS: Mapping[str, Callable[[Report], BarChart]] = MappingProxyType({"hours": hours_chart, "stems": stems_chart})


def _month(day: datetime.date) -> int:
    return day.year * 12 + day.month - 1


def _labels(parts: tuple[Part, ...]) -> list[str]:
    """As many of the names as there is room for, at equal distances."""
    every = max(1, math.ceil(len(parts) / LABELS_MOST))
    return [part.short_title if not place % every else "" for place, part in enumerate(parts)]


def _x_label(parts: tuple[Part, ...]) -> str:
    return _("Month") if not parts or "-" in parts[0].label else _("Year")

"""The charts of a stand's years."""

import datetime
from collections.abc import Callable, Mapping
from types import MappingProxyType

from django.utils.translation import gettext as _

from reedcrew.stands.queries.history import History
from reedcrew.trade.decline import DAYS_PER_YEAR, Line
from reedcrew.web.charts import Bar, BarChart, Curve, Dot, DotChart

LINE_YEARS = 4  # so far ahead of the last survey the line is drawn (convention)
LINE_STEPS = 60


def stems_chart(history: History) -> DotChart:
    """Stems at each survey with their intervals, and the fitted line with its band a few years ahead."""
    line = history.outlook.decline.line
    known = [row for row in history.surveys if row.stems is not None]
    return DotChart(
        x_label=_("Year"),
        y_label=_("Stems"),
        dots=tuple(Dot(x=_place(row.on), value=row.stems or 0.0, low=row.low, high=row.high) for row in known),
        curve=_curve(line, known[-1].on) if line and known else None,
    )


def cut_chart(history: History) -> BarChart:
    """Stems cut in each year, with their intervals."""
    return BarChart(
        x_label=_("Year"),
        y_label=_("Stems cut"),
        bars=tuple(Bar(label=str(row.year), value=row.stems, low=row.low, high=row.high) for row in history.years),
    )


def hours_chart(history: History) -> BarChart:
    """Person-hours of each year."""
    return BarChart(
        x_label=_("Year"),
        y_label=_("Person-hours"),
        bars=tuple(Bar(label=str(row.year), value=row.person_hours) for row in history.years),
    )


CHARTS: Mapping[str, Callable[[History], DotChart | BarChart]] = MappingProxyType(
    {"stems": stems_chart, "cut": cut_chart, "hours": hours_chart}
)


def _curve(line: Line, last: datetime.date) -> Curve:
    days = (last - line.start).days + LINE_YEARS * DAYS_PER_YEAR
    steps = [line.start + datetime.timedelta(days=days * step / LINE_STEPS) for step in range(LINE_STEPS + 1)]
    spans = [line.at(day) for day in steps]
    return Curve(
        x=tuple(_place(day) for day in steps),
        value=tuple(span.value for span in spans),
        low=tuple(span.low for span in spans) if line.has_limits else (),
        high=tuple(span.high for span in spans) if line.has_limits else (),
    )


def _place(day: datetime.date) -> float:
    """A day as a year with its part."""
    return day.year + (day.timetuple().tm_yday - 1) / DAYS_PER_YEAR

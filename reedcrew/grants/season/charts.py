"""The charts of the season page."""

import datetime
import math
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from django.utils.translation import gettext as _

from reedcrew.grants.season.sums import SeasonSums, Stretch
from reedcrew.web.charts import Bar, BarChart
from reedcrew.web.times import date_text

WEEK_NAMES = 5  # so many weeks are named under a chart: more would run into each other on a phone


def week_hours(sums: SeasonSums) -> BarChart:
    """Person-hours of each week."""
    bars = [Bar(label=name, value=each.hours) for name, each in _named(sums.weeks)]
    return BarChart(x_label=_("Week from"), y_label=_("Person-hours"), bars=tuple(bars))


def week_stems(sums: SeasonSums) -> BarChart:
    """Stems cut in each week."""
    bars = [_stems(name, each) for name, each in _named(sums.weeks)]
    return BarChart(x_label=_("Week from"), y_label=_("Stems cut"), bars=tuple(bars))


def year_hours(sums: SeasonSums) -> BarChart:
    """Person-hours of each year."""
    bars = [Bar(label=str(each.first.year), value=each.hours) for each in sums.years]
    return BarChart(x_label=_("Year"), y_label=_("Person-hours"), bars=tuple(bars))


def year_stems(sums: SeasonSums) -> BarChart:
    """Stems cut in each year, with their intervals."""
    bars = [_stems(str(each.first.year), each) for each in sums.years]
    return BarChart(x_label=_("Year"), y_label=_("Stems cut"), bars=tuple(bars))


def year_people(sums: SeasonSums) -> BarChart:
    """People of each year."""
    bars = [Bar(label=str(each.first.year), value=each.people) for each in sums.years]
    return BarChart(x_label=_("Year"), y_label=_("People"), bars=tuple(bars))


CHARTS: Mapping[str, Callable[[SeasonSums], BarChart]] = MappingProxyType(
    {
        "week-hours": week_hours,
        "week-stems": week_stems,
        "year-hours": year_hours,
        "year-stems": year_stems,
        "year-people": year_people,
    }
)


# --- Private ---------------------------------------------------------------------------------------------------------


def _stems(name: str, each: Stretch) -> Bar:
    return Bar(label=name, value=each.all_stems, low=each.all_low, high=each.all_high)


def _named(weeks: Sequence[Stretch]) -> list[tuple[str, Stretch]]:
    step = max(1, math.ceil(len(weeks) / WEEK_NAMES))
    return [(_in_two_lines(each.first) if number % step == 0 else "", each) for number, each in enumerate(weeks)]


def _in_two_lines(day: datetime.date) -> str:
    """The day of the month over the month's short name."""
    return date_text(day, "j N").replace(" ", "\n")

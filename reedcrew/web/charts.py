"""Charts as SVG, drawn on the server. The drawing library is large and is loaded by the first chart, not by any page.

A chart is an image of its own address: no script, no style sheet and no style attribute is in it, so that the strict
content policy holds for it too. The same chart gives the same bytes. What it shows also stands in a table beside it.
"""

import io
import re
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

WIDTH_IN, HEIGHT_IN = 4.2, 2.9  # small, so that its letters can be read on a phone
_one_at_a_time = threading.Lock()  # the library keeps its settings for the whole process
SALT = "reedcrew"  # of the ids in a chart, so that it is the same each time it is drawn


class Theme(StrEnum):
    """The page around the chart."""

    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Inks:
    """Colours of a chart, those of tokens.css with the same names."""

    panel: str
    ink: str
    edge: str
    hair: str
    water: str
    reed: str


INKS = {
    Theme.LIGHT: Inks(panel="#ffffff", ink="#10231c", edge="#73827a", hair="#ccd4cb", water="#064a66", reed="#27531f"),
    Theme.DARK: Inks(panel="#16211d", ink="#eff4ea", edge="#7f9087", hair="#33433c", water="#8fd0ea", reed="#aed79a"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A measured value at a place on the axis, with the limits of its interval where it has one."""

    x: float
    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A line through places on the axis with a band around it; ``low`` and ``high`` are empty where none is claimed."""

    x: tuple[float, ...]
    value: tuple[float, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DotChart:
    """Measured values over time with their intervals, and a fitted line with its band."""

    x_label: str
    y_label: str
    dots: tuple[Dot, ...]
    curve: Curve | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar: its name, its value, and limits where it has them."""

    label: str
    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarChart:
    """One bar a year or the like."""

    x_label: str
    y_label: str
    bars: tuple[Bar, ...] = field(default=())


def draw(chart: DotChart | BarChart, theme: Theme) -> bytes:
    """The chart as an SVG document for a page of this theme, in UTF-8."""
    import matplotlib as mpl  # here, because it takes seconds
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.ticker import FuncFormatter

    inks = INKS[theme]
    settings: Any = {
        "text.parse_math": False,
        "svg.hashsalt": SALT,
        "svg.fonttype": "path",
        "font.family": "DejaVu Sans",  # comes with the library: the same letters on every machine
        "font.size": 12,
        "text.color": inks.ink,
        "axes.labelcolor": inks.ink,
        "xtick.color": inks.ink,
        "ytick.color": inks.ink,
    }
    with _one_at_a_time, mpl.rc_context(settings):
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), facecolor=inks.panel, layout="constrained")
        axes = figure.add_subplot(facecolor=inks.panel)
        axes.set_xlabel(chart.x_label)
        axes.set_ylabel(chart.y_label)
        axes.spines[["top", "right"]].set_visible(False)
        axes.spines[["left", "bottom"]].set_color(inks.edge)
        axes.tick_params(color=inks.edge)
        axes.grid(axis="y", color=inks.hair, linewidth=0.8)
        axes.set_axisbelow(True)
        axes.yaxis.set_major_formatter(FuncFormatter(_with_spaces))
        if isinstance(chart, DotChart):
            _dots(axes, chart, inks)
        else:
            _bars(axes, chart, inks)
        axes.set_ylim(bottom=0)
        buffer = io.BytesIO()
        canvas: Any = FigureCanvasSVG(figure)
        canvas.print_svg(buffer, metadata={"Date": None, "Creator": None})
    return without_styles(buffer.getvalue().decode()).encode()


def without_styles(svg: str) -> str:
    """The document with presentation attributes in place of style attributes and of its style sheet."""
    svg = re.sub(r"<style\b[^>]*>.*?</style>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
    svg = re.sub(r'(?<=\s)style="([^"]*)"', lambda found: _attributes(found.group(1)), svg)
    return svg.replace("<svg ", '<svg stroke-linejoin="round" stroke-linecap="butt" ', 1)


# --- Private ---------------------------------------------------------------------------------------------------------


def _attributes(style: str) -> str:
    pairs = [part.split(":", 1) for part in style.split(";") if part.strip()]
    return " ".join(f'{name.strip()}="{value.strip()}"' for name, value in pairs)


def _with_spaces(value: float, _position: int | None) -> str:
    """Thousands apart, as everywhere a figure stands alone; no reader takes a space for a decimal sign."""
    return f"{value:,.0f}".replace(",", "\N{NARROW NO-BREAK SPACE}") if value % 1 == 0 else f"{value:g}"


def _dots(axes: Any, chart: DotChart, inks: Inks) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    if chart.curve is not None:
        curve = chart.curve
        if curve.low:
            axes.fill_between(curve.x, curve.low, curve.high, color=inks.water, alpha=0.18, linewidth=0)
        axes.plot(curve.x, curve.value, color=inks.water, linewidth=1.8, linestyle=(0, (6, 3)))
    dots = chart.dots
    axes.errorbar(
        [dot.x for dot in dots],
        [dot.value for dot in dots],
        yerr=_errors(dots),
        fmt="o",
        markersize=7,
        color=inks.reed,
        ecolor=inks.reed,
        elinewidth=1.8,
        capsize=5,
    )
    axes.xaxis.set_major_locator(MaxNLocator(integer=True, nbins=5, min_n_ticks=1))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _position: f"{value:.0f}"))
    tops = [dot.value if dot.high is None else dot.high for dot in dots]
    if tops and max(tops) > 0:
        axes.set_ylim(top=max(tops) * 1.12)  # a band that widens must not squeeze what was measured


def _bars(axes: Any, chart: BarChart, inks: Inks) -> None:
    from matplotlib.ticker import MaxNLocator

    bars = chart.bars
    axes.bar(
        range(len(bars)),
        [bar.value for bar in bars],
        width=0.6,
        color=inks.reed,
    )
    known = [place for place, bar in enumerate(bars) if bar.low != bar.high]
    if known:
        limits = _errors([bars[place] for place in known])
        values = [bars[place].value for place in known]
        axes.errorbar(known, values, yerr=limits, fmt="none", ecolor=inks.ink, elinewidth=1.8, capsize=5)
    axes.set_xticks(range(len(bars)), [bar.label for bar in bars])
    axes.set_xlim(-0.75, max(len(bars), 1) - 0.25)
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, integer=True))


def _errors(values: Sequence[Dot | Bar]) -> tuple[list[float], list[float]]:
    below = [max(0.0, each.value - (each.value if each.low is None else each.low)) for each in values]
    above = [max(0.0, (each.value if each.high is None else each.high) - each.value) for each in values]
    return below, above

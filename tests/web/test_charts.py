"""Charts: the same bytes each time, nothing that the content policy forbids, and not loaded by pages."""

import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from reedcrew.web.charts import INKS, Bar, BarChart, Curve, Dot, DotChart, Theme, draw, without_styles

SVG = "{http://www.w3.org/2000/svg}"
TOKENS = Path(__file__).parents[2] / "reedcrew/web/static/web/tokens.css"

DOTS = DotChart(
    x_label="Year",
    y_label="Stems",
    dots=(Dot(x=2024.5, value=39_600, low=36_000, high=44_000), Dot(x=2025.5, value=24_200)),
    curve=Curve(x=(2024.5, 2026.5), value=(39_600, 14_000), low=(36_000, 2_000), high=(43_000, 90_000)),
)
BARS = BarChart(x_label="Year", y_label="Stems cut", bars=(Bar(label="2024", value=400, low=350, high=470),))
EMPTY = BarChart(x_label="Year", y_label="Stems cut")


@pytest.mark.parametrize("chart", [DOTS, BARS, EMPTY])
@pytest.mark.parametrize("theme", list(Theme))
def test_a_chart_is_an_image_without_style_script_or_date(chart, theme):
    svg = draw(chart, theme)
    root = ET.fromstring(svg)
    assert root.tag == f"{SVG}svg"
    for element in root.iter():
        assert element.tag not in {f"{SVG}style", f"{SVG}script", f"{SVG}metadata", f"{SVG}image"}
        assert "style" not in element.attrib
        assert not any(name.startswith("on") for name in element.attrib)
        # Links lead inside the document only.
        assert all(value.startswith("#") for name, value in element.attrib.items() if name.endswith("href"))
    assert INKS[theme].ink.encode() in svg


def test_the_same_chart_gives_the_same_bytes():
    assert draw(DOTS, Theme.LIGHT) == draw(DOTS, Theme.LIGHT)
    assert draw(DOTS, Theme.LIGHT) != draw(DOTS, Theme.DARK)
    assert draw(BARS, Theme.LIGHT) != draw(EMPTY, Theme.LIGHT)


def test_style_attributes_become_presentation_attributes():
    svg = '<svg ><style type="text/css">*{fill: red}</style><path d="M0 0" style="fill: #123456; stroke: none"/></svg>'
    path = ET.fromstring(without_styles(svg)).find("path")
    assert path.attrib == {"d": "M0 0", "fill": "#123456", "stroke": "none"}


def test_the_inks_are_those_of_the_pages():
    light, dark = TOKENS.read_text().split("prefers-color-scheme: dark")
    for theme, css in ((Theme.LIGHT, light), (Theme.DARK, dark)):
        for name in ("panel", "ink", "edge", "hair", "water", "reed"):
            assert f"--{name}: {getattr(INKS[theme], name)};" in css


def test_starting_the_site_loads_nothing_heavy_that_most_processes_never_use():
    """A fresh process loads every address of the site, and draws then."""
    code = (
        "import django, sys; django.setup(); from django.urls import get_resolver; get_resolver().url_patterns;"
        "from reedcrew.stands import charts;"
        "heavy = {'matplotlib', 'ninja', 'openpyxl', 'ortools', 'pandas', 'scipy', 'xlsxwriter'};"
        "loaded = lambda: sorted(heavy & set(sys.modules)); print(loaded());"
        "from reedcrew.web.charts import *; draw(BarChart(x_label='', y_label=''), Theme.LIGHT); print(loaded())"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["[]", "['matplotlib']"]

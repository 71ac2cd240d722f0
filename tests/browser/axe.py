"""What no page may have in any width or scheme: faults that axe finds, and content wider than the screen."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe, AxeResults
from playwright.sync_api import Page, ViewportSize

DESKTOP: ViewportSize = {"width": 1280, "height": 900}
PHONE: ViewportSize = {"width": 360, "height": 740}  # the smallest screen that every page must fit

SCRIPT = Axe().axe_script
RUN = "rules => axe.run(rules).then(results => ({violations: results.violations}))"  # the rest is large
# The colours are looked at in both schemes; all else is the same in them.
RULES: Mapping[Literal["light", "dark"], dict[str, Any]] = {
    "light": {"resultTypes": ["violations"]},
    "dark": {"resultTypes": ["violations"], "runOnly": {"type": "tag", "values": ["cat.color"]}},
}


def faults_of(page: Page) -> Iterator[str]:
    """What is wrong with the page as it stands, in sentences; it is left as it was found, in light."""
    page.evaluate(SCRIPT)
    shown = page.viewport_size or PHONE
    for screen in (DESKTOP, PHONE):
        page.set_viewport_size(screen)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            yield f"{page.url} is {wide} px wider than a screen of {screen['width']} px"
        for scheme in ("dark", "light"):
            # Without the fading of colours, half of which axe would see after the switch.
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            results = AxeResults(page.evaluate(RUN, RULES[scheme]))
            if results.violations_count:
                yield f"{page.url} in {scheme} at {screen['width']} px: {results.generate_report()}"
    page.set_viewport_size(shown)

"""What no page may have in any width or scheme: faults that axe finds, and content wider than the screen."""

from collections.abc import Iterator, Sequence
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe, AxeResults
from playwright.sync_api import Page, ViewportSize

DESKTOP: ViewportSize = {"width": 1280, "height": 900}
PHONE: ViewportSize = {"width": 360, "height": 740}  # the smallest screen that every page must fit

SCRIPT = Axe().axe_script
RUN = "rules => axe.run(rules).then(results => ({violations: results.violations}))"  # the rest is large
ALL: dict[str, Any] = {"resultTypes": ["violations"], "preload": False}  # nothing of a page stands on another server
COLOURS: dict[str, Any] = {**ALL, "runOnly": {"type": "tag", "values": ["cat.color"]}}
# One document serves both widths and both schemes. A desk shows the menu beside it, so its colours are looked at too.
LOOKS: Sequence[tuple[ViewportSize, Literal["light", "dark"], dict[str, Any]]] = (
    (DESKTOP, "light", COLOURS),
    (PHONE, "dark", COLOURS),
    (PHONE, "light", ALL),
)


def faults_of(page: Page) -> Iterator[str]:
    """What is wrong with the page as it stands, in sentences; it is left as it was found, in light."""
    page.evaluate(SCRIPT)
    shown = page.viewport_size or PHONE
    for screen, scheme, rules in LOOKS:
        page.set_viewport_size(screen)
        # Without the fading of colours, half of which axe would see after the switch.
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            yield f"{page.url} is {wide} px wider than a screen of {screen['width']} px"
        results = AxeResults(page.evaluate(RUN, rules))
        if results.violations_count:
            yield f"{page.url} in {scheme} at {screen['width']} px: {results.generate_report()}"
    page.set_viewport_size(shown)

"""What no page may have in any width or scheme: faults that axe finds, and content wider than the screen."""

from collections.abc import Iterator, Sequence
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe, AxeResults
from playwright.sync_api import Page, ViewportSize

DESKTOP: ViewportSize = {"width": 1280, "height": 900}
PHONE: ViewportSize = {"width": 360, "height": 740}  # the smallest screen that every page must fit

SCRIPT = Axe().axe_script
RUN = "rules => axe.run(rules).then(results => ({violations: results.violations}))"  # the rest is large
COLOURS = "cat.color"
ALL_BUT_COLOURS: dict[str, Any] = {
    "resultTypes": ["violations"],
    "preload": False,  # nothing of a page stands on another server
    "rules": {"color-contrast": {"enabled": False}},
}
# One document serves both widths and both schemes: its structure is looked at once, its colours in each scheme, and
# on a desk as well, which shows the menu beside the page.
LOOKS: Sequence[tuple[ViewportSize, Literal["light", "dark"], bool]] = (
    (DESKTOP, "light", False),
    (PHONE, "dark", False),
    (PHONE, "light", True),
)

# Looking at colours takes axe longer than all the rest, and most of a page is coloured like the pages before. What
# decides about an element's contrast is its own colour, what lies behind it, and how large and bold it is (for a link
# also what tells it from the text around it): visible texts alike in all of that are looked at once in a process. A
# text before a picture is looked at each time.
TEXTS = """() => {
  const behind = new Map([[null, ""]]);
  const back = element => {
    if (!behind.has(element)) {
      const style = getComputedStyle(element), colour = style.backgroundColor;
      const own = [colour, style.backgroundImage, style.opacity, style.filter].join(" ");
      const opaque = !/rgba|transparent|\\//.test(colour) && style.opacity === "1";
      behind.set(element, own + (opaque ? "" : "|" + back(element.parentElement)));
    }
    return behind.get(element);
  };
  window.textsOfPage = [...document.body.querySelectorAll("*")].filter(element =>
    element.checkVisibility({visibilityProperty: true, opacityProperty: true}) &&
    (element.matches("input, select, textarea") ||
     [...element.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim())));
  return window.textsOfPage.map(element => {
    const style = getComputedStyle(element), around = getComputedStyle(element.parentElement);
    return [
      style.color, style.fontSize, style.fontWeight, style.textShadow, style.textDecorationLine, style.clipPath,
      element.localName === "a" ? around.color : "", element.matches(":disabled"), back(element),
    ].join("|");
  });
}"""
RUN_ON_TEXTS = """([places, rules]) =>
  axe.run({include: places.map(place => window.textsOfPage[place])}, rules)
    .then(results => ({violations: results.violations}))"""

_looked_at: set[str] = set()


def faults_of(page: Page) -> Iterator[str]:
    """What is wrong with the page as it stands, in sentences; it is left as it was found, in light."""
    page.evaluate(SCRIPT)
    shown = page.viewport_size or PHONE
    for screen, scheme, whole in LOOKS:
        page.set_viewport_size(screen)
        # Without the fading of colours, half of which axe would see after the switch.
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            yield f"{page.url} is {wide} px wider than a screen of {screen['width']} px"
        for results in (_colours(page), *([page.evaluate(RUN, ALL_BUT_COLOURS)] if whole else [])):
            if results and results["violations"]:
                report = AxeResults(results).generate_report()
                yield f"{page.url} in {scheme} at {screen['width']} px: {report}"
    page.set_viewport_size(shown)


def _colours(page: Page) -> dict[str, Any] | None:
    """What axe finds in the colours of texts unlike all that were looked at before; None when there are none."""
    fresh: dict[str, int] = {}
    for place, text in enumerate(page.evaluate(TEXTS)):
        if text not in _looked_at or "url(" in text:
            fresh.setdefault(text, place)
    if not fresh:
        return None
    _looked_at.update(fresh)
    rules = {"resultTypes": ["violations"], "preload": False, "runOnly": {"type": "tag", "values": [COLOURS]}}
    found: dict[str, Any] = page.evaluate(RUN_ON_TEXTS, [list(fresh.values()), rules])
    return found

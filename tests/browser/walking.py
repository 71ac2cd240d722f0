"""Small moves on pages that several tests make."""

import re
from datetime import datetime
from zoneinfo import ZoneInfo

from playwright.sync_api import Locator, Page


def panel(page: Page, title: str) -> Locator:
    """The panel with this heading."""
    return page.locator("section.panel").filter(has=page.get_by_role("heading", name=title, exact=True))


def choose(page: Page, question: str, answer: str) -> None:
    """Choose one of a group of radio buttons."""
    page.get_by_role("group", name=question).get_by_label(answer, exact=True).check()


def fill_moment(page: Page, label: str, moment: datetime, zone: ZoneInfo) -> None:
    """Enter a moment on the site's clock into the field with this label."""
    local = moment.astimezone(zone)
    field = page.get_by_role("group", name=label, exact=True)
    field.get_by_label("Day").fill(f"{local:%Y-%m-%d}")
    field.get_by_label("Time").fill(f"{local:%H:%M}")


def code_in(text: str) -> str:
    """The sign-in code of a mail: the one line that holds nothing but capital letters, digits and dashes."""
    (code,) = re.findall(r"^\s*([A-Z0-9]{3,}(?:-[A-Z0-9]{3,})*)\s*$", text, re.MULTILINE)
    return str(code)

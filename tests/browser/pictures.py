"""The pictures of deploy/pictures: the demo, loaded afresh and served as people see it.

    python -m tests.browser.pictures

Needs /usr/bin/chromium. The pictures show the days that the demo has when the command is run.
"""

import base64
import os
import signal
import struct
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from playwright.sync_api import Locator, Page, ViewportSize, sync_playwright

from reedcrew.web.lifeline import die_with_parent
from tests.browser.walking import code_in
from tests.services import free_port, wait_until

TOP = Path(__file__).resolve().parents[2]
PICTURES = TOP / "deploy" / "pictures"
DESK: ViewportSize = {"width": 1280, "height": 860}
PHONE: ViewportSize = {"width": 360, "height": 860}
ORGANIZER, COORDINATOR, LEAD = (
    f"{name}@example.org" for name in ("ottilie.brankworth", "desmond.quayfield", "rosalba.ingersund")
)
MOST_COLOURS = 256  # of a PNG with a palette (PNG specification, section 11.2.2)
LARGEST_BYTES = 120_000
DECODE = """async source => {
  const bitmap = await createImageBitmap(await (await fetch("data:image/png;base64," + source)).blob());
  const paper = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
  paper.drawImage(bitmap, 0, 0);
  const bytes = paper.getImageData(0, 0, bitmap.width, bitmap.height).data;
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return [bitmap.width, bitmap.height, btoa(text)];
}"""


@contextmanager
def served_demo() -> Iterator[str]:
    """The address of the demo, loaded into a folder of its own and served until the end of the block."""
    with tempfile.TemporaryDirectory(prefix="reedcrew-pictures-") as folder:
        port, log = free_port(), Path(folder) / "serve.log"
        decided = {"REEDCREW_VAR": f"{folder}/var", "PORT": str(port), "SITE_URL": f"http://127.0.0.1:{port}"}
        environment = {**{name: value for name, value in os.environ.items() if not name.endswith("_URL")}, **decided}
        subprocess.run(
            [sys.executable, "deploy/prepare_demo.py"], cwd=TOP, env=environment, check=True, stdout=subprocess.DEVNULL
        )
        with log.open("wb") as file:
            server = subprocess.Popen(
                [sys.executable, "manage.py", "serve"],
                cwd=TOP,
                env=environment,
                stdout=file,
                stderr=file,
                preexec_fn=die_with_parent,
            )

        def ready() -> bool:
            assert server.poll() is None, log.read_text()
            return "Ready: " in log.read_text()

        try:
            wait_until(ready, what="the demo is served")
            yield decided["SITE_URL"]
        finally:
            server.send_signal(signal.SIGTERM)
            server.wait()


class Camera:
    """Takes pictures of what a page shows and keeps them small."""

    def __init__(self, darkroom: Page) -> None:
        self._darkroom = darkroom  # an empty page, whose browser unpacks the pictures

    def take(self, name: str, shown: Page | Locator) -> None:
        """Write the picture of a page's visible part, or of a part of it. Raises AssertionError for a large file."""
        picture = self._with_palette(shown.screenshot(animations="disabled"))
        assert len(picture) <= LARGEST_BYTES, f"{name} has {len(picture)} bytes"
        PICTURES.mkdir(exist_ok=True)
        (PICTURES / f"{name}.png").write_bytes(picture)
        print(f"{name}.png: {len(picture)} bytes")

    def _with_palette(self, png: bytes) -> bytes:
        width, height, encoded = self._darkroom.evaluate(DECODE, base64.b64encode(png).decode())
        pixels = np.frombuffer(base64.b64decode(encoded), np.uint8).reshape(-1, 4)[:, :3].astype(np.int32)
        colours, index, counts = np.unique(pixels, axis=0, return_inverse=True, return_counts=True)
        kept = colours[np.argsort(-counts)[:MOST_COLOURS]]
        nearest = np.array([np.argmin(((kept - colour) ** 2).sum(axis=1)) for colour in colours], np.uint8)
        rows = nearest[index.reshape(-1)].reshape(height, width)
        unfiltered = np.hstack([np.zeros((height, 1), np.uint8), rows])  # filter type 0 suits a palette
        return b"\x89PNG\r\n\x1a\n" + b"".join(
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
            for kind, body in (
                (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)),
                (b"PLTE", kept.astype(np.uint8).tobytes()),
                (b"IDAT", zlib.compress(unfiltered.tobytes(), 9)),
                (b"IEND", b""),
            )
        )


def sign_in(page: Page, email: str) -> None:
    """Sign in with the code that the site's own mail page shows."""
    page.goto("/accounts/login/code/")
    page.get_by_label("Email address").fill(email)
    page.get_by_role("button", name="Mail me a code").click()
    mails = page.context.new_page()
    mails.goto("/mail/")
    mails.get_by_role("row").filter(has_text=email).get_by_role("link").first.click()
    code = code_in(mails.locator(".mail-text").inner_text())
    mails.close()
    page.get_by_label("Code").fill(code)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("heading", name="My groups").wait_for()


def bring_to_top(part: Locator) -> None:
    part.evaluate("part => scrollTo(0, part.getBoundingClientRect().top + scrollY - 16)")


def photograph(camera: Camera, desk: Page, phone: Page) -> None:
    """Take every picture: the season's way from the shared day to the funder's sums."""
    sign_in(desk, ORGANIZER)
    desk.get_by_role("link", name="Friends of Quillet Bay").first.click()
    desk.get_by_role("link", name="Work days").first.click()
    days = desk.get_by_role("table", name="Days that are posted and not over").get_by_role("link")
    next_day, free_day = days.first.get_attribute("href"), days.last.get_attribute("href")
    assert next_day
    assert free_day

    desk.goto(free_day)
    shared = desk.locator("section.panel").filter(has_text="Share this day").get_by_role("link").inner_text()
    phone.goto(shared)
    camera.take("day-phone", phone)
    bring_to_top(phone.locator("#sign-up"))
    camera.take("sign-up-phone", phone)

    desk.goto(f"{next_day}plan/")
    bring_to_top(desk.locator("#units"))
    camera.take("plan", desk)
    bring_to_top(desk.locator("#gear"))
    camera.take("gear-list", desk)
    desk.get_by_role("link", name="Stands").first.click()
    desk.get_by_role("link", name="Landing stand").first.click()
    camera.take("stand", desk)

    phone.context.clear_cookies()
    sign_in(phone, LEAD)
    phone.goto(f"{next_day}field/people/")
    bring_to_top(phone.locator(".people"))
    camera.take("sign-in-phone", phone)

    desk.context.clear_cookies()
    sign_in(desk, COORDINATOR)
    desk.get_by_role("link", name="Friends of Quillet Bay").first.click()
    desk.get_by_role("link", name="Hours").first.click()
    camera.take("hours", desk)
    desk.goto("/mail/")
    invitation = desk.get_by_role("row").filter(has_text="maren.holtby").get_by_role("link", name="Work day: ")
    invitation.first.click()
    bring_to_top(desk.locator("section.panel").first)
    camera.take("mail", desk)


def main() -> None:
    with served_demo() as site, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        desk, phone = (
            browser.new_context(base_url=site, viewport=screen, locale="en-CA").new_page() for screen in (DESK, PHONE)
        )
        photograph(Camera(browser.new_page()), desk, phone)
        browser.close()


if __name__ == "__main__":
    main()

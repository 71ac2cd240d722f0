"""Pictures of every page, from the demo: ``python -m tests.contact_sheet OUT``, with REEDCREW_VAR naming its folder.

Four people of the demo follow every link that they can see; each address is shown once as the first of them who reaches
it and, where the volunteer reaches it too, once as the volunteer. OUT/index.html has a line for each page with four
pictures: phone and desk, light and dark. Printed: pages wider than their window, errors of scripts, and addresses that
no link leads to. Nothing of the demo changes, but for the sessions of the four.

``--only TEXT``: pages whose address has it; ``--readme``: the pictures of README.md, into deploy/pictures.
"""

import argparse
import io
import logging
import os
import sys
import threading
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from html import escape
from html.parser import HTMLParser
from pathlib import Path
from typing import Literal

import django
from PIL import Image
from playwright.sync_api import BrowserContext, Error, FloatRect, Page, sync_playwright

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "reedcrew.settings")
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")  # playwright runs a loop of its own in this thread
django.setup()

from django.conf import settings  # noqa: E402 - the lines above come first
from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler  # noqa: E402
from django.core.wsgi import get_wsgi_application  # noqa: E402
from django.urls import Resolver404, resolve  # noqa: E402

from reedcrew.people.models import Account  # noqa: E402
from tests.walk.addresses import all_addresses  # noqa: E402
from tests.walk.reader import Reader  # noqa: E402

HOST = "127.0.0.1"
CHROMIUM = "/usr/bin/chromium"
PEOPLE = {
    "organizer": "ottilie.brankworth@example.org",
    "coordinator": "desmond.quayfield@example.org",
    "crew lead": "rosalba.ingersund@example.org",
    "volunteer": "maren.holtby@example.org",
}
WIDTHS = {"phone": (360, 740), "desk": (1200, 800)}
Scheme = Literal["light", "dark"]
SCHEMES: Sequence[Scheme] = ("light", "dark")
HIGHEST = 5000  # px; what is longer is cut off
SETTLE_MS = 50
QUALITY = 70
WAIT_FOR_PICTURES = """() => Promise.race([
    Promise.all([...document.images].map(image => image.decode().catch(() => null))),
    new Promise(go_on => setTimeout(go_on, 5000)),
])"""  # a promise, for the content policy forbids what playwright's own waiting does
OPENED = 2  # pages of a route that are read for links: not every day leads to all that a day can have
LEFT_OUT = ("/accounts/logout/",)  # would end the session of who follows it


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A page to show, the person who reads it, and the route that it belongs to."""

    route: str
    url: str
    who: str

    @property
    def name(self) -> str:
        return "".join(letter if letter.isalnum() else "-" for letter in f"{self.route}{self.who}").strip("-")


@dataclass(slots=True)
class Links(HTMLParser):
    """The addresses of this site that a page links to, in order."""

    found: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        HTMLParser.__init__(self)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        target = (dict(attrs).get("href") or "").partition("#")[0] if tag == "a" else ""
        if target.startswith("/") and not target.startswith("//"):
            self.found.append(target.partition("?")[0])


def readers_of_the_demo() -> dict[str, Reader]:
    """The four people, and somebody who is not signed in."""
    readers = {who: Reader(Account.objects.get(email=mail)) for who, mail in PEOPLE.items()} | {"nobody": Reader()}
    for reader in readers.values():
        reader.defaults["SERVER_NAME"] = HOST
    return readers


def route_of(url: str) -> str | None:
    """The route of an address, None where the site has none."""
    try:
        return resolve(url).route
    except Resolver404:
        return None


def pages_within_reach(reader: Reader, start: str = "/") -> Iterator[tuple[str, str]]:
    """Route and address of each page, one for a route, that somebody reaches by following links."""
    waiting, opened, shown = [start], defaultdict[str, set[str]](set), set()
    while waiting:
        url = waiting.pop(0)
        route = route_of(url)
        if route is None or url in opened[route] or len(opened[route]) == OPENED or url in LEFT_OUT:
            continue
        opened[route].add(url)
        answer = reader.ask(url, "GET")
        if answer.status_code == 302:
            waiting.insert(0, answer.url.partition("?")[0])
        if answer.status_code != 200 or answer.streaming or "html" not in answer.get("Content-Type", ""):
            continue
        if route not in shown:
            shown.add(route)
            yield route, url
        links = Links()
        links.feed(answer.text)
        waiting += links.found


def shots_of(readers: dict[str, Reader]) -> list[Shot]:
    """Each page once as the first who reaches it, and as the volunteer and as nobody wherever they do."""
    found: dict[tuple[str, str], Shot] = {}
    for who, reader in readers.items():
        for route, url in pages_within_reach(reader):
            first = not any(shown == route for shown, _who in found)
            if first or who == "volunteer":
                found[route, who] = Shot(route=route, url=url, who=who)
    return sorted(found.values(), key=lambda shot: (shot.route, shot.who))


@contextmanager
def served() -> Iterator[str]:
    """The address at which this process answers."""
    server = ThreadedWSGIServer((HOST, 0), QuietHandler)
    server.set_app(get_wsgi_application())
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://{HOST}:{server.server_port}"
    finally:
        server.shutdown()


class QuietHandler(WSGIRequestHandler):
    """Answers without a line for each request."""

    def log_message(self, format: str, *args: object) -> None:
        pass


@dataclass(slots=True, kw_only=True)
class Camera:
    """Opens pages as somebody, takes their pictures, and keeps what is wrong with them."""

    base: str
    open_context: Callable[..., BrowserContext]
    readers: dict[str, Reader]
    faults: list[str] = field(default_factory=list)
    pages: dict[tuple[str, str], Page] = field(default_factory=dict)

    def take(self, shot: Shot, width: str, schemes: Sequence[Scheme] = SCHEMES, *, at: str = "") -> dict[str, bytes]:
        """By scheme the whole page as JPEG, or what the window shows from the first ``at`` on as PNG."""
        page = self._page(shot.who, width)
        page.emulate_media(color_scheme="light")
        page.goto(self.base + shot.url, wait_until="load")
        page.evaluate("document.querySelectorAll('img[loading=lazy]').forEach(image => image.loading = 'eager')")
        page.evaluate(WAIT_FOR_PICTURES)
        wide, high = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
        if wide > WIDTHS[width][0]:
            self.faults.append(f"{shot.url} as {shot.who}: {wide} px wide on a {width}")
        clip: FloatRect = {"x": 0, "y": 0, "width": WIDTHS[width][0], "height": min(high, HIGHEST)}
        if at:
            page.locator(at).first.evaluate("shown => shown.scrollIntoView()")
        taken: dict[str, bytes] = {}
        for scheme in schemes:
            page.emulate_media(color_scheme=scheme)
            page.wait_for_timeout(SETTLE_MS)  # pictures of the other scheme are asked for
            page.evaluate(WAIT_FOR_PICTURES)
            taken[scheme] = (
                page.screenshot() if at else page.screenshot(full_page=True, clip=clip, type="jpeg", quality=QUALITY)
            )
        return taken

    def _page(self, who: str, width: str) -> Page:
        if (who, width) not in self.pages:
            wide, high = WIDTHS[width]
            context = self.open_context(viewport={"width": wide, "height": high}, reduced_motion="reduce")
            for name, morsel in self.readers[who].cookies.items():
                context.add_cookies([{"name": name, "value": morsel.value, "url": self.base}])
            page = context.new_page()
            page.on("pageerror", lambda error: self.faults.append(f"{page.url} as {who}: {error}"))
            self.pages[who, width] = page
        return self.pages[who, width]


def contact_sheet(out: Path, shots: Sequence[Shot], camera: Camera) -> None:
    """One picture a page, width and scheme in ``out``, and the index that shows them side by side."""
    out.mkdir(parents=True, exist_ok=True)
    lines = []
    for number, shot in enumerate(shots, 1):
        print(f"{number} of {len(shots)}: {shot.url} as {shot.who}", flush=True)
        cells = []
        for width in WIDTHS:
            try:
                taken = camera.take(shot, width)
            except Error as fault:
                camera.faults.append(f"{shot.url} as {shot.who}: {fault.message}")
                continue
            for scheme, picture in taken.items():
                name = f"{shot.name}-{width}-{scheme}.jpg"
                (out / name).write_bytes(picture)
                about = escape(f"{shot.url} as {shot.who}, {width}, {scheme}")
                cells.append(f'<td><a href="{name}"><img src="{name}" alt="{about}" loading="lazy" width="300"></a>')
        lines.append(f"<tr><th>{escape(shot.route or '/')}<br>{escape(shot.who)}{''.join(cells)}")
    head = "".join(f"<th>{width}, {scheme}" for width in WIDTHS for scheme in SCHEMES)
    index = f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Every page</title><table><tr><th>{head}'
    (out / "index.html").write_text(index + "\n".join(lines) + "</table>\n")


README = (
    ("day", "d/<slug:code>/", "volunteer", "phone", "h1"),
    ("plan", "g/<slug:slug>/days/<int:pk>/plan/", "organizer", "desk", "#units"),
    ("sign-in", "g/<slug:slug>/days/<int:pk>/field/people/", "crew lead", "phone", "ul.people"),
    ("hours", "g/<slug:slug>/hours/", "coordinator", "desk", "main .facts"),
)


def readme_pictures(out: Path, readers: dict[str, Reader], camera: Camera) -> None:
    """The pictures of README.md: what the window shows, in WebP."""
    out.mkdir(parents=True, exist_ok=True)
    for name, route, who, width, at in README:
        url = next(url for shown, url in pages_within_reach(readers[who]) if shown == route)
        png = camera.take(Shot(route=route, url=url, who=who), width, ["light"], at=at)["light"]
        Image.open(io.BytesIO(png)).convert("RGB").save(out / f"{name}.webp", quality=80, method=6)


def main(arguments: Sequence[str]) -> int:
    """Exit status 1 where a page is too wide or a script failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.contact_sheet", description="Pictures of every page.")
    parser.add_argument("out", type=Path, nargs="?", help="a folder for the pictures, made if it is missing")
    parser.add_argument("--only", default="", help="pages whose address has this text")
    parser.add_argument("--readme", action="store_true", help="the pictures of README.md instead")
    asked = parser.parse_args(arguments)
    if asked.out is None and not asked.readme:
        parser.error("name a folder for the pictures")
    logging.disable(logging.WARNING)
    readers = readers_of_the_demo()
    with served() as base, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        camera = Camera(base=base, open_context=browser.new_context, readers=readers)
        if asked.readme:
            readme_pictures(Path(settings.BASE_DIR) / "deploy" / "pictures", readers, camera)
        else:
            shots = shots_of(readers)
            contact_sheet(asked.out, [shot for shot in shots if asked.only in f"/{shot.route}"], camera)
            shown = {shot.route for shot in shots}
            print("No link leads to:", *sorted({each.route for each in all_addresses()} - shown), sep="\n  ")
        browser.close()
    print(*camera.faults, sep="\n")
    return 1 if camera.faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

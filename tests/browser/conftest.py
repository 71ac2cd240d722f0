"""A real Chromium on a real server of this process: fixtures for tests/browser."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest
from django.conf import settings as django_settings
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, Response, sync_playwright
from pytest_django.live_server_helper import LiveServer

from tests.browser.axe import DESKTOP, PHONE, faults_of
from tests.sessions import session_of

if TYPE_CHECKING:
    from django.contrib.auth.base_user import AbstractBaseUser  # a model: not before Django is set up

HERE = Path(__file__).parent
CHROMIUM = shutil.which("chromium", path="/usr/bin")
QUIET = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"),
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    absent = pytest.mark.skip(reason="THERE IS NO /usr/bin/chromium: install chromium to run the tests in a browser")
    for item in items:
        if item.path.is_relative_to(HERE):
            item.add_marker("browser")
            if CHROMIUM is None:
                item.add_marker(absent)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of a process; each test gets contexts of its own from :func:`new_page`."""
    # Playwright keeps an event loop in this thread, and Django takes that for asynchronous code.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield running
        running.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def live_site(live_server: LiveServer, settings: Any) -> str:
    """The address of the site, served by this process on the database of the test."""
    settings.SITE_URL = live_server.url
    return str(live_server.url)


class Problems:
    """What a page did that no page may do: script errors, blocked content, inner errors, requests to other machines."""

    def __init__(self) -> None:
        self.found: list[str] = []

    def watch(self, context: BrowserContext) -> None:
        context.on("console", self._printed)
        context.on("weberror", lambda error: self.found.append(f"script error: {error.error}"))
        context.on("request", self._asked)
        context.on("response", self._answered)

    def _printed(self, message: ConsoleMessage) -> None:
        # A page of status 404 or 409 is printed as an error too; the test looks at such pages on purpose.
        if message.type == "error" and not message.text.startswith("Failed to load resource"):
            self.found.append(f"console: {message.text}")

    def _answered(self, response: Response) -> None:
        if response.status >= 500:
            self.found.append(f"{response.status} from {response.url}")

    def _asked(self, request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme in {"http", "https", "ws", "wss"} and address.hostname not in {"127.0.0.1", "localhost"}:
            self.found.append(f"request to another machine: {request.url}")


@pytest.fixture
def new_page(browser: Browser, live_site: str) -> Iterator[Callable[..., Page]]:
    """A function that opens a page in a context of its own, with addresses relative to the site.

    Its keywords are those of Playwright's ``new_context`` (``viewport=PHONE``, ``java_script_enabled=False``). The test
    fails at its end when a page printed an error, raised one in a script, met an inner error of the site, or asked
    another machine for something.
    """
    problems = Problems()
    contexts: list[BrowserContext] = []

    def open_page(**options: Any) -> Page:
        context = browser.new_context(**{"base_url": live_site, "viewport": DESKTOP, "locale": "en-GB", **options})
        context.set_default_timeout(15_000)
        problems.watch(context)
        contexts.append(context)
        return context.new_page()

    yield open_page
    for context in contexts:
        context.close()
    assert problems.found == []


@pytest.fixture
def page(new_page: Callable[..., Page]) -> Page:
    """A page on a desk's screen."""
    return new_page()


@pytest.fixture
def phone(new_page: Callable[..., Page]) -> Page:
    """A page on the smallest screen that every page must fit."""
    return new_page(viewport=PHONE, has_touch=True)


@pytest.fixture
def sign_in(live_site: str) -> "Callable[[Page, AbstractBaseUser], None]":
    """A function that signs an account in on a page's context, without the pages for it."""

    def put_session(page: Page, account: "AbstractBaseUser") -> None:
        page.context.add_cookies(
            [{"name": django_settings.SESSION_COOKIE_NAME, "value": session_of(account), "url": live_site}]
        )

    return put_session


@pytest.fixture
def assert_accessible() -> Callable[[Page], None]:
    """A function that fails on what axe finds on the page as it stands, in both schemes, and on a page too wide."""

    def check(page: Page) -> None:
        found = list(faults_of(page))
        assert not found, "\n".join(found)

    return check

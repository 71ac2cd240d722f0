"""People who press "sign up" over real connections, press again when no answer came, and read what they are told."""

import re
import secrets
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException, HTTPResponse
from threading import Event, Semaphore
from urllib.parse import urlencode, urlsplit

from django.conf import settings

from reedcrew.people.models import Member
from reedcrew.workdays.models import SignUp, WorkDay
from tests import factories
from tests.services import LOOPBACK, START_S, wait_until
from tests.sessions import session_of

AGAIN_S = 0.05
STATE = re.compile(r"<span class=\"badge badge-(\w+)\">")
TONES = {"done": SignUp.State.CONFIRMED, "open": SignUp.State.WAITING}


@dataclass(slots=True, kw_only=True)
class Person:
    """Somebody with a browser; ``told`` is the state that the page showed them in the end."""

    member: Member
    cookies: dict[str, str]
    told: str = ""


def make_crowd(day: WorkDay, number: int) -> list[Person]:
    """Members of the day's group who are signed in, each in a browser of their own."""
    return [_signed_in(factories.make_member(day.group)) for _ in range(number)]


def _signed_in(member: Member) -> Person:
    token = secrets.token_hex(16)  # 32 characters, as Django's own
    cookies = {settings.SESSION_COOKIE_NAME: session_of(factories.account_of(member)), settings.CSRF_COOKIE_NAME: token}
    return Person(member=member, cookies=cookies)


@dataclass(slots=True, kw_only=True)
class Stampede:
    """People who press at the same time, and what became of it."""

    port: int
    day: WorkDay
    people: Sequence[Person]
    seen: Counter[str] = field(default_factory=Counter)
    """What was seen besides the right answers: kinds of broken connections, and statuses."""
    coming: Semaphore = field(default_factory=lambda: Semaphore(0))
    enough: Event = field(default_factory=Event)
    pressed: list[Future[None]] = field(default_factory=list)

    @property
    def told(self) -> int:
        """How many were told their state so far."""
        return sum(bool(person.told) for person in self.people)

    def come(self, share: int = 1) -> None:
        """Let the next people press: one in ``share`` of all."""
        self.coming.release(len(self.people) // share)

    def until(self, number: int) -> None:
        """Wait until so many were told. Raises what a person's thread raised."""

        def enough() -> bool:
            for each in self.pressed:
                if each.done():
                    each.result()
            return self.told >= number

        wait_until(enough, what=f"{number} of {len(self.people)} are told")

    def press(self, person: Person) -> None:
        """Sign up and read the page that follows, each until it is answered. No other page may be seen but a 503."""
        self.coming.acquire()
        page = self.day.get_public_url()
        form = {f"place_{person.member.pk}": "land", "csrfmiddlewaretoken": person.cookies[settings.CSRF_COOKIE_NAME]}
        self._until(person, "POST", f"{page}sign-up/", urlencode(form), right=302)
        shown = self._until(person, "GET", page, right=200)
        if self.enough.is_set():
            return
        _before, found, own_line = shown.partition(f"<strong>{person.member.name}</strong>")
        state = STATE.search(own_line)
        assert found, shown
        assert state is not None, shown
        person.told = TONES[state[1]]

    def _until(self, person: Person, method: str, path: str, body: str = "", *, right: int) -> str:
        while not self.enough.is_set():
            try:
                answer, text = ask(self.port, method, path, body, person.cookies)
            except (OSError, HTTPException) as error:
                self.seen[type(error).__name__] += 1
            else:
                if answer.status == right:
                    return text
                assert (answer.status, answer.headers["Retry-After"] is None) == (503, False), text
                self.seen[f"{answer.status} {answer.headers['Reedcrew-Refusal']}"] += 1
            time.sleep(AGAIN_S)
        return ""


def ask(
    port: int, method: str, path: str, body: str | bytes = "", cookies: dict[str, str] | None = None, **heads: str
) -> tuple[HTTPResponse, str]:
    """One request on a new connection, and its whole answer."""
    web = HTTPConnection(LOOPBACK, port, timeout=START_S)
    try:
        cookie = "; ".join(f"{name}={value}" for name, value in (cookies or {}).items())
        kind = {"Content-Type": "application/x-www-form-urlencoded"} if body else {}
        own = {"Host": urlsplit(settings.SITE_URL).netloc, "Connection": "close", "Cookie": cookie, **kind}
        web.request(method, path, body, {**own, **heads})
        answer = web.getresponse()
        return answer, answer.read().decode()
    finally:
        web.close()


@contextmanager
def stampede(port: int, day: WorkDay, people: Sequence[Person], *, at_once: int) -> Iterator[Stampede]:
    """Those who are let press, so many at the same time; at the end of the block all do, until everyone was told."""
    running = Stampede(port=port, day=day, people=people)
    with ThreadPoolExecutor(max_workers=at_once) as pool:
        running.pressed += [pool.submit(running.press, person) for person in people]
        try:
            yield running
            running.come()
            running.until(len(people))
        finally:
            running.enough.set()
            running.come()


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedUp:
    """People who were told where they stand; who stand; who were told otherwise than it is; who stand twice."""

    acknowledged: int
    held: int
    lost: int
    doubled: int
    confirmed: int
    seen: Counter[str]

    def is_whole(self, *, people: int, places: int) -> bool:
        """Everybody was told where they stand, and stands there once; exactly the places are given."""
        numbers = (self.acknowledged, self.held, self.lost, self.doubled, self.confirmed)
        return numbers == (people, people, 0, 0, places)

    def __str__(self) -> str:
        seen = ", ".join(f"{number} × {what}" for what, number in sorted(self.seen.items())) or "nothing else"
        numbers = f"{self.acknowledged} acknowledged, {self.held} held, {self.lost} lost, {self.doubled} doubled"
        return f"{numbers}, {self.confirmed} confirmed; seen besides: {seen}"


def signed_up(crowd: Stampede) -> SignedUp:
    """Compare what people were told with the rows. AssertionError where the list is not in its order."""
    rows = list(SignUp.objects.filter(day=crowd.day).order_by("number"))
    assert [row.number for row in rows] == list(range(1, len(rows) + 1)), "numbers are missing or given twice"
    confirmed = [row.state == SignUp.State.CONFIRMED for row in rows]
    assert confirmed == sorted(confirmed, reverse=True), "somebody was confirmed before one who came first"
    states: dict[int, list[str]] = {}
    for row in rows:
        states.setdefault(row.member_id, []).append(row.state)
    told = [person for person in crowd.people if person.told]
    return SignedUp(
        acknowledged=len(told),
        held=sum(person.member.pk in states for person in crowd.people),
        lost=sum(person.told not in states.get(person.member.pk, ()) for person in told),
        doubled=sum(len(found) > 1 for found in states.values()),
        confirmed=sum(confirmed),
        seen=crowd.seen,
    )

"""A day that everybody wants: 2,000 people press "sign up" for 60 places over 64 connections.

Both sides of the ratio pass the whole frame of the site on the same server: the same people are signed in, with a
session each that was used a moment ago, and their forms are checked for forgery. What remains is what a sign-up asks
and writes beyond the one row of the bare view, and that people wait for each other at the day's row. Mails are written
down and sent by workers, which do not run here.
"""

from typing import Any

from tests.bench.measure import Benchmark, Outcome
from tests.bench.served import measured

PEOPLE, PLACES, CONNECTIONS = 2_000, 60, 64


def sign_up_over_bare() -> Outcome:
    """Requests a second of a view that keeps one row in one transaction ÷ sign-ups a second, in the same frame.

    Bound 2. Raises RuntimeError unless exactly 60 are confirmed, the waiting list is in the order of its numbers, and
    every answer leads back to the day.
    """
    found = measured("stampede")
    if found["wrong"]:
        raise RuntimeError(f"The stampede left: {found['wrong']}")
    table = [
        ("side", "requests", "seconds", "a second"),
        *((side, str(PEOPLE), f"{found[side]:.2f}", f"{PEOPLE / found[side]:.0f}") for side in ("bare", "sign-up")),
    ]
    return Outcome(table=table, ratio=found["sign-up"] / found["bare"])


BENCHMARKS = (
    Benchmark(
        name="stampede",
        about="requests a second of a view that inserts one row ÷ sign-ups a second, 2,000 people for 60 places",
        bound=2,
        run=sign_up_over_bare,
    ),
)


# --- In the process that measures ------------------------------------------------------------------------------------
def measure() -> dict[str, Any]:
    """Seconds of both sides, and what is wrong with the day afterwards, which is nothing."""
    from django.db import connection

    from reedcrew.workdays.models import SignUp, WorkDay
    from tests.bench.served.clients import Press, press_all, web_server
    from tests.bench.served.groups import make_groups
    from tests.bench.served.urls import BARE_TABLE
    from tests.factories import account_of
    from tests.sessions import used_session

    with connection.cursor() as cursor:
        cursor.execute(BARE_TABLE)
    made = make_groups(groups=1, people=PEOPLE + 1, days=3)
    day = made.days[0]
    WorkDay.objects.filter(pk=day.pk).update(land_places=PLACES)
    SignUp.objects.filter(day=day).delete()
    address = f"{day.get_public_url()}sign-up/"
    sessions = {member.pk: used_session(account_of(member)) for member in made.members}
    presses = [
        Press(path=address, session=session, fields={f"place_{member}": "land"}) for member, session in sessions.items()
    ]
    bare = [Press(path="/bare/", session=session, fields={"kept": "yes"}) for session in sessions.values()]
    with web_server():
        press_all(bare[:CONNECTIONS], CONNECTIONS)  # every thread has its connection to the database
        first, bare_before = press_all(bare, CONNECTIONS)
        answers, seconds = press_all(presses, CONNECTIONS)
        last, bare_after = press_all(bare, CONNECTIONS)
    wrong = [
        f"{answer.press.path} answered {answer.status} and led to {answer.location!r}"
        for answer in answers
        if (answer.status, answer.location) != (302, day.get_public_url())
    ]
    wrong += [f"/bare/ answered {answer.status}" for answer in (*first, *last) if answer.status != 200]
    states = list(SignUp.objects.filter(day=day).order_by("number").values_list("number", "state"))
    if states != [
        (number, SignUp.State.CONFIRMED if number <= PLACES else SignUp.State.WAITING)
        for number in range(1, PEOPLE + 1)
    ]:
        wrong.append(f"{len(states)} sign-ups, {sum(state == 'confirmed' for _number, state in states)} confirmed")
    return {"bare": (bare_before + bare_after) / 2, "sign-up": seconds, "wrong": wrong[:5]}

"""Reading and writing on an installation of many groups, and on one of a single small group."""

import random
import statistics
from collections import defaultdict
from typing import Any

from tests.bench.measure import Benchmark, Outcome
from tests.bench.served import measured

SMALL, LARGE = (1, 100, 25), (200, 100_000, 5_000)  # groups, people, days
ROUNDS, WRITERS = 40, 60  # how often each page is read, and how many people sign up and withdraw
CONNECTIONS = 4
P95 = 18  # of the nineteen cuts between twentieths


def large_over_small() -> Outcome:
    """p95 of the seconds of an answer on 200 groups, 100,000 people and 5,000 days ÷ on 1 group of 100 people; bound 3.

    The same pages in the same mix, of one group in the middle, two gunicorn processes of eight threads, four clients.
    """
    small, large = (measured("mixed", *map(str, size)) for size in (SMALL, LARGE))
    table = [("page", "answers", "p95 s, one group", "p95 s, many groups", "ratio")]
    for page in small:
        before, after = _p95(small[page]), _p95(large[page])
        table.append((page, str(len(small[page])), f"{before:.3f}", f"{after:.3f}", f"{after / before:.2f}"))
    return Outcome(table=table, ratio=_p95(_all(large)) / _p95(_all(small)))


BENCHMARKS = (
    Benchmark(
        name="mixed",
        about="p95 of reading and writing with 200 groups, 100,000 people, 5,000 days ÷ with 1 group of 100 people",
        bound=3,
        run=large_over_small,
    ),
)


def _p95(seconds: list[float]) -> float:
    return statistics.quantiles(seconds, n=20)[P95]


def _all(by_page: dict[str, list[float]]) -> list[float]:
    return [each for seconds in by_page.values() for each in seconds]


# --- In the process that measures ------------------------------------------------------------------------------------
def measure(groups: str, people: str, days: str) -> dict[str, list[float]]:
    """Seconds of every answer by the name of its page."""
    from django.urls import reverse

    from reedcrew.workdays.models import SignUp
    from tests.bench.served.clients import Press, press_all, web_server
    from tests.bench.served.groups import make_groups
    from tests.factories import account_of
    from tests.sessions import session_of

    made = make_groups(int(groups), int(people), int(days))
    day, slug = made.days[0], made.group.slug
    keeper = session_of(made.organizer)
    read = {
        "start of everybody": reverse("people:home"),
        "start of the group": made.group.get_absolute_url(),
        "days": reverse("workdays:days", args=[slug]),
        "day": day.get_absolute_url(),
        "roster": reverse("workdays:roster", args=[slug, day.pk]),
        "shared page of the day": day.get_public_url(),
        "members": reverse("people:members", args=[slug]),
        "stands": reverse("stands:stands", args=[slug]),
        "stock": reverse("stock:stock", args=[slug]),
    }
    names = {path: name for name, path in read.items()}
    sign_up = f"{day.get_public_url()}sign-up/"
    on_day = set(day.sign_ups.values_list("member", flat=True))
    writers = {
        member.pk: session_of(account_of(member)) for member in made.members[-WRITERS - len(on_day) :]
        if member.pk not in on_day
    }  # fmt: skip
    signing = [Press(path=sign_up, session=key, fields={f"place_{member}": "land"}) for member, key in writers.items()]
    found: defaultdict[str, list[float]] = defaultdict(list)

    def press(presses: list[Any], turns: int) -> None:
        reading = [Press(path=path, session=keeper) for path in read.values() for _turn in range(turns)]
        presses = [*presses, *reading]
        random.Random(20260815).shuffle(presses)
        for answer in press_all(presses, CONNECTIONS)[0]:
            if answer.status != (302 if answer.press.fields else 200):
                raise RuntimeError(f"{answer.press.path} answered {answer.status} and led to {answer.location!r}")
            path = answer.press.path
            name = "sign up" if path == sign_up else names.get(path, "withdraw")
            found[name].append(answer.seconds)

    with web_server():
        press([], turns=2)  # what is asked for the first time is no measure
        found.clear()
        press(signing, turns=ROUNDS // 2)
        made_now = SignUp.objects.filter(day=day, member__in=writers).values_list("pk", "member")
        withdrawing = [
            Press(path=f"{day.get_public_url()}withdraw/{key}/", session=writers[member], fields={"sure": "yes"})
            for key, member in made_now
        ]
        press(withdrawing, turns=ROUNDS // 2)
    if SignUp.objects.active().filter(day=day, member__in=writers).exists() or len(made_now) != len(writers):
        raise RuntimeError(f"{len(writers)} signed up and withdrew, and the rows do not say so")
    return dict(sorted(found.items()))

"""Server time of the ten most used pages beside a bare page, with few and with many rows."""

import statistics
import time

import time_machine
from django.test import Client, override_settings

from tests.bench.database import empty_database
from tests.bench.measure import Benchmark, Outcome, in_turn
from tests.bench.page_rows import make_group_of_pages
from tests.factories import NOW

FEW, MANY = 10, 1000  # rows
ROUNDS = 5
BARE = "/bare/"


def page_over_bare() -> Outcome:
    """CPU time of the slowest of ten pages with 10 rows ÷ that of a bare page with the same base template."""
    seconds = _measured(FEW)
    return _outcome(seconds, {name: each / seconds[BARE] for name, each in seconds.items()})


def many_over_few() -> Outcome:
    """CPU time with 1,000 rows ÷ that with 10, of the page that grows most."""
    few, many = _measured(FEW), _measured(MANY)
    return _outcome(many, {name: many[name] / few[name] for name in few})


def _measured(rows: int) -> dict[str, float]:
    """Median CPU seconds of each page, all of them in turn, the bare one among them."""
    with empty_database(), override_settings(ROOT_URLCONF="tests.bench.bare_urls"), time_machine.travel(NOW):
        client, pages = make_group_of_pages(rows)
        sides = {name: Asking(client, address) for name, address in {BARE: BARE, **pages}.items()}
        return {name: statistics.median(found) for name, found in in_turn(sides, ROUNDS).items()}


class Asking:
    """Asks for one page and returns the CPU seconds that it took."""

    def __init__(self, client: Client, address: str) -> None:
        self.client, self.address = client, address

    def __call__(self) -> float:
        begun = time.process_time()
        answer = self.client.get(self.address)
        taken = time.process_time() - begun
        if answer.status_code != 200:
            raise RuntimeError(f"{self.address} answered {answer.status_code}")
        return taken


def _outcome(seconds: dict[str, float], ratios: dict[str, float]) -> Outcome:
    table = [("page", "CPU ms", "ratio")]
    table += [(name, f"{1000 * seconds[name]:.0f}", f"{ratio:.2f}") for name, ratio in ratios.items()]
    return Outcome(table=table, ratio=max(ratios.values()))


BENCHMARKS = (
    Benchmark(
        name="pages",
        about="server time of the slowest of the ten most used pages with 10 rows ÷ a bare page with the same base",
        bound=30,
        run=page_over_bare,
    ),
    Benchmark(
        name="pages-growth",
        about="server time with 1,000 rows ÷ with 10, of the one of the ten pages that grows most",
        bound=50,
        run=many_over_few,
    ),
)

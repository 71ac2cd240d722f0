"""What the first load of a day's phone page moves over a weak network."""

import gzip
import re

from django.test import Client
from django.urls import reverse

from reedcrew.people.roles import Role
from tests import factories
from tests.bench.database import empty_database
from tests.bench.measure import Benchmark, Outcome
from tests.weights import packed

BYTES_MAX = 200_000  # of the whole first load
PEOPLE = 30
ADDRESS = re.compile(r'(?:href|src)="(/static/[^"#]+)')


def first_load() -> Outcome:
    """Bytes of the first load of the phone page of a day of 30 people, over those allowed; bound 1.

    Page, sheets, pictures, every script, the worker and the day's data, packed as a server sends them, without the
    heads of answers. The worker asks for the same files again, which are answered as unchanged. Beside it a page with
    the bare frame, with its sheets, scripts and pictures.
    """
    with empty_database():
        group = factories.make_group()
        lead = factories.make_member(group, role=Role.CREW_LEAD)
        stand = factories.make_stand(group)
        zones = [factories.make_zone(stand, name=f"Zone {part}") for part in range(3)]
        day = factories.make_day(stand, zones=zones)
        for _person in range(PEOPLE):
            factories.make_sign_up(day, factories.make_water_member(group))
        client = Client(headers={"Accept-Encoding": "gzip"})
        client.force_login(factories.account_of(lead))
        where = [group.slug, day.pk]
        kept = client.get(reverse("fieldbook:worker"))
        worker = gzip.decompress(kept.content).decode()
        parts = {
            "page": len(client.get(reverse("fieldbook:phone", args=where)).content),
            "the page once more, for the worker": len(client.get(reverse("fieldbook:shell")).content),
            "worker": len(kept.content),
            "sheets, scripts, pictures": sum(map(packed, set(re.findall(r'"(/static/[^"]+)"', worker)))),
            "the day's data": len(client.get(reverse("fieldbook:day_json", args=where)).content),
        }
        bare = client.get(reverse("people:group", args=[group.slug]))
        base = len(bare.content) + sum(map(packed, set(ADDRESS.findall(bare.text))))
    total = sum(parts.values())
    table = [("what", "bytes"), *((name, f"{size}") for name, size in parts.items()), ("in all", f"{total}")]
    table += [("a group's start page with its files", f"{base}"), ("ratio to it", f"{total / base:.2f}")]
    return Outcome(table=table, ratio=total / BYTES_MAX)


BENCHMARKS = (
    Benchmark(
        name="field-weight",
        about="bytes of the first load of a day's phone page ÷ 200,000; prints the ratio to a page with the bare frame",
        bound=1,
        run=first_load,
    ),
)

"""Whether the pages of stands take longer for a group that has many, with ten years of surveys each."""

import datetime
import tracemalloc
from decimal import Decimal

from django.test import Client
from django.urls import reverse

from reedcrew.people.models import Account, Group
from reedcrew.people.roles import Role
from reedcrew.stands.models import Quadrat, Stand, Survey, WaterLevel, Zone
from reedcrew.stands.queries import collection_text, features
from reedcrew.trade.identification import Identification
from reedcrew.trade.policy import DEFAULT_POLICY
from tests import factories
from tests.bench.database import empty_database, queries_of
from tests.bench.measure import Benchmark, Outcome
from tests.factories import NOW

FEW, MANY = 10, 1_000  # stands
YEARS = 10
SITES = 10
ZONES = 3  # of a stand
QUADRATS = 3  # of a zone in a survey
LEVELS_A_YEAR = 12
STEP = 0.001  # degree between stands


def many_over_few() -> Outcome:
    """Queries and memory for 1,000 stands against those for 10; bound 1.25.

    The ratio is the largest of: for each page 1 plus the queries that it takes more, so that a single one is past the
    bound; and the peak memory (tracemalloc) of making the map's GeoJSON, read and dropped piece by piece, over that of
    the few.
    """
    with empty_database():
        few, many = _group(FEW), _group(MANY)
        table = [("what", f"{FEW} stands", f"{MANY} stands", "ratio")]
        ratio = 1.0
        for name, pages in _pages(few).items():
            counts = [
                queries_of(_reader(group), address) for group, address in ((few, pages), (many, _pages(many)[name]))
            ]
            grown = 1 + counts[1] - counts[0]
            table.append((f"queries of the {name}", str(counts[0]), str(counts[1]), f"{grown}"))
            ratio = max(ratio, grown)
        peaks = [_peak_bytes(group) for group in (few, many)]
        sizes = [_size_bytes(group) for group in (few, many)]
        grown_memory = peaks[1] / peaks[0]
        kib = [f"{bytes_ / 1024:.0f} KiB" for bytes_ in (*peaks, *sizes)]
        table.append(("peak memory of the GeoJSON", kib[0], kib[1], f"{grown_memory:.2f}"))
        table.append(("length of the GeoJSON", kib[2], kib[3], ""))
    return Outcome(table=table, ratio=max(ratio, grown_memory))


BENCHMARKS = (
    Benchmark(
        name="stands",
        about="queries and memory of the pages of 1,000 stands with 10 years of surveys ÷ those of 10 stands",
        bound=1.25,
        run=many_over_few,
    ),
)


def _reader(group: Group) -> Client:
    client = Client()
    client.force_login(group.members.get().account)
    return client


def _pages(group: Group) -> dict[str, str]:
    stand = Stand.objects.of_group(group).order_by("pk").first()
    assert stand is not None
    return {
        "stand list": reverse("stands:stands", args=[group.slug]),
        "map": reverse("stands:map", args=[group.slug]),
        "map data": reverse("stands:map_data", args=[group.slug]),
        "page of a stand": reverse("stands:stand", args=[group.slug, stand.pk]),
        "history of a stand": reverse("stands:history", args=[group.slug, stand.pk]),
    }


def _group(stands: int) -> Group:
    group = factories.make_group()
    member = factories.make_member(group, role=Role.ORGANIZER)
    account = factories.account_of(member)
    sites = [factories.make_site(group) for _number in range(SITES)]
    levels = []
    for site in sites:
        gauge = factories.make_gauge(site, since=datetime.date(NOW.year - YEARS, 1, 1))
        levels += [
            WaterLevel(gauge=gauge, level_cm=20 + number % 15, read_at=NOW - 30 * number * _DAY, read_by=account)
            for number in range(YEARS * LEVELS_A_YEAR)
        ]
    WaterLevel.objects.bulk_create(levels)
    made = Stand.objects.bulk_create(
        Stand(
            site=sites[number % SITES],
            name=f"Stand {number:04}",
            identification=Identification.INTRODUCED.value,
            first_cut_year=NOW.year - YEARS,
            outline=_square(number, ZONES),
        )
        for number in range(stands)
    )
    zones = Zone.objects.bulk_create(
        Zone(
            stand=stand,
            name=f"Zone {part}",
            depth_cm=part * 25,
            surveyed_on=datetime.date(NOW.year, 7, 1),
            gauge_cm=20,
            stems=3000,
            outline=_square(number, 1, part),
            area_m2=Decimal(700),
        )
        for number, stand in enumerate(made)
        for part in range(ZONES)
    )
    _survey(made, zones, account)
    return group


_DAY = datetime.timedelta(days=1)


def _square(number: int, width: int, part: int = 0) -> dict[str, object]:
    """The outline of the stand with this number, so many zones wide, or of one of its zones."""
    west = round(-76.5 + (number % 30) * STEP + part * STEP / 4, 6)
    south = round(44.25 + (number // 30) * STEP, 6)
    east, north = round(west + width * STEP / 4, 6), round(south + STEP / 2, 6)
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return {"type": "Polygon", "coordinates": [ring]}


def _survey(stands: list[Stand], zones: list[Zone], account: Account) -> None:
    of_stand: dict[int, list[Zone]] = {}
    for zone in zones:
        of_stand.setdefault(zone.stand_id, []).append(zone)
    surveys = Survey.objects.bulk_create(
        Survey(
            stand=stand,
            surveyed_on=datetime.date(NOW.year - back, 7, 1),
            quadrat_m2=Decimal(1),
            recorded_by=account,
            recorded_at=NOW,
        )
        for stand in stands
        for back in range(YEARS)
    )
    Quadrat.objects.bulk_create(
        (
            Quadrat(survey=survey, zone=zone, number=number, stems=(number * 7 + zone.pk) % 60)
            for survey in surveys
            for zone in of_stand[survey.stand_id]
            for number in range(1, QUADRATS + 1)
        ),
        batch_size=5_000,
    )


def _peak_bytes(group: Group) -> int:
    _size_bytes(group)  # what is loaded once and kept is no part of the measurement
    tracemalloc.start()
    try:
        _size_bytes(group)
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def _size_bytes(group: Group) -> int:
    return sum(len(piece.encode()) for piece in collection_text(features(group, DEFAULT_POLICY, NOW)))

"""Whatever is tried in whatever order: no count falls below nothing, and each is the sum of its movements."""

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedcrew.stock import services
from reedcrew.stock.errors import StockError
from reedcrew.stock.models import Kind, Movement, Place
from reedcrew.stock.queries import Outing, place_counts, states_of_line
from reedcrew.stock.services import Pieces
from reedcrew.trade.items import Item
from tests.factories import END, NOW, START, make_account, make_group, make_member, make_sets, make_stock

pytestmark = pytest.mark.django_db

BOTH_SITES = [
    Outing(key=key, site=key, title=f"Day {key}", address="/", date=START.date(), starts_at=START, ends_at=END)
    for key in (1, 2)
]
STEPS = st.tuples(
    st.sampled_from(["issue", "back", "lost", "damaged", "clean", "dry", "count", "book"]),
    st.integers(0, 1),  # which set, person and day
    st.integers(-1, 4),  # how many counted pieces
    st.sampled_from(list(services.COUNTED_KINDS)),
)


class Shed:
    """One line with counted pieces and two sets, two people, two days; follows what the deeds that succeed mean."""

    def __init__(self):
        self.group = make_group()
        self.actor = make_account()
        self.line = make_stock(self.group, Item.CHEST_WADERS, 3, size="43")
        self.sets = make_sets(self.group, Item.CHEST_WADERS, 2, size="43")
        self.people = [make_member(self.group) for _person in range(2)]
        self.refused = self.done = 0

    def step(self, deed, which, number, kind):
        values: Any = {"actor": self.actor, "now": NOW}
        gear_set, person, outing = self.sets[which], self.people[which], BOTH_SITES[which]
        pieces = Pieces(line=self.line, number=number)
        back = {"back": Kind.RETURNED, "lost": Kind.LOST, "damaged": Kind.DAMAGED}
        try:
            if deed == "issue":
                services.issue(
                    group=self.group, outing=outing, member=person, sets=[gear_set], counted=[pieces], **values
                )
            elif deed in back:
                services.take_back(
                    group=self.group,
                    key=outing.key,
                    member=person,
                    sets={gear_set: back[deed]},
                    counted=[(pieces, back[deed])],
                    **values,
                )
            elif deed in {"clean", "dry"}:
                care = Kind.CLEANED if deed == "clean" else Kind.DRIED
                services.mark(group=self.group, kind=care, sets=[gear_set], counted=[pieces], **values)
            elif deed == "count":
                services.record_movement(line=self.line, kind=kind, number=number, **values)
            else:
                want = services.Want(member=person, item=Item.CHEST_WADERS, size="43")
                services.book(group=self.group, outing=outing, wants=[want], **values)
            self.done += 1
        except StockError:
            self.refused += 1

    def check(self):
        rows = list(Movement.objects.filter(line=self.line).order_by("pk"))
        by_hand: Counter[Place] = Counter()
        for row in rows:
            assert row.number > 0
            by_hand[Place(row.source)] -= row.number
            by_hand[Place(row.target)] += row.number
            assert all(count >= 0 for place, count in by_hand.items() if place is not Place.OUTSIDE)
        counts = place_counts([self.line])[self.line.pk]
        assert {place: count for place, count in counts.items() if count} == {
            place: count for place, count in by_hand.items() if count
        }
        assert sum(counts.values()) == 0
        for state in states_of_line(self.line):
            own: Counter[str] = Counter()
            for row in rows:
                if row.gear_set_id == state.gear_set.pk:
                    own[row.source] -= 1
                    own[row.target] += 1
            assert {place: count for place, count in own.items() if count} == {Place.OUTSIDE: -1, state.place: 1}


@settings(max_examples=40)
@given(steps=st.lists(STEPS, max_size=12))
def test_no_order_of_deeds_breaks_the_sums(steps):
    shed = Shed()
    for step in steps:
        before = Movement.objects.filter(line=shed.line).count()
        refused = shed.refused
        shed.step(*step)
        if shed.refused > refused:  # a refusal changes nothing
            assert Movement.objects.filter(line=shed.line).count() == before
    shed.check()

"""Sums over the ledger: how many pieces are in each place."""

from collections import Counter
from collections.abc import Iterable, Sequence

from django.db.models import Q, Sum

from reedcrew.people.models import Group
from reedcrew.stock.models import Kind, Loan, Movement, Place, StockLine

PlaceCounts = Counter[Place]


def place_counts(lines: Iterable[StockLine], *, counted_only: bool = False) -> dict[int, PlaceCounts]:
    """How many pieces of each line are in each place, by the line's key; one query.

    ``counted_only`` leaves out the sets that are known one by one.
    """
    return _sums(Q(line__in=[line.pk for line in lines]) & (Q(gear_set=None) if counted_only else Q()))


def group_counts(group: Group, *, counted_only: bool = False) -> dict[int, PlaceCounts]:
    """The same of all lines of a group; one query."""
    return _sums(Q(line__group=group) & (Q(gear_set=None) if counted_only else Q()))


def counts_of_groups(groups: Sequence[Group]) -> dict[int, PlaceCounts]:
    """How many pieces of all its lines each group has in each place, by the group's key; one query."""
    return _sums(Q(line__group__in=groups), by="line__group")


def on_hand(line: StockLine) -> int:
    """How many pieces of a line are in stock, clean and dry: the sum of its movements to and from there."""
    return place_counts([line]).get(line.pk, PlaceCounts())[Place.SHELF]


def counted_in_stock(line: StockLine) -> int:
    """How many pieces of a line without a label are in stock; one query."""
    return place_counts([line], counted_only=True).get(line.pk, PlaceCounts())[Place.SHELF]


def open_of_loan(loan: Loan, line: StockLine) -> int:
    """How many counted pieces of a line are still to be returned of a loan; one query."""
    return open_of_loans([loan]).get(loan.pk, Counter())[line.pk]


def out_with(occasion: int, members: Iterable[int]) -> Counter[tuple[int, int]]:
    """Counted pieces that people still have from an occasion, by the keys of member and line; one query."""
    found: Counter[tuple[int, int]] = Counter()
    rows = (
        Movement.objects.filter(occasion=occasion, member__in=list(members), gear_set=None)
        .values("member", "line", "target")
        .annotate(pieces=Sum("number"))
        .order_by()
    )
    for row in rows:
        found[row["member"], row["line"]] += row["pieces"] if row["target"] == Place.ISSUED else -row["pieces"]
    return found


def went_out(occasion_keys: Iterable[int], group: Group) -> Counter[tuple[int, str, str]]:
    """How many pieces were handed out on occasions, by the occasion's key, item and size; one query."""
    rows = (
        Movement.objects.filter(occasion__key__in=list(occasion_keys), occasion__group=group, kind=Kind.ISSUED)
        .values("occasion__key", "line__item", "line__size")
        .annotate(pieces=Sum("number"))
        .order_by()
    )
    return Counter({(row["occasion__key"], row["line__item"], row["line__size"]): row["pieces"] for row in rows})


def open_of_loans(loans: Iterable[Loan]) -> dict[int, Counter[int]]:
    """How many counted pieces of each loan are still to be returned, by the keys of loan and line; one query.

    What was lost stays to be returned until both groups agree and it is recorded as given back.
    """
    found: dict[int, Counter[int]] = {}
    rows = (
        Movement.objects.filter(loan__in=[loan.pk for loan in loans], gear_set=None)
        .values("loan", "line", "kind")
        .annotate(pieces=Sum("number"))
        .order_by()
    )
    for row in rows:
        sign = 1 if row["kind"] in {Kind.BORROWED, Kind.LENT} else -1
        found.setdefault(row["loan"], Counter())[row["line"]] += sign * row["pieces"]
    return found


def _sums(of: Q, by: str = "line") -> dict[int, PlaceCounts]:
    found: dict[int, PlaceCounts] = {}
    rows = Movement.objects.filter(of).values(by, "source", "target").annotate(pieces=Sum("number")).order_by()
    for row in rows:
        counts = found.setdefault(row[by], PlaceCounts())
        counts[Place(row["target"])] += row["pieces"]
        counts[Place(row["source"])] -= row["pieces"]
    return found

"""What came back and is not yet clean and dry, what is due to be returned, and how to mix the solution."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reedcrew.people.models import Group
from reedcrew.stock.models import GearSet, Loan, Movement, Place, StockLine
from reedcrew.stock.queries.counting import PlaceCounts, counts_of_groups, group_counts, open_of_loans
from reedcrew.stock.queries.sets import SetState, states_of_group
from reedcrew.trade.attention import Matter, is_shown
from reedcrew.trade.cleaning import BleachSolution, gear_solution

# Strengths that household bleach is sold at; the solution is right only for the one on the label (check-values, 8).
BLEACH_STRENGTHS_PERCENT = (5.0, 5.25, 6.0, 8.25)
BUCKET_L = 10.0


def cleaning_solutions() -> list[tuple[float, BleachSolution]]:
    """Each common strength of bleach in percent, with the mild solution of it in one bucket."""
    return [(strength, gear_solution(BUCKET_L, strength)) for strength in BLEACH_STRENGTHS_PERCENT]


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedCare:
    """Counted pieces of a line that wait for the same."""

    line: StockLine
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CareList:
    """What waits to be cleaned, and what waits to be dried. Sets that are dry but not cleaned stand among the first."""

    sets_to_clean: Sequence[SetState]
    counted_to_clean: Sequence[CountedCare]
    sets_to_dry: Sequence[SetState]
    counted_to_dry: Sequence[CountedCare]

    @property
    def to_clean(self) -> int:
        return len(self.sets_to_clean) + sum(each.number for each in self.counted_to_clean)

    @property
    def to_dry(self) -> int:
        return len(self.sets_to_dry) + sum(each.number for each in self.counted_to_dry)


def care_list(group: Group) -> CareList:
    """All gear of a group that came back and is not yet clean and dry; four queries."""
    states = states_of_group(group)
    places = group_counts(group, counted_only=True)
    lines = {line.pk: line for line in StockLine.objects.of_group(group)}

    def counted(place: Place) -> list[CountedCare]:
        found = [CountedCare(line=lines[pk], number=count[place]) for pk, count in places.items() if count[place]]
        return sorted(found, key=lambda each: str(each.line))

    return CareList(
        sets_to_clean=[each for each in states if each.place in {Place.USED, Place.AIRED}],
        counted_to_clean=counted(Place.USED),
        sets_to_dry=[each for each in states if each.place is Place.WASHED],
        counted_to_dry=counted(Place.WASHED),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanLine:
    """Pieces of a loan that are still to be returned: counted ones of a line, or one set."""

    line: StockLine
    number: int
    gear_set: GearSet | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLoan:
    """A loan, and what of it is still to be returned."""

    loan: Loan
    lines: Sequence[LoanLine]

    @property
    def is_open(self) -> bool:
        return bool(self.lines)

    @property
    def counted(self) -> Sequence[LoanLine]:
        return [line for line in self.lines if line.gear_set is None]

    def is_overdue(self, today: datetime.date) -> bool:
        return self.is_open and self.loan.due_on < today


def open_loans(groups: Iterable[Group]) -> list[OpenLoan]:
    """Loans of groups of which something is still to be returned, the next due first; the queries do not grow."""
    return [each for each in all_loans(groups) if each.is_open]


def all_loans(groups: Iterable[Group]) -> list[OpenLoan]:
    """Every loan of groups with what is still to be returned, the earliest due first; five queries."""
    loans = list(Loan.objects.filter(group__in=list(groups)).select_related("group"))
    counted = open_of_loans(loans)
    lines = StockLine.objects.in_bulk({line for found in counted.values() for line in found})
    sets = _sets_of_loans(loans)
    return [
        OpenLoan(
            loan=loan,
            lines=[
                *(
                    LoanLine(line=lines[line], number=number)
                    for line, number in counted.get(loan.pk, {}).items()
                    if number > 0
                ),
                *(LoanLine(line=each.line, number=1, gear_set=each) for each in sets.get(loan.pk, ())),
            ],
        )
        for loan in loans
    ]


def _sets_of_loans(loans: Sequence[Loan]) -> dict[int, list[GearSet]]:
    """Sets that are still to be returned, by loan: those whose last movement of the loan is not a return."""
    last: dict[tuple[int, int], Movement] = {}
    moved = Movement.objects.filter(loan__in=loans).exclude(gear_set=None)
    for movement in moved.select_related("gear_set__line", "gear_set__group").order_by("pk"):
        last[movement.loan_id or 0, movement.gear_set_id or 0] = movement
    found: dict[int, list[GearSet]] = {}
    for (loan, _set), movement in last.items():
        if movement.kind in {"borrowed", "lent"} and movement.gear_set is not None:
            found.setdefault(loan, []).append(movement.gear_set)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class GearDue:
    """What somebody who keeps a group's gear should see to."""

    group: Group
    to_clean: int
    to_dry: int
    loans: Sequence[OpenLoan]


def gear_due(groups: Sequence[Group], today: datetime.date) -> list[GearDue]:
    """Groups with gear that waits to be cleaned or dried, or to be returned soon (``trade.attention``) or overdue.

    The number of queries does not grow with groups, pieces or loans.
    """
    loans = [each for each in open_loans(groups) if is_shown(Matter.LOAN, each.loan.due_on, today)]
    places = counts_of_groups(groups)
    found = []
    for group in groups:
        count = places.get(group.pk, PlaceCounts())
        to_clean, to_dry = count[Place.USED] + count[Place.AIRED], count[Place.WASHED]
        of_group = [each for each in loans if each.loan.group_id == group.pk]
        if to_clean or to_dry or of_group:
            found.append(GearDue(group=group, to_clean=to_clean, to_dry=to_dry, loans=of_group))
    return found

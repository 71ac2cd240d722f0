import datetime
import uuid

import pytest

from reedcrew.people.models import AuditEntry
from reedcrew.stock import errors, services
from reedcrew.stock.models import Entry, GearSet, Kind, Movement, Place, StockLine
from reedcrew.stock.queries import on_hand, place_counts, state_of, states_of_line
from reedcrew.trade.items import Item
from reedcrew.trade.stock_sizes import COUNT_MAX
from tests.factories import NOW, make_account, make_group, make_sets, make_stock

pytestmark = pytest.mark.django_db


def add(group, item, size="", number=4, **values):
    return services.add_line(group=group, item=item, size=size, number=number, actor=make_account(), now=NOW, **values)


def move(line, kind, number, **values):
    return services.record_movement(line=line, kind=kind, number=number, actor=make_account(), now=NOW, **values)


def move_set(gear_set, kind, **values):
    return services.move_set(gear_set=gear_set, kind=kind, actor=make_account(), now=NOW, **values)


def counts_of(line):
    return {place: number for place, number in place_counts([line])[line.pk].items() if number}


def test_a_new_line_begins_with_what_is_there():
    group = make_group()
    line = add(group, Item.CHEST_WADERS, "43", 4, note="Loft")
    movement = line.movements.get()
    assert (line.group, line.item, line.size, line.note) == (group, "chest waders", "43", "Loft")
    assert (movement.kind, movement.number, movement.entry.made_at) == (Kind.RECEIVED, 4, NOW)
    assert [entry.deed for entry in AuditEntry.objects.order_by("pk")] == ["stock line added", "stock moved"]


@pytest.mark.parametrize(
    ("item", "size", "refusal"),
    [
        (Item.CHEST_WADERS, "", errors.SizeUnfit),
        (Item.CHEST_WADERS, "34", errors.SizeUnfit),
        (Item.LIFE_JACKET, "43", errors.SizeUnfit),
        (Item.GLOVES, "adult", errors.SizeUnfit),
        (Item.SPADE, "9", errors.SizeNeedless),
    ],
)
def test_a_size_that_the_item_has_not_is_refused(item, size, refusal):
    with pytest.raises(refusal) as refused:
        add(make_group(), item, size)
    assert refused.value.field == "size"
    assert item.value in str(refused.value)
    assert not StockLine.objects.exists()


def test_a_line_is_in_the_stock_once():
    group = make_group()
    add(group, Item.SPADE)
    with pytest.raises(errors.LineExists):
        add(group, Item.SPADE)
    add(make_group(), Item.SPADE)
    assert StockLine.objects.count() == 2


def test_a_line_added_twice_by_one_press_is_one_line():
    group, token = make_group(), uuid.uuid4()
    assert add(group, Item.SPADE, submission=token) == add(group, Item.SPADE, submission=token)
    assert Movement.objects.count() == 1


def test_a_form_that_comes_again_with_other_figures_is_refused():
    group, token = make_group(), uuid.uuid4()
    line = add(group, Item.SPADE, number=4, submission=token)
    with pytest.raises(errors.SentAlready):
        add(group, Item.SPADE, number=5, submission=token)
    again = uuid.uuid4()
    move(line, Kind.LOST, 1, submission=again)
    with pytest.raises(errors.SentAlready):
        move(line, Kind.LOST, 2, submission=again)
    assert on_hand(line) == 3


@pytest.mark.parametrize(
    ("kind", "number", "found"),
    [
        (Kind.RECEIVED, 3, {Place.SHELF: 13}),
        (Kind.LOST, 3, {Place.SHELF: 7, Place.LOST: 3}),
        (Kind.RETIRED, 10, {Place.RETIRED: 10}),
        (Kind.DAMAGED, 4, {Place.SHELF: 6, Place.REPAIR: 4}),
        (Kind.USED_UP, 4, {Place.SHELF: 6}),
        (Kind.RECOUNTED, 7, {Place.SHELF: 7}),
        (Kind.RECOUNTED, 12, {Place.SHELF: 12}),
        (Kind.RECOUNTED, 0, {}),
    ],
)
def test_a_movement_takes_pieces_from_place_to_place(kind, number, found):
    line = make_stock(make_group(), Item.SPADE, 10)
    entry = move(line, kind, number, note="Loft")
    counts = counts_of(line)
    outside = -counts.pop(Place.OUTSIDE, 0)
    assert counts == found
    assert outside == sum(found.values())  # every piece that is somewhere came from outside
    assert (entry.note, AuditEntry.objects.get().detail["kinds"]) == ("Loft", [kind.value])


def test_what_is_repaired_is_cleaned_and_dried_before_it_is_in_stock():
    line = make_stock(make_group(), Item.SPADE, 3)
    move(line, Kind.DAMAGED, 1)
    move(line, Kind.REPAIRED, 1)
    assert counts_of(line) == {Place.OUTSIDE: -3, Place.SHELF: 2, Place.USED: 1}
    for kind in (Kind.CLEANED, Kind.DRIED):
        services.mark(
            group=line.group, kind=kind, counted=[services.Pieces(line=line, number=1)], actor=make_account(), now=NOW
        )
    assert on_hand(line) == 3


def test_pieces_that_need_repair_can_be_retired():
    line = make_stock(make_group(), Item.SPADE, 3)
    move(line, Kind.DAMAGED, 2)
    move(line, Kind.RETIRED, 2, source=Place.REPAIR)
    assert counts_of(line) == {Place.OUTSIDE: -3, Place.SHELF: 1, Place.RETIRED: 2}


@pytest.mark.parametrize("kind", [Kind.LOST, Kind.RETIRED, Kind.DAMAGED, Kind.USED_UP])
def test_the_count_never_falls_below_nothing(kind):
    line = make_stock(make_group(), Item.SPADE, 2)
    with pytest.raises(errors.NotSoMany) as refused:
        move(line, kind, 3)
    assert isinstance(refused.value, errors.StockError)
    assert "only 2 are in stock" in str(refused.value)
    assert refused.value.field == "number"
    assert on_hand(line) == 2
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "number", "refusal"),
    [
        (Kind.RECEIVED, 0, errors.NothingMoves),
        (Kind.LOST, -1, errors.NothingMoves),
        (Kind.RECOUNTED, -1, errors.NothingMoves),
        (Kind.RECOUNTED, 2, errors.CountAgrees),
        (Kind.RECEIVED, COUNT_MAX - 1, errors.TooMany),
        (Kind.REPAIRED, 1, errors.NotSoMany),
        (Kind.FOUND, 1, errors.NotSoMany),
    ],
)
def test_a_movement_that_moves_nothing_or_too_much_is_refused(kind, number, refusal):
    line = make_stock(make_group(), Item.SPADE, 2)
    with pytest.raises(refusal):
        move(line, kind, number)
    assert on_hand(line) == 2


def test_a_movement_pressed_twice_is_one_movement():
    line, token = make_stock(make_group(), Item.SPADE, 2), uuid.uuid4()
    assert move(line, Kind.RECEIVED, 5, submission=token) == move(line, Kind.RECEIVED, 5, submission=token)
    assert on_hand(line) == 7


def test_the_token_of_another_group_hides_nothing():
    token = uuid.uuid4()
    for _group in range(2):
        move(make_stock(make_group(), Item.SPADE, 2), Kind.RECEIVED, 5, submission=token)
    assert Entry.objects.filter(submission=token).count() == 2


# --- Sets ------------------------------------------------------------------------------------------------------------


def test_pieces_that_get_labels_are_sets_and_the_sum_stays():
    group = make_group()
    line, token = make_stock(group, Item.CHEST_WADERS, 4, size="43"), uuid.uuid4()

    def give():
        return services.give_labels(
            line=line, number=3, shelf="Crate 2", actor=make_account(), now=NOW, submission=token
        )

    sets = give()
    assert [each.number for each in sets] == [1, 2, 3]
    assert len({each.code for each in sets}) == 3
    assert [each.pk for each in give()] == [each.pk for each in sets]
    assert on_hand(line) == 4
    assert [state.place for state in states_of_line(line)] == [Place.SHELF] * 3
    with pytest.raises(errors.NotSoMany, match="only 1 are in stock"):
        services.give_labels(line=line, number=2, actor=make_account(), now=NOW)
    assert GearSet.objects.count() == 3


def test_numbers_of_sets_go_on_through_the_whole_group():
    group = make_group()
    add(group, Item.CHEST_WADERS, "43", 2, labels=True)
    add(group, Item.LIFE_JACKET, "adult", 2, labels=True)
    add(make_group(), Item.LIFE_JACKET, "adult", 1, labels=True)
    assert list(GearSet.objects.of_group(group).values_list("line__item", "number").order_by("number")) == [
        ("chest waders", 1),
        ("chest waders", 2),
        ("life jacket", 3),
        ("life jacket", 4),
    ]


def test_no_more_labels_than_somebody_can_mean_are_made_at_once():
    with pytest.raises(errors.TooMany):
        add(make_group(), Item.LIFE_JACKET, "adult", 201, labels=True)
    assert not GearSet.objects.exists()


def test_a_set_goes_where_the_ledger_lets_it():
    (gear_set,) = make_sets(make_group(), Item.CHEST_WADERS, 1, size="43")
    for kind, place in (
        (Kind.DAMAGED, Place.REPAIR),
        (Kind.REPAIRED, Place.USED),
        (Kind.DRIED, Place.AIRED),
        (Kind.CLEANED, Place.WASHED),
        (Kind.DRIED, Place.SHELF),
        (Kind.LOST, Place.LOST),
        (Kind.FOUND, Place.USED),
        (Kind.RETIRED, Place.RETIRED),
    ):
        assert kind in services.next_kinds(gear_set, state_of(gear_set).place)
        move_set(gear_set, kind)
        assert state_of(gear_set).place is place
    assert services.next_kinds(gear_set, Place.RETIRED) == []


@pytest.mark.parametrize("kind", [Kind.RETURNED, Kind.CLEANED, Kind.DRIED, Kind.REPAIRED, Kind.FOUND, Kind.GIVEN_BACK])
def test_what_cannot_happen_to_a_set_is_refused_and_nothing_changes(kind):
    (gear_set,) = make_sets(make_group(), Item.CHEST_WADERS, 1, size="43")
    with pytest.raises(errors.SetElsewhere, match="is now: in stock"):
        move_set(gear_set, kind)
    assert gear_set.movements.count() == 1


def test_a_set_pressed_twice_moves_once_and_other_words_are_refused():
    (gear_set,) = make_sets(make_group(), Item.CHEST_WADERS, 1, size="43")
    token = uuid.uuid4()
    for _press in range(2):
        move_set(gear_set, Kind.DAMAGED, note="heel", submission=token)
    assert gear_set.movements.count() == 2
    with pytest.raises(errors.SentAlready):
        move_set(gear_set, Kind.LOST, note="heel", submission=token)


def test_where_a_set_is_kept_is_not_saved_over_somebody_else_s_change():
    (gear_set,) = make_sets(make_group(), Item.CHEST_WADERS, 1, size="43")

    def keep(shelf, version):
        return services.keep_set(
            gear_set=gear_set, version=version, shelf=shelf, note="", actor=make_account(), now=NOW
        )

    assert (keep("Crate 4", 1).shelf, keep("Crate 5", 2).version) == ("Crate 4", 3)
    with pytest.raises(errors.StaleSet):
        keep("Crate 6", 2)


# --- Cleaning and drying ---------------------------------------------------------------------------------------------


def used(group, count=2):
    sets = make_sets(group, Item.CHEST_WADERS, count, size="43")
    for each in sets:
        move_set(each, Kind.DAMAGED)
        move_set(each, Kind.REPAIRED)
    return sets


def test_many_pieces_are_cleaned_and_dried_at_once():
    group = make_group()
    sets, line = used(group), make_stock(group, Item.SPADE, 3)
    move(line, Kind.DAMAGED, 2)
    move(line, Kind.REPAIRED, 2)
    for kind in (Kind.CLEANED, Kind.DRIED):
        services.mark(
            group=group,
            kind=kind,
            sets=sets,
            counted=[services.Pieces(line=line, number=2)],
            actor=make_account(),
            now=NOW,
        )
    assert [state.place for state in states_of_line(sets[0].line)] == [Place.SHELF, Place.SHELF]
    assert on_hand(line) == 3
    assert [movement.entry.made_at for movement in sets[0].movements.filter(kind="dried")] == [NOW]


def test_if_one_of_many_cannot_be_cleaned_none_is():
    group = make_group()
    sets = used(group)
    move_set(sets[1], Kind.LOST)
    with pytest.raises(errors.SetElsewhere):
        services.mark(group=group, kind=Kind.CLEANED, sets=sets, actor=make_account(), now=NOW)
    assert state_of(sets[0]).place is Place.USED


def test_counted_pieces_are_not_dried_before_they_are_cleaned():
    group = make_group()
    line = make_stock(group, Item.SPADE, 3)
    move(line, Kind.DAMAGED, 2)
    move(line, Kind.REPAIRED, 2)
    with pytest.raises(errors.NotSoMany):
        services.mark(
            group=group,
            kind=Kind.DRIED,
            counted=[services.Pieces(line=line, number=1)],
            actor=make_account(),
            now=NOW,
        )


def test_cleaning_nothing_is_refused():
    with pytest.raises(errors.NothingChosen):
        services.mark(group=make_group(), kind=Kind.CLEANED, actor=make_account(), now=NOW)


def test_a_set_of_another_group_is_not_cleaned():
    sets = used(make_group())
    with pytest.raises(errors.NothingChosen):
        services.mark(group=make_group(), kind=Kind.CLEANED, sets=sets, actor=make_account(), now=NOW)
    assert state_of(sets[0]).place is Place.USED


# --- Loans -----------------------------------------------------------------------------------------------------------

DUE = datetime.date(2026, 9, 1)


def borrow(group, number, **values):
    return services.borrow(
        group=group,
        party="Pond circle",
        due_on=DUE,
        item=Item.CHEST_WADERS,
        size="43",
        number=number,
        actor=make_account(),
        now=NOW,
        **values,
    )


def give_back(loan, line, number, **values):
    return services.return_counted(loan=loan, line=line, number=number, actor=make_account(), now=NOW, **values)


def test_borrowed_pieces_are_in_stock_until_they_are_given_back():
    group = make_group()
    line = make_stock(group, Item.CHEST_WADERS, 1, size="43")
    loan, token = borrow(group, 3), uuid.uuid4()
    assert on_hand(line) == 4
    with pytest.raises(errors.LoanNotSoMany, match="3 are still out"):
        give_back(loan, line, 4)
    for _press in range(2):
        give_back(loan, line, 2, submission=token)
    assert on_hand(line) == 2
    with pytest.raises(errors.LoanNotSoMany, match="1 are still out"):
        give_back(loan, line, 2)


def test_borrowed_sets_are_given_back_one_by_one():
    group = make_group()
    loan = borrow(group, 2, labels=True)
    first, second = GearSet.objects.filter(loan=loan)
    assert Kind.GIVEN_BACK in services.next_kinds(first, Place.SHELF)
    assert Kind.RETIRED not in services.next_kinds(first, Place.SHELF)
    move_set(first, Kind.GIVEN_BACK)
    assert (state_of(first).place, state_of(second).place) == (Place.OUTSIDE, Place.SHELF)


def test_lent_gear_comes_back_to_be_cleaned():
    group = make_group()
    sets, line = make_sets(group, Item.CHEST_WADERS, 2, size="43"), make_stock(group, Item.SPADE, 3)

    def lend(**what):
        return services.lend(group=group, party="Pond circle", due_on=DUE, actor=make_account(), now=NOW, **what)

    loan = lend(sets=sets[:1], counted=[services.Pieces(line=line, number=2)])
    assert on_hand(line) == 1
    with pytest.raises(errors.SetNotReady, match="lent to others"):
        lend(sets=sets)
    with pytest.raises(errors.LoanNotSoMany):
        give_back(loan, line, 3)
    give_back(loan, line, 2)
    move_set(sets[0], Kind.CAME_BACK)
    assert state_of(sets[0]).place is Place.USED
    assert counts_of(line) == {Place.OUTSIDE: -3, Place.SHELF: 1, Place.USED: 2}


def test_a_loan_until_yesterday_is_refused():
    with pytest.raises(errors.LoanDueInPast):
        services.borrow(
            group=make_group(),
            party="Pond circle",
            due_on=NOW.date() - datetime.timedelta(days=1),
            item=Item.SPADE,
            number=1,
            actor=make_account(),
            now=NOW,
        )
    assert not StockLine.objects.exists()

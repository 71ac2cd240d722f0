"""Gear goes out to a person on a day and comes back; what a day can be given meanwhile."""

import datetime
import uuid
from dataclasses import replace
from typing import Any

import pytest

from reedcrew.people.roles import Role
from reedcrew.stock import errors, services
from reedcrew.stock.models import Booking, Kind, Place
from reedcrew.stock.queries import Outing, on_hand, place_counts, state_of, story, trade_stock
from reedcrew.stock.services import Pieces, Want
from reedcrew.trade.items import Item
from tests.factories import END, NOW, START, make_account, make_member, make_sets, make_stock

pytestmark = pytest.mark.django_db

DAY = Outing(
    key=1,
    site=10,
    title="Morning at the reed",
    address="/g/reed/days/1/",
    date=START.date(),
    starts_at=START,
    ends_at=END,
)
AT_ONCE = replace(DAY, key=2, site=11, title="Elsewhere")  # overlaps, at another site
WEEK = datetime.timedelta(days=7)
LATER = replace(AT_ONCE, key=3, date=DAY.date + WEEK, starts_at=START + WEEK, ends_at=END + WEEK)
LATER_HERE = replace(LATER, key=4, site=10)


def issue(group, member, *, outing=DAY, **what):
    return services.issue(group=group, outing=outing, member=member, actor=make_account(), now=NOW, **what)


def take_back(group, member, *, key=DAY.key, **what):
    return services.take_back(group=group, key=key, member=member, actor=make_account(), now=NOW, **what)


def in_stock(group, outing):
    return {(line.item, line.size): line.count for line in trade_stock(group, outing)}


def test_a_set_goes_out_to_a_person_and_comes_back_to_be_cleaned(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia = make_member(group, name="Nia")
    issue(group, nia, sets=[waders])
    state = state_of(waders)
    assert (state.place, state.holder, state.occasion.key) == (Place.ISSUED, nia, DAY.key)
    take_back(group, nia, sets={waders: Kind.RETURNED})
    state = state_of(waders)
    assert (state.place, state.holder, state.occasion.site) == (Place.USED, None, DAY.site)


@pytest.mark.parametrize(
    ("kind", "place"), [(Kind.RETURNED, Place.USED), (Kind.DAMAGED, Place.REPAIR), (Kind.LOST, Place.LOST)]
)
def test_counted_pieces_come_back_in_parts(group, kind, place):
    line, nia = make_stock(group, Item.GLOVES, 5, size="9"), make_member(group)
    issue(group, nia, counted=[Pieces(line=line, number=3)])
    take_back(group, nia, counted=[(Pieces(line=line, number=1), kind)])
    counts = place_counts([line])[line.pk]
    assert (counts[Place.SHELF], counts[Place.ISSUED], counts[place]) == (2, 2, 1)


def test_more_than_went_out_does_not_come_back(group):
    line, nia, other = make_stock(group, Item.GLOVES, 5, size="9"), make_member(group, name="Nia"), make_member(group)
    issue(group, nia, counted=[Pieces(line=line, number=2)])
    issue(group, other, counted=[Pieces(line=line, number=3)])
    with pytest.raises(errors.NotOut, match="Nia has 2 of “gloves 9”, so 3 cannot come back"):
        take_back(group, nia, counted=[(Pieces(line=line, number=3), Kind.RETURNED)])
    with pytest.raises(errors.NotOut):  # the two in one press are three as well
        take_back(
            group,
            nia,
            counted=[(Pieces(line=line, number=2), Kind.RETURNED), (Pieces(line=line, number=1), Kind.LOST)],
        )
    with pytest.raises(errors.NotOut):
        take_back(group, nia, key=9, counted=[(Pieces(line=line, number=1), Kind.RETURNED)])
    assert place_counts([line])[line.pk][Place.ISSUED] == 5


def test_a_set_comes_back_from_who_has_it_on_that_day_only(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia, other = make_member(group), make_member(group)
    issue(group, nia, sets=[waders])
    for member, key in ((other, DAY.key), (nia, 99)):
        with pytest.raises(errors.SetElsewhere):
            take_back(group, member, key=key, sets={waders: Kind.RETURNED})
    assert state_of(waders).holder == nia


@pytest.mark.parametrize("number", [0, -1, 6])
def test_what_is_not_there_is_not_handed_out(group, number):
    line, nia = make_stock(group, Item.GLOVES, 5, size="9"), make_member(group)
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    with pytest.raises(errors.StockError):
        issue(group, nia, sets=[waders], counted=[Pieces(line=line, number=number)])
    assert (on_hand(line), state_of(waders).place) == (5, Place.SHELF)


@pytest.mark.parametrize("kind", [Kind.DAMAGED, Kind.LOST, Kind.RETIRED])
def test_a_set_that_is_not_in_stock_is_not_handed_out(group, kind):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    services.move_set(gear_set=waders, kind=kind, actor=make_account(), now=NOW)
    with pytest.raises(errors.SetNotReady, match="Only gear in stock, clean and dry"):
        issue(group, make_member(group), sets=[waders])


def test_a_set_goes_to_one_person(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    issue(group, make_member(group), sets=[waders])
    with pytest.raises(errors.SetNotReady, match="handed out"):
        issue(group, make_member(group), sets=[waders])


def test_a_double_press_hands_out_once_and_other_words_are_refused(group):
    line, nia, token = make_stock(group, Item.GLOVES, 5, size="9"), make_member(group), uuid.uuid4()
    first, second = (issue(group, nia, counted=[Pieces(line=line, number=2)], submission=token) for _ in range(2))
    assert (first, on_hand(line)) == (second, 3)
    with pytest.raises(errors.SentAlready):
        issue(group, nia, counted=[Pieces(line=line, number=3)], submission=token)
    back = uuid.uuid4()
    for _press in range(2):
        take_back(group, nia, counted=[(Pieces(line=line, number=1), Kind.RETURNED)], submission=back)
    assert place_counts([line])[line.pk][Place.ISSUED] == 1


# --- Design, rule 7: what a day can be given -------------------------------------------------------------------------


def after_day(group, *kinds):
    """A set that came back from DAY, after these."""
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia = make_member(group)
    issue(group, nia, sets=[waders])
    take_back(group, nia, sets={waders: Kind.RETURNED})
    for kind in kinds:
        services.mark(group=group, kind=kind, sets=[waders], actor=make_account(), now=NOW)
    return waders


@pytest.mark.parametrize(
    ("kinds", "here", "elsewhere"),
    [
        ([], 0, 0),  # wet and dirty: for nobody
        ([Kind.DRIED], 1, 0),  # dry, not cleaned: the same site only
        ([Kind.CLEANED], 0, 0),  # still wet
        ([Kind.CLEANED, Kind.DRIED], 1, 1),
        ([Kind.DRIED, Kind.CLEANED], 0, 0),  # cleaning made it wet again
        ([Kind.DRIED, Kind.CLEANED, Kind.DRIED], 1, 1),
    ],
)
def test_gear_goes_to_another_site_only_clean_and_dry(group, kinds, here, elsewhere):
    waders = after_day(group, *kinds)
    key = Item.CHEST_WADERS, "43"
    assert in_stock(group, LATER_HERE).get(key, 0) == here
    assert in_stock(group, LATER).get(key, 0) == elsewhere
    for outing, free in ((LATER, elsewhere), (LATER_HERE, here)):
        if not free:
            with pytest.raises(errors.StockError):
                issue(group, make_member(group), outing=outing, sets=[waders])
    if here:
        issue(group, make_member(group), outing=LATER_HERE, sets=[waders])


def test_who_hands_out_a_set_from_another_site_is_told_to_clean_it(group):
    with pytest.raises(errors.SetNotCleaned, match="used at another site"):
        issue(group, make_member(group), outing=LATER, sets=[after_day(group, Kind.DRIED)])


def test_a_found_set_of_which_nobody_knows_the_site_goes_nowhere_uncleaned(group):
    waders = after_day(group)
    for kind in (Kind.LOST, Kind.FOUND, Kind.DRIED):
        services.move_set(gear_set=waders, kind=kind, actor=make_account(), now=NOW)
    assert in_stock(group, LATER_HERE) == in_stock(group, LATER) == {}


def test_what_the_day_s_own_people_have_is_still_the_day_s(group):
    (waders, _spare) = make_sets(group, Item.CHEST_WADERS, 2, size="43")
    gloves, nia = make_stock(group, Item.GLOVES, 5, size="9"), make_member(group)
    issue(group, nia, sets=[waders], counted=[Pieces(line=gloves, number=2)])
    assert in_stock(group, DAY) == {(Item.CHEST_WADERS, "43"): 2, (Item.GLOVES, "9"): 5}
    assert in_stock(group, LATER) == {(Item.CHEST_WADERS, "43"): 1, (Item.GLOVES, "9"): 3}


def test_a_loan_that_is_due_before_a_day_is_not_there(group):
    for labels, due in ((True, DAY.date), (False, DAY.date + WEEK)):
        services.borrow(
            group=group,
            party="Pond circle",
            due_on=due,
            item=Item.CHEST_WADERS,
            size="43",
            number=2,
            labels=labels,
            actor=make_account(),
            now=NOW,
        )
    after = replace(LATER, key=5, date=LATER.date + WEEK)
    found = [in_stock(group, outing).get((Item.CHEST_WADERS, "43"), 0) for outing in (DAY, LATER, after)]
    assert found == [4, 2, 0]
    borrowed = group.gear_sets.first()
    with pytest.raises(errors.LoanDueBefore, match="goes back to Pond circle before this day"):
        issue(group, make_member(group), outing=LATER, sets=[borrowed])


def test_what_a_day_can_be_given_takes_as_many_queries_for_many_sets(group, count_queries):
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    few = count_queries(lambda: trade_stock(group, DAY))
    for size in range(35, 45):
        make_sets(group, Item.CHEST_WADERS, 3, size=str(size))
        make_stock(group, Item.BOOTS, 3, size=str(size))
    assert count_queries(lambda: trade_stock(group, DAY)) == few


# --- Bookings --------------------------------------------------------------------------------------------------------


def book(group, wants, outing=DAY):
    return services.book(group=group, outing=outing, wants=wants, actor=make_account(), now=NOW)


def wish(member, size="43"):
    return Want(member=member, item=Item.CHEST_WADERS, size=size)


def test_days_that_overlap_are_never_promised_the_same_set(group):
    first, second = make_sets(group, Item.CHEST_WADERS, 2, size="43")
    nia, lea, kim = (make_member(group) for _person in range(3))
    assert [each.gear_set for each in book(group, [wish(nia)]).bookings] == [first]
    overlapping = book(group, [wish(lea), wish(kim)], AT_ONCE)
    assert ([each.gear_set for each in overlapping.bookings], overlapping.unmet) == ([second], [wish(kim)])
    assert [each.gear_set for each in book(group, [wish(kim)], LATER).bookings] == [first]
    with pytest.raises(errors.SetBooked, match="Morning at the reed"):
        issue(group, lea, outing=AT_ONCE, sets=[first])


def test_booking_again_keeps_what_still_stands(group):
    make_sets(group, Item.CHEST_WADERS, 3, size="43")
    nia, lea, kim = (make_member(group) for _person in range(3))
    before = book(group, [wish(nia), wish(lea)]).bookings
    assert book(group, [wish(nia), wish(lea)]).bookings == before
    after = book(group, [wish(kim), wish(lea)]).bookings
    sets = {each.member: each.gear_set for each in after}
    assert set(sets) == {lea, kim}
    assert sets[lea] == before[1].gear_set
    assert Booking.objects.filter(ended_at=NOW).count() == 1


@pytest.mark.parametrize("kind", [Kind.DAMAGED, Kind.LOST, Kind.RETIRED])
def test_a_set_that_falls_out_is_booked_no_longer(group, kind):
    first, second = make_sets(group, Item.CHEST_WADERS, 2, size="43")
    nia = make_member(group)
    book(group, [wish(nia)])
    services.move_set(gear_set=first, kind=kind, actor=make_account(), now=NOW)
    assert [each.gear_set for each in book(group, [wish(nia)]).bookings] == [second]


def test_a_booked_set_that_goes_to_somebody_else_is_booked_no_longer(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    book(group, [wish(make_member(group))])
    issue(group, make_member(group), sets=[waders])
    assert not Booking.objects.filter(ended_at=None).exists()


def test_things_without_labels_are_counted_and_not_booked(group):
    make_stock(group, Item.CHEST_WADERS, 2, size="43")
    assert book(group, [wish(make_member(group))]) == services.Booked(bookings=[], unmet=[])


def test_a_cancelled_day_sets_its_gear_free(group):
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia = make_member(group)
    book(group, [wish(nia)])
    assert services.release(group=group, key=DAY.key, actor=make_account(), now=NOW) == 1
    assert len(book(group, [wish(nia)], AT_ONCE).bookings) == 1


def test_a_day_that_moves_takes_its_bookings_along(group):
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia = make_member(group)
    book(group, [wish(nia)])
    services.tell_times(group=group, outing=replace(DAY, starts_at=START + WEEK, ends_at=END + WEEK))
    assert len(book(group, [wish(nia)], AT_ONCE).bookings) == 1
    assert len(book(group, [wish(nia)], LATER).bookings) == 0


# --- The story -------------------------------------------------------------------------------------------------------


def test_a_set_is_followed_through_its_season(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia, organizer = make_member(group, name="Nia"), make_member(group, role=Role.ORGANIZER, name="Ada")
    moment = iter(NOW + datetime.timedelta(hours=hours) for hours in range(10))
    by: Any = {"actor": organizer.account}
    services.book(group=group, outing=DAY, wants=[wish(nia)], now=next(moment), **by)
    services.issue(group=group, outing=DAY, member=nia, sets=[waders], now=next(moment), **by)
    services.take_back(group=group, key=DAY.key, member=nia, sets={waders: Kind.RETURNED}, now=next(moment), **by)
    services.mark(group=group, kind=Kind.CLEANED, sets=[waders], now=next(moment), **by)
    services.mark(group=group, kind=Kind.DRIED, sets=[waders], now=next(moment), **by)
    told = [(row.what, row.place, row.who, row.by) for row in story(waders, organizer)][::-1]
    assert told == [
        ("received", "in stock", "", "not known"),
        ("booked", "", "Nia", "Ada"),
        ("handed out", "handed out", "Nia", "Ada"),
        ("returned", "back, to clean and dry", "Nia", "Ada"),
        ("cleaned", "cleaned, to dry", "", "Ada"),
        ("dried", "in stock", "", "Ada"),
    ]


def test_names_in_a_story_are_for_those_who_may_see_them(group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    nia, reader = make_member(group, name="Nia"), make_member(group, name="Rea")
    issue(group, nia, sets=[waders])
    assert [row.who for row in story(waders, reader)] == ["a member", ""]
    assert [row.who for row in story(waders, nia)] == ["Nia", ""]
    assert {row.by for row in story(waders, reader)} == {"staff"}

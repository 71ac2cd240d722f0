import re
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.stock import services
from reedcrew.stock.models import Entry, GearSet, Kind, Movement, Place, StockLine
from reedcrew.stock.queries import on_hand, state_of
from reedcrew.trade.items import Item
from tests.factories import NOW, make_account, make_group, make_member, make_sets, make_stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def organizer(client, group):
    client.force_login(make_member(group, role=Role.ORGANIZER, name="Robin Alder").account)
    return client


def url(name, group, *args):
    return reverse(f"stock:{name}", args=[group.slug, *args])


def text_of(response):
    """The words of a page, without tags."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def token_of(response):
    return str(response.context["form"]["submission"].value())


def every_page(group, line):
    """Each address of the app with the roles that may open it."""
    staff, organizers = {Role.ORGANIZER, Role.COORDINATOR, Role.CREW_LEAD}, {Role.ORGANIZER}
    field = {Role.ORGANIZER, Role.CREW_LEAD}
    (gear_set,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    loan = services.borrow(
        group=group, party="Pond", due_on=NOW.date(), item=Item.SLED, number=1, actor=make_account(), now=NOW
    )
    sled = StockLine.objects.get(group=group, item="sled")
    return [
        (url("stock", group), staff),
        (url("line", group, line.pk), staff),
        (url("add_line", group), organizers),
        (url("record_movement", group, line.pk), organizers),
        (url("give_labels", group, line.pk), organizers),
        (url("set", group, gear_set.code), set(Role)),
        (url("move_set", group, gear_set.code), field),
        (url("keep_set", group, gear_set.code), organizers),
        (url("labels", group), staff),
        (url("care", group), field),
        (url("loans", group), staff),
        (url("borrow", group), organizers),
        (url("lend", group), organizers),
        (url("return_loan", group, loan.pk, sled.pk), organizers),
    ]


@pytest.mark.parametrize("role", list(Role))
def test_each_page_opens_to_its_roles_only(client, group, role):
    pages = every_page(group, make_stock(group, Item.SPADE, 2))
    client.force_login(make_member(group, role=role).account)
    found = {address: client.get(address).status_code for address, _roles in pages}
    assert found == {address: 200 if role in roles else 403 for address, roles in pages}


def test_another_group_s_pages_are_not_there(client, group):
    line = make_stock(group, Item.SPADE, 2)
    own = make_group()
    client.force_login(make_member(own, role=Role.ORGANIZER).account)
    assert {client.get(address).status_code for address, _roles in every_page(group, line)} == {404}
    assert client.get(url("line", own, line.pk)).status_code == 404
    data = {"kind": "lost", "number": "1"}
    assert client.post(url("record_movement", own, line.pk), data).status_code == 404
    assert on_hand(line) == 2


def test_an_empty_stock_says_what_to_begin_with(organizer, group):
    assert "chest waders and life jackets, by size" in text_of(organizer.get(url("stock", group)))


def test_the_stock_is_listed_by_item_with_counts_and_words(organizer, group):
    make_stock(group, Item.CHEST_WADERS, 4, size="43")
    make_stock(group, Item.CHEST_WADERS, 2, size="44")
    make_stock(group, Item.SPADE, 0)
    make_stock(make_group(), Item.SLED, 2)
    shown = text_of(organizer.get(url("stock", group)))
    for words in ("Chest waders: 6 in stock", "chest waders, 43", "few left", "Spade: 0 in stock", "none left"):
        assert words in shown
    assert "sled" not in shown


def test_the_list_takes_as_many_queries_for_many_lines(organizer, group):
    def taken():
        organizer.get(url("stock", group))
        with CaptureQueriesContext(connection) as queries:
            organizer.get(url("stock", group))
        return len(queries)

    make_stock(group, Item.SPADE, 2)
    few = taken()
    for size in range(35, 51):
        make_stock(group, Item.CHEST_WADERS, 2, size=str(size))
    assert taken() == few


def test_an_organizer_adds_a_line_and_a_second_press_adds_nothing(organizer, group):
    address = url("add_line", group)
    data = {
        "item": "chest waders",
        "size": "43",
        "number": "4",
        "note": "Loft",
        "submission": token_of(organizer.get(address)),
    }
    for _press in range(2):
        response = organizer.post(address, data, follow=True)
        assert "“chest waders 43” is in the stock" in text_of(response)
    line = StockLine.objects.get()
    assert (line.size, line.note, on_hand(line)) == ("43", "Loft", 4)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"item": ""}, "item", "required"),
        ({"item": "boat"}, "item", "valid choice"),
        ({"item": "sled"}, "item", "in the stock already"),
        ({"item": "gloves", "size": "43"}, "size", "comes in these sizes: 4, 5, 6"),
        ({"item": "chest waders"}, "size", "comes in these sizes: 35, 36"),
        ({"size": "9"}, "size", "choose “no size”"),
        ({"size": "42.5"}, "size", "valid choice"),
        ({"number": "0"}, "number", "Write 1 or more"),
        ({"number": "many"}, "number", "Write a whole number"),
        ({"number": "100001"}, "number", "Write 100000 or less"),
        ({"submission": ""}, "submission", "Open the page again"),
    ],
)
def test_the_form_of_a_line_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    make_stock(group, Item.SLED, 1)
    address = url("add_line", group)
    data = {"item": "spade", "size": "", "number": "4", "note": "In the loft"}
    response = organizer.post(address, {**data, "submission": token_of(organizer.get(address)), **values})
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert "In the loft" in response.content.decode()
    assert StockLine.objects.count() == 1


def test_a_movement_is_recorded_once_and_shown_in_the_ledger(organizer, group):
    line = make_stock(group, Item.SPADE, 10)
    address = url("record_movement", group, line.pk)
    form = organizer.get(address)
    assert "10 without a label in stock now" in text_of(form)
    data = {"kind": "lost", "number": "3", "note": "In the mud", "submission": token_of(form)}
    for _press in range(2):
        response = organizer.post(address, data, follow=True)
    assert on_hand(line) == 7
    shown = text_of(response)
    for words in ("In stock 7", "Lost 3", "in stock → lost", "In the mud", "Robin Alder", "received"):
        assert words in shown


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"kind": ""}, "kind", "required"),
        ({"kind": "stolen"}, "kind", "valid choice"),
        ({"number": "11"}, "number", "only 10 are in stock, so 11 cannot go"),
        ({"number": "0"}, "number", "at least 1"),
        ({"number": "-1"}, "number", "Write 0 or more"),
        ({"number": ""}, "number", "required"),
        ({"kind": "recounted", "number": "10"}, "number", "stands at 10 already"),
    ],
)
def test_the_form_of_a_movement_names_the_field_and_keeps_the_rest(organizer, group, values, field, words):
    line = make_stock(group, Item.SPADE, 10)
    address = url("record_movement", group, line.pk)
    data = {"kind": "lost", "number": "3", "note": "In the mud", "submission": token_of(organizer.get(address))}
    response = organizer.post(address, {**data, **values})
    assert response.status_code == 200
    assert words in " ".join(response.context["form"].errors[field])
    assert "In the mud" in response.content.decode()
    assert on_hand(line) == 10


def test_a_changed_movement_after_a_step_back_is_not_taken_for_the_first(organizer, group):
    line = make_stock(group, Item.SPADE, 10)
    address = url("record_movement", group, line.pk)
    data = {"kind": "lost", "number": "3", "submission": token_of(organizer.get(address))}
    organizer.post(address, data)
    page = organizer.post(address, {**data, "number": "4"})
    assert "recorded already, with other words or figures" in text_of(page)
    assert 'value="4"' in page.content.decode()
    assert on_hand(line) == 7


def test_a_changed_line_after_a_step_back_is_not_taken_for_the_first(organizer, group):
    address = url("add_line", group)
    data = {"item": "spade", "size": "", "number": "4", "submission": token_of(organizer.get(address))}
    organizer.post(address, data)
    assert "recorded already" in text_of(organizer.post(address, {**data, "item": "sled"}))
    assert StockLine.objects.get().item == "spade"


def test_a_long_ledger_comes_in_pages(organizer, group):
    line = make_stock(group, Item.SPADE, 1)
    entry = Entry.objects.create(group=group, made_by=make_account(), made_at=NOW)
    for _number in range(60):
        Movement.objects.create(
            entry=entry, line=line, kind=Kind.RECEIVED, number=1, source=Place.OUTSIDE, target=Place.SHELF
        )
    address = url("line", group, line.pk)
    assert len(organizer.get(address).context["page"]) == 50
    assert len(organizer.get(address, {"page": 2}).context["page"]) == 11


def test_the_menu_leads_staff_to_the_stock(organizer, group):
    assert f'href="{url("stock", group)}"' in organizer.get(url("stock", group)).content.decode()


# --- Sets ------------------------------------------------------------------------------------------------------------


def test_pieces_get_labels_and_the_sheet_prints_them(organizer, group):
    line = make_stock(group, Item.CHEST_WADERS, 3, size="43")
    address = url("give_labels", group, line.pk)
    form = organizer.get(address)
    assert "3 without a label" in text_of(form)
    data = {"number": "2", "shelf": "Crate 4", "submission": token_of(form)}
    assert "2 pieces have codes now" in text_of(organizer.post(address, data, follow=True))
    sheet = organizer.get(url("labels", group))
    codes = [each.code for each in GearSet.objects.filter(line=line)]
    assert all(code in text_of(sheet) for code in codes)
    assert sheet.content.decode().count('class="qr"') == 2
    assert "style=" not in sheet.content.decode()


def test_the_sheet_of_one_line_has_only_its_sets(organizer, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    (jacket,) = make_sets(group, Item.LIFE_JACKET, 1, size="adult")
    shown = text_of(organizer.get(url("labels", group), {"line": waders.line.pk}))
    assert waders.code in shown
    assert jacket.code not in shown


def test_the_sheet_takes_as_many_queries_for_many_sets(organizer, group, count_queries):
    make_sets(group, Item.CHEST_WADERS, 1, size="43")
    organizer.get(url("labels", group))
    few = count_queries(lambda: organizer.get(url("labels", group)))
    make_sets(group, Item.CHEST_WADERS, 20, size="44")
    assert count_queries(lambda: organizer.get(url("labels", group))) == few


def test_a_set_is_found_by_code_or_number(organizer, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    make_sets(make_group(), Item.CHEST_WADERS, 1, size="43", code="ABCDEFGH")
    for written in (waders.code, waders.code.lower(), str(waders.number)):
        answer = organizer.get(url("stock", group), {"code": written})
        assert answer.url == waders.get_absolute_url()
    for unknown in ("ABCDEFGH", "0", "9" * 20, ""):
        answer = organizer.get(url("stock", group), {"code": unknown})
        assert answer.status_code == 200
        assert answer.context["find"].errors


def test_a_set_s_page_offers_what_can_happen_next(organizer, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43", shelf="Crate 4")
    page = organizer.get(waders.get_absolute_url())
    for words in ("in stock", "Crate 4", waders.code, "Found damaged", "Lost", "Worn out, retired"):
        assert words in text_of(page)
    assert "Given back" not in text_of(page)
    services.move_set(gear_set=waders, kind=Kind.DAMAGED, actor=make_account(), now=NOW)
    page = organizer.get(waders.get_absolute_url())
    address = url("move_set", group, waders.code)
    data = {"kind": "repaired", "submission": str(page.context["submission"])}
    for _press in range(2):
        assert "Recorded: repaired" in text_of(organizer.post(address, data, follow=True))
    assert state_of(waders).place is Place.USED
    assert "is now: back, to clean and dry" in text_of(
        organizer.post(address, {"kind": "repaired", "submission": "5e2c1f8e-0c3c-4a3e-9f4f-2f1d1c1b1a19"})
    )


def test_a_volunteer_who_scans_a_label_sees_no_names_and_no_buttons(client, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    client.force_login(make_member(group).account)
    page = client.get(waders.get_absolute_url())
    assert page.status_code == 200
    assert "What happens next" not in text_of(page)


def test_a_crew_lead_records_what_happens_in_the_field_only(client, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    client.force_login(make_member(group, role=Role.CREW_LEAD).account)
    shown = text_of(client.get(waders.get_absolute_url()))
    assert "Found damaged" in shown
    assert "Worn out" not in shown
    address = url("move_set", group, waders.code)
    data = {"kind": "retired", "submission": token_of(client.get(address))}
    assert client.post(address, data).status_code == 403
    assert state_of(waders).place is Place.SHELF


def test_where_a_set_is_kept_is_changed_and_a_stale_form_is_asked_again(organizer, group):
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    address = url("keep_set", group, waders.code)
    stale = organizer.get(address).context["form"]["version"].value()
    assert "Crate 4" in text_of(organizer.post(address, {"shelf": "Crate 4", "version": stale}, follow=True))
    again = organizer.post(address, {"shelf": "Crate 5", "version": stale})
    assert "changed since you opened it" in text_of(again)
    assert GearSet.objects.get().shelf == "Crate 4"


# --- Cleaning, drying, loans -----------------------------------------------------------------------------------------


def came_back(group):
    line = make_stock(group, Item.SPADE, 3)
    (waders,) = make_sets(group, Item.CHEST_WADERS, 1, size="43")
    for kind in (Kind.DAMAGED, Kind.REPAIRED):
        services.record_movement(line=line, kind=kind, number=2, actor=make_account(), now=NOW)
        services.move_set(gear_set=waders, kind=kind, actor=make_account(), now=NOW)
    return line, waders


def test_gear_is_cleaned_then_dried_by_ticking_it(client, group):
    line, waders = came_back(group)
    client.force_login(make_member(group, role=Role.CREW_LEAD).account)
    address = url("care", group)
    page = client.get(address)
    for words in ("Pieces to clean: 3; to dry: 0", "never mix it with ammonia", "Leave for", "10 min", "moving air"):
        assert words in text_of(page)
    for form, place in (("clean", Place.WASHED), ("dry", Place.SHELF)):
        page = client.get(address)
        data = {
            "form": form,
            f"{form}-kind": page.context[form]["kind"].value(),
            f"{form}-submission": str(page.context[form]["submission"].value()),
            f"{form}-sets": [waders.pk],
            f"{form}-line_{line.pk}": "2",
        }
        for _press in range(2):
            assert client.post(address, data, follow=True).status_code == 200
        assert state_of(waders).place is place
    assert on_hand(line) == 3
    assert "Nothing waits to be cleaned" in text_of(client.get(address))


def test_a_set_that_is_dry_but_not_cleaned_stays_on_the_list(organizer, group):
    _line, waders = came_back(group)
    address = url("care", group)
    token = str(organizer.get(address).context["clean"]["submission"].value())
    data = {"form": "clean", "clean-kind": "cleaned", "clean-submission": token, "clean-sets": [waders.pk]}
    organizer.post(address, {**data, "without_cleaning": "1"})
    assert state_of(waders).place is Place.AIRED
    assert "dry, not cleaned" in text_of(organizer.get(address))


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "Choose at least one piece"),
        ({"clean-line": "3"}, "Write 2 or less"),
        ({"clean-line": "x"}, "Write a whole number"),
        ({"clean-sets": ["9" * 30]}, "not one of the available choices"),
        ({"clean-kind": "lost"}, "is not one of the available choices"),
    ],
)
def test_bad_input_on_the_cleaning_page_changes_nothing(organizer, group, values, words):
    line, _waders = came_back(group)
    address = url("care", group)
    token = str(organizer.get(address).context["clean"]["submission"].value())
    data = {"form": "clean", "clean-kind": "cleaned", "clean-submission": token, **values}
    if "clean-line" in data:
        data[f"clean-line_{line.pk}"] = data.pop("clean-line")
    before = Movement.objects.count()
    answer = organizer.post(address, data)
    assert answer.status_code == 200
    assert words in text_of(answer)
    assert Movement.objects.count() == before


def test_gear_is_borrowed_and_given_back_in_parts(organizer, group):
    address = url("borrow", group)
    data = {
        "party": "Pond circle",
        "due_on": "2199-09-01",
        "item": "chest waders",
        "size": "43",
        "number": "3",
        "submission": token_of(organizer.get(address)),
    }
    assert "Pond circle" in text_of(organizer.post(address, data, follow=True))
    line = StockLine.objects.get()
    loan = group.gear_loans.get()
    address = url("return_loan", group, loan.pk, line.pk)
    refused = organizer.post(address, {"number": "4", "submission": token_of(organizer.get(address))})
    assert "3 are still out, so 4 cannot go back" in text_of(refused)
    organizer.post(address, {"number": "3", "submission": token_of(organizer.get(address))})
    assert on_hand(line) == 0
    assert "Returned" in text_of(organizer.get(url("loans", group)))


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"size": "34"}, "size", "valid choice"),
        ({"size": ""}, "size", "comes in these sizes"),
        ({"due_on": "2001-01-01"}, "due_on", "This day is past"),
        ({"due_on": "soon"}, "due_on", "Pick a day"),
        ({"number": "-2"}, "number", "Write 1 or more"),
    ],
)
def test_the_form_of_a_loan_names_the_field(organizer, group, values, field, words):
    address = url("borrow", group)
    data = {"party": "Pond circle", "due_on": "2199-09-01", "item": "chest waders", "size": "43", "number": "3"}
    answer = organizer.post(address, {**data, "submission": token_of(organizer.get(address)), **values})
    assert words in " ".join(answer.context["form"].errors[field])
    assert not group.gear_loans.exists()


def test_gear_in_stock_is_lent(organizer, group):
    line, (waders,) = make_stock(group, Item.SPADE, 3), make_sets(group, Item.CHEST_WADERS, 1, size="43")
    address = url("lend", group)
    data = {"party": "Pond circle", "due_on": "2199-09-01", "submission": token_of(organizer.get(address))}
    assert "Choose at least one piece" in text_of(organizer.post(address, data))
    missing = organizer.post(address, {**data, "line": line.pk})
    assert "Write how many of them are lent" in text_of(missing)
    organizer.post(address, {**data, "line": line.pk, "number": "2", "sets": [waders.pk]})
    assert (on_hand(line), state_of(waders).place) == (1, Place.LENT)


def test_the_first_page_tells_organizers_what_waits(client, organizer, group):
    came_back(group)
    assert "Pieces to clean: 3; to dry: 0" in text_of(organizer.get("/"))
    client.force_login(make_member(group).account)
    assert "Pieces to clean" not in text_of(client.get("/"))

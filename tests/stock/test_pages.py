import re
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from reedcrew.people.roles import Role
from reedcrew.stock.models import Movement, StockLine
from reedcrew.stock.queries import on_hand
from reedcrew.trade.items import Item
from tests.factories import NOW, make_group, make_member, make_stock

pytestmark = pytest.mark.django_db


@pytest.fixture
def group():
    return make_group()


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
    return [
        (url("stock", group), staff),
        (url("line", group, line.pk), staff),
        (url("add_line", group), organizers),
        (url("record_movement", group, line.pk), organizers),
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
    for words in ("Chest waders: 6 in all", "chest waders, 43", "few left", "Spade: 0 in all", "none left"):
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
    assert "10 there now" in text_of(form)
    data = {"kind": "lost", "number": "3", "note": "In the mud", "submission": token_of(form)}
    for _press in range(2):
        response = organizer.post(address, data, follow=True)
    assert on_hand(line) == 7
    shown = text_of(response)
    for words in ("There now 7", "-3", "In the mud", "Robin Alder", "received"):
        assert words in shown


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"kind": ""}, "kind", "required"),
        ({"kind": "stolen"}, "kind", "valid choice"),
        ({"number": "11"}, "number", "Only 10 are there, so 11 cannot go"),
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


def test_a_long_ledger_comes_in_pages(organizer, group):
    line = make_stock(group, Item.SPADE, 1)
    for _number in range(60):
        Movement.objects.create(line=line, kind="received", change=1, made_by=group.members.get().account, made_at=NOW)
    address = url("line", group, line.pk)
    assert len(organizer.get(address).context["page"]) == 50
    assert len(organizer.get(address, {"page": 2}).context["page"]) == 11


def test_the_menu_leads_staff_to_the_stock(organizer, group):
    assert f'href="{url("stock", group)}"' in organizer.get(url("stock", group)).content.decode()

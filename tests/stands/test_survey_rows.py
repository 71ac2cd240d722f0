"""Pasted rows of quadrats: what is read, and what is said of a row that cannot be."""

from decimal import Decimal

import pytest

from reedcrew.stands.forms import pasted_text, read_quadrats
from reedcrew.stands.models import Quadrat, Zone

EDGE, DEEP = Zone(pk=1, name="Edge"), Zone(pk=2, name="Deep end")
HEAD = "zone,number,stems,height_cm,depth_cm,seed_heads,latitude,longitude\n"


def read(text, taken=None):
    return read_quadrats(text, [EDGE, DEEP], taken or {})


def said(text):
    return [str(problem) for problem in read(text).problems]


@pytest.mark.parametrize("head", [HEAD, ""])
@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_rows_apart_by_comma_semicolon_or_tab(sign, head):
    text = (head + "Edge,3,42,310,25,7,44.250312,-76.499870\n").replace(",", sign)
    (entry,) = read(text).entries
    assert (entry.zone, entry.number, entry.stems, entry.height_cm, entry.depth_cm) == (EDGE, 3, 42, 310, 25)
    assert (entry.seed_heads, entry.latitude) == (7, Decimal("44.250312"))
    assert entry.longitude == Decimal("-76.499870")


def test_a_decimal_comma_between_semicolons():
    (entry,) = read("Edge;1;42;;;;44,250312;-76,499870").entries
    assert (entry.latitude, entry.longitude) == (Decimal("44.250312"), Decimal("-76.499870"))


def test_a_head_may_name_fewer_columns_in_any_order_and_case():
    found = read("Stems\tZone\n5\tedge\n0\tDEEP END\n")
    assert [(each.zone, each.number, each.stems) for each in found.entries] == [(EDGE, 1, 5), (DEEP, 1, 0)]
    assert found.lines == (2, 3)


def test_rows_without_numbers_count_on_from_the_greatest_of_their_zone():
    found = read("Edge,,1\nEdge,7,2\nEdge,,3\nDeep end,,4\n", taken={DEEP.pk: 5})
    assert [each.number for each in found.entries] == [8, 7, 9, 6]


def test_empty_lines_are_skipped_and_lines_are_those_of_the_editor():
    found = read("\n\nEdge,1,5\n\nEdge,2,many\n")
    assert found.lines == (3,)
    assert str(found.problems[0]) == "Row 5, stems: Write a whole number, such as 12."


@pytest.mark.parametrize(
    ("text", "sentences"),
    [
        ("Shore,1,5", ["Row 1, zone: the stand has no zone “Shore”. Its zones are Deep end, Edge."]),
        ("Edge,1,", ["Row 1, stems: This field is required."]),
        ("Edge,1,-5", ["Row 1, stems: Write 0 or more."]),
        (
            "Edge,0,5,900,2000,,95,-76.5",
            [
                "Row 1, number: Write 1 or more.",
                "Row 1, height_cm: Write 800 or less.",
                "Row 1, depth_cm: Write 1000 or less.",
                "Row 1, latitude: Write 90 or less.",
            ],
        ),
        ("zone,number\nEdge,1", ["Row 1, stems: the head has no such column."]),
        ("zone,stems,stems\nEdge,1,1", ["Row 1, stems: the head names this column twice."]),
        ("zone,stems,shoots\nEdge,1,1", ["Row 1, shoots: there is no such column."]),
        ("Edge,1,5,1,1,1,44,250312,-76,499870", ["Row 1, zone: the row has 10 cells instead of 8."]),
        ('Edge,1,"5\n' + "x" * 140_000, ["Row 2, zone: this is no row of a table."]),
    ],
)
def test_what_is_wrong_is_said_by_row_and_column(text, sentences):
    found = said(text)
    assert len(found) == len(sentences)
    assert all(one.startswith(other) for one, other in zip(found, sentences, strict=True)), found


def test_quadrats_become_rows_that_are_read_again():
    rows = [
        Quadrat(zone=EDGE, number=1, stems=5, height_cm=200, latitude=Decimal("44.25"), longitude=Decimal("-76.5")),
        Quadrat(zone=DEEP, number=4, stems=0, depth_cm=70, seed_heads=0),
    ]
    found = read(pasted_text(rows))
    assert found.problems == ()
    assert [(each.zone, each.number, each.stems, each.height_cm, each.depth_cm) for each in found.entries] == [
        (EDGE, 1, 5, 200, None),
        (DEEP, 4, 0, None, 70),
    ]

"""Earlier seasons from a spreadsheet: all rows or none, errors by row and column, undone as a whole."""

import csv
import datetime
import io

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from openpyxl import Workbook

from reedcrew.grants import errors
from reedcrew.grants.earlier import spreadsheet
from reedcrew.grants.earlier.cells import DateOrder
from reedcrew.grants.earlier.judging import Column, guess
from reedcrew.grants.models import Claim, EarlierBatch, EarlierLine, HourEntry
from reedcrew.grants.queries.earlier import earlier_years
from reedcrew.grants.services import earlier as services
from reedcrew.people.roles import Role
from reedcrew.web.cells import safe_cell
from tests import factories
from tests.factories import NOW
from tests.grants.days import make_closed

pytestmark = pytest.mark.django_db

TODAY = NOW.date()
HEAD = ["Day", "Name", "Stand", "Hours", "Kind", "Stems", "Remark"]
COLUMNS = dict(zip(Column, range(7), strict=True))


@pytest.fixture
def actor(group):
    return factories.account_of(factories.make_member(group, role=Role.COORDINATOR))


@pytest.fixture(autouse=True)
def stand(group):
    return factories.make_stand(group, name="Landing")


def csv_of(rows, *, delimiter=",", encoding="utf-8"):
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows([HEAD, *rows])
    return ContentFile(text.getvalue().encode(encoding), name="hours 2024.csv")


def xlsx_of(rows):
    book = Workbook()
    for row in [HEAD, *rows]:
        book.active.append(row)
    packed = io.BytesIO()
    book.save(packed)
    return ContentFile(packed.getvalue(), name="hours.xlsx")


def upload(group, actor, file, *, order=DateOrder.YEAR_FIRST, columns=COLUMNS):
    batch = services.upload_earlier(group=group, file=file, actor=actor, now=NOW)
    return services.name_columns(batch=batch, columns=columns, order=order)


def take_over(batch, actor):
    return services.take_over(batch=batch, actor=actor, now=NOW, today=TODAY)


def row(day="2024-07-20", name="Odo Fenn", stand="Landing", hours="3.5", kind="", stems="", note=""):
    return [day, name, stand, hours, kind, stems, note]


def test_rows_become_lines_of_earlier_work_and_never_hours_of_the_ledger(group, actor, stand):
    member = factories.make_member(group, name="Ada Brook")
    rows = [
        row(stems="1200"),
        row(name="ada brook", hours="3:30"),
        row(day="2023-08-01", name="ODO FENN", kind="travel"),
    ]
    batch = take_over(upload(group, actor, csv_of(rows)), actor)
    first, second, third = EarlierLine.objects.order_by("row")
    assert (first.row, first.date, first.minutes, first.stems) == (2, datetime.date(2024, 7, 20), 210, 1200)
    assert (second.member, second.code, second.minutes) == (member, member.code, 210)
    assert (third.kind, third.member) == ("travel", None)
    assert first.code == third.code != member.code
    assert (batch.state, batch.rows, HourEntry.objects.count(), Claim.objects.count()) == ("imported", 3, 0, 0)
    years = [(each.year, each.minutes, each.people, each.stems) for each in earlier_years(group)]
    assert years == [(2023, 210, 1, None), (2024, 420, 2, 1200)]


def test_a_workbook_is_read_as_people_see_it(group, actor):
    rows = [
        row(day=datetime.date(2024, 7, 20), hours=3.5),
        row(day=datetime.datetime(2024, 7, 21, 9), hours=datetime.time(3, 30)),  # noqa: DTZ001  # as openpyxl gives it
        [None] * 7,
        row(hours=datetime.timedelta(hours=3, minutes=30), stems=1200.0),
    ]
    take_over(upload(group, actor, xlsx_of(rows)), actor)
    lines = EarlierLine.objects.order_by("row")
    assert [(line.row, line.minutes) for line in lines] == [(2, 210), (3, 210), (5, 210)]


@pytest.mark.parametrize("make", [csv_of, xlsx_of])
def test_a_formula_in_a_name_stays_a_text_that_no_export_lets_run(group, actor, make):
    """OWASP, CSV injection. In a workbook it is a formula that was never worked out, so there is no name to see."""
    batch = upload(group, actor, make([row(name='=HYPERLINK("http://example.org")')]))
    if make is xlsx_of:
        (error,) = services.look_through(batch=batch, today=TODAY).errors
        assert (error.row, error.column) == (2, "B (Name)")
    else:
        take_over(batch, actor)
        name = EarlierLine.objects.get().name
        assert name.startswith("=HYPERLINK")
        assert safe_cell(name).startswith("'=")


@pytest.mark.parametrize(
    ("order", "written"),
    [(DateOrder.YEAR_FIRST, "2024-7-20"), (DateOrder.DAY_FIRST, "20.07.2024"), (DateOrder.MONTH_FIRST, "7/20/2024")],
)
def test_days_are_read_in_the_order_that_was_said(group, actor, order, written):
    take_over(upload(group, actor, csv_of([row(day=written)], delimiter=";"), order=order), actor)
    assert EarlierLine.objects.get().date == datetime.date(2024, 7, 20)


@pytest.mark.parametrize(
    ("wrong", "column", "words"),
    [
        ({"day": "20.7.2024"}, "A (Day)", "such as 2024-07-18"),
        ({"day": "2024-02-30"}, "A (Day)", "such as 2024-07-18"),
        ({"day": "2027-01-01"}, "A (Day)", "not come yet"),
        ({"day": "0024-07-20"}, "A (Day)", "from 1950 on"),
        ({"name": ""}, "B (Name)", "empty"),
        ({"name": "x" * 81}, "B (Name)", "at most 80 characters"),
        ({"stand": "Nowhere"}, "C (Stand)", "no stand of this name"),
        ({"hours": "many"}, "D (Hours)", "such as 3.5 or 3:30"),
        ({"hours": "0"}, "D (Hours)", "at most 24 hours"),
        ({"hours": "25"}, "D (Hours)", "at most 24 hours"),
        ({"hours": "NaN"}, "D (Hours)", "such as 3.5"),
        ({"hours": "3:75"}, "D (Hours)", "up to 59"),
        ({"kind": "play"}, "E (Kind)", "field work, travel, preparation"),
        ({"stems": "1.5"}, "F (Stems)", "whole number"),
        ({"note": "n" * 201}, "G (Remark)", "at most 200"),
    ],
)
def test_a_wrong_cell_is_named_by_row_and_column_and_nothing_is_taken_over(group, actor, wrong, column, words):
    batch = upload(group, actor, csv_of([row(), row(**wrong), row(day="2024-07-22")]))
    judged = services.look_through(batch=batch, today=TODAY)
    (error,) = judged.errors
    assert (error.row, error.column, judged.rows) == (3, column, 2)
    assert words in error.sentence
    with pytest.raises(errors.RowsWrong, match=r"Nothing was taken over: row 3, column"):
        take_over(batch, actor)
    assert not EarlierLine.objects.exists()


def test_a_hundred_thousand_rows_with_an_error_in_the_last_leave_nothing(group, actor):
    rows = [row(name=f"Person {number % 90}") for number in range(99_999)]
    batch = upload(group, actor, csv_of([*rows, row(hours="x")]))
    with pytest.raises(errors.RowsWrong, match=r"row 100001, column D \(Hours\): Write hours.*\(1 errors in all\)"):
        take_over(batch, actor)
    assert not EarlierLine.objects.exists()
    assert EarlierBatch.objects.get().state == "uploaded"


@pytest.mark.parametrize("make", [csv_of, xlsx_of])
def test_more_rows_than_a_file_may_have_are_refused_as_a_whole(group, actor, make, monkeypatch):
    monkeypatch.setattr(spreadsheet, "ROWS_MAX", 3)
    batch = upload(group, actor, make([row()] * 4))
    with pytest.raises(errors.TooManyRows, match="more than 3 rows"):
        take_over(batch, actor)
    assert not EarlierLine.objects.exists()


def test_hours_that_are_known_already_are_not_taken_again(group, actor, stand):
    member = factories.make_member(group, name="Ada Brook")
    make_closed(stand, members=[member], date=datetime.date(2024, 7, 20))
    take_over(upload(group, actor, csv_of([row()])), actor)
    batch = upload(group, actor, csv_of([row(), row(name="Ada Brook"), row(hours="2")]))
    judged = services.look_through(batch=batch, today=TODAY)
    said = [(error.row, error.sentence) for error in judged.errors]
    assert said == [
        (2, "An earlier import has this line already."),
        (3, "The ledger has hours of this person on that day already."),
    ]


def test_an_import_is_undone_whole_and_its_file_can_come_again(group, actor, django_capture_on_commit_callbacks):
    file = csv_of([row(), row(day="2024-07-21")])
    with django_capture_on_commit_callbacks(execute=True):
        batch = take_over(upload(group, actor, file), actor)
    with pytest.raises(errors.FileTakenOver, match="Mon 10 August 2026"):
        upload(group, actor, file)
    with pytest.raises(errors.NotToTakeOver, match="taken over"):
        take_over(batch, actor)
    services.undo(batch=batch, actor=actor, now=NOW)
    assert not EarlierLine.objects.exists()
    with pytest.raises(errors.NotTakenOver, match="undone"):
        services.undo(batch=batch, actor=actor, now=NOW)
    take_over(upload(group, actor, file), actor)
    assert EarlierLine.objects.count() == 2


def test_a_file_is_kept_only_until_it_is_taken_over_or_put_aside(group, actor, django_capture_on_commit_callbacks):
    taken, aside = upload(group, actor, csv_of([row()])), upload(group, actor, csv_of([row(hours="2")]))
    names = [taken.file.name, aside.file.name]
    with django_capture_on_commit_callbacks(execute=True):
        take_over(taken, actor)
        services.put_aside(batch=aside)
    assert [default_storage.exists(name) for name in names] == [False, False]


@pytest.mark.parametrize(
    ("file", "error"),
    [
        (ContentFile(b"", name="empty.csv"), errors.NoRows),
        (ContentFile(b"PK\x03\x04 no workbook", name="hours.xlsx"), errors.SpreadsheetNotReadable),
        (ContentFile(b"Day,Name\n2024,Andr\xe9\n", name="hours.csv"), errors.SpreadsheetNotUtf8),
        (ContentFile(b"Day,Name\n", name="hours.ods"), errors.NoSpreadsheet),
        (ContentFile(b'Day,"' + b"x" * 200_000, name="hours.csv"), errors.SpreadsheetNotReadable),
    ],
    ids=["empty", "no workbook", "not UTF-8", "another format", "a cell without end"],
)
def test_a_file_that_is_no_spreadsheet_is_refused(group, actor, file, error):
    with pytest.raises(error):
        upload(group, actor, file)
    assert not EarlierBatch.objects.exists()


def test_a_coordinator_goes_from_upload_to_undo(client, group, actor):
    client.force_login(actor)

    def address(name, *args):
        return reverse(f"grants:{name}", args=[group.slug, *args])

    page = client.post(address("earlier"), {"file": csv_of([row(), row(name="<b>Odo</b>")])}, follow=True)
    assert "A: Day" in page.text
    batch = EarlierBatch.objects.get()
    chosen = {column.value: place for column, place in COLUMNS.items()}
    twice = client.post(address("earlier_file", batch.pk), {**chosen, "order": "ymd", "hours": 0})
    assert "This column was chosen for “Date” already" in twice.text
    page = client.post(address("earlier_file", batch.pk), {**chosen, "order": "ymd"}, follow=True)
    assert "Every row is right" in page.text
    assert "&lt;b&gt;Odo&lt;/b&gt;" in page.text
    page = client.post(address("take_over", batch.pk), follow=True)
    assert "2 rows are taken over" in page.text
    assert "7 h" in page.text
    client.post(address("undo_earlier", batch.pk))
    assert not EarlierLine.objects.exists()


def test_columns_are_guessed_from_the_head():
    assert guess(HEAD) == COLUMNS
    assert guess(["Volunteer", "Where", "=1"]) == {Column.PERSON: 0, Column.STAND: 1}


def test_another_group_s_stands_and_people_are_unknown(group, actor):
    other = factories.make_group()
    factories.make_stand(other, name="Elsewhere")
    factories.make_member(other, name="Odo Fenn")
    batch = upload(group, actor, csv_of([row(), row(stand="Elsewhere")]))
    judged = services.look_through(batch=batch, today=TODAY)
    assert [error.row for error in judged.errors] == [3]
    assert judged.members == set()

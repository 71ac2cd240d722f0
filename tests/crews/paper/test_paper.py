"""The PDF for the clipboard: what stands on it, who may print contacts, hostile text, and many people."""

import datetime
import io
import re
import unicodedata

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from reedcrew.crews.paper.sheets import clipboard, count_times
from reedcrew.crews.paper.typeset import Sheet, pictures, typeset
from reedcrew.crews.paper.words import DRAWN, STAND_IN, drawn, printable
from reedcrew.people.models import PrivateLook, PrivateRecord
from reedcrew.people.roles import Role
from reedcrew.stands.models import Site
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.crews.crowd import full_day, sign_up_waders
from tests.crews.paper.papers import DAY_BEFORE, SHORE, WADERS, lead_of, pages_of, paper_day, text_of
from tests.factories import NOW, START, account_of

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # a paper is set alike from the rows of any database

HOSTILE = (
    '#import "@preview/x:1.0.0" *bold* $x^2$ @cite <label> \\ _u_ `raw` = head // gone /* gone */ #panic("x") [ ] { }'
)


@pytest.fixture
def day_before(time_machine):
    time_machine.move_to(DAY_BEFORE, tick=False)


def address(day):
    return reverse("crews:paper", args=[day.group.slug, day.pk])


def make_pdf(client, day, **said):
    return client.post(address(day), {"sheet": "a4", **said})


def test_everything_that_a_crew_needs_without_a_phone_is_on_the_paper(client, day_before):
    day = paper_day()
    client.force_login(lead_of(day).account)
    answer = make_pdf(client, day)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="clipboard-2026-08-15.pdf"'
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"] == "private, no-store"
    words = text_of(answer.content)
    for name in (*WADERS, *SHORE, "Quinn Nettle"):
        assert words.count(name) >= 3  # roster, gear issue, sign-in
    for said in (
        "North gate on Ferry Lane, wide enough for an ambulance",
        "Gravel lot at the boat landing",
        "Past the barn, then on foot along the dike.",
        "44.250000, -76.500000",
        "Soft bed near the old jetty.",
        "patchy",
        "Lake wardens",
        "Look for nests first.",
        "wind 14 km/h",
        "sunrise",
        "Nobody goes in alone.",
        "Local rules",
        "Reed edge, 60 cm deep",
        "cut as near the bed as possible",
        "under 18, guardian: Nia Nettle",
        "first-aider",
        "Accepted",
        "Got it: signature",
        "09:30",
        "13:00",
        "Stems in sample bundles",
        "People who come without a place",
        "38.1 mL",  # 200 mg/L in 10 L from 5.25 %: 38.10 mL (check: NR 329.04's strength, C1 × V1 = C2 × V2)
        "9.96 L",
    ):
        assert said in words, said
    assert re.search(r"chest waders 43 no\. \d+", words.replace("\N{NO-BREAK SPACE}", " "))
    channel = words[words.index("Channel") :]
    assert "Closed: nobody enters." in channel[:80]


def test_every_page_names_group_day_time_and_number(client, day_before):
    day = paper_day()
    client.force_login(lead_of(day).account)
    pages = pages_of(make_pdf(client, day).content)
    for number, page in enumerate(pages, 1):
        assert day.group.name in page
        assert "Reed morning at the landing" in page
        assert "Sat 15 August 2026, 09:00–13:00 EDT" in page
        assert f"{number} / {len(pages)}" in page
        assert "Printed Fri 14 August 2026" in page
    for number, title in enumerate(
        ("Site sheet", "Read aloud before the start", "Roster", "Units and roles", "Gear issue")
    ):
        assert title in pages[number]


@pytest.mark.parametrize(("sheet", "width_pt", "height_pt"), [("a4", 595, 842), ("us-letter", 612, 792)])
def test_both_sizes_of_paper(sheet, width_pt, height_pt):
    # ISO 216: 210 × 297 mm; US Letter: 8.5 × 11 in; 72 points to the inch.
    day = paper_day(WADERS[:2])
    made = typeset(clipboard(day, DAY_BEFORE), sheet=Sheet(sheet), at=DAY_BEFORE)
    boxes = re.findall(rb"/MediaBox ?\[ ?0 0 ([\d.]+) ([\d.]+) ?\]", made)
    assert boxes
    for width, height in boxes:
        assert (round(float(width)), round(float(height))) == (width_pt, height_pt)


def test_the_paper_is_black_and_white():
    day = paper_day(WADERS[:2])
    pages = pictures(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE, ppi=30)
    for page in pages:
        colours = Image.open(io.BytesIO(page)).convert("RGB").getcolors(1 << 24) or []
        assert colours
        assert all(isinstance(colour, tuple) and len(set(colour)) == 1 for _count, colour in colours)


def test_no_letter_is_smaller_than_10_points():
    day = paper_day(WADERS[:2])
    sizes: list[float] = []

    def note(text, _matrix, text_matrix, _font, size):
        if text.strip():
            sizes.append(abs(size * text_matrix[3]))

    for page in PdfReader(io.BytesIO(typeset(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE))).pages:
        page.extract_text(visitor_text=note)
    assert len(sizes) > 100
    assert min(sizes) >= 10


def test_the_same_day_at_the_same_moment_gives_the_same_bytes():
    day = paper_day(WADERS[:4])
    first, second = (typeset(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE) for _time in range(2))
    assert first == second


# --- Contacts --------------------------------------------------------------------------------------------------------
def test_contacts_are_printed_on_request_and_each_look_is_recorded(client, day_before):
    day = paper_day()
    lead = lead_of(day)
    client.force_login(lead.account)
    words = text_of(make_pdf(client, day, contacts="on", why="clipboard").content)
    for name in (*WADERS, *SHORE):
        assert f"Kin of {name}" in words
    assert "555 0001" in words
    assert "secret note" not in words  # health notes are no part of the paper
    looks = PrivateLook.objects.all()
    assert {look.member.name for look in looks} == {*WADERS, *SHORE, "Quinn Nettle"}
    assert {(look.by, look.why, look.at) for look in looks} == {(lead.account, "clipboard", DAY_BEFORE)}


def test_contacts_of_people_without_a_place_are_not_printed(client, day_before):
    day = paper_day(WADERS[:2])
    other = factories.make_member(day.group, name="Zoe Elsewhere")
    PrivateRecord.objects.filter(member=other).update(emergency_name="Kin of Zoe", emergency_phone="555 9999")
    waits = factories.make_water_member(day.group, name="Wim Waiting")
    factories.make_sign_up(day, waits, state="waiting")
    client.force_login(lead_of(day).account)
    words = text_of(make_pdf(client, day, contacts="on", why="clipboard").content)
    for unsaid in ("Zoe", "555 9999", "Wim Waiting"):
        assert unsaid not in words


def test_without_asking_no_contact_is_printed_or_looked_at(client, day_before):
    day = paper_day()
    client.force_login(lead_of(day).account)
    words = text_of(make_pdf(client, day).content)
    assert "Kin of" not in words
    assert "555" not in words
    assert "Without emergency contacts." in words
    assert not PrivateLook.objects.exists()


@pytest.mark.parametrize("role", [Role.ORGANIZER, Role.CREW_LEAD])
@pytest.mark.parametrize("days", [-2, 2])
def test_outside_the_days_around_contacts_stay_closed_to_everybody(client, time_machine, role, days):
    day = paper_day(WADERS[:2])
    time_machine.move_to(START + datetime.timedelta(days=days), tick=False)
    client.force_login(factories.make_member(day.group, role=role).account)
    page = client.get(address(day)).text
    assert "With emergency contacts" not in page
    words = text_of(make_pdf(client, day, contacts="on", why="clipboard").content)
    assert "Kin of" not in words
    assert "Without emergency contacts." in words
    assert not PrivateLook.objects.exists()


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.COORDINATOR])
def test_who_does_not_run_days_gets_no_paper(client, day_before, role):
    day = full_day(2)
    client.force_login(factories.make_member(day.group, role=role).account)
    assert client.get(address(day)).status_code == 403
    assert make_pdf(client, day, contacts="on", why="x").status_code == 403
    client.force_login(factories.make_member(factories.make_group(), role=Role.ORGANIZER).account)
    assert make_pdf(client, day, contacts="on", why="x").status_code == 404
    assert not PrivateLook.objects.exists()


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"contacts": "on", "why": " "}, "why"),
        ({"sheet": "a0"}, "sheet"),
        ({"contacts": "on", "why": "w" * 5000}, "why"),
    ],
)
def test_a_choice_that_can_not_be_is_asked_back_and_nothing_is_opened(client, day_before, said, field):
    day = full_day(2)
    client.force_login(lead_of(day).account)
    page = make_pdf(client, day, **said)
    assert field in page.context["form"].errors
    assert not PrivateLook.objects.exists()


# --- What people write -----------------------------------------------------------------------------------------------
def test_nothing_that_people_wrote_is_read_as_markup():
    day = paper_day(WADERS[:2])
    Site.objects.update(emergency_entrance=HOSTILE, hazards=HOSTILE, access=HOSTILE + "\n" + HOSTILE)
    WorkDay.objects.update(title=HOSTILE[:80], note=HOSTILE)
    nia = day.sign_ups.get(member__name=WADERS[0]).member
    nia.name = "#panic() *Nia* $N$"
    nia.save()
    day = WorkDay.objects.with_stand().get()
    words = text_of(typeset(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE))
    flat = "".join(words.split())
    assert flat.count("".join(HOSTILE.split())) >= 4
    assert words.count("#panic() *Nia* $N$") >= 3


def test_every_sign_that_the_paper_claims_to_print_has_a_glyph():
    signs = [
        chr(code)
        for first, last in DRAWN
        for code in range(first, last + 1)
        if unicodedata.category(chr(code))[0] in "LNPS" and unicodedata.normalize("NFC", chr(code)) == chr(code)
    ]
    signs.remove("y")
    day = paper_day(WADERS[:2])
    document = clipboard(day, DAY_BEFORE)
    # One sign between two letters, so that none runs into another.
    document["site_sheet"]["parts"] = [
        {"title": "Signs", "lines": [f"x{code:04}{sign}y" for code, sign in enumerate(signs)]}
    ]
    words = "".join(text_of(typeset(document, sheet=Sheet.A4, at=DAY_BEFORE)).split())
    lost = [sign for code, sign in enumerate(signs) if f"x{code:04}y" in words]
    assert lost == []


@pytest.mark.parametrize(
    "name",
    ["Žofia Łukaszová", "Ñandú Ødegård", "Nguyễn Thị Ánh", "Ελένη Παππά", "Ольга Їжак", "Արամ", "გიორგი", "Zoe\u0301"],
)
def test_names_in_scripts_that_the_fonts_know_are_printed(name):
    day = paper_day((name, WADERS[1]))
    words = text_of(typeset(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE))
    assert words.count(unicodedata.normalize("NFC", name)) >= 3


@pytest.mark.parametrize("name", ["李明", "สมชาย", "김민준", "Nia 🙂"])
def test_a_name_without_glyphs_becomes_a_line_to_write_on(name):
    assert not drawn(name)
    day = paper_day((name, WADERS[1]))
    words = text_of(typeset(clipboard(day, DAY_BEFORE), sheet=Sheet.A4, at=DAY_BEFORE))
    assert len(re.findall(r"No\. \d+: write the name by hand", words)) >= 3


def test_text_that_can_not_be_drawn_is_shown_to_be_missing():
    assert printable("gate 李\u202e7\tx\u0000") == f"gate {STAND_IN}7 x"
    assert printable("a\r\nb") == "a\nb"
    assert len(printable("w" * 200).split("\N{ZERO WIDTH SPACE}")) == 7


def test_a_day_without_plan_zones_open_or_people_still_has_its_paper():
    stand = factories.make_stand(factories.make_group())
    day = WorkDay.objects.with_stand().get(pk=factories.make_day(stand).pk)
    words = text_of(typeset(clipboard(day, NOW), sheet=Sheet.LETTER, at=NOW))
    for said in ("There is no plan of the day yet", "No unit is planned into water.", "No forecast is known"):
        assert said in words


def test_sixty_people_all_stand_on_the_paper_and_queries_do_not_grow():
    day = full_day(4)
    day = WorkDay.objects.with_stand().get(pk=day.pk)
    with CaptureQueriesContext(connection) as few:
        clipboard(day, DAY_BEFORE)
    sign_up_waders(day, *(f"Person{number:02} Longname" for number in range(60)))
    day = WorkDay.objects.with_stand().get(pk=day.pk)
    with CaptureQueriesContext(connection) as many:
        document = clipboard(day, DAY_BEFORE)
    assert len(many) == len(few)
    words = text_of(typeset(document, sheet=Sheet.A4, at=DAY_BEFORE))
    assert all(words.count(f"Person{number:02} Longname") >= 3 for number in range(60))


@pytest.mark.parametrize(
    ("hours", "first", "last", "count"),
    [(4, "09:30", "13:00", 8), (9, "10:00", "18:00", 9), (16, "11:00", "01:00", 8), (0.25, None, None, 0)],
)
def test_head_counts_come_each_half_hour_as_far_as_the_page_goes(hours, first, last, count):
    day = full_day(0)
    day.ends_at = day.starts_at + datetime.timedelta(hours=hours)
    times = count_times(day)
    assert len(times) == count
    assert (times[0], times[-1]) == (first, last) if times else (first, last) == (None, None)


def test_looking_and_printing_take_as_many_queries_for_many(client, day_before):
    day = full_day(4)
    client.force_login(account_of(lead_of(day)))
    make_pdf(client, day, contacts="on", why="x")
    with CaptureQueriesContext(connection) as few:
        make_pdf(client, day, contacts="on", why="x")
    sign_up_waders(day, *(f"More {number}" for number in range(20)))
    with CaptureQueriesContext(connection) as many:
        make_pdf(client, day, contacts="on", why="x")
    assert len(many) == len(few)

"""The words of the mails: what each must tell, what none may, and that text and HTML say the same."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from reedcrew.invites.calendar.rules import Letter
from reedcrew.invites.letters import LetterContext, Wording, geo_uri, render_letter, spoken_position, spoken_time
from tests.invites.events import BERLIN

TOLD_IN_FULL = [Letter.INVITED, Letter.CHANGED, Letter.UPDATED]
CALLED_OFF = [Letter.WITHDRAWN, Letter.CANCELLED]


def a_context(**changes: Any) -> LetterContext:
    context: LetterContext = {
        "recipient_name": "Ann",
        "group_name": "Lake Alder Crew",
        "title": "Reed cutting at the north bank",
        "start": datetime(2026, 8, 15, 9, tzinfo=BERLIN),
        "end": datetime(2026, 8, 15, 12, 30, tzinfo=BERLIN),
        "place": "Old jetty",
        "day_url": "https://reedcrew.example/days/17/",
        "contact": ["days@reedcrew.example", "555 0100"],
        "withdraw_url": "https://reedcrew.example/days/17/withdraw/",
        "latitude": 52.51234,
        "longitude": 13.40567,
        "bring": ["Drinking water", "A hat"],
        "gear": ["Chest waders, 43"],
        "partner_names": ["Bo"],
        "dangers": ["water", "blades"],
    }
    return {**context, **changes}  # type: ignore[typeddict-item]  # the tests replace keys by name


def both(wording: Wording) -> tuple[str, str]:
    return wording.text, wording.html


@pytest.mark.parametrize("letter", list(Letter))
def test_every_letter_tells_what_when_and_where_in_both_forms(letter: Letter) -> None:
    wording = render_letter(letter, a_context())
    assert "\n" not in wording.subject
    assert "Reed cutting at the north bank" in wording.subject
    for form in both(wording):
        for fact in (
            "Hello Ann",
            "Lake Alder Crew",
            "Reed cutting at the north bank",
            "Sat 15 August 2026, 09:00–12:30 CEST (Europe/Berlin)",
            "Old jetty",
            "https://reedcrew.example/days/17/",
            "days@reedcrew.example",
            "555 0100",
        ):
            assert fact in form


@pytest.mark.parametrize("letter", TOLD_IN_FULL)
def test_a_letter_about_a_place_tells_position_gear_partner_cautions_and_the_way_out(letter: Letter) -> None:
    for form in both(render_letter(letter, a_context())):
        for fact in (
            "52.51234, 13.40567",
            "geo:52.51234,13.40567",
            "Drinking water",
            "Chest waders, 43",
            "You work together with: Bo",
            "Nobody goes in alone.",
            "briefing",
            "https://reedcrew.example/days/17/withdraw/",
        ):
            assert fact in form


@pytest.mark.parametrize("letter", CALLED_OFF)
def test_a_letter_that_calls_off_names_no_partner_and_no_way_out_of_nothing(letter: Letter) -> None:
    for form in both(render_letter(letter, a_context(reason="Storm warning"))):
        assert "Reason: Storm warning" in form
        for fact in ("Bo", "Chest waders", "/withdraw/", "geo:"):
            assert fact not in form


def test_a_withdrawn_place_and_a_cancelled_day_read_differently() -> None:
    withdrawn = render_letter(Letter.WITHDRAWN, a_context())
    cancelled = render_letter(Letter.CANCELLED, a_context())
    assert withdrawn.subject.startswith("Your place was withdrawn")
    assert cancelled.subject.startswith("Day cancelled")
    for form in both(withdrawn):
        assert "withdrawn" in form
        assert "cancelled" not in form
    for form in both(cancelled):
        assert "cancelled" in form
        assert "withdrawn" not in form


def test_the_waiting_list_is_not_told_as_a_place() -> None:
    waiting = render_letter(Letter.INVITED, a_context(waiting=True))
    placed = render_letter(Letter.INVITED, a_context())
    assert waiting.subject.startswith("Waiting list:")
    assert placed.subject.startswith("Work day:")
    for on_list, with_place in zip(both(waiting), both(placed), strict=True):
        assert "on the waiting list" in on_list
        assert "a place for you" not in on_list
        assert "a place for you" in with_place


def test_a_change_names_what_changed_and_asks_for_an_answer_when_it_is_due() -> None:
    context = a_context(changes=["Start: was 08:00, is 09:00."], asks_answer=True)
    for form in both(render_letter(Letter.CHANGED, context)):
        assert "Start: was 08:00, is 09:00." in form
        assert "Please answer" in form
    for form in both(render_letter(Letter.CHANGED, a_context())):
        assert "What changed" not in form
        assert "Please answer" not in form


@pytest.mark.parametrize("letter", list(Letter))
def test_a_letter_with_the_least_has_no_empty_headings(letter: Letter) -> None:
    least = a_context()
    for key in ("withdraw_url", "latitude", "longitude", "bring", "gear", "partner_names", "dangers"):
        del least[key]  # type: ignore[misc]  # optional keys, named in a loop
    for form in both(render_letter(letter, least)):
        for heading in ("Position", "What to bring", "What we lend", "together with", "Please mind", "cannot come"):
            assert heading not in form
        assert "None" not in form
    assert "\n\n\n" not in render_letter(letter, least).text


def test_what_people_typed_is_escaped_in_html_and_left_alone_in_text() -> None:
    typed = '<script>alert(1)</script> & "Ann" O\'Neil'
    keys = ["recipient_name", "group_name", "title", "place", "reason"]
    lists = ["contact", "bring", "gear", "partner_names", "changes"]
    context = a_context(**dict.fromkeys(keys, typed), **{key: [typed] for key in lists})
    for letter in Letter:
        wording = render_letter(letter, context)
        assert "<script" not in wording.html
        assert "&lt;script&gt;" in wording.html
        assert typed in wording.text
        assert "&" in wording.subject
        assert "&amp;" not in wording.subject + wording.text


def test_a_title_with_line_ends_keeps_the_subject_on_one_line() -> None:
    subject = render_letter(Letter.INVITED, a_context(title="North\r\nBcc: x@y.example")).subject
    assert subject.startswith("Work day: North Bcc: x@y.example,")


def test_html_has_a_language_and_loads_nothing_from_elsewhere() -> None:
    for letter in Letter:
        html = render_letter(letter, a_context()).html
        assert html.startswith('<!doctype html>\n<html lang="en">')
        for element in ("<img", "<link", "<script", "<iframe", "url(", "@import"):
            assert element not in html


def test_an_unknown_danger_is_not_passed_over() -> None:
    with pytest.raises(KeyError):
        render_letter(Letter.INVITED, a_context(dangers=["lava"]))


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (
            datetime(2026, 8, 15, 22, tzinfo=BERLIN),
            datetime(2026, 8, 16, 2, tzinfo=BERLIN),
            "Sat 15 August 2026, 22:00 CEST to Sun 16 August 2026, 02:00 CEST (Europe/Berlin)",
        ),
        (
            datetime(2026, 10, 25, 1, tzinfo=BERLIN),
            datetime(2026, 10, 25, 9, tzinfo=BERLIN),
            "Sun 25 October 2026, 01:00 CEST–09:00 CET (Europe/Berlin)",
        ),
        (
            datetime(2026, 8, 15, 9, tzinfo=ZoneInfo("America/Sao_Paulo")),
            datetime(2026, 8, 15, 12, tzinfo=ZoneInfo("America/Sao_Paulo")),
            "Sat 15 August 2026, 09:00–12:00 UTC-03 (America/Sao_Paulo)",
        ),
        (date(2026, 8, 15), date(2026, 8, 15), "Sat 15 August 2026, all day"),
        (date(2026, 8, 15), date(2026, 8, 16), "Sat 15 August 2026 to Sun 16 August 2026, all day"),
    ],
)
def test_a_time_is_told_in_the_zone_of_the_site(start: datetime | date, end: datetime | date, words: str) -> None:
    assert spoken_time(start, end) == words


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (date(2026, 8, 15), datetime(2026, 8, 15, 9, tzinfo=BERLIN)),
        (datetime(2026, 8, 15, 9, tzinfo=UTC), datetime(2026, 8, 15, 10, tzinfo=UTC)),
        (datetime(2026, 8, 15, 9, tzinfo=BERLIN).replace(tzinfo=None), datetime(2026, 8, 15, 10, tzinfo=BERLIN)),
        (datetime(2026, 8, 15, 9, tzinfo=BERLIN), datetime(2026, 8, 15, 10, tzinfo=BERLIN).replace(tzinfo=None)),
    ],
)
def test_a_time_without_a_zone_of_a_site_is_refused(start: datetime | date, end: datetime | date) -> None:
    with pytest.raises(ValueError, match="Start and end"):
        spoken_time(start, end)


def test_a_position_is_told_to_the_metre() -> None:
    # RFC 5870 section 3.3: latitude first, plain decimals.
    assert geo_uri(0.00001, -70.5) == "geo:0.00001,-70.50000"
    assert spoken_position(-12.3456789, 7) == "-12.34568, 7.00000"

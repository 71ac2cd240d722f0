"""Invitations, cancellations and feeds as bytes: what every receiver must read, and what nobody can smuggle in."""

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from reedcrew.invites.calendar.events import (
    CalendarEvent,
    EventError,
    FeedEvent,
    Method,
    PartStat,
    Status,
    Transparency,
    new_uid,
)
from reedcrew.invites.calendar.message import cancel_bytes, feed_bytes, request_bytes
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.plaintext import plain_text
from tests.invites.byte_checks import byte_faults
from tests.invites.events import ANN, BERLIN, SERVICE, STAMP, an_event
from tests.invites.itip_checks import event_of, feed_faults, itip_faults, read
from tests.invites.readings import PARSERS

UID = "9b0c6f52-2f0e-4d5e-8a43-0a1f6f0f9f00@reedcrew.example"


def messages(event: CalendarEvent) -> list[tuple[str, bytes]]:
    """Each message of an event that has been told at least once."""
    return [
        (Method.REQUEST, request_bytes(event)),
        (Method.CANCEL, cancel_bytes(event)),
    ]


# What people type, and what they should not be able to do with it: every Unicode character but those that are no text.
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=300)


@example(summary=r"\N \n \\N", description=r"C:\New;", location=r"\\,", name="^n ^^ ^'", comment=r"\N")
@given(summary=TEXTS, description=TEXTS, location=TEXTS, name=TEXTS, comment=TEXTS)
def test_whatever_people_type_the_bytes_are_in_order_and_all_parsers_read_the_same(
    summary: str, description: str, location: str, name: str, comment: str
) -> None:
    event = an_event(
        sequence=1,
        summary=summary,
        description=description,
        location=location,
        comment=comment,
        attendee=Mailbox(address=ANN.address, name=name),
    )
    for method, raw in messages(event):
        assert byte_faults(raw) == []  # RFC 5545 section 3.1
        assert itip_faults(raw, method) == []  # RFC 5546 sections 3.2.2, 3.2.5
        for parse in PARSERS.values():
            (reading,) = parse(raw)
            assert (reading.summary, reading.description, reading.location) == (
                plain_text(summary),
                plain_text(description),
                plain_text(location),
            )
            assert reading.attendees == (f"mailto:{ANN.address}",)


def test_every_parser_reads_what_the_event_says() -> None:
    event = an_event(sequence=3)
    for _method, raw in messages(event):
        for parse in PARSERS.values():
            (reading,) = parse(raw)
            assert reading.uid == event.uid
            assert reading.sequence == 3
            assert reading.summary == "Reed cutting at the north bank"
            assert reading.organizer == "mailto:days@reedcrew.example"
            assert reading.attendees == ("mailto:ann.reed@neighbour.example",)
            assert reading.names == ("Ann Reed",)
            assert reading.start == datetime(2026, 8, 15, 7, 0, tzinfo=UTC)  # summer time of Berlin is UTC+2
            assert reading.end == datetime(2026, 8, 15, 10, 30, tzinfo=UTC)


def test_a_request_asks_for_an_answer_and_carries_the_stored_one() -> None:
    # RFC 5546 section 3.2.2; RFC 5545 sections 3.2.12, 3.2.17.
    for partstat in PartStat:
        attendee = event_of(request_bytes(an_event(partstat=partstat))).one("ATTENDEE")
        assert attendee.params == {
            "CN": "Ann Reed",
            "CUTYPE": "INDIVIDUAL",
            "ROLE": "REQ-PARTICIPANT",
            "PARTSTAT": partstat.value,
            "RSVP": "TRUE",
        }
        assert attendee.value == "mailto:ann.reed@neighbour.example"


def test_the_calendar_of_a_message_has_our_product_id_and_no_uid_of_its_own() -> None:
    calendar = read(request_bytes(an_event()))
    assert [(line.name, line.value) for line in calendar.lines] == [
        ("VERSION", "2.0"),
        ("PRODID", "-//Reedcrew//Work days//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "REQUEST"),
    ]


def test_a_cancellation_calls_off_the_whole_event_and_has_no_alarm() -> None:
    # RFC 5546 section 3.2.5.
    event = event_of(cancel_bytes(an_event(sequence=1, comment="Storm warning, sorry")))
    assert event.one("STATUS").value == "CANCELLED"
    assert event.one("SEQUENCE").value == "1"
    assert event.one("COMMENT").value == "Storm warning\\, sorry"
    assert event.one("TRANSP").value == "TRANSPARENT"
    assert event.parts == []
    assert event.all("REQUEST-STATUS") == []
    assert "RSVP" not in event.one("ATTENDEE").params


def test_the_organizer_is_byte_for_byte_the_same_in_every_message_of_a_uid() -> None:
    def organizer(raw: bytes) -> bytes:
        (line,) = re.findall(rb"^ORGANIZER.*$", raw.replace(b"\r\n ", b""), re.MULTILINE)
        return bytes(line)

    first = organizer(request_bytes(an_event()))
    moved = request_bytes(an_event(sequence=1, start=datetime(2026, 8, 15, 8, tzinfo=BERLIN)))
    assert first == organizer(moved) == organizer(cancel_bytes(an_event(sequence=2)))


def test_a_wait_is_tentative_and_leaves_the_time_free() -> None:
    event = an_event(status=Status.TENTATIVE, transparency=Transparency.TRANSPARENT)
    component = event_of(request_bytes(event))
    assert component.one("STATUS").value == "TENTATIVE"  # RFC 5545 section 3.8.1.11
    assert component.one("TRANSP").value == "TRANSPARENT"  # RFC 5545 section 3.8.2.7


def test_whole_days_are_dates_and_end_on_the_day_after() -> None:
    # RFC 5545 section 3.6.1: DTEND is exclusive.
    raw = request_bytes(an_event(start=date(2026, 8, 15), end=date(2026, 8, 16)))
    event = event_of(raw)
    assert (event.one("DTSTART").params, event.one("DTSTART").value) == ({"VALUE": "DATE"}, "20260815")
    assert (event.one("DTEND").params, event.one("DTEND").value) == ({"VALUE": "DATE"}, "20260817")
    assert read(raw).of_kind("VTIMEZONE") == []
    assert itip_faults(raw, "REQUEST") == []
    for parse in PARSERS.values():
        (reading,) = parse(raw)
        assert (reading.start, reading.end) == (date(2026, 8, 15), date(2026, 8, 17))


def test_a_hard_title_comes_through_and_adds_no_property() -> None:
    # RFC 5545 section 3.3.11 (escapes) and 3.1 (folding by octets).
    title = 'Cut; reed, by hand \\ "north": bank\nBEGIN:VALARM\nü é ß 🌾👩‍🌾 ' + "ä" * 300
    plain = event_of(request_bytes(an_event()))
    for _method, raw in messages(an_event(sequence=1, summary=title)):
        assert byte_faults(raw) == []
        for parse in PARSERS.values():
            assert parse(raw)[0].summary == title
    raw = request_bytes(an_event(summary=title))
    assert sorted(line.name for line in event_of(raw).lines) == sorted(line.name for line in plain.lines)


def test_a_name_cannot_add_an_attendee() -> None:
    bent = Mailbox(address=ANN.address, name='Ann "The Reed"\r\nATTENDEE:mailto:x@y.example\x00')
    for method, raw in messages(an_event(sequence=1, attendee=bent)):
        assert itip_faults(raw, method) == []
        attendee = event_of(raw).one("ATTENDEE")
        assert attendee.params["CN"] == "Ann 'The Reed' ATTENDEE:mailto:x@y.example"
        for parse in PARSERS.values():
            assert parse(raw)[0].attendees == ("mailto:ann.reed@neighbour.example",)


def test_a_person_without_a_name_has_no_empty_parameter() -> None:
    raw = request_bytes(an_event(attendee=Mailbox(address=ANN.address)))
    assert "CN" not in event_of(raw).one("ATTENDEE").params


@pytest.mark.parametrize(
    ("latitude", "longitude", "value"),
    [
        (52.51234, 13.40567, "52.512340;13.405670"),
        (0.00001, -0.0000004, "0.000010;-0.000000"),  # never 1e-05: RFC 5545 section 3.3.7 knows no exponent
        (-90, 180, "-90.000000;180.000000"),
    ],
)
def test_a_position_is_written_as_plain_decimals(latitude: float, longitude: float, value: str) -> None:
    raw = request_bytes(an_event(latitude=latitude, longitude=longitude))
    assert event_of(raw).one("GEO").value == value
    assert itip_faults(raw, "REQUEST") == []


def test_an_event_without_the_optional_fields_has_no_empty_ones() -> None:
    bare = {"description": "", "location": "", "latitude": None, "longitude": None, "url": "", "alarm": False}
    raw = request_bytes(an_event(**bare))
    assert {line.name for line in event_of(raw).lines} == {
        *("UID", "SEQUENCE", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "STATUS", "TRANSP", "ORGANIZER", "ATTENDEE")
    }
    assert event_of(raw).parts == []


def test_an_alarm_rings_a_day_before() -> None:
    # RFC 5545 section 3.6.6.
    (alarm,) = event_of(request_bytes(an_event())).of_kind("VALARM")
    assert [(line.name, line.value) for line in sorted(alarm.lines, key=lambda line: line.name)] == [
        ("ACTION", "DISPLAY"),
        ("DESCRIPTION", "Reed cutting at the north bank"),
        ("TRIGGER", "-P1D"),
    ]


def test_the_same_event_gives_the_same_bytes() -> None:
    assert request_bytes(an_event()) == request_bytes(an_event())
    assert cancel_bytes(an_event()) == cancel_bytes(an_event())


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"uid": ""}, "uid"),
        ({"uid": "no-domain"}, "uid"),
        ({"uid": "a b@reedcrew.example"}, "uid"),
        ({"uid": "a@reedcrew.example\r\nX:1"}, "uid"),
        ({"sequence": -1}, "sequence"),
        ({"sequence": 2**31}, "sequence"),  # RFC 5545 section 3.3.8
        ({"dtstamp": datetime(2026, 6, 1, tzinfo=BERLIN)}, "dtstamp"),
        ({"dtstamp": STAMP.replace(tzinfo=None)}, "dtstamp"),
        ({"dtstamp": STAMP.replace(microsecond=1)}, "dtstamp"),
        ({"start": datetime(2026, 8, 15, 9, tzinfo=UTC)}, "start"),
        ({"start": STAMP.replace(tzinfo=None)}, "start"),
        ({"end": datetime(2026, 8, 15, 12, tzinfo=ZoneInfo("Europe/Paris"))}, "end"),
        ({"end": datetime(2026, 8, 15, 9, tzinfo=BERLIN)}, "end"),
        ({"end": date(2026, 8, 15)}, "end"),
        ({"start": date(2026, 8, 16), "end": date(2026, 8, 15)}, "end"),
        ({"latitude": 90.1}, "latitude"),
        ({"latitude": float("nan")}, "latitude"),
        ({"longitude": -180.5}, "longitude"),
        ({"longitude": None}, "latitude"),
        ({"url": "javascript:alert(1)"}, "url"),
        ({"url": "https://reedcrew.example/\r\nX:1"}, "url"),
        ({"url": "https://["}, "url"),
        ({"attendee": Mailbox(address=SERVICE.address.upper())}, "attendee"),
    ],
)
def test_an_event_that_cannot_be_written_names_its_fault(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(EventError) as refusal:
        an_event(**changes)
    assert set(refusal.value.faults) == {field}
    assert field in str(refusal.value)


def test_all_faults_are_named_at_once() -> None:
    with pytest.raises(EventError) as refusal:
        an_event(uid="", sequence=-1, latitude=100)
    assert set(refusal.value.faults) == {"uid", "sequence", "latitude"}


def test_a_cancelled_event_cannot_be_a_request() -> None:
    with pytest.raises(EventError, match="status"):
        request_bytes(an_event(status=Status.CANCELLED))


def test_each_new_uid_is_random_and_tells_only_our_domain() -> None:
    first, second = new_uid(domain="reedcrew.example"), new_uid(domain="reedcrew.example")
    assert first != second
    assert re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}@reedcrew\.example", first)


# --- The feed ------------------------------------------------------------------------------------------------------


def entries() -> list[FeedEvent]:
    later = an_event(uid=UID, start=datetime(2026, 9, 5, 9, tzinfo=BERLIN), end=datetime(2026, 9, 5, 12, tzinfo=BERLIN))
    whole = FeedEvent(
        uid="w" + UID, sequence=0, dtstamp=STAMP, start=date(2026, 7, 1), end=date(2026, 7, 1), summary="Whole day"
    )
    elsewhere = FeedEvent(
        uid="s" + UID,
        sequence=2,
        dtstamp=STAMP,
        start=datetime(2027, 1, 9, 9, tzinfo=ZoneInfo("Australia/Sydney")),
        end=datetime(2027, 1, 9, 12, tzinfo=ZoneInfo("Australia/Sydney")),
        summary="Far away",
        status=Status.CANCELLED,
    )
    in_utc = FeedEvent(
        uid="c" + UID,
        sequence=0,
        dtstamp=STAMP,
        start=datetime(2026, 8, 1, 9, tzinfo=ZoneInfo("Africa/Casablanca")),
        end=datetime(2026, 8, 1, 12, tzinfo=ZoneInfo("Africa/Casablanca")),
        summary="No plain rule",
    )
    return [later, whole, elsewhere, in_utc]


def feed(events: list[FeedEvent]) -> bytes:
    return feed_bytes(name="My days, at the lake", uid="feed-1@reedcrew.example", events=events)


def test_a_feed_names_nobody_and_has_no_method() -> None:
    raw = feed(entries())
    assert feed_faults(raw) == []
    assert byte_faults(raw) == []
    for word in (
        b"METHOD",
        b"ORGANIZER",
        b"ATTENDEE",
        b"VALARM",
        b"COMMENT",
        b"SOURCE",
        b"mailto",
        b"Ann",
        b"PARTSTAT",
    ):
        assert word not in raw


def test_a_feed_tells_how_often_to_look_again() -> None:
    # RFC 7986 section 5.7: VALUE=DURATION is part of the property.
    (line,) = read(feed(entries())).all("REFRESH-INTERVAL")
    assert (line.params, line.value) == ({"VALUE": "DURATION"}, "PT6H")
    assert read(feed(entries())).one("X-PUBLISHED-TTL").value == "PT6H"


def test_a_feed_has_its_name_and_a_uid_that_stays() -> None:
    calendar = read(feed(entries()))
    assert calendar.one("UID").value == "feed-1@reedcrew.example"  # RFC 7986 section 5.3
    assert calendar.one("NAME").value == calendar.one("X-WR-CALNAME").value == "My days\\, at the lake"
    assert re.fullmatch(r"[a-z]+", calendar.one("COLOR").value)  # RFC 7986 section 5.9


def test_an_unchanged_feed_has_unchanged_bytes_in_whatever_order_it_is_read() -> None:
    assert feed(entries()) == feed(entries()[::-1])


def test_every_parser_reads_the_entries_of_a_feed_in_order_of_time() -> None:
    expected = sorted(entries(), key=lambda event: event.start.isoformat())
    for parse in PARSERS.values():
        readings = parse(feed(entries()))
        assert [reading.uid for reading in readings] == [event.uid for event in expected]
        for reading, event in zip(readings, expected, strict=True):
            if isinstance(event.start, datetime):
                assert reading.start == event.start.astimezone(UTC)
            else:
                assert (reading.start, reading.end) == (event.start, event.start + timedelta(days=1))


def test_a_feed_describes_each_zone_once() -> None:
    zones = [zone.one("TZID").value for zone in read(feed(entries())).of_kind("VTIMEZONE")]
    assert zones == ["Australia/Sydney", "Europe/Berlin"]


def test_a_cancelled_entry_stays_marked_and_takes_no_time() -> None:
    cancelled = next(event for event in read(feed(entries())).of_kind("VEVENT") if event.one("SEQUENCE").value == "2")
    assert cancelled.one("STATUS").value == "CANCELLED"
    assert cancelled.one("TRANSP").value == "TRANSPARENT"


def test_an_empty_feed_is_still_a_whole_calendar() -> None:
    raw = feed([])
    assert feed_faults(raw) == []  # RFC 5545 section 3.6: at least one component
    assert byte_faults(raw) == []
    assert [parse(raw) for parse in PARSERS.values()] == [[], []]

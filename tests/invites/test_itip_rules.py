"""The checkers themselves: our messages pass, and each planted fault is found."""

import pytest

from reedcrew.invites.calendar.message import cancel_bytes, feed_bytes, request_bytes
from tests.invites.byte_checks import byte_faults
from tests.invites.events import an_event
from tests.invites.itip_checks import feed_faults, itip_faults

REQUEST = request_bytes(an_event())
CANCEL = cancel_bytes(an_event(sequence=1))
FEED = feed_bytes(name="My days", uid="feed@reedcrew.example", events=[an_event()])


def test_messages_and_feed_pass_both_checkers() -> None:
    assert itip_faults(REQUEST, "REQUEST") == []
    assert itip_faults(CANCEL, "CANCEL") == []
    assert feed_faults(FEED) == []
    assert [byte_faults(raw) for raw in (REQUEST, CANCEL, FEED)] == [[], [], []]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"METHOD:REQUEST\r\n", b"", "METHOD"),
        (b"METHOD:REQUEST\r\n", b"METHOD:REQUEST\r\nUID:1\r\n", "UID of the calendar"),
        (b"CALSCALE:GREGORIAN\r\n", b"", "CALSCALE"),
        (b"VERSION:2.0", b"VERSION:1.0", "VERSION"),
        (b"SEQUENCE:0\r\n", b"", "SEQUENCE"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:one\r\n", "SEQUENCE"),
        (b"STATUS:CONFIRMED", b"STATUS:CANCELLED", "STATUS"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:0\r\nREQUEST-STATUS:2.0\\;ok\r\n", "REQUEST-STATUS is forbidden"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:0\r\nRRULE:FREQ=DAILY\r\n", "RRULE is forbidden"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:0\r\nATTENDEE:mailto:bo@neighbour.example\r\n", "ATTENDEE"),
        (b":mailto:days@reedcrew.example", b":days@reedcrew.example", "mailto"),
        (b";RSVP=TRUE", b"", "RSVP"),
        (b"PARTSTAT=ACCEPTED", b"PARTSTAT=DELEGATED", "PARTSTAT"),
        (b"DTSTAMP:20260601T083000Z", b"DTSTAMP:20260601T083000", "DTSTAMP is not UTC"),
        (b"DTEND;TZID=Europe/Berlin:20260815T123000", b"DTEND:20260815T123000", "DTSTART and DTEND"),
        (b"DTEND;TZID=Europe/Berlin:20260815T123000", b"DTEND;VALUE=DATE:20260816", "DTSTART and DTEND"),
        (b"TZID:Europe/Berlin", b"TZID:Europe/Paris", "VTIMEZONEs"),
        (b"GEO:52.512340;13.405670", b"GEO:1e-05;13.405670", "GEO"),
        (b"BEGIN:DAYLIGHT", b"BEGIN:STANDARD", "END"),
        (b"TZNAME:CET\r\n", b"TZNAME:CET\r\nRDATE:20261025T030000\r\n", "RDATE"),
        (b"BYDAY=-1SU", b"BYMONTHDAY=25", "RRULE"),
        (b"ACTION:DISPLAY\r\n", b"", "ACTION"),
    ],
)
def test_a_fault_planted_in_a_request_is_found(old: bytes, new: bytes, fault: str) -> None:
    unfolded = REQUEST.replace(b"\r\n ", b"")
    assert old in unfolded
    try:
        faults = itip_faults(unfolded.replace(old, new), "REQUEST")
    except ValueError as error:
        faults = [str(error)]
    assert any(fault in found for found in faults), faults


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"SEQUENCE:1", b"SEQUENCE:0", "not raised"),  # RFC 5546 section 2.1.4
        (b"STATUS:CANCELLED\r\n", b"", "STATUS"),
        (b"METHOD:CANCEL", b"METHOD:REQUEST", "METHOD"),
        (b"END:VEVENT", b"BEGIN:VALARM\r\nEND:VALARM\r\nEND:VEVENT", "inner components"),
    ],
)
def test_a_fault_planted_in_a_cancellation_is_found(old: bytes, new: bytes, fault: str) -> None:
    assert old in CANCEL
    assert any(fault in found for found in itip_faults(CANCEL.replace(old, new), "CANCEL"))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"VERSION:2.0\r\n", b"VERSION:2.0\r\nMETHOD:PUBLISH\r\n", "METHOD"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:0\r\nORGANIZER:mailto:days@reedcrew.example\r\n", "ORGANIZER"),
        (b"LAST-MODIFIED:20260601T083000Z", b"LAST-MODIFIED:20260601T083001Z", "LAST-MODIFIED"),
        (b"END:VEVENT", b"BEGIN:VALARM\r\nEND:VALARM\r\nEND:VEVENT", "alarm"),
    ],
)
def test_a_fault_planted_in_a_feed_is_found(old: bytes, new: bytes, fault: str) -> None:
    assert old in FEED
    assert any(fault in found for found in feed_faults(FEED.replace(old, new)))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"\r\nSEQUENCE", b"\nSEQUENCE", "line end"),
        (b"Bring", b"Br\x00ing", "control"),
        (b"Bring", b"Br\xc3\r\n \xbcing", "split"),
        (b"Bring", b"Br\xc2\x85ing", "Unicode"),
        (b"Bring", b"B" * 80, "octets"),
        (b"SEQUENCE:0\r\n", b"SEQUENCE:0\r\n\r\n", "empty"),
        (b"END:VCALENDAR\r\n", b"END:VCALENDAR", "end with"),
        (b"BEGIN:VCALENDAR", b"\xef\xbb\xbfBEGIN:VCALENDAR", "begin with"),
    ],
)
def test_a_fault_planted_in_the_bytes_is_found(old: bytes, new: bytes, fault: str) -> None:
    assert old in REQUEST
    assert any(fault in found for found in byte_faults(REQUEST.replace(old, new)))

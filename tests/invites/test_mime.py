"""Mails as bytes: the form of a calendar mail, one recipient, and no way to bend a header."""

import base64
import re
from datetime import UTC, datetime, timedelta, timezone
from email import message_from_bytes, policy
from email.header import decode_header, make_header
from email.message import EmailMessage
from email.utils import parseaddr
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.invites.calendar.events import Method
from reedcrew.invites.calendar.message import cancel_bytes, request_bytes
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.mime import SUBJECT_LENGTH, CalendarMail, MailError, PlainMail, new_message_id
from reedcrew.invites.plaintext import one_line
from reedcrew.web.addresses import AddressError
from tests.invites.byte_checks import byte_faults
from tests.invites.events import ANN, SERVICE, an_event
from tests.invites.itip_checks import itip_faults

SENT = datetime(2026, 6, 1, 10, 30, tzinfo=timezone(timedelta(hours=2)))
HEADERS = [
    *("Date", "From", "To", "Subject", "Message-ID", "Auto-Submitted", "X-Auto-Response-Suppress"),
    *("MIME-Version", "Content-Type"),
]


def a_calendar_mail(**changes: Any) -> CalendarMail:
    fields: dict[str, Any] = {
        "event": an_event(),
        "method": Method.REQUEST,
        "subject": "Work day at the north bank",
        "text": "Hello Ann,\n\nsee you on Saturday.\n",
        "html": "<p>Hello Ann</p>\n",
        "message_id": "<m1@reedcrew.example>",
        "date": SENT,
    }
    return CalendarMail(**(fields | changes))


def a_plain_mail(**changes: Any) -> PlainMail:
    fields: dict[str, Any] = {
        "sender": SERVICE,
        "recipient": ANN,
        "subject": "Tomorrow",
        "text": "Hello Ann",
        "html": "<p>Hello Ann</p>",
        "message_id": "<r1@reedcrew.example>",
        "date": SENT,
    }
    return PlainMail(**(fields | changes))


def parsed(raw: bytes) -> EmailMessage:
    message = message_from_bytes(raw, policy=policy.default)
    assert isinstance(message, EmailMessage)
    for part in message.walk():
        assert part.defects == []
    return message


def parts(message: EmailMessage) -> list[EmailMessage]:
    found = list(message.iter_parts())
    assert all(isinstance(part, EmailMessage) for part in found)
    return found  # type: ignore[return-value]  # seen in the line above


def content(part: EmailMessage) -> bytes:
    payload = part.get_payload(decode=True)
    assert isinstance(payload, bytes)
    return payload


def wire_faults(raw: bytes) -> list[str]:
    """What RFC 5322 sections 2.1 and 2.1.1 and RFC 2047 section 2 forbid, in the raw bytes."""
    head = raw.partition(b"\r\n\r\n")[0]
    return [
        *(["a bare CR or LF"] if re.search(rb"(?<!\r)\n|\r(?!\n)", raw) else []),
        *(["not 7 bit"] if not raw.isascii() or b"\x00" in raw else []),
        *(["a line above 998"] if any(len(line) > 998 for line in raw.split(b"\r\n")) else []),
        *(
            ["a long line with an encoded word"]
            if any(len(li) > 76 and b"=?" in li for li in head.split(b"\r\n"))
            else []
        ),
        *(["a blank folded line"] if re.search(rb"\r\n[ \t]+\r\n", head) else []),
    ]


@pytest.mark.parametrize("method", list(Method))
def test_a_calendar_mail_ends_with_the_calendar_in_base64_and_without_disposition(method: Method) -> None:
    event = an_event(sequence=1)
    raw = a_calendar_mail(event=event, method=method).as_bytes()
    assert f"Content-Type: text/calendar; method={method.value}; charset=UTF-8\r\n".encode() in raw
    message = parsed(raw)
    assert message.get_content_type() == "multipart/alternative"
    assert [part.get_content_type() for part in parts(message)] == ["text/plain", "text/html", "text/calendar"]
    calendar = parts(message)[-1]
    # RFC 6047 section 2.4: method equals METHOD, charset is written; section 2.5: an encoding for non-ASCII text.
    assert calendar["Content-Type"].params == {"method": method.value, "charset": "UTF-8"}
    assert calendar["Content-Transfer-Encoding"] == "base64"
    for header in ("Content-Disposition", "Content-ID", "Content-Description"):
        assert header not in calendar
    sent = content(calendar)
    assert sent == (request_bytes(event) if method is Method.REQUEST else cancel_bytes(event))
    assert f"METHOD:{method.value}\r\n".encode() in sent
    assert byte_faults(sent) == []
    assert itip_faults(sent, method) == []


def test_a_calendar_mail_goes_from_the_organizer_to_the_attendee_and_nobody_else() -> None:
    message = parsed(a_calendar_mail().as_bytes())
    assert message["From"] == "Lake Alder Crew <days@reedcrew.example>"
    assert message["To"] == "Ann Reed <ann.reed@neighbour.example>"
    for header in ("Cc", "Bcc", "Reply-To", "Sender", "Disposition-Notification-To"):
        assert header not in message


def test_the_headers_are_these_and_no_others() -> None:
    message = parsed(a_calendar_mail().as_bytes())
    assert message.keys() == HEADERS
    assert message["Date"] == "Mon, 01 Jun 2026 08:30:00 +0000"  # RFC 5322 section 3.3
    assert message["Message-ID"] == "<m1@reedcrew.example>"
    assert message["Auto-Submitted"] == "auto-generated"  # RFC 3834 section 5
    assert message["X-Auto-Response-Suppress"] == "OOF, AutoReply"
    assert message["MIME-Version"] == "1.0"


def test_an_invitation_has_no_headers_of_a_list() -> None:
    message = parsed(a_calendar_mail().as_bytes())
    assert "List-Unsubscribe" not in message
    assert "List-Unsubscribe-Post" not in message


def test_an_update_stands_in_the_thread_of_the_first_mail() -> None:
    # RFC 5322 section 3.6.4.
    message = parsed(a_calendar_mail(message_id="<m2@reedcrew.example>", thread="<m1@reedcrew.example>").as_bytes())
    assert message["In-Reply-To"] == message["References"] == "<m1@reedcrew.example>"
    first = parsed(a_calendar_mail(thread="<m1@reedcrew.example>").as_bytes())
    assert "References" not in first


def test_the_same_mail_is_the_same_bytes() -> None:
    assert a_calendar_mail().as_bytes() == a_calendar_mail().as_bytes()
    assert a_plain_mail().as_bytes() == a_plain_mail().as_bytes()


def test_text_and_html_arrive_as_written_with_line_ends_of_the_wire() -> None:
    # RFC 2045 section 6.8: CRLF before base64.
    text, html, _calendar = parts(parsed(a_calendar_mail(text="Grüße 🌾,\n\nbis Samstag\n").as_bytes()))
    assert content(text).decode() == "Grüße 🌾,\r\n\r\nbis Samstag\r\n"
    assert content(html).decode() == "<p>Hello Ann</p>\r\n"
    assert (text["Content-Type"].params, html["Content-Type"].params) == ({"charset": "UTF-8"}, {"charset": "UTF-8"})


@pytest.mark.parametrize(
    "name",
    [
        *(
            "Crew, Lake",
            "Crew (north) <x@y.example>",
            "O'Neil; Bo",
            "a\\b",
            "Mühle, e.V.",
            "渡し場の会",
            "🌾 Reed",
            "ä" * 80,
        ),
        *("=?utf-8?q?spoof?=", "reed " * 15 + "end", "Crew\r\nBcc: x@y.example", "@", "."),
    ],
)
def test_a_name_of_any_script_arrives_whole(name: str) -> None:
    sender = Mailbox(address=SERVICE.address, name=name)
    recipient = Mailbox(address=ANN.address, name=name)
    raw = a_plain_mail(sender=sender, recipient=recipient).as_bytes()
    assert wire_faults(raw) == []
    message = parsed(raw)
    assert message.keys() == HEADERS
    for header, mailbox in (("From", sender), ("To", recipient)):
        words, address = parseaddr(str(message_from_bytes(raw)[header]))
        # White space between encoded words is not part of the name (RFC 2047 section 6.2).
        assert (str(make_header(decode_header(words))), address) == (mailbox.name, mailbox.address)


def test_a_mailbox_without_a_name_is_just_its_address() -> None:
    raw = a_plain_mail(recipient=Mailbox(address=ANN.address)).as_bytes()
    assert b"\r\nTo: ann.reed@neighbour.example\r\n" in raw


@given(subject=st.text(min_size=1), text=st.text(), name=st.text())
def test_nothing_typed_can_add_a_header_or_break_the_wire(subject: str, text: str, name: str) -> None:
    if not one_line(subject):
        with pytest.raises(MailError, match="subject"):
            a_plain_mail(subject=subject)
        return
    raw = a_plain_mail(
        subject=subject, text=text, html=text, recipient=Mailbox(address=ANN.address, name=name)
    ).as_bytes()
    assert wire_faults(raw) == []
    message = message_from_bytes(raw)
    assert message.keys() == HEADERS
    assert len(message.get_payload()) == 2
    (address,) = parsed(raw)["To"].addresses
    assert address.addr_spec == ANN.address


@pytest.mark.parametrize(
    "subject",
    [
        "Work day: cutting, Sat 15 August 2026, 09:00–12:30 CEST (Europe/Berlin)",
        "Plain and short",
        "ascii words " * 16,
        "Ü" * SUBJECT_LENGTH,
        "🌾" * 60,
        "x" * SUBJECT_LENGTH,
        "=?utf-8?q?not_decoded?=",
    ],
)
def test_a_subject_arrives_whole(subject: str) -> None:
    raw = a_plain_mail(subject=subject).as_bytes()
    assert wire_faults(raw) == []
    assert parsed(raw)["Subject"] == subject.strip()


def test_line_ends_in_a_subject_become_blanks() -> None:
    raw = a_plain_mail(subject="Tomorrow\r\nBcc: x@y.example\r\n\r\nbody").as_bytes()
    assert parsed(raw)["Subject"] == "Tomorrow Bcc: x@y.example body"
    assert parsed(raw).keys() == HEADERS


def test_a_very_long_subject_is_cut() -> None:
    assert parsed(a_plain_mail(subject="x" * 999).as_bytes())["Subject"] == "x" * SUBJECT_LENGTH


def test_a_domain_of_any_script_goes_out_in_ascii() -> None:
    raw = a_plain_mail(recipient=Mailbox(address="ann@mühle.example", name="Ann")).as_bytes()
    assert b'To: "Ann" <ann@xn--mhle-0ra.example>\r\n' in raw  # RFC 5890 section 2.3.2.1


def test_a_reminder_can_be_stopped_with_one_click() -> None:
    url = "https://reedcrew.example/u/" + "k7f3a9c2" * 12
    raw = a_plain_mail(unsubscribe_url=url).as_bytes()
    # RFC 2369 section 3.2, RFC 8058 section 3.1; the address in one piece, never as encoded words.
    assert f"<{url}>\r\n".encode() in raw
    assert parsed(raw)["List-Unsubscribe"] == f"<{url}>"
    assert b"\r\nList-Unsubscribe-Post: List-Unsubscribe=One-Click\r\n" in raw


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"message_id": "m1@reedcrew.example"}, "message_id"),
        ({"message_id": "<m1@reedcrew.example>\r\nBcc: x@y.example"}, "message_id"),
        ({"message_id": "<m 1@reedcrew.example>"}, "message_id"),
        ({"thread": "<m1>"}, "thread"),
        ({"date": SENT.replace(tzinfo=None)}, "date"),
        ({"subject": " \r\n "}, "subject"),
        ({"unsubscribe_url": "mailto:stop@reedcrew.example"}, "unsubscribe_url"),
        ({"unsubscribe_url": "https://reedcrew.example/u/x>\r\nBcc: x@y.example"}, "unsubscribe_url"),
    ],
)
def test_a_mail_that_cannot_be_built_names_its_fault(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(MailError, match=field):
        a_plain_mail(**changes)


def test_a_message_id_is_made_from_a_token() -> None:
    assert new_message_id("9b0c6f52", domain="Reedcrew.example") == "<9b0c6f52@reedcrew.example>"
    with pytest.raises(MailError, match="token"):
        new_message_id("a b", domain="reedcrew.example")
    with pytest.raises(AddressError):
        new_message_id("9b0c6f52", domain="not a domain")


def test_thirty_mails_of_one_day_name_only_their_own_recipient() -> None:
    people = [Mailbox(address=f"person{n}@neighbour.example", name=f"Person Number{n}") for n in range(30)]
    for own in people:
        mail = a_calendar_mail(
            event=an_event(attendee=own), message_id=f"<{own.address.partition('@')[0]}@reedcrew.example>"
        )
        raw = mail.as_bytes()
        everything = raw + b"".join(content(part) for part in parts(parsed(raw)))
        unfolded = everything.replace(b"\r\n ", b"")
        named = {person.address for person in people if person.address.encode() in unfolded}
        assert named == {own.address}
        assert own.name.encode() in unfolded
        (recipient,) = parsed(raw)["To"].addresses
        assert f":mailto:{recipient.addr_spec}\r\n".encode() in unfolded  # the attendee is exactly the mailbox


def test_the_calendar_part_is_plain_base64_of_76_columns() -> None:
    # RFC 2045 section 6.8.
    raw = a_calendar_mail().as_bytes()
    body = raw.split(b"Content-Transfer-Encoding: base64\r\n\r\n")[-1].partition(b"\r\n\r\n--")[0]
    assert max(len(line) for line in body.split(b"\r\n")) == 76
    assert base64.b64decode(body, validate=False) == request_bytes(an_event())


def test_the_time_of_a_mail_is_told_in_utc() -> None:
    assert (
        parsed(a_plain_mail(date=SENT.astimezone(UTC)).as_bytes())["Date"] == parsed(a_plain_mail().as_bytes())["Date"]
    )

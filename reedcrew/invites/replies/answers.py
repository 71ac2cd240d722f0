"""What a calendar part that somebody sent says: one person's answer to one event, or why it says nothing usable.

Read leniently where clients differ, strictly where an answer could be taken for another one (RFC 5546 section 3.2.3).
"""

import datetime
from dataclasses import dataclass
from enum import StrEnum

from icalendar import Calendar, Component, Event, vCalAddress

from reedcrew.invites.calendar.events import SEQUENCE_MAX, PartStat
from reedcrew.invites.mailbox import address_of_mailto
from reedcrew.invites.plaintext import plain_text
from reedcrew.web.addresses import AddressError

COMMENT_LENGTH = 1_000  # characters kept of what somebody wrote to the organizers
REQUEST_FAILED = "3"  # REQUEST-STATUS from 3 on: the client could not do what was asked (RFC 5546 section 3.6, memory)
USABLE = {PartStat.ACCEPTED, PartStat.DECLINED, PartStat.TENTATIVE}
DELEGATED = "DELEGATED"


class Asks(StrEnum):
    """What a calendar part asks for (RFC 5546 section 1.4), as far as an organizer cares."""

    REPLY = "REPLY"
    COUNTER = "COUNTER"
    REFRESH = "REFRESH"
    OTHER = "other"


class Problem(StrEnum):
    """Why a calendar part, or the mail around it, changes nothing."""

    NOT_A_CALENDAR = "not a calendar"
    SEVERAL_EVENTS = "several events"
    ONE_OF_A_SERIES = "one of a series"
    NO_UID = "no uid"
    SEVERAL_PEOPLE = "several people"
    NO_PERSON = "no person"
    BROKEN_VALUE = "broken value"
    NO_ANSWER = "no answer"
    DELEGATED = "delegated"
    CLIENT_FAILED = "client failed"
    OTHER_METHOD = "other method"
    TOO_BIG = "too big"
    TOO_DEEP = "too deep"
    UNREADABLE = "unreadable"


class UnusableReply(ValueError):
    """The calendar part cannot be taken for an answer; ``problem`` says why."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One person's answer. ``organizer`` is empty where the client left it out, as some do.

    ``partstat`` is None in a COUNTER or REFRESH. ``sequence`` and ``dtstamp`` (aware, UTC) are None where not told.
    """

    asks: Asks
    uid: str
    attendee: str
    partstat: PartStat | None
    sequence: int | None
    dtstamp: datetime.datetime | None
    organizer: str = ""
    comment: str = ""


def read_answer(part: bytes) -> Answer:
    """The answer in a text/calendar part. Raises UnusableReply, and nothing else, whatever the bytes are."""
    calendar = _calendar(part)
    asks = _asks(calendar)
    if asks is Asks.OTHER:
        raise UnusableReply(Problem.OTHER_METHOD)
    event = _only_event(calendar)
    attendee = _only_attendee(event)
    if asks is Asks.REPLY:
        _refuse_failed(event)
    return Answer(
        asks=asks,
        uid=_uid(event),
        attendee=_address(attendee, Problem.NO_PERSON),
        partstat=_partstat(attendee) if asks is Asks.REPLY else None,
        sequence=_sequence(event),
        dtstamp=_dtstamp(event),
        organizer=_address(event["ORGANIZER"], Problem.BROKEN_VALUE) if _has(event, "ORGANIZER") else "",
        comment=_comment(event),
    )


def method_of(part: bytes) -> Asks:
    """What a calendar part asks for. Raises UnusableReply when it is no calendar."""
    return _asks(_calendar(part))


# --- Private ---------------------------------------------------------------------------------------------------------


def _calendar(part: bytes) -> Component:
    try:
        # Bytes only: the library takes a text for the name of a file.
        found = Calendar.from_ical(part, multiple=True)
    except Exception as error:  # the library promises no list of what it raises
        raise UnusableReply(Problem.NOT_A_CALENDAR) from error
    calendars = [each for each in found if each.name == "VCALENDAR"]
    if len(calendars) != 1:
        raise UnusableReply(Problem.NOT_A_CALENDAR)
    return calendars[0]


def _asks(calendar: Component) -> Asks:
    method = calendar.get("METHOD")
    name = str(method).strip().upper() if isinstance(method, str) else ""
    return Asks(name) if name in {Asks.REPLY, Asks.COUNTER, Asks.REFRESH} else Asks.OTHER


def _only_event(calendar: Component) -> Event:
    events = [each for each in calendar.subcomponents if isinstance(each, Event)]
    if len(events) != 1:
        raise UnusableReply(Problem.SEVERAL_EVENTS)
    event = events[0]
    if _has(event, "RECURRENCE-ID"):
        raise UnusableReply(Problem.ONE_OF_A_SERIES)
    if any(name in {"UID", "DTSTAMP", "SEQUENCE", "ATTENDEE"} for name, _error in event.errors):
        raise UnusableReply(Problem.BROKEN_VALUE)
    return event


def _has(event: Event, name: str) -> bool:
    return event.get(name) is not None


def _uid(event: Event) -> str:
    uid = event.get("UID")
    if not isinstance(uid, str) or not uid.strip():  # a list where it stands twice
        raise UnusableReply(Problem.NO_UID)
    return str(uid).strip()


def _only_attendee(event: Event) -> vCalAddress:
    attendees = event.get("ATTENDEE")
    if isinstance(attendees, list):
        raise UnusableReply(Problem.SEVERAL_PEOPLE)
    if not isinstance(attendees, vCalAddress):
        raise UnusableReply(Problem.NO_PERSON)
    return attendees


def _partstat(attendee: vCalAddress) -> PartStat:
    told = str(attendee.params.get("PARTSTAT", "")).upper()
    if told == DELEGATED:
        raise UnusableReply(Problem.DELEGATED)
    if told not in USABLE:
        raise UnusableReply(Problem.NO_ANSWER)
    return PartStat(told)


def _address(value: object, problem: Problem) -> str:
    try:
        return address_of_mailto(str(value))
    except AddressError as error:
        raise UnusableReply(problem) from error


def _sequence(event: Event) -> int | None:
    value = event.get("SEQUENCE")
    if value is None:
        return None
    if not isinstance(value, int) or not 0 <= value <= SEQUENCE_MAX:
        raise UnusableReply(Problem.BROKEN_VALUE)
    return int(value)


def _dtstamp(event: Event) -> datetime.datetime | None:
    value = event.get("DTSTAMP")
    if value is None:
        return None
    stamp = getattr(value, "dt", None)
    if not isinstance(stamp, datetime.datetime):
        raise UnusableReply(Problem.BROKEN_VALUE)
    if stamp.tzinfo is None:  # floating, against RFC 5545 section 3.8.7.2: taken for UTC
        stamp = stamp.replace(tzinfo=datetime.UTC)
    try:
        return stamp.astimezone(datetime.UTC)
    except OverflowError as error:
        raise UnusableReply(Problem.BROKEN_VALUE) from error


def _refuse_failed(event: Event) -> None:
    statuses = event.get("REQUEST-STATUS")
    for status in statuses if isinstance(statuses, list) else [statuses]:
        if status is not None and str(status).strip()[:1] >= REQUEST_FAILED and str(status).strip()[:1].isdigit():
            raise UnusableReply(Problem.CLIENT_FAILED)


def _comment(event: Event) -> str:
    comments = event.get("COMMENT")
    texts = comments if isinstance(comments, list) else [comments]
    return plain_text("\n".join(str(text) for text in texts if text is not None))[:COMMENT_LENGTH]

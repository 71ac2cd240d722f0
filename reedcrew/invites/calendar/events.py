"""What a calendar object tells: one entry of a feed, or one person's invitation to one day."""

import re
import uuid
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.plaintext import plain_text

UID_LENGTH = 255  # RFC 7986 section 5.3, from memory: values up to 255 octets are kept by all
SEQUENCE_MAX = 2**31 - 1  # RFC 5545 section 3.3.8: a 32-bit signed integer
GEO_DECIMALS = 6  # RFC 5545 section 3.8.1.6: about ten centimetres

_UID = re.compile(r"[A-Za-z0-9._-]+@[A-Za-z0-9.-]+")
_URL = re.compile(r"[!#$%&'()*+,./0-9:;=?@A-Z\[\]_a-z~-]+")  # RFC 3986 section 2: reserved, unreserved, percent


class Method(StrEnum):
    """What a message asks of its receiver (RFC 5546 section 1.4)."""

    REQUEST = "REQUEST"
    CANCEL = "CANCEL"


class Status(StrEnum):
    """State of the event for this person (RFC 5545 section 3.8.1.11): waiting list, firm place, called off."""

    TENTATIVE = "TENTATIVE"
    CONFIRMED = "CONFIRMED"
    CANCELLED = "CANCELLED"


class Transparency(StrEnum):
    """Whether the time counts as taken (RFC 5545 section 3.8.2.7): OPAQUE for a place, TRANSPARENT for a wait."""

    OPAQUE = "OPAQUE"
    TRANSPARENT = "TRANSPARENT"


class PartStat(StrEnum):
    """The answer of the person invited (RFC 5545 section 3.2.12)."""

    NEEDS_ACTION = "NEEDS-ACTION"
    ACCEPTED = "ACCEPTED"
    DECLINED = "DECLINED"
    TENTATIVE = "TENTATIVE"


class EventError(ValueError):
    """The event cannot be written. ``faults`` maps each faulty field to what would be right."""

    def __init__(self, faults: dict[str, str]) -> None:
        self.faults = faults
        super().__init__("; ".join(f"{field}: {fault}" for field, fault in faults.items()))


def new_uid(*, domain: str) -> str:
    """A fresh UID, ``<random UUID>@domain``: 122 random bits and nothing about anybody (RFC 7986 section 5.3).

    One for each sign-up, made once, never used again. It doubles as the secret of a reply, so it is shown to nobody
    else.
    """
    return f"{uuid.uuid4()}@{domain}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedEvent:
    """One entry of a person's calendar feed.

    ``start`` and ``end`` are both aware in the same ZoneInfo of the site, end later than start; or both plain dates,
    end being the last day itself. ``dtstamp`` is UTC in whole seconds: the last change of the entry in a feed, the
    making of the message in a mail. ``latitude`` and ``longitude`` are degrees WGS 84, both or neither. ``url`` is
    http or https, or empty. Texts may hold anything that people type. Raises EventError naming every faulty field.
    """

    uid: str
    sequence: int
    dtstamp: datetime
    start: datetime | date
    end: datetime | date
    summary: str
    description: str = ""
    location: str = ""
    latitude: float | None = None
    longitude: float | None = None
    url: str = ""
    status: Status = Status.CONFIRMED
    transparency: Transparency = Transparency.OPAQUE

    def __post_init__(self) -> None:
        for field in ("summary", "description", "location"):
            object.__setattr__(self, field, plain_text(getattr(self, field)))
        if faults := _event_faults(self):
            raise EventError(faults)

    @property
    def zone(self) -> ZoneInfo | None:
        """The zone the times are told in; None for whole days."""
        return (
            self.start.tzinfo if isinstance(self.start, datetime) and isinstance(self.start.tzinfo, ZoneInfo) else None
        )

    @property
    def geo(self) -> str:
        """The position as ``lat;lon`` with six decimals (RFC 5545 section 3.8.1.6), or empty when there is none."""
        if self.latitude is None or self.longitude is None:
            return ""
        return f"{self.latitude:.{GEO_DECIMALS}f};{self.longitude:.{GEO_DECIMALS}f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent(FeedEvent):
    """One person's invitation: the event, the service that invites, the one person invited and their answer.

    ``organizer`` is the service's own mailbox with the name of the group and stays the same, name included, in every
    message of a UID; ``attendee`` is the mailbox the mail goes to. ``comment`` is the reason of a cancellation. Raises
    EventError naming every faulty field.
    """

    organizer: Mailbox
    attendee: Mailbox
    partstat: PartStat
    alarm: bool = False
    comment: str = ""

    def __post_init__(self) -> None:
        FeedEvent.__post_init__(self)  # super() without arguments finds no class in a dataclass with slots
        object.__setattr__(self, "comment", plain_text(self.comment))
        if self.organizer.is_same_as(self.attendee):
            raise EventError({"attendee": "must differ from the organizer, or some receivers offer no answer"})


def _event_faults(event: FeedEvent) -> dict[str, str]:
    faults = _time_faults(event)
    if len(event.uid) > UID_LENGTH or not _UID.fullmatch(event.uid):
        faults["uid"] = "must be an identifier, an @ and a domain"
    if not 0 <= event.sequence <= SEQUENCE_MAX:
        faults["sequence"] = f"must be from 0 to {SEQUENCE_MAX}"
    if event.dtstamp.utcoffset() != timedelta() or event.dtstamp.tzinfo is not UTC or event.dtstamp.microsecond:
        faults["dtstamp"] = "must be UTC in whole seconds"
    if event.latitude is None or event.longitude is None:
        if event.latitude is not event.longitude:
            faults["latitude"] = "must come with a longitude, or neither"
    else:
        if not -90 <= event.latitude <= 90:
            faults["latitude"] = "must be from -90 to 90 degrees"
        if not -180 <= event.longitude <= 180:
            faults["longitude"] = "must be from -180 to 180 degrees"
    if event.url and not is_web_address(event.url):
        faults["url"] = "must be an http or https address"
    return faults


def is_web_address(url: str) -> bool:
    """Whether ``url`` is an absolute http or https URL in ASCII without blanks (RFC 3986)."""
    if not _URL.fullmatch(url):
        return False
    try:
        parts = urlsplit(url)
    except ValueError:  # such as an unclosed bracket
        return False
    return parts.scheme in {"http", "https"} and bool(parts.hostname)


def _time_faults(event: FeedEvent) -> dict[str, str]:
    start, end = event.start, event.end
    if not isinstance(start, datetime) or not isinstance(end, datetime):
        if isinstance(start, datetime) or isinstance(end, datetime):
            return {"end": "must be of the same kind as the start: both times or both days"}
        return {"end": "must not be before the first day"} if end < start else {}
    if not isinstance(start.tzinfo, ZoneInfo) or not start.tzinfo.key:
        return {"start": "must be aware in the named time zone of the site"}
    if not isinstance(end.tzinfo, ZoneInfo) or end.tzinfo.key != start.tzinfo.key:
        return {"end": "must be aware in the same time zone as the start"}
    # Compared as instants: Python compares two times of one zone by the clock on the wall, wrong in the hour set back.
    if end.astimezone(UTC) <= start.astimezone(UTC):
        return {"end": "must be later than the start"}
    return {}

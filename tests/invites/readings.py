"""What two parsers read in a calendar object: icalendar, which also writes ours, and ical, which does not."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime

from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One VEVENT as a parser understands it; times as instants in UTC, days as days with the end exclusive."""

    uid: str
    sequence: int
    summary: str
    description: str
    location: str
    organizer: str
    attendees: tuple[str, ...]
    names: tuple[str, ...]
    start: datetime | date
    end: datetime | date


def _instant(moment: datetime | date) -> datetime | date:
    if not isinstance(moment, datetime):
        return moment
    if moment.tzinfo is None:
        raise ValueError("a floating time")
    return moment.astimezone(UTC)


def by_icalendar(raw: bytes) -> list[Reading]:
    readings = []
    for event in Calendar.from_ical(raw).events:
        attendees = event.attendees
        organizer = event.get("ORGANIZER")
        readings.append(
            Reading(
                uid=str(event["UID"]),
                sequence=event.sequence,
                summary=str(event["SUMMARY"]),
                description=str(event.get("DESCRIPTION", "")),
                location=str(event.get("LOCATION", "")),
                organizer=str(organizer or ""),
                attendees=tuple(str(person) for person in attendees),
                names=tuple(str(person.params.get("CN", "")) for person in attendees),
                start=_instant(event.start),
                end=_instant(event.end),
            )
        )
    return readings


def by_ical(raw: bytes) -> list[Reading]:
    readings = []
    for event in IcsCalendarStream.calendar_from_ics(raw.decode()).events:
        end = event.dtend
        assert event.dtstart is not None
        assert end is not None
        readings.append(
            Reading(
                uid=event.uid,
                sequence=event.sequence or 0,
                summary=event.summary or "",
                description=event.description or "",
                location=event.location or "",
                organizer=str(event.organizer.uri) if event.organizer else "",
                attendees=tuple(str(person.uri) for person in event.attendees),
                names=tuple(person.common_name or "" for person in event.attendees),
                start=_instant(event.dtstart),
                end=_instant(end),
            )
        )
    return readings


PARSERS: Mapping[str, Callable[[bytes], list[Reading]]] = {"icalendar": by_icalendar, "ical": by_ical}


def under_unknown_name(raw: bytes, zone: str) -> bytes:
    """``raw`` with its zone renamed, so that a parser has nothing but the VTIMEZONE to go by.

    The name depends on the content: icalendar keeps the first zone it meets under a name for the whole process.
    """
    unknown = b"Reed-Lake-" + hashlib.sha256(raw).hexdigest()[:16].encode()
    name = zone.encode()
    return raw.replace(b"TZID:" + name, b"TZID:" + unknown).replace(b"TZID=" + name, b"TZID=" + unknown)

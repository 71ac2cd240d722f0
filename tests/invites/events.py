"""Invented events for the tests of calendar objects and mails."""

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from reedcrew.invites.calendar.events import CalendarEvent, PartStat
from reedcrew.invites.mailbox import Mailbox

BERLIN = ZoneInfo("Europe/Berlin")
SERVICE = Mailbox(address="days@reedcrew.example", name="Lake Alder Crew")
ANN = Mailbox(address="ann.reed@neighbour.example", name="Ann Reed")
STAMP = datetime(2026, 6, 1, 8, 30, tzinfo=UTC)


def an_event(**changes: Any) -> CalendarEvent:
    """A morning in August with every field filled; ``changes`` replace fields."""
    fields: dict[str, Any] = {
        "uid": "0f0e7c1a-3c58-4b0e-9a54-6f2d1b1f7a11@reedcrew.example",
        "sequence": 0,
        "dtstamp": STAMP,
        "organizer": SERVICE,
        "attendee": ANN,
        "partstat": PartStat.ACCEPTED,
        "start": datetime(2026, 8, 15, 9, tzinfo=BERLIN),
        "end": datetime(2026, 8, 15, 12, 30, tzinfo=BERLIN),
        "summary": "Reed cutting at the north bank",
        "description": "Bring boots.\nBring water.",
        "location": "Old jetty, Lake Alder",
        "latitude": 52.51234,
        "longitude": 13.40567,
        "url": "https://reedcrew.example/days/17/",
        "alarm": True,
    }
    return CalendarEvent(**(fields | changes))

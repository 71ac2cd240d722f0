"""Calendar mails that are decided and not written yet: all that they will say, kept as plain JSON values.

Whoever decides holds a row that others wait for, and writing takes ten times as long as keeping what will be written.
A draft holds every fact, and the language, as they were when it was decided: whenever it is written, the same mail
comes of it. The worker writes it before the first try.
"""

from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

from django.utils.translation import get_language, override

from reedcrew.invites.calendar.events import CalendarEvent, Method, PartStat, Status, Transparency
from reedcrew.invites.calendar.rules import Letter
from reedcrew.invites.letters import LetterContext, Wording, render_letter
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.mime import CalendarMail
from reedcrew.invites.models import OutgoingMail
from reedcrew.web import amounts


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """One mail about one event, whose times are in the zone of the site. ``thread`` is as in mime.PlainMail."""

    letter: Letter
    method: Method
    event: CalendarEvent
    context: LetterContext
    thread: str

    def as_record(self) -> dict[str, Any]:
        """The draft for a JSON column, with the language and the units that are active."""
        start = self.context["start"]
        if not isinstance(start, datetime) or not isinstance(start.tzinfo, ZoneInfo):
            raise ValueError("A draft tells times of a zone, not days.")
        event = {field.name: getattr(self.event, field.name) for field in fields(self.event)}
        event |= {name: event[name].astimezone(UTC).isoformat() for name in _TIMES}
        event |= {name: [event[name].address, event[name].name] for name in _MAILBOXES}
        return {
            **{"letter": self.letter, "method": self.method, "thread": self.thread, "zone": start.tzinfo.key},
            **{"language": get_language(), "with_customary": amounts.are_with_customary()},
            "event": event,
            "context": {name: value for name, value in self.context.items() if name not in _TIMES},
        }


def words_of(record: dict[str, Any]) -> Wording:
    """The words of a kept draft, in its own language."""
    draft = _draft(record)
    with override(record["language"]), amounts.shown(with_customary=record["with_customary"]):
        return render_letter(draft.letter, draft.context)


def bytes_of(mail: OutgoingMail) -> bytes:
    """What every try to send the mail sends: the bytes that are kept, or those that its draft is written as."""
    if mail.draft is None:
        return bytes(mail.raw)
    draft, wording = _draft(mail.draft), words_of(mail.draft)
    written = CalendarMail(
        event=draft.event,
        method=draft.method,
        subject=wording.subject,
        text=wording.text,
        html=wording.html,
        message_id=mail.message_id,
        date=mail.created_at,
        thread=draft.thread,
    )
    return written.as_bytes()


def write(mail: OutgoingMail) -> None:
    """Turn the draft of a mail, where it is still one, into the bytes that every try sends."""
    if mail.draft is not None:
        mail.raw, mail.draft = bytes_of(mail), None
        mail.save(update_fields=["raw", "draft"])


# --- Private ---------------------------------------------------------------------------------------------------------

_TIMES = ("start", "end", "dtstamp")
_MAILBOXES = ("organizer", "attendee")


def _draft(record: dict[str, Any]) -> Draft:
    event, zone = dict(record["event"]), ZoneInfo(record["zone"])
    start, end, dtstamp = (datetime.fromisoformat(event[name]) for name in _TIMES)
    times = {"start": start.astimezone(zone), "end": end.astimezone(zone)}
    for name in _MAILBOXES:
        address, known_as = event[name]
        event[name] = Mailbox(address=address, name=known_as)
    event |= {
        **{"status": Status(event["status"]), "transparency": Transparency(event["transparency"])},
        **{"partstat": PartStat(event["partstat"]), "dtstamp": dtstamp, **times},
    }
    return Draft(
        letter=Letter(record["letter"]),
        method=Method(record["method"]),
        event=CalendarEvent(**event),
        context=cast(LetterContext, {**record["context"], **times}),
        thread=record["thread"],
    )

"""The words of our mails: subject, plain text and HTML of one letter, from what one person may know."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Required, TypedDict
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from reedcrew.invites.calendar.rules import Letter
from reedcrew.invites.plaintext import one_line, plain_text
from reedcrew.web.cautions import CAUTIONS
from reedcrew.web.times import day_text, span_text

POSITION_DECIMALS = 5  # about a metre, what a phone can find; more digits only look exact

_BLANK_LINES = re.compile(r"\n[ \n]*\n")


class PlaceTold(TypedDict, total=False):
    """What a person was told of their place in an accepted plan."""

    role: str  # what to do, and where
    gear: Sequence[str]  # lent to this person, one line a piece with its size
    partner_names: Sequence[str]


class LetterContext(PlaceTold, total=False):
    """What a letter may tell; lists may be empty, and a missing key is left out of the letter.

    Only ``partner_names`` is about somebody else: given names of the own unit, and only once the day's plan is
    accepted.
    """

    recipient_name: Required[str]
    group_name: Required[str]
    title: Required[str]
    start: Required[datetime | date]  # aware in the site's zone, or a whole day
    end: Required[datetime | date]  # the last day itself when these are days
    place: Required[str]  # meeting point in words
    day_url: Required[str]
    contact: Required[Sequence[str]]  # how to reach the organizers, one way a line
    withdraw_url: str
    latitude: float | None
    longitude: float | None
    bring: Sequence[str]
    dangers: Sequence[str]  # keys of web.cautions.CAUTIONS whose advice the letter repeats, such as water and blades
    waiting: bool  # on the waiting list, not placed
    asks_answer: bool  # the event asks for an answer (PARTSTAT NEEDS-ACTION)
    changes: Sequence[str]  # what changed, one sentence each
    answer_until: str  # in words, until when a place is kept
    answer_url: str  # where somebody answers without signing in
    undo_url: str
    weather: Sequence[str]  # what the forecast asks to mind, one sentence each
    message_subject: str
    words: str  # of the organizers
    hours: str  # of this person on the day, in words
    stems: str  # that all cut together, in words
    people_count: int
    unsubscribe_url: str
    reason: str  # why a place was withdrawn or a day called off


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """One letter in its three forms; ``subject`` is a single line."""

    subject: str
    text: str
    html: str


def render_letter(letter: Letter, context: LetterContext) -> Wording:
    """The letter in the language that is active, ready for a mail. Raises ValueError for times that are naive or
    of two kinds, KeyError for an unknown danger."""
    name, values = f"invites/mail/{letter.value}", _values(context)
    return Wording(
        subject=render_subject(letter, context),
        # What an absent part leaves behind are blank lines.
        text=_BLANK_LINES.sub("\n\n", plain_text(render_to_string(f"{name}.txt", values))) + "\n",
        html=render_to_string(f"{name}.html", values),
    )


def render_subject(letter: Letter, context: LetterContext) -> str:
    """The subject alone, which lists show. Raises what ``render_letter`` raises."""
    return one_line(render_to_string(f"invites/mail/{letter.value}.subject.txt", _values(context)))


def _values(context: LetterContext) -> dict[str, Any]:
    latitude, longitude = context.get("latitude"), context.get("longitude")
    values: dict[str, Any] = {
        **context,
        "when": spoken_time(context["start"], context["end"]),
        "cautions": [advice for danger in context.get("dangers", ()) for advice in CAUTIONS[danger].advice],
    }
    if latitude is not None and longitude is not None:
        values |= {"position": spoken_position(latitude, longitude), "geo_uri": geo_uri(latitude, longitude)}
    return values


def geo_uri(latitude: float, longitude: float) -> str:
    """A ``geo:`` link that opens the map program of a phone; degrees WGS 84 (RFC 5870 section 3.3)."""
    return f"geo:{latitude:.{POSITION_DECIMALS}f},{longitude:.{POSITION_DECIMALS}f}"


def spoken_position(latitude: float, longitude: float) -> str:
    """The position in digits, latitude first, for people whose program knows no ``geo:`` link; degrees WGS 84."""
    return f"{latitude:.{POSITION_DECIMALS}f}, {longitude:.{POSITION_DECIMALS}f}"


def spoken_time(start: datetime | date, end: datetime | date) -> str:
    """Day and time in words in the site's zone, with the zone's short and full name; never converted to another zone.

    Raises ValueError unless both are days, or both aware in a ZoneInfo.
    """
    if not isinstance(start, datetime) and not isinstance(end, datetime):
        if start == end:
            return _("%(day)s, all day") % {"day": day_text(start)}
        return _("%(first)s to %(last)s, all day") % {"first": day_text(start), "last": day_text(end)}
    if not isinstance(start, datetime) or not isinstance(end, datetime):
        raise ValueError("Start and end are both times or both days.")
    if not isinstance(start.tzinfo, ZoneInfo) or end.tzinfo is None:
        raise ValueError("Start and end are aware in the zone of the site.")
    return f"{span_text(start, end, start.tzinfo)} ({start.tzinfo.key})"

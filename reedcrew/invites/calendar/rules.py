"""When a change raises SEQUENCE, voids an answer, and sends a mail (RFC 5546 section 2.1.4 and our decisions)."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from types import MappingProxyType

from reedcrew.invites.calendar.events import FeedEvent, Method, PartStat, Status, Transparency
from reedcrew.invites.plaintext import one_line

SEQUENCE_REACH = 10  # how far above ours a reply's SEQUENCE is believed; a client adds one at a time
_DIGEST_LENGTH = 32  # hexadecimal digits kept of a SHA-256: 128 bits, plenty to tell two versions of one event apart


class Letter(StrEnum):
    """The wording of a mail; also the name of its templates in templates/invites/mail."""

    INVITED = "invited"
    CHANGED = "changed"
    UPDATED = "updated"
    WITHDRAWN = "withdrawn"
    CANCELLED = "cancelled"
    OFFERED = "offered"
    LAPSED = "lapsed"
    MOVED = "moved"
    CONFIRM = "confirm"  # a plain mail: is the place really given up?
    TOO_LATE = "too_late"  # a plain mail
    REMINDER = "reminder"  # a plain mail
    MESSAGE = "message"  # a plain mail
    THANKS = "thanks"  # a plain mail


class Change(StrEnum):
    """What happened to an event since the person was last told."""

    SIGNED_UP = "signed up"  # the person did it, or signed up again: a new UID
    ASKED = "asked"  # a coordinator did it: a new UID, and the person has not answered yet
    TIME = "time"  # start, end or time zone
    OFFERED = "offered"  # somebody of the waiting list is asked to take a place
    LAPSED = "lapsed"  # and did not answer in time
    PLACED = "placed"  # from the waiting list to a place
    STANDING = "standing"  # any other change of status, as from a place back to the waiting list
    MEETING_POINT = "meeting point"  # location or position
    TEXT = "text"  # title, description (contact and gear list stand in it) or address of the page
    NOTHING = "nothing"  # nothing, or white space only
    RESEND = "resend"  # unchanged, at the person's wish
    WITHDRAWN = "withdrawn"  # the person's place was given up or taken away
    CANCELLED = "cancelled"  # the day is called off
    MOVED = "moved"  # the person's address changed: the old mailbox is told no more


@dataclass(frozen=True, slots=True, kw_only=True)
class Consequence:
    """What a change causes. ``partstat`` None keeps the stored answer; ``letter`` None sends no mail."""

    raises_sequence: bool
    partstat: PartStat | None
    method: Method
    letter: Letter | None


def _request(letter: Letter | None, *, raises: bool, partstat: PartStat | None = None) -> Consequence:
    return Consequence(raises_sequence=raises, partstat=partstat, method=Method.REQUEST, letter=letter)


def _cancel(letter: Letter) -> Consequence:
    return Consequence(raises_sequence=True, partstat=None, method=Method.CANCEL, letter=letter)


# RFC 5546 section 2.1.4 makes TIME, every change of status and every CANCEL raise SEQUENCE; MEETING_POINT raises it
# because a distant new place endangers the answer, which the same section names as its example. The rest is decided
# here.
CONSEQUENCES: Mapping[Change, Consequence] = MappingProxyType(
    {
        Change.SIGNED_UP: _request(Letter.INVITED, raises=False, partstat=PartStat.ACCEPTED),
        Change.ASKED: _request(Letter.INVITED, raises=False, partstat=PartStat.NEEDS_ACTION),
        Change.TIME: _request(Letter.CHANGED, raises=True, partstat=PartStat.NEEDS_ACTION),
        Change.OFFERED: _request(Letter.OFFERED, raises=True, partstat=PartStat.NEEDS_ACTION),
        Change.LAPSED: _request(Letter.LAPSED, raises=True),
        Change.PLACED: _request(Letter.INVITED, raises=True, partstat=PartStat.ACCEPTED),
        Change.STANDING: _request(Letter.CHANGED, raises=True),
        Change.MEETING_POINT: _request(Letter.CHANGED, raises=True),
        Change.TEXT: _request(Letter.UPDATED, raises=False),
        Change.NOTHING: _request(None, raises=False),
        Change.RESEND: _request(Letter.INVITED, raises=False),
        Change.WITHDRAWN: _cancel(Letter.WITHDRAWN),
        Change.CANCELLED: _cancel(Letter.CANCELLED),
        Change.MOVED: _cancel(Letter.MOVED),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentMarks:
    """What was told last, short enough to store: a digest a facet. Equal marks mean that nobody needs to be told.

    Neither DTSTAMP, SEQUENCE nor anybody's answer is part of it.
    """

    time: str
    meeting_point: str
    standing: str  # in the clear, since the way it changed matters
    text: str

    @classmethod
    def of(cls, event: FeedEvent) -> "ContentMarks":
        """The marks of ``event``; differences of white space in its texts do not show."""
        return cls(
            time=_digest(event.start.isoformat(), event.end.isoformat(), event.zone.key if event.zone else ""),
            meeting_point=_digest(one_line(event.location), event.geo),
            standing=standing_mark(event.status, event.transparency),
            text=_digest(one_line(event.summary), one_line(event.description), event.url),
        )

    @classmethod
    def stored(cls, values: Mapping[str, str]) -> "ContentMarks":
        """The marks that ``as_dict`` gave; raises TypeError when the names are others."""
        return cls(**values)

    def as_dict(self) -> dict[str, str]:
        """The marks for a JSON column."""
        return asdict(self)

    @property
    def content_hash(self) -> str:
        """One SHA-256 over all marks, 64 hexadecimal digits."""
        return hashlib.sha256(json.dumps(self.as_dict(), sort_keys=True).encode()).hexdigest()


def _digest(*parts: str) -> str:
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()[:_DIGEST_LENGTH]


def change_kind(old: ContentMarks, new: ContentMarks) -> Change:
    """What changed between two versions of the same event; the heaviest when several did.

    Time outweighs everything, since it makes the answer void; then the standing, the meeting point, the text.
    """
    if old.time != new.time:
        return Change.TIME
    if old.standing != new.standing:
        return _change_of_standing(old.standing, new.standing)
    if old.meeting_point != new.meeting_point:
        return Change.MEETING_POINT
    return Change.TEXT if old.text != new.text else Change.NOTHING


def _change_of_standing(old: str, new: str) -> Change:
    waits, asked = standing_mark(Status.TENTATIVE, Transparency.TRANSPARENT), standing_mark(Status.TENTATIVE)
    if (old, new) == (waits, asked):
        return Change.OFFERED
    if (old, new) == (asked, waits):
        return Change.LAPSED
    if old in {waits, asked} and new == standing_mark(Status.CONFIRMED):
        return Change.PLACED
    return Change.STANDING


def standing_mark(status: Status, transparency: Transparency = Transparency.OPAQUE) -> str:
    """A person's standing as it is kept: waiting is TENTATIVE and takes no time, asked is TENTATIVE and takes it."""
    return f"{status.value}/{transparency.value}"


def next_sequence(ours: int, *, replied: Iterable[int] = ()) -> int:
    """The raised SEQUENCE: one above ours and above each SEQUENCE of ``replied`` that is at most 10 above ours.

    ``replied`` are the SEQUENCEs of authenticated replies to this UID. Some clients raise the number when they answer
    and then ignore an update below it; a number far off is a fault or a trick and is left alone. Raises ValueError
    for a negative ``ours``.
    """
    if ours < 0:
        raise ValueError("SEQUENCE starts at 0.")
    return max([ours, *(number for number in replied if number <= ours + SEQUENCE_REACH)]) + 1


def sequence_after(change: Change, ours: int, *, replied: Iterable[int] = ()) -> int:
    """The SEQUENCE of the message that tells ``change``: raised, or ours again.

    A message that would keep it is raised all the same once a reply has come above ours, or its sender would ignore it.
    """
    raised = next_sequence(ours, replied=replied)
    return raised if CONSEQUENCES[change].raises_sequence or raised > ours + 1 else ours


def partstat_after(change: Change, stored: PartStat) -> PartStat:
    """The answer that the message about ``change`` carries."""
    return CONSEQUENCES[change].partstat or stored


def next_dtstamp(now: datetime, last: datetime | None) -> datetime:
    """The DTSTAMP of the next message: ``now`` in whole seconds UTC, but at least a second above ``last``.

    Between messages of equal SEQUENCE the later DTSTAMP wins (RFC 5546 section 2.1.5), so two edits in the same second
    still have to differ. Raises ValueError for a naive time.
    """
    if now.tzinfo is None or (last is not None and last.tzinfo is None):
        raise ValueError("DTSTAMP needs aware times.")
    stamp = now.astimezone(UTC).replace(microsecond=0)
    return stamp if last is None else max(stamp, last.astimezone(UTC).replace(microsecond=0) + timedelta(seconds=1))

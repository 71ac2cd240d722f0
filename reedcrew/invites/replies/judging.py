"""What an answer may change: who may change what, and which of two answers holds.

RFC 6047 section 3 and RFC 5546 section 2.1.5 set the frame; the levels are decisions of this project. The secret is the
UID, which one person alone was ever sent. A giving up is the weighty answer: where the sender is in doubt, a link to
the registered address has to confirm it.
"""

import datetime
from dataclasses import dataclass
from enum import StrEnum

from reedcrew.invites.calendar.events import PartStat
from reedcrew.invites.calendar.rules import SEQUENCE_REACH
from reedcrew.invites.replies.answers import Answer, Asks
from reedcrew.invites.replies.authentication import Verdict
from reedcrew.invites.replies.mails import Incoming

CLOCK_AHEAD = datetime.timedelta(minutes=5)  # a stamp from further ahead is a wrong clock and is cut to this


class Act(StrEnum):
    """What is done with an answer."""

    APPLY = "apply"  # store the answer; a decline gives up the place
    APPLY_WITH_UNDO = "apply with undo"  # the same, and the registered address gets a link to take it back
    HOLD = "hold"  # the registered address is asked by a link first
    STORE_EARLIER = "store earlier"  # an answer to a version that has changed since: noted, the place is kept
    TOO_LATE = "too late"  # the sign-up or the day is over: one mail says so to somebody who accepted
    NOTE = "note"  # organizers are told, nothing changes
    RESEND = "resend"  # the client asks for the present state
    IGNORE = "ignore"


class Why(StrEnum):
    """The ground of a judgment, for the record and the organizers."""

    VOUCHED = "the sender's own mail service vouches for the answer"
    SAME_ADDRESS = "sent from the address that was invited"
    OTHER_SENDER = "sent from another address than the one invited"
    REFUTED = "the mail service says that the sender is not who it claims to be"
    OTHER_PERSON = "the answer names somebody else than the person invited"
    UNKNOWN = "no sign-up has this invitation"
    NOT_OURS = "the invitation is somebody else's"
    ANSWERED_SINCE = "a later answer holds already"
    EARLIER_VERSION = "it answers an earlier version of the invitation"
    OVER = "the place was given up, or the day is cancelled or over"
    PROPOSAL = "another time is proposed"
    ASKS_AGAIN = "the calendar asks for the invitation again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What is known of the sign-up that a UID names.

    ``sequence`` and ``told_at`` are those of the invitation last sent; ``last`` is the SEQUENCE and DTSTAMP of the
    answer that holds.
    """

    address: str
    sequence: int
    told_at: datetime.datetime
    last: tuple[int, datetime.datetime] | None
    over: bool  # withdrawn, or the day cancelled or past


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgment:
    """What to do and why. ``mark`` is the SEQUENCE and DTSTAMP to remember when the answer is applied or stored."""

    act: Act
    why: Why
    mark: tuple[int, datetime.datetime]

    @property
    def counts(self) -> bool:
        """Whether the answer is the one that holds from now on."""
        return self.act in {Act.APPLY, Act.APPLY_WITH_UNDO, Act.STORE_EARLIER}


def judge(
    incoming: Incoming, answer: Answer, standing: Standing | None, *, organizer: str, arrived: datetime.datetime
) -> Judgment:
    """Judge one answer. ``standing`` is None for a UID that nobody was sent; ``organizer`` is our own address."""
    mark = _mark(answer, standing, arrived)
    ground = _ground(incoming, answer, standing, organizer)
    if standing is None or ground in {Why.UNKNOWN, Why.NOT_OURS}:
        return Judgment(act=Act.IGNORE, why=ground, mark=mark)
    if ground is Why.OTHER_PERSON:
        return Judgment(act=Act.NOTE, why=ground, mark=mark)
    if answer.asks is Asks.COUNTER:
        return Judgment(act=Act.NOTE, why=Why.PROPOSAL, mark=mark)
    if answer.asks is Asks.REFRESH:
        return Judgment(act=Act.IGNORE if standing.over else Act.RESEND, why=Why.ASKS_AGAIN, mark=mark)
    if standing.last is not None and mark <= standing.last:
        return Judgment(act=Act.IGNORE, why=Why.ANSWERED_SINCE, mark=mark)
    if standing.over:
        late = answer.partstat is PartStat.ACCEPTED and ground in {Why.VOUCHED, Why.SAME_ADDRESS}
        return Judgment(act=Act.TOO_LATE if late else Act.IGNORE, why=Why.OVER, mark=mark)
    declines = answer.partstat is PartStat.DECLINED
    if mark[0] < standing.sequence:
        return Judgment(act=Act.HOLD if declines else Act.STORE_EARLIER, why=Why.EARLIER_VERSION, mark=mark)
    if not declines or ground is Why.VOUCHED:
        return Judgment(act=Act.APPLY, why=ground, mark=mark)
    return Judgment(act=Act.APPLY_WITH_UNDO if ground is Why.SAME_ADDRESS else Act.HOLD, why=ground, mark=mark)


# --- Private ---------------------------------------------------------------------------------------------------------


def _mark(answer: Answer, standing: Standing | None, arrived: datetime.datetime) -> tuple[int, datetime.datetime]:
    """SEQUENCE and DTSTAMP by which answers are ordered (RFC 5546 section 2.1.5).

    A stamp that is left out is the arrival. A SEQUENCE that is left out is that of the invitation as it stands, or an
    earlier one where the stamp is older than it. One far above ours is a fault or a trick: taken for ours.
    """
    stamp = min(answer.dtstamp or arrived, arrived + CLOCK_AHEAD)
    ours = standing.sequence if standing else 0
    if answer.sequence is None:
        is_earlier = standing is not None and ours > 0 and stamp < standing.told_at
        return (ours - 1 if is_earlier else ours), stamp
    return (ours if answer.sequence > ours + SEQUENCE_REACH else answer.sequence), stamp


def _ground(incoming: Incoming, answer: Answer, standing: Standing | None, organizer: str) -> Why:
    if answer.organizer and answer.organizer.lower() != organizer.lower():
        return Why.NOT_OURS
    if standing is None:
        return Why.UNKNOWN
    invited = standing.address.lower()
    if answer.attendee.lower() != invited:
        return Why.OTHER_PERSON
    if incoming.verdict is Verdict.REFUTED:
        return Why.REFUTED
    if incoming.sender.lower() != invited:
        return Why.OTHER_SENDER
    return Why.VOUCHED if incoming.verdict is Verdict.VOUCHED else Why.SAME_ADDRESS

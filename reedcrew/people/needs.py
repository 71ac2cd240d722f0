"""What needs somebody now: apps register sources, and the start pages show all of it as one list in order.

How urgent something is, ``trade.attention`` alone decides.
"""

import datetime
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from reedcrew.people.models import Group, Member
from reedcrew.people.roles import MAY, Deed, Role
from reedcrew.trade.attention import Band, Matter, band, is_shown, rank

UTC = ZoneInfo("UTC")


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing to decide: what is so, until when, and the one next step with its address.

    ``by`` is a date of ``zone``; None where nothing sets one. ``about`` names the day or place that it is about.
    """

    matter: Matter
    group: Group
    words: str
    step: str
    url: str
    about: str = ""
    by: datetime.date | None = None
    zone: ZoneInfo = UTC


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A need on the list of one moment."""

    need: Need
    band: Band
    is_late: bool

    @property
    def tone(self) -> str:
        """The badge's tone."""
        return "stop" if self.is_late else {Band.NOW: "caution", Band.SOON: "open", Band.LATER: "info"}[self.band]

    @property
    def word(self) -> str:
        """The badge's word."""
        return (
            _("late") if self.is_late else {Band.NOW: _("now"), Band.SOON: _("soon"), Band.LATER: _("later")}[self.band]
        )


# Asked once for each list, with the reader's memberships (groups fetched) and the present moment. The number of its
# queries must not grow with rows.
NeedSource = Callable[[Sequence[Member], datetime.datetime], Iterable[Need]]

_sources: dict[NeedSource, None] = {}


def register(source: NeedSource) -> None:
    """Ask ``source`` for what waits. Called from AppConfig.ready; again changes nothing."""
    _sources[source] = None


def decides(member: Member) -> bool:
    """Whether the list is for this member: somebody beside the volunteers, who has things to decide."""
    return member.left_at is None and member.role != Role.VOLUNTEER


def groups_of(members: Sequence[Member], deed: Deed) -> list[Group]:
    """The groups in which the reader may do a deed."""
    return [member.group for member in members if member.left_at is None and member.role in MAY[deed]]


def waiting_for(members: Sequence[Member], now: datetime.datetime) -> list[Waiting]:
    """What waits for these members of one account, the most urgent first."""
    found = sorted(_shown(members, now), key=lambda each: (rank(*each[1:]), each[0].group.name, each[0].about))
    return [
        Waiting(need=need, band=band(matter, by, today), is_late=by is not None and by < today)
        for need, matter, by, today in found
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupList:
    """How much waits in one group."""

    group: Group
    number: int


def groups_with_needs(waiting: Iterable[Waiting]) -> list[GroupList]:
    """The groups in which something waits, that with the most urgent first."""
    numbers = Counter(each.need.group for each in waiting)
    return [GroupList(group=group, number=number) for group, number in numbers.items()]


def _shown(
    members: Sequence[Member], now: datetime.datetime
) -> Iterator[tuple[Need, Matter, datetime.date | None, datetime.date]]:
    deciding = [member for member in members if decides(member)]
    for source in _sources if deciding else ():
        for need in source(deciding, now):
            today = now.astimezone(need.zone).date()
            if is_shown(need.matter, need.by, today):
                yield need, need.matter, need.by, today

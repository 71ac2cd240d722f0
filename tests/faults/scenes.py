"""What every fault begins with, mails in the outbox, and what is counted at its end."""

import datetime
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from email import message_from_bytes

from django.utils import timezone

from reedcrew.invites.models import OutgoingMail
from reedcrew.web.wake import wake
from reedcrew.workdays import services as workdays
from reedcrew.workdays.models import WorkDay
from tests import factories
from tests.services import Received

State = OutgoingMail.State
TEN_DAYS = datetime.timedelta(days=10)


def make_open_day(*, places: int = 500, starts_in: datetime.timedelta = TEN_DAYS) -> WorkDay:
    """A day some time from now: workers of their own process live by the real clock."""
    stand = factories.make_stand(factories.make_group())
    factories.make_zone(stand)
    starts_at = timezone.now() + starts_in
    ends_at = starts_at + datetime.timedelta(hours=4)
    date = starts_at.astimezone(stand.site.zone_info).date()
    return factories.make_day(stand, starts_at=starts_at, ends_at=ends_at, date=date, land_places=places)


def make_mails(day: WorkDay, number: int = 1) -> list[OutgoingMail]:
    """As many people sign up, each in a transaction of their own; each is told by one mail, which wakes a worker."""
    mails = []
    for _ in range(number):
        member = factories.make_member(day.group)
        made = workdays.sign_up(day=day, member=member, place="land", actor=member.account, now=timezone.now())
        mails.append(made.sign_up.mails.get())
    return mails


def let_time_pass() -> None:
    """What is claimed or waits for its next try is due now, and has no fault yet. Beat's sweep finds it."""
    now = timezone.now()
    OutgoingMail.objects.filter(state=State.WAITING).update(next_try_at=now, last_error="")
    wake("invites.send_due")


def all_tried() -> bool:
    """Whether every mail is sent or refused, or failed since time last passed."""
    return not OutgoingMail.objects.filter(state=State.WAITING, last_error="").exists()


def all_sent() -> bool:
    return not OutgoingMail.objects.exclude(state=State.SENT).exists()


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Mails of the outbox, how many the server accepted with the repeats, and how many of these were repeats."""

    mails: int
    accepted: int
    repeats: int
    lost: int

    def __str__(self) -> str:
        return f"{self.mails} mails, {self.accepted} accepted, {self.repeats} of them repeats, {self.lost} lost"


def count(received: Sequence[Received], expected: Sequence[str]) -> Counted:
    """Compare what a server accepted with the Message-IDs that it should have.

    AssertionError where two of one Message-ID differ in a byte, or where nobody wrote what came.
    """
    by_id: dict[str, set[bytes]] = defaultdict(set)
    for mail in received:
        by_id[str(message_from_bytes(mail.raw)["Message-ID"])].add(mail.raw)
    assert all(len(versions) == 1 for versions in by_id.values()), "a repeat differs from the first"
    assert by_id.keys() <= set(expected), "a mail came that nobody wrote"
    return Counted(
        mails=len(expected),
        accepted=len(received),
        repeats=len(received) - len(by_id),
        lost=len(set(expected) - by_id.keys()),
    )


def message_ids() -> list[str]:
    """The Message-IDs of all rows of the outbox."""
    return list(OutgoingMail.objects.order_by("pk").values_list("message_id", flat=True))

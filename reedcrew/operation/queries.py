"""How the installation is: counts for machines, and for operators what is wrong with what to do about it."""

import datetime
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Min, QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from reedcrew.api.models import Delivery
from reedcrew.crews.models import PlanDue
from reedcrew.invites.models import IncomingMail, OutgoingMail
from reedcrew.operation import parts
from reedcrew.operation.models import BackupRun, Heartbeat
from reedcrew.operation.versions import versions

# How long what should happen every minute may be away, and every night (cp): a sweep or two, a night and half a day.
BEAT_LATE = datetime.timedelta(minutes=5)
MAIL_LATE = datetime.timedelta(minutes=15)
PLAN_LATE = datetime.timedelta(minutes=15)
BACKUP_LATE = datetime.timedelta(hours=36)
WAKE_UPS_MANY = 500
FAULTY_MAILS = 20
GIVEN_UP_MESSAGES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What there is at one moment; ``oldest_waiting`` is when the oldest mail that is due became so."""

    now: datetime.datetime
    outbox: dict[str, int]
    inbox: dict[str, int]
    plans_due: int
    oldest_plan: datetime.datetime | None
    oldest_waiting: datetime.datetime | None
    last_beat: datetime.datetime | None
    last_backup: BackupRun | None


def counted(now: datetime.datetime) -> Counted:
    """Seven queries. Raises DatabaseError."""
    plans = PlanDue.objects.aggregate(number=Count("pk"), oldest=Min("since"))
    return Counted(
        now=now,
        outbox=_numbers(OutgoingMail.objects.all(), "state", OutgoingMail.State.values),
        inbox=_numbers(IncomingMail.objects.all(), "outcome", IncomingMail.Outcome.values),
        plans_due=plans["number"],
        oldest_plan=plans["oldest"],
        oldest_waiting=OutgoingMail.objects.due(now).order_by().aggregate(oldest=Min("next_try_at"))["oldest"],
        last_beat=Heartbeat.objects.filter(name=Heartbeat.CHAIN).values_list("at", flat=True).first(),
        last_backup=BackupRun.objects.last_good(),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that operators watch: how it is, in one sentence, and what to do where it is not well."""

    name: str | Promise
    said: str | Promise
    at: datetime.datetime | None = None
    remedy: str | Promise = ""

    @property
    def is_well(self) -> bool:
        return not self.remedy


@dataclass(frozen=True, slots=True, kw_only=True)
class Installation:
    """All that the operators' page shows."""

    now: datetime.datetime
    parts: tuple[Part, ...]
    counted: Counted
    faulty_mails: tuple[OutgoingMail, ...]
    given_up: tuple[Delivery, ...]
    backups: tuple[BackupRun, ...]
    versions: dict[str, str]

    @property
    def inbox_lines(self) -> list[tuple[str, int]]:
        """Outcomes of mails that came in with their numbers, those that there are."""
        outcomes = IncomingMail.Outcome.choices
        return [(str(label), self.counted.inbox[value]) for value, label in outcomes if self.counted.inbox[value]]

    @property
    def wrong(self) -> tuple[Part, ...]:
        return tuple(part for part in self.parts if not part.is_well)


def installation(now: datetime.datetime) -> Installation:
    """The state of everything. Of mails only group, kind, domain and fault: an operator needs no more."""
    state = counted(now)
    faulty = OutgoingMail.objects.filter(state=OutgoingMail.State.REFUSED) | OutgoingMail.objects.held_up()
    return Installation(
        now=now,
        parts=(
            _migrations(),
            _broker(),
            _beat(state),
            _outbox(state),
            _refused(state),
            _webhooks(now),
            _plans(state),
            _backup(state),
        ),
        counted=state,
        faulty_mails=tuple(faulty.defer("raw").select_related("group").order_by("-created_at")[:FAULTY_MAILS]),
        given_up=_given_up(),
        backups=tuple(BackupRun.objects.all()[:5]),
        versions=versions(),
    )


def _numbers(rows: "QuerySet[Any]", field: str, values: list[str]) -> dict[str, int]:
    """How many rows have each value; 0 for those that none has, so that a curve does not break off."""
    found = rows.order_by().values_list(field).annotate(number=Count("pk"))
    return dict.fromkeys(values, 0) | dict(found)


def _migrations() -> Part:
    try:
        parts.check_migrations()
    except parts.PartFails:
        return Part(
            name=_("Database"),
            said=_("Its tables are older than this version of Reedcrew."),
            remedy=_("Run: python manage.py migrate. Then start web, worker and beat again."),
        )
    return Part(name=_("Database"), said=_("It answers, and its tables are up to date."))


def _broker() -> Part:
    try:
        waiting = parts.waiting_wake_ups()
    except parts.PartFails:
        return Part(
            name=_("Queue"),
            said=_("The broker does not answer. Nothing is lost: the rows wait in the database."),
            remedy=_("Start Redis again, or look at REDIS_URL; without Redis, see whether the disk is full."),
        )
    said = _("Wake-ups that wait for a worker: %(waiting)d.") % {"waiting": waiting}
    if waiting > WAKE_UPS_MANY:
        return Part(
            name=_("Queue"), said=said, remedy=_("See that a worker runs and what it logs; start further workers.")
        )
    return Part(name=_("Queue"), said=said)


def _beat(state: Counted) -> Part:
    if state.last_beat is not None and state.now - state.last_beat <= BEAT_LATE:
        return Part(name=_("Beat and worker"), said=_("The last round was made"), at=state.last_beat)
    return Part(
        name=_("Beat and worker"),
        said=_("The last round was made") if state.last_beat else _("No round was ever made."),
        at=state.last_beat,
        remedy=_(
            "No reminder and no sweep runs. Where wake-ups pile up in the queue, start the worker; else start beat. "
            "Exactly one beat runs in all."
        ),
    )


def _outbox(state: Counted) -> Part:
    waiting = state.outbox[OutgoingMail.State.WAITING]
    said = _("Mails that wait to be sent: %(waiting)d.") % {"waiting": waiting}
    if state.oldest_waiting is None or state.now - state.oldest_waiting <= MAIL_LATE:
        return Part(name=_("Outbox"), said=said)
    return Part(
        name=_("Outbox"),
        said=_("Mails that wait to be sent: %(waiting)d, the oldest since") % {"waiting": waiting},
        at=state.oldest_waiting,
        remedy=_(
            "See that the worker runs. The faults of the mails below tell whether the mail server of EMAIL_URL is "
            "away, refuses the sign-in or slows us down; MAIL_DOMAIN_A_MINUTE says how many go to one domain."
        ),
    )


def _refused(state: Counted) -> Part:
    refused = state.outbox[OutgoingMail.State.REFUSED]
    said = _("Mails that were refused for good: %(refused)d.") % {"refused": refused}
    if not refused:
        return Part(name=_("Refused mail"), said=said)
    return Part(
        name=_("Refused mail"),
        said=said,
        remedy=_(
            "A wrong mailbox is for the group's organizers, who see it in their outbox. Many of one domain, or words "
            "about our own address, are for you: look at SPF, DKIM and whether the mail server is on a blocking list."
        ),
    )


def _webhooks(now: datetime.datetime) -> Part:
    numbers = _numbers(Delivery.objects.all(), "state", Delivery.State.values)
    oldest = Delivery.objects.due(now).order_by().aggregate(oldest=Min("next_try_at"))["oldest"]
    said = _("Messages that wait to be sent: %(waiting)d. Given up in the last month: %(given_up)d.") % {
        "waiting": numbers[Delivery.State.WAITING],
        "given_up": numbers[Delivery.State.GIVEN_UP],
    }
    if oldest is None or now - oldest <= MAIL_LATE:
        return Part(name=_("Webhooks"), said=said)
    return Part(
        name=_("Webhooks"),
        said=_("Messages that wait to be sent: %(waiting)d, the oldest since")
        % {"waiting": numbers[Delivery.State.WAITING]},
        at=oldest,
        remedy=_("See that the worker runs and that this machine reaches the web: messages go out by HTTPS."),
    )


def _given_up() -> tuple[Delivery, ...]:
    """Messages that no program took, the newest first: the group's matter, unless many of them have one fault."""
    given_up = Delivery.objects.filter(state=Delivery.State.GIVEN_UP).defer("body").select_related("webhook__group")
    return tuple(given_up.order_by("-made_at", "-pk")[:GIVEN_UP_MESSAGES])


def _plans(state: Counted) -> Part:
    said = _("Days that wait for a plan: %(due)d.") % {"due": state.plans_due}
    if state.oldest_plan is None or state.now - state.oldest_plan <= PLAN_LATE:
        return Part(name=_("Plans"), said=said)
    return Part(
        name=_("Plans"),
        said=_("Days that wait for a plan: %(due)d, the longest since") % {"due": state.plans_due},
        at=state.oldest_plan,
        remedy=_("See that the worker runs; its log says why a day cannot be planned. Start further workers."),
    )


def _backup(state: Counted) -> Part:
    last = state.last_backup
    if last is not None and state.now - last.finished_at <= BACKUP_LATE:
        return Part(name=_("Backup"), said=_("The last good one was finished"), at=last.finished_at)
    return Part(
        name=_("Backup"),
        said=_("The last good one was finished") if last else _("None was ever made."),
        at=last.finished_at if last else None,
        remedy=_(
            "Run bash deploy/backup.sh and see why the nightly one did not run. Try restore.sh on an empty place too: "
            "a backup that was never restored is a hope."
        ),
    )

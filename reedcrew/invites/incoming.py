"""Taking in a mail: kept first, then judged, then applied. The same bytes again change nothing."""

import datetime
import hashlib
import logging
from dataclasses import replace

from django.conf import settings
from django.db import IntegrityError, transaction

from reedcrew.invites import addresses, posting, services
from reedcrew.invites.calendar.events import PartStat
from reedcrew.invites.mailbox import bounce_token
from reedcrew.invites.models import CalendarEntry, IncomingMail, OutgoingMail
from reedcrew.invites.replies.answers import Answer, Problem
from reedcrew.invites.replies.judging import Act, Judgment, Standing, judge
from reedcrew.invites.replies.mails import MAIL_OCTETS_MAX, Incoming, Kind, read_mail
from reedcrew.people.models import Group, Member
from reedcrew.web.errors import ReedcrewError
from reedcrew.workdays import services as workdays
from reedcrew.workdays import waiting_list
from reedcrew.workdays.models import SignUp, WorkDay

logger = logging.getLogger(__name__)

AN_HOUR = datetime.timedelta(hours=1)  # at most one question a person, and one repeated invitation, in that time
A_DAY = datetime.timedelta(days=1)
PASSED_ON_A_DAY = 10  # messages of one sender; more is a machine that answers machines (convention)
KEPT_OF_A_GIANT = 64 * 1024  # octets kept of a mail that is too big to read
OUTCOMES = {
    Act.APPLY: IncomingMail.Outcome.APPLIED,
    Act.APPLY_WITH_UNDO: IncomingMail.Outcome.APPLIED,
    Act.HOLD: IncomingMail.Outcome.HELD,
    Act.STORE_EARLIER: IncomingMail.Outcome.EARLIER,
    Act.TOO_LATE: IncomingMail.Outcome.TOLD,
    Act.NOTE: IncomingMail.Outcome.NOTED,
    Act.RESEND: IncomingMail.Outcome.RESENT,
    Act.IGNORE: IncomingMail.Outcome.IGNORED,
}


def take_in(*, raw: bytes, envelope_to: str = "", now: datetime.datetime) -> IncomingMail:
    """Take in one mail of any bytes, once. ``envelope_to`` is the address that the mail server delivered it to.

    Never raises for what the mail holds: a mail that cannot be dealt with is kept for an organizer to look at.
    """
    digest = hashlib.sha256(raw).hexdigest()
    known = IncomingMail.objects.filter(digest=digest).first()
    if known is not None:
        return known
    try:
        with transaction.atomic():
            return _take_in(raw, digest, envelope_to, now)
    except IntegrityError:
        # Another reader took in the same mail at the same time.
        if known := IncomingMail.objects.filter(digest=digest).first():
            return known
        logger.exception("A mail that came in could not be dealt with")
    except Exception:
        logger.exception("A mail that came in could not be dealt with")
    return _row(Incoming(kind=Kind.UNUSABLE), raw, digest, now, outcome=IncomingMail.Outcome.KEPT)


def take_in_giant(*, head: bytes, octets: int, now: datetime.datetime) -> IncomingMail:
    """Keep the head of a mail that is too big to be fetched; an organizer finds it in the mailbox."""
    digest = hashlib.sha256(head + str(octets).encode()).hexdigest()
    known = IncomingMail.objects.filter(digest=digest).first()
    if known is not None:
        return known
    incoming = replace(read_mail(head), kind=Kind.UNUSABLE, problem=Problem.TOO_BIG)
    row = _row(incoming, head, digest, now, outcome=IncomingMail.Outcome.KEPT)
    row.group = _group_of(incoming)
    row.save(update_fields=["group"])
    return row


# --- Private ---------------------------------------------------------------------------------------------------------


def _take_in(raw: bytes, digest: str, envelope_to: str, now: datetime.datetime) -> IncomingMail:
    incoming = read_mail(raw, trusted=settings.MAIL_AUTHSERV_IDS)
    row = _row(incoming, raw, digest, now)
    match incoming.kind:
        case Kind.ANSWER if incoming.answer is not None:
            _answer(row, incoming, incoming.answer, now)
        case Kind.BOUNCE:
            _bounce(row, incoming, envelope_to, now)
        case Kind.PERSONAL:
            _pass_on(row, incoming, now)
        case Kind.AUTOMATIC:
            row.outcome = IncomingMail.Outcome.IGNORED
        case _:
            row.outcome = IncomingMail.Outcome.KEPT
    row.group = row.group or _group_of(incoming)
    row.save()
    return row


def _row(
    incoming: Incoming, raw: bytes, digest: str, now: datetime.datetime, *, outcome: str = IncomingMail.Outcome.IGNORED
) -> IncomingMail:
    return IncomingMail.objects.create(
        kind=IncomingMail.Kind(incoming.kind.value),
        outcome=outcome,
        why=incoming.problem.value if incoming.problem else "",
        sender=incoming.sender,
        subject=incoming.subject,
        message_id=incoming.message_id,
        words=incoming.words,
        received_at=now,
        digest=digest,
        raw=raw if len(raw) <= MAIL_OCTETS_MAX else raw[:KEPT_OF_A_GIANT],
    )


def _group_of(incoming: Incoming) -> Group | None:
    """Whose mail it is: of the mail that it answers, of the sender's only group, or of the only group there is."""
    answered = OutgoingMail.objects.filter(message_id__in=incoming.threads).select_related("group").first()
    if answered is not None:
        return answered.group
    if incoming.sender:
        theirs = Group.objects.filter(
            pk__in=Member.objects.current().filter(account__email__iexact=incoming.sender).values("group")
        )[:2]
        if len(theirs) == 1:
            return theirs[0]
    groups = Group.objects.all()[:2]
    return groups[0] if len(groups) == 1 else None


# --- Private: answers ------------------------------------------------------------------------------------------------


def _answer(row: IncomingMail, incoming: Incoming, answer: Answer, now: datetime.datetime) -> None:
    entry = _held_entry(answer.uid)
    standing = _standing(entry, now) if entry is not None else None
    judgment = judge(incoming, answer, standing, organizer=settings.MAIL_FROM, arrived=now)
    row.outcome, row.why, row.words = OUTCOMES[judgment.act], judgment.why.value, answer.comment
    if entry is None:
        return
    row.entry, row.group = entry, entry.sign_up.day.group
    row.reply_sequence, row.reply_dtstamp = judgment.mark
    if judgment.act is Act.NOTE and incoming.message_id and _came_before(row):
        row.outcome = IncomingMail.Outcome.IGNORED
    if judgment.counts:
        _remember(entry, answer, judgment)
    match judgment.act:
        case Act.APPLY | Act.APPLY_WITH_UNDO:
            _apply(row, entry, answer, judgment, now)
        case Act.HOLD if not _asked_lately(row, now):
            posting.ask_to_confirm(entry=entry, incoming=row, now=now)
        case Act.TOO_LATE | Act.RESEND if incoming.automatic:
            row.outcome = IncomingMail.Outcome.IGNORED  # RFC 3834 section 2: a machine is not answered
        case Act.TOO_LATE if not _told_already(row):
            posting.tell_too_late(entry=entry, now=now)
        case Act.RESEND if entry.resent_at is None or now - entry.resent_at >= AN_HOUR:
            entry.resent_at = now
            services.send_state_again(entry=entry, now=now)
        case _:
            pass


def _held_entry(uid: str) -> CalendarEntry | None:
    """The entry, held until the transaction ends: first its day, then itself, as whoever changes a day holds them."""
    day_pk = SignUp.objects.filter(calendar_entry__uid=uid).values_list("day", flat=True).first()
    if day_pk is None:
        return None
    WorkDay.objects.held(day_pk)
    return (
        CalendarEntry.objects.select_for_update(no_key=True, of=("self",))
        .select_related(
            "sign_up__member__account", "sign_up__member__guardian__account", "sign_up__day__stand__site__group"
        )
        .get(uid=uid)
    )


def _standing(entry: CalendarEntry, now: datetime.datetime) -> Standing:
    sign_up = entry.sign_up
    over = sign_up.state == SignUp.State.WITHDRAWN or not sign_up.day.is_open or sign_up.day.has_ended(now)
    return Standing(
        address=entry.address,
        sequence=entry.sequence,
        told_at=entry.last_dtstamp,
        last=entry.last_reply,
        over=over or entry.cancelled_at is not None,
    )


def _remember(entry: CalendarEntry, answer: Answer, judgment: Judgment) -> None:
    entry.reply_sequence, entry.reply_dtstamp = judgment.mark
    if answer.partstat is not None and judgment.act is not Act.STORE_EARLIER:
        entry.partstat = answer.partstat.value
    entry.save(update_fields=["reply_sequence", "reply_dtstamp", "partstat"])


def _apply(row: IncomingMail, entry: CalendarEntry, answer: Answer, judgment: Judgment, now: datetime.datetime) -> None:
    """Let the sign-up follow the answer. What the day no longer allows is kept for the organizers to look at."""
    account = entry.sign_up.member.mail_account
    if account is None:
        row.outcome = IncomingMail.Outcome.NOTED
        return
    try:
        with transaction.atomic():
            if answer.partstat is PartStat.DECLINED:
                entry.declined_by_mail = judgment.act is Act.APPLY_WITH_UNDO
                entry.save(update_fields=["declined_by_mail"])
                workdays.withdraw(sign_up=entry.sign_up, actor=account, now=now)
            elif answer.partstat is PartStat.ACCEPTED and entry.sign_up.state == SignUp.State.OFFERED:
                waiting_list.take_place(sign_up=entry.sign_up, actor=account, now=now)
    except ReedcrewError as refusal:
        row.outcome, row.why = IncomingMail.Outcome.NOTED, refusal.code


def _came_before(row: IncomingMail) -> bool:
    """Whether the same message about the same invitation was noted before, as when a server delivers it twice."""
    earlier = IncomingMail.objects.filter(message_id=row.message_id, entry=row.entry).exclude(pk=row.pk)
    return earlier.exists()


def _told_already(row: IncomingMail) -> bool:
    """Whether somebody was told before that it is too late: once is enough."""
    told = IncomingMail.objects.filter(entry=row.entry, outcome=IncomingMail.Outcome.TOLD)
    return told.exclude(pk=row.pk).exists()


def _asked_lately(row: IncomingMail, now: datetime.datetime) -> bool:
    held = IncomingMail.objects.filter(entry=row.entry, outcome=IncomingMail.Outcome.HELD).exclude(pk=row.pk)
    return held.filter(received_at__gt=now - AN_HOUR).exists()


# --- Private: reports and people -------------------------------------------------------------------------------------


def _bounce(row: IncomingMail, incoming: Incoming, envelope_to: str, now: datetime.datetime) -> None:
    """Tie a report to the mail it is about: by our own envelope sender, else by the mail that came back."""
    bounce = incoming.bounce
    if bounce is None:
        return
    token = bounce_token(envelope_to)
    mails = OutgoingMail.objects.for_list().select_related("group")
    mail = (
        mails.filter(envelope_from__startswith=f"bounce+{token}@").first()
        if token
        else mails.filter(message_id=bounce.message_id or "-").first()
    )
    row.why = bounce.status
    row.words = bounce.reason
    if mail is None:
        row.outcome = IncomingMail.Outcome.IGNORED
        return
    row.group = mail.group
    if bounce.is_permanent and addresses.note_fault(
        address=mail.to_address, status=bounce.status, reason=bounce.reason, now=now
    ):
        row.outcome = IncomingMail.Outcome.MARKED
        row.sender = mail.to_address


def _pass_on(row: IncomingMail, incoming: Incoming, now: datetime.datetime) -> None:
    group = _group_of(incoming)
    row.group = group
    if group is None:
        row.outcome = IncomingMail.Outcome.KEPT
        return
    if incoming.sender.lower() == group.contact_email.lower():
        row.outcome = IncomingMail.Outcome.NOTED  # from whom it would go to
    elif _wrote_much(row, now):
        row.outcome = IncomingMail.Outcome.KEPT
    else:
        posting.pass_on(group=group, incoming=row, now=now)
        row.outcome = IncomingMail.Outcome.PASSED_ON


def _wrote_much(row: IncomingMail, now: datetime.datetime) -> bool:
    """Whether so much of this sender was passed on lately that it looks like two machines answering each other."""
    lately = IncomingMail.objects.filter(
        sender=row.sender, outcome=IncomingMail.Outcome.PASSED_ON, received_at__gt=now - A_DAY
    )
    return lately.count() >= PASSED_ON_A_DAY

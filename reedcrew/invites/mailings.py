"""Reminders, messages and thanks: one mail a person, written in the transaction that notes the mailing as done."""

import datetime
import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.crypto import salted_hmac
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from reedcrew.crews.inputs import weather_of
from reedcrew.crews.queries import told_places
from reedcrew.invites import addresses, choices, posting
from reedcrew.invites.calendar.rules import Letter
from reedcrew.invites.composing import letter_context
from reedcrew.invites.errors import MessageGone, TooManyMessages
from reedcrew.invites.letters import LetterContext, Wording, render_letter
from reedcrew.invites.mailbox import Mailbox
from reedcrew.invites.models import MailChoice, Mailing, OutgoingMail, RosterMessage
from reedcrew.people.audit import record
from reedcrew.people.languages import writing_to
from reedcrew.people.models import Account
from reedcrew.stands import work_records
from reedcrew.trade.weather import cautions
from reedcrew.web.sentences import said
from reedcrew.web.times import duration_text
from reedcrew.workdays import presence
from reedcrew.workdays.models import SignUp, SignUpQuerySet, WorkDay
from reedcrew.workdays.offers import end_of_quiet_hours

A_DAY = datetime.timedelta(days=1)
WEEK_BEFORE = (7, datetime.time(10))  # days before, and the time by the clocks of the site (convention)
EVENING_BEFORE = (1, datetime.time(18))
THANKS_AFTER = (1, datetime.time(10))
LATEST_THANKS = datetime.timedelta(days=14)  # after that nobody connects them with the day
LATEST_WEEK_BEFORE = datetime.timedelta(days=2)  # a day posted later than that goes without the first reminder
MESSAGES_A_DAY = 10  # of one group; what is about safety goes past it (convention)
HELD_BACK = datetime.timedelta(minutes=1)  # in which a message that is not about safety can be taken back (convention)
LATEST_EVENING_BEFORE = datetime.timedelta(hours=2)  # before the start: later, people are on their way


def reminder_time(day: WorkDay, days_before: int, time: datetime.time) -> datetime.datetime:
    """When a reminder of a day is due, by the clocks of its site. In UTC."""
    date = day.date - days_before * A_DAY
    return datetime.datetime.combine(date, time, tzinfo=day.zone_info).astimezone(datetime.UTC)


def due(now: datetime.datetime) -> list[tuple[int, MailChoice.Kind]]:
    """Days and kinds of mail whose time has come and that were not written yet; three queries."""
    found = []
    upcoming = list(WorkDay.objects.upcoming(now).filter(starts_at__lte=now + 8 * A_DAY).with_stand())
    written = set(Mailing.objects.filter(day__in=upcoming).values_list("day", "kind"))
    for day in upcoming:
        week, evening = reminder_time(day, *WEEK_BEFORE), reminder_time(day, *EVENING_BEFORE)
        if (day.pk, MailChoice.Kind.WEEK_BEFORE) not in written and week <= now <= week + LATEST_WEEK_BEFORE:
            found.append((day.pk, MailChoice.Kind.WEEK_BEFORE))
        is_evening = evening <= now <= day.starts_at - LATEST_EVENING_BEFORE
        if is_evening and (day.pk, MailChoice.Kind.EVENING_BEFORE) not in written:
            found.append((day.pk, MailChoice.Kind.EVENING_BEFORE))
    waiting = Mailing.objects.filter(done_at=None, due_at__lte=now, due_at__gt=now - LATEST_THANKS)
    return [*found, *((pk, MailChoice.Kind(kind)) for pk, kind in waiting.values_list("day", "kind"))]


@transaction.atomic
def plan_thanks(*, day: WorkDay, now: datetime.datetime) -> Mailing:
    """Note that a day that was closed has its thanks coming, on the next morning of the site; again changes nothing."""
    days_after, time = THANKS_AFTER
    local = now.astimezone(day.zone_info).date() + days_after * A_DAY
    due_at = datetime.datetime.combine(local, time, tzinfo=day.zone_info).astimezone(datetime.UTC)
    return Mailing.objects.get_or_create(day=day, kind=MailChoice.Kind.THANKS, defaults={"due_at": due_at})[0]


@transaction.atomic
def write_mailing(*, day_pk: int, kind: MailChoice.Kind, now: datetime.datetime) -> list[OutgoingMail]:
    """Write one mailing to everyone who wants it. Whoever comes second finds it done and writes nothing."""
    day = WorkDay.objects.held(day_pk)
    mailing, _made = Mailing.objects.get_or_create(day=day, kind=kind, defaults={"due_at": now})
    if mailing.done_at is not None:
        return []
    mailing.done_at = now
    mailing.save(update_fields=["done_at"])
    if kind is MailChoice.Kind.THANKS:
        return _thank(day, now)
    return _remind(day, kind, now) if day.is_open and not day.has_ended(now) else []


@transaction.atomic
def write_to_roster(
    *,
    day: WorkDay,
    subject: str,
    words: str,
    about_safety: bool,
    to_waiting: bool,
    actor: Account,
    now: datetime.datetime,
    submission: uuid.UUID,
) -> RosterMessage:
    """Send a message of an organizer to everyone with a place. The same ``submission`` again returns the first.

    What is about safety goes to everybody at once, at any hour, also to those who turned messages off; other messages
    are held back for HELD_BACK, in which they can be taken back, and for the quiet hours. Raises TooManyMessages.
    """
    day = WorkDay.objects.held(day.pk)
    if first := RosterMessage.objects.filter(submission=submission).first():
        return first
    if not about_safety:
        _ask_few(day, now)
    found = readers_of(day=day, about_safety=about_safety, to_waiting=to_waiting)
    not_before = now if about_safety else end_of_quiet_hours(now + HELD_BACK, day.zone_info)
    message = RosterMessage.objects.create(
        day=day,
        subject=subject,
        words=words,
        about_safety=about_safety,
        to_waiting=to_waiting,
        sent_by=actor,
        sent_at=now,
        people=len(found.readers),
        submission=submission,
    )
    kind = None if about_safety else MailChoice.Kind.MESSAGE
    for sign_up, account in found.readers:
        with writing_to(account, day.group):
            context = _message_context(sign_up, subject, words)
            _post(sign_up, account, Letter.MESSAGE, context, OutgoingMail.Kind.MESSAGE, kind, now, not_before, message)
    record(group=day.group, actor=actor, at=now, deed="roster written to", subject=day, people=message.people)
    return message


@transaction.atomic
def take_back(*, message: RosterMessage, actor: Account, now: datetime.datetime) -> int:
    """Stop what of a message no mail server was offered yet; answers how many mails. Again: none.

    Raises MessageGone where there is nothing left to stop.
    """
    row = RosterMessage.objects.select_for_update(no_key=True, of=("self",)).get(pk=message.pk)
    if row.taken_back_at is not None:
        return 0
    stopped = row.mails.not_begun().update(state=OutgoingMail.State.DROPPED)
    if not stopped:
        raise MessageGone
    row.taken_back_at = now
    row.save(update_fields=["taken_back_at"])
    record(group=message.day.group, actor=actor, at=now, deed="message taken back", subject=message.day, mails=stopped)
    return int(stopped)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Somebody of the roster whom a message does not reach, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Readers:
    """Whom a message reaches, with the mailbox of each, and whom not."""

    readers: Sequence[tuple[SignUp, Account]]
    left_out: Sequence[LeftOut]


def readers_of(*, day: WorkDay, about_safety: bool, to_waiting: bool) -> Readers:
    """Who gets a message to a roster. The number of queries does not grow with the roster."""
    sign_ups = day.sign_ups.active() if to_waiting else day.sign_ups.holding()
    return _readers(sign_ups, None if about_safety else MailChoice.Kind.MESSAGE)


def preview_of(found: Readers, *, subject: str, words: str) -> Wording | None:
    """The letter as its first reader gets it; None where it reaches nobody."""
    if not found.readers:
        return None
    sign_up, account = found.readers[0]
    with writing_to(account, sign_up.day.group):
        return render_letter(Letter.MESSAGE, _message_context(sign_up, subject, words))


def mark_of(day: WorkDay, *, subject: str, words: str, about_safety: bool, to_waiting: bool) -> str:
    """What a preview hands on and sending compares: it differs as soon as anything of the message does."""
    said = json.dumps([day.pk, subject, words, about_safety, to_waiting])
    return salted_hmac("reedcrew.invites.roster-message", said, algorithm="sha256").hexdigest()


# --- Private ---------------------------------------------------------------------------------------------------------


def _message_context(sign_up: SignUp, subject: str, words: str) -> LetterContext:
    context = letter_context(sign_up)
    context["message_subject"], context["words"] = subject, words
    return context


def _ask_few(day: WorkDay, now: datetime.datetime) -> None:
    """Raises TooManyMessages where the group's people have had MESSAGES_A_DAY since this time yesterday."""
    written = RosterMessage.objects.filter(day__in=WorkDay.objects.of_group(day.group))
    count = written.filter(sent_at__gt=now - A_DAY).count()
    if count >= MESSAGES_A_DAY:
        raise TooManyMessages(count=count)


def _remind(day: WorkDay, kind: MailChoice.Kind, now: datetime.datetime) -> list[OutgoingMail]:
    people = _readers(day.sign_ups.confirmed(), kind).readers
    places = told_places([sign_up for sign_up, _account in people])
    weather = cautions(weather_of(day))
    mails = []
    for sign_up, account in people:
        with writing_to(account, day.group):
            context = letter_context(sign_up, places.get(sign_up.pk))
            context["weather"] = [said(each) for each in weather]
            mails.append(_post(sign_up, account, Letter.REMINDER, context, OutgoingMail.Kind.REMINDER, kind, now, now))
    return mails


def _thank(day: WorkDay, now: datetime.datetime) -> list[OutgoingMail]:
    """To those who were on site: their own hours, and what all cut together."""
    stayed = presence.time_on_site(day)
    kind = MailChoice.Kind.THANKS
    people = _readers(day.sign_ups.confirmed().filter(member__in=stayed), kind).readers
    cut = work_records.stems_of_day(day.stand, day.pk)
    mails = []
    for sign_up, account in people:
        with writing_to(account, day.group):
            context = letter_context(sign_up)
            context["hours"] = duration_text(stayed[sign_up.member_id])
            context["people_count"] = len(stayed)
            if cut is not None:
                context["stems"] = number_format(cut[0], force_grouping=True)
            mails.append(_post(sign_up, account, Letter.THANKS, context, OutgoingMail.Kind.THANKS, kind, now, now))
    return mails


def _readers(sign_ups: SignUpQuerySet, kind: MailChoice.Kind | None) -> Readers:
    """Who is written to: people with a mailbox that mail reaches and who did not turn this kind off."""
    rows = list(sign_ups.select_related("member__account", "member__guardian__account", "day__stand__site__group"))
    accounts = [account for row in rows if (account := row.member.mail_account) is not None]
    refused = choices.unwanted(kind, accounts) if kind is not None else set()
    marked = addresses.marked([account.email for account in accounts]) if kind is not None else set()
    readers, left_out = [], []
    for row in rows:
        account = row.member.mail_account
        if account is None:
            why = _("has no mail: phone them")
        elif account.pk in refused:
            why = _("turned messages off")
        elif account.email.lower() in marked:
            why = str(addresses.MARKED)
        else:
            readers.append((row, account))
            continue
        left_out.append(LeftOut(name=row.member.name, why=why))
    return Readers(readers=readers, left_out=left_out)


def _post(
    sign_up: SignUp,
    account: Account,
    letter: Letter,
    context: LetterContext,
    mail_kind: OutgoingMail.Kind,
    kind: MailChoice.Kind | None,
    now: datetime.datetime,
    not_before: datetime.datetime,
    message: RosterMessage | None = None,
) -> OutgoingMail:
    url = choices.unsubscribe_url(account, kind) if kind is not None else ""
    context["unsubscribe_url"] = url
    return posting.post(
        group=sign_up.day.group,
        recipient=Mailbox(address=account.email, name=sign_up.member.name),
        wording=render_letter(letter, context),
        kind=mail_kind,
        now=now,
        sign_up=sign_up,
        unsubscribe_url=url,
        not_before=not_before,
        roster_message=message,
    )

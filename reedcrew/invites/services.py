"""Telling people's calendars of their sign-ups: rows first, in the transaction of the change; sending afterwards."""

import datetime
import uuid
from contextlib import AbstractContextManager

from django.db import transaction

from reedcrew.crews.queries import OwnPlace, told_places
from reedcrew.invites.calendar.events import PartStat, new_uid
from reedcrew.invites.calendar.rules import (
    CONSEQUENCES,
    Change,
    ContentMarks,
    Letter,
    change_kind,
    next_dtstamp,
    partstat_after,
    sequence_after,
)
from reedcrew.invites.composing import draft_of, event_of, service_mailbox
from reedcrew.invites.drafts import Draft
from reedcrew.invites.letters import render_subject
from reedcrew.invites.mailbox import bounce_address
from reedcrew.invites.mime import SUBJECT_LENGTH, new_message_id
from reedcrew.invites.models import CalendarEntry, OutgoingMail
from reedcrew.people.languages import writing_to
from reedcrew.people.models import Account, Member
from reedcrew.web.wake import wake
from reedcrew.workdays.models import SignUp, WorkDay
from reedcrew.workdays.offers import end_of_quiet_hours

KINDS = {
    Letter.INVITED: OutgoingMail.Kind.INVITE,
    Letter.CHANGED: OutgoingMail.Kind.CHANGE,
    Letter.UPDATED: OutgoingMail.Kind.CHANGE,
    Letter.WITHDRAWN: OutgoingMail.Kind.CANCEL,
    Letter.CANCELLED: OutgoingMail.Kind.CANCEL,
    Letter.OFFERED: OutgoingMail.Kind.OFFER,
    Letter.LAPSED: OutgoingMail.Kind.CHANGE,
    Letter.MOVED: OutgoingMail.Kind.CANCEL,
}


@transaction.atomic(savepoint=False)
def invite(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> OutgoingMail | None:
    """Tell a new sign-up, which no calendar knows yet: a place, or one on the waiting list.

    Somebody whom nobody can write to is told nothing: then the answer is None, as it is for a day that is over.
    """
    account = sign_up.member.mail_account
    if account is None or sign_up.day.has_ended(now):
        return None
    change = Change.SIGNED_UP if actor == account else Change.ASKED
    entry = _new_entry(sign_up, account, now)
    entry.partstat = partstat_after(change, PartStat.NEEDS_ACTION).value
    return _tell(entry, change, now)


@transaction.atomic
def tell_placed(*, sign_up: SignUp, actor: Account, now: datetime.datetime) -> OutgoingMail | None:
    """Tell that somebody of the waiting list got a place. Whoever was told nothing so far is invited."""
    if sign_up.member.mail_account is None or sign_up.day.has_ended(now):
        return None
    entry = CalendarEntry.objects.filter(sign_up=sign_up).first()
    if entry is None:
        return invite(sign_up=sign_up, actor=actor, now=now)
    return _tell_changes(entry, now, _place(entry))


@transaction.atomic
def tell_day_changed(*, day: WorkDay, now: datetime.datetime) -> list[OutgoingMail]:
    """Tell everyone whose calendar shows something that no longer holds."""
    if day.has_ended(now):
        return []
    entries = list(CalendarEntry.objects.standing(day))
    places = told_places([entry.sign_up for entry in entries])
    mails = [_tell_changes(entry, now, places.get(entry.sign_up_id)) for entry in entries]
    return [mail for mail in mails if mail is not None]


@transaction.atomic
def tell_standing(*, sign_up: SignUp, now: datetime.datetime) -> OutgoingMail | None:
    """Tell somebody of the waiting list that a place is offered, or that the offer has lapsed.

    Somebody whom nobody could write to when they signed up, and who has an account now, is told from here on.
    """
    if sign_up.day.has_ended(now):
        return None
    entry = CalendarEntry.objects.standing(sign_up.day).filter(sign_up=sign_up).first()
    if entry is not None:
        return _tell_changes(entry, now, _place(entry))
    account = sign_up.member.mail_account
    if account is None or sign_up.state != SignUp.State.OFFERED:
        return None
    entry = _new_entry(sign_up, account, now)
    entry.save()  # its key stands in the link of the letter
    return _tell(entry, Change.OFFERED, now)


@transaction.atomic
def tell_withdrawn(*, sign_up: SignUp, now: datetime.datetime) -> OutgoingMail | None:
    """Take the day out of the calendar of somebody who gave up, or lost, their place."""
    entry = CalendarEntry.objects.standing(sign_up.day).filter(sign_up=sign_up).first()
    return None if entry is None or sign_up.day.has_ended(now) else _cancel(entry, Change.WITHDRAWN, now)


@transaction.atomic
def tell_day_cancelled(*, day: WorkDay, now: datetime.datetime) -> list[OutgoingMail]:
    """Take the day out of the calendar of everyone who has it."""
    if day.has_ended(now):
        return []
    return [
        _cancel(entry, Change.CANCELLED, now, reason=day.cancel_reason) for entry in CalendarEntry.objects.standing(day)
    ]


@transaction.atomic
def send_state_again(*, entry: CalendarEntry, now: datetime.datetime) -> OutgoingMail:
    """Tell a calendar that asked how the person stands now; nothing has changed by it."""
    return _tell(_moved_on(entry, Change.RESEND, now), Change.RESEND, now, place=_place(entry))


@transaction.atomic
def follow_address(*, account: Account, now: datetime.datetime) -> list[OutgoingMail]:
    """After an address changed: the days to come leave the old mailbox and come to the new one, under a new UID.

    Receivers offer buttons only to the mailbox that is invited, so an invitation cannot follow its person. Answers to
    the old UID change nothing from now on.
    """
    entries = list(
        CalendarEntry.objects.select_for_update(no_key=True, of=("self",))
        .filter(sign_up__member__in=Member.objects.in_care_of_account(account), cancelled_at=None)
        .filter(sign_up__in=SignUp.objects.active().coming(now))
        .exclude(address__iexact=account.email)
        .select_related(
            "sign_up__member__account", "sign_up__member__guardian__account", "sign_up__day__stand__site__group"
        )
        .order_by("pk")
    )
    mails = []
    for entry in entries:
        mails.append(_cancel(entry, Change.MOVED, now))
        entry.uid, entry.address = new_uid(domain=service_mailbox("").domain), account.email
        entry.sequence, entry.cancelled_at, entry.first_message_id = 0, None, ""
        entry.reply_sequence = entry.reply_dtstamp = None
        mails.append(_tell(entry, Change.RESEND, now, place=_place(entry)))
    return mails


# --- Private ---------------------------------------------------------------------------------------------------------


def _new_entry(sign_up: SignUp, account: Account, now: datetime.datetime) -> CalendarEntry:
    return CalendarEntry(
        sign_up=sign_up,
        uid=new_uid(domain=service_mailbox("").domain),
        organizer_name=sign_up.day.group.name,
        address=account.email,
        sequence=0,
        last_dtstamp=next_dtstamp(now, None),
        partstat=PartStat.NEEDS_ACTION.value,
        marks={},
    )


def _writing_to(entry: CalendarEntry) -> AbstractContextManager[None]:
    return writing_to(entry.sign_up.member.mail_account, entry.sign_up.day.group)


def _place(entry: CalendarEntry) -> OwnPlace | None:
    return told_places([entry.sign_up]).get(entry.sign_up_id)


def _tell_changes(entry: CalendarEntry, now: datetime.datetime, place: OwnPlace | None) -> OutgoingMail | None:
    with _writing_to(entry):
        new = ContentMarks.of(event_of(entry.sign_up, entry, place=place))
    change = change_kind(ContentMarks.stored(entry.marks), new)
    if CONSEQUENCES[change].letter is None:
        return None
    entry.declined_by_mail = False  # whatever is told now, the person is on the day
    return _tell(_moved_on(entry, change, now), change, now, place=place)


def _cancel(entry: CalendarEntry, change: Change, now: datetime.datetime, *, reason: str = "") -> OutgoingMail:
    entry.cancelled_at = now
    return _tell(_moved_on(entry, change, now), change, now, reason=reason)


def _moved_on(entry: CalendarEntry, change: Change, now: datetime.datetime) -> CalendarEntry:
    """The entry with the sequence, stamp and answer of its next message."""
    replied = () if entry.reply_sequence is None else (entry.reply_sequence,)
    entry.sequence = sequence_after(change, entry.sequence, replied=replied)
    entry.last_dtstamp = next_dtstamp(now, entry.last_dtstamp)
    entry.partstat = partstat_after(change, PartStat(entry.partstat)).value
    return entry


def _tell(
    entry: CalendarEntry, change: Change, now: datetime.datetime, *, place: OwnPlace | None = None, reason: str = ""
) -> OutgoingMail:
    """Keep what the message says, and wake the sender after the commit, who writes and sends it."""
    with _writing_to(entry):
        event = event_of(entry.sign_up, entry, place=place, comment=reason)
        draft = draft_of(entry, event, change, place=place, reason=reason)
        mail = _mail(entry, draft, change, now)
    is_first = not entry.first_message_id
    entry.marks = ContentMarks.of(event).as_dict()
    entry.first_message_id = entry.first_message_id or mail.message_id
    entry.save()
    if not is_first:
        OutgoingMail.objects.overtaken(entry.sign_up, now).update(state=OutgoingMail.State.DROPPED)
    mail.save()
    wake("invites.send_due")
    return mail


def _mail(entry: CalendarEntry, draft: Draft, change: Change, now: datetime.datetime) -> OutgoingMail:
    token, domain = uuid.uuid4().hex, draft.event.organizer.domain
    waits_for_morning = change in {Change.OFFERED, Change.LAPSED}
    return OutgoingMail(
        group=entry.sign_up.day.group,
        sign_up=entry.sign_up,
        kind=KINDS[draft.letter],
        to_address=entry.address,
        envelope_from=bounce_address(token, domain=domain),
        subject=render_subject(draft.letter, draft.context)[:SUBJECT_LENGTH],
        message_id=new_message_id(token, domain=domain),
        draft=draft.as_record(),
        created_at=now,
        next_try_at=end_of_quiet_hours(now, entry.sign_up.day.zone_info) if waits_for_morning else now,
    )

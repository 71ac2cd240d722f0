"""Plain mails of the service: questions about an answer, and messages passed on to the organizers."""

import datetime
import uuid

from django.conf import settings
from django.template.loader import render_to_string

from reedcrew.invites.answer_links import Purpose, answer_url
from reedcrew.invites.calendar.rules import Letter
from reedcrew.invites.composing import letter_context, service_mailbox
from reedcrew.invites.letters import Wording, render_letter
from reedcrew.invites.mailbox import Mailbox, bounce_address
from reedcrew.invites.mime import PlainMail, new_message_id
from reedcrew.invites.models import CalendarEntry, IncomingMail, OutgoingMail, RosterMessage
from reedcrew.people.languages import writing_to
from reedcrew.people.models import Group, Member
from reedcrew.people.roles import Role
from reedcrew.web.wake import wake
from reedcrew.workdays.models import SignUp, WorkDay

SUBJECT_LENGTH = 200


def post(
    *,
    group: Group,
    recipient: Mailbox,
    wording: Wording,
    kind: OutgoingMail.Kind,
    now: datetime.datetime,
    sign_up: SignUp | None = None,
    thread: str = "",
    unsubscribe_url: str = "",
    not_before: datetime.datetime | None = None,
    roster_message: RosterMessage | None = None,
) -> OutgoingMail:
    """Put a plain mail to one person into the outbox and wake the sender. ``not_before`` keeps it until then."""
    sender = service_mailbox(group.name)
    token = uuid.uuid4().hex
    mail = PlainMail(
        sender=sender,
        recipient=recipient,
        subject=wording.subject,
        text=wording.text,
        html=wording.html,
        message_id=new_message_id(token, domain=sender.domain),
        date=now,
        thread=thread,
        unsubscribe_url=unsubscribe_url,
    )
    row = OutgoingMail.objects.create(
        group=group,
        sign_up=sign_up,
        roster_message=roster_message,
        kind=kind,
        to_address=recipient.address,
        envelope_from=bounce_address(token, domain=sender.domain),
        subject=wording.subject[:SUBJECT_LENGTH],
        message_id=mail.message_id,
        raw=mail.as_bytes(),
        created_at=now,
        next_try_at=not_before or now,
    )
    wake("invites.send_due")
    return row


def ask_to_confirm(*, entry: CalendarEntry, incoming: IncomingMail, now: datetime.datetime) -> OutgoingMail:
    """Ask the registered address whether the place is really given up."""
    return _about(entry, Letter.CONFIRM, now, answer_url=answer_url(Purpose.CONFIRM, incoming.pk))


def tell_too_late(*, entry: CalendarEntry, now: datetime.datetime) -> OutgoingMail:
    """Tell somebody who accepted that the place was given up, or the day is over."""
    return _about(entry, Letter.TOO_LATE, now)


def pass_on(*, group: Group, incoming: IncomingMail, now: datetime.datetime) -> OutgoingMail:
    """Send what a person wrote to the group's own address, as a fresh mail that tells who wrote it."""
    with writing_to(None, group):
        wording = _wording("passed_on", {"incoming": incoming, "group_name": group.name})
    recipient = Mailbox(address=group.contact_email, name=group.name)
    return post(group=group, recipient=recipient, wording=wording, kind=OutgoingMail.Kind.PASSED_ON, now=now)


def tell_incident(*, day: WorkDay, now: datetime.datetime) -> list[OutgoingMail]:
    """Tell every organizer at once that an incident was written down. What happened is private and in no mail."""
    values: dict[str, object] = {
        "day": day,
        "group_name": day.group.name,
        "url": f"{settings.SITE_URL}{day.get_absolute_url()}",
    }
    organizers = Member.objects.current().filter(group=day.group, role=Role.ORGANIZER, account__is_active=True)
    mails = []
    for organizer in organizers.select_related("account").order_by("pk"):
        if organizer.account is None:
            continue
        with writing_to(organizer.account, day.group):
            wording = _wording("incident", values)
        recipient = Mailbox(address=organizer.account.email, name=organizer.name)
        kind = OutgoingMail.Kind.INCIDENT
        mails.append(post(group=day.group, recipient=recipient, wording=wording, kind=kind, now=now))
    return mails


def _wording(name: str, values: dict[str, object]) -> Wording:
    """A mail that is no letter about a sign-up, in the language that is active."""
    return Wording(
        subject=render_to_string(f"invites/mail/{name}.subject.txt", values).strip(),
        text=render_to_string(f"invites/mail/{name}.txt", values),
        html=render_to_string(f"invites/mail/{name}.html", values),
    )


def _about(entry: CalendarEntry, letter: Letter, now: datetime.datetime, *, answer_url: str = "") -> OutgoingMail:
    group = entry.sign_up.day.group
    with writing_to(entry.sign_up.member.mail_account, group):
        context = letter_context(entry.sign_up)
        context["answer_url"] = answer_url
        wording = render_letter(letter, context)
    return post(
        group=group,
        recipient=Mailbox(address=entry.address, name=entry.sign_up.member.name),
        wording=wording,
        kind=OutgoingMail.Kind.ANSWER,
        now=now,
        sign_up=entry.sign_up,
        thread=entry.first_message_id,
    )

"""What mails and calendars keep of people, and for how long."""

import datetime

from django.db import transaction
from django.db.models import Q

from reedcrew.invites.models import AddressFault, CalendarEntry, FeedAddress, IncomingMail, MailChoice, OutgoingMail
from reedcrew.people.models import Account, Group, Member
from reedcrew.people.retention import months_before
from reedcrew.people.services import erased_address
from reedcrew.trade.policy import Policy


def forget_member(*, member: Member, addresses: frozenset[str], now: datetime.datetime) -> None:
    """Remove what came from an erased member or went to them in their group; what still waits to be sent goes later.

    A waiting mail is the cancellation of a coming day or the like: dropping it would leave the day in their calendar.
    """
    theirs = Q(sign_up__member=member) | Q(to_address__in=sorted(addresses))
    mails = OutgoingMail.objects.of_group(member.group).filter(theirs)
    mails.exclude(state=OutgoingMail.State.WAITING).delete()
    entries = CalendarEntry.objects.filter(sign_up__member=member)
    sent = Q(sender__in=sorted(addresses)) | Q(entry__in=entries)
    IncomingMail.objects.filter(group=member.group).filter(sent).delete()
    entries.update(address=erased_address(member.code), marks={})


def forget_account(*, account: Account, addresses: frozenset[str]) -> None:
    """Remove an erased account's calendar address, its choices, and what is known of its mailboxes."""
    FeedAddress.objects.filter(account=account).delete()
    MailChoice.objects.filter(account=account).delete()
    AddressFault.objects.filter(address__in=sorted(addresses)).delete()
    IncomingMail.objects.filter(group=None, sender__in=sorted(addresses)).delete()


def remove_sent_to_erased(group: Group, policy: Policy, now: datetime.datetime) -> int:
    """Remove the last mails to erased people of a group that do not wait any more; the number removed."""
    last = OutgoingMail.objects.of_group(group).filter(sign_up__member__erased_at__isnull=False)
    removed, _by_model = last.exclude(state=OutgoingMail.State.WAITING).delete()
    return removed


@transaction.atomic
def remove_old_mail(group: Group, policy: Policy, now: datetime.datetime) -> int:
    """Remove mails that went out or came in longer ago than the rule keeps them, and wait for nothing; the number."""
    before = months_before(now, policy.mail_months)
    out = OutgoingMail.objects.of_group(group).filter(created_at__lt=before)
    gone, _by_model = out.exclude(state=OutgoingMail.State.WAITING).delete()
    came, _by_model = IncomingMail.objects.of_group(group).filter(received_at__lt=before).delete()
    return gone + came

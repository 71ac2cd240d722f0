"""Addresses that mail does not reach: when one is marked, and what a mark stops."""

import datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from reedcrew.invites.models import AddressFault
from reedcrew.people.audit import record
from reedcrew.people.models import Account, Group

# A wrong address is marked at once; another lasting refusal only when it comes again so soon (convention).
REPEATED_WITHIN = datetime.timedelta(days=7)
FAULTS_TO_MARK = 2
NO_MAILBOX = "5.1.1"  # RFC 3463 section 3.2: bad destination mailbox address
REFUSED = "5.0.0"  # RFC 3463 section 3.1: other, for a refusal that told no code

MARKED = _("Mail to this address does not arrive")


def note_fault(*, address: str, status: str, reason: str, now: datetime.datetime) -> bool:
    """Keep a lasting refusal of an address; answers whether the address is marked now. ``status`` is of RFC 3463."""
    AddressFault.objects.create(address=address.lower(), status=status[:11], reason=reason[:200], at=now)
    return address.lower() in marked([address])


def marked(addresses: list[str]) -> set[str]:
    """Which of these addresses (in lower case) mail does not reach; one query."""
    found: dict[str, list[AddressFault]] = {}
    for fault in AddressFault.objects.standing().filter(address__in=[each.lower() for each in addresses]):
        found.setdefault(fault.address, []).append(fault)
    return {address for address, faults in found.items() if _marks(faults)}


def is_marked(address: str) -> bool:
    return bool(marked([address]))


@transaction.atomic
def clear(*, group: Group, address: str, actor: Account, now: datetime.datetime) -> None:
    """Take the mark off an address after its owner mended the mailbox: mail is tried again."""
    AddressFault.objects.standing().filter(address=address.lower()).update(cleared_at=now)
    record(group=group, actor=actor, at=now, deed="mark of an address cleared", subject=group)


def _marks(faults: list[AddressFault]) -> bool:
    if any(fault.is_wrong_address for fault in faults):
        return True
    times = sorted(fault.at for fault in faults)
    return any(
        later - earlier <= REPEATED_WITHIN for earlier, later in zip(times, times[FAULTS_TO_MARK - 1 :], strict=False)
    )

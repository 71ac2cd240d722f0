"""Which mails a person wants. What safety or a place depends on is no choice: it always goes."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.conf import settings
from django.core import signing
from django.db import transaction
from django.urls import reverse

from reedcrew.invites.models import MailChoice
from reedcrew.people.models import Account

SALT = "invites.unsubscribe"


@dataclass(frozen=True, slots=True, kw_only=True)
class Subscription:
    """Whose mail of which kind an unsubscribe link ends."""

    account: Account
    kind: MailChoice.Kind


def wanted_by(account: Account) -> dict[MailChoice.Kind, bool]:
    """Every kind of mail that can be turned off, and whether the person wants it."""
    chosen = dict(MailChoice.objects.filter(account=account).values_list("kind", "wanted"))
    return {kind: chosen.get(kind.value, True) for kind in MailChoice.Kind}


def unwanted(kind: MailChoice.Kind, accounts: Iterable[Account]) -> set[int]:
    """The keys of the accounts that turned a kind off; one query."""
    refused = MailChoice.objects.filter(kind=kind.value, wanted=False, account__in=list(accounts))
    return set(refused.values_list("account", flat=True))


@transaction.atomic
def choose(*, account: Account, kind: MailChoice.Kind, wanted: bool, now: datetime.datetime) -> None:
    """Turn a kind of mail off or on; the same choice again changes nothing."""
    MailChoice.objects.update_or_create(
        account=account, kind=kind.value, defaults={"wanted": wanted, "changed_at": now}
    )


def unsubscribe_url(account: Account, kind: MailChoice.Kind) -> str:
    """The absolute address that ends one kind of mail with one press (RFC 8058); it never expires."""
    token = signing.dumps([account.pk, kind.value], salt=SALT, compress=True)
    return f"{settings.SITE_URL}{reverse('invites:unsubscribe', args=[token])}"


def read_unsubscribe(token: str) -> Subscription | None:
    """What an unsubscribe address ends; None for one that is forged or whose account is gone."""
    try:
        pk, kind = signing.loads(token, salt=SALT)
        account = Account.objects.filter(pk=pk).first()
        return None if account is None else Subscription(account=account, kind=MailChoice.Kind(kind))
    except (signing.BadSignature, ValueError, TypeError):
        return None

"""Accounts: one for each address that somebody signs in with or is invited by."""

import datetime

from allauth.account.models import EmailAddress
from allauth.account.utils import filter_users_by_email
from django.db import IntegrityError, transaction

from reedcrew.people.models import Account, Units


def account_for(*, email: str, now: datetime.datetime) -> Account:
    """The account of an address, made on the way when there is none; also an account that may not sign in.

    An address that somebody has proved to be theirs wins over one that is merely written in an account. A new account
    is harmless until its mailbox is read: signing in needs the code that is mailed there.
    """
    address = email.strip().lower()
    account = _found(address) or _made(address, now)
    # Without its row of addresses allauth would ask a first-time visitor for a second code.
    EmailAddress.objects.get_or_create(user=account, email=address, defaults={"primary": True, "verified": False})
    return account


def choose_language(*, account: Account, language: str) -> None:
    """Keep one of settings.LANGUAGES as the account's own: for its pages, and for letters to it."""
    Account.objects.filter(pk=account.pk).update(language=language)


def choose_units(*, account: Account, units: Units) -> None:
    """Keep the units in which the account reads amounts, on its pages and in letters to it."""
    Account.objects.filter(pk=account.pk).update(units=units)


def _found(address: str) -> Account | None:
    found: list[Account] = filter_users_by_email(address, prefer_verified=True)
    return found[0] if found else None


def _made(address: str, now: datetime.datetime) -> Account:
    try:
        with transaction.atomic():
            return Account.objects.create_user(address, created_at=now)
    except IntegrityError:  # somebody else made it in this moment
        return Account.objects.get_by_natural_key(address)

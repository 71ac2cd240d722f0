"""What whoever guards an installation watches: sign-ins, failures, refusals, changes of who may do what.

Lines go to the logger ``reedcrew.security`` and name rows by their keys only: no name, no address, no network address.
"""

import logging
from typing import Any

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.db import transaction
from django.http import HttpRequest

from reedcrew.people.models import Account

logger = logging.getLogger("reedcrew.security")

# Deeds of the audit record that change who may do what; each is logged once its transaction holds.
WATCHED_DEEDS = frozenset(
    {
        *("group founded", "member joined", "member left", "member erased", "standing changed", "rule changed"),
        *("token made", "token revoked", "webhook added", "webhook secret renewed", "webhook removed"),
    }
)


def note(event: str, level: int = logging.INFO, /, **keys: object) -> None:
    """Write one line: what happened, and the keys of the rows it happened to. Call it with keys and words of ours."""
    told = {name: value for name, value in keys.items() if value is not None}
    words = " ".join(f"{name}={value}" for name, value in told.items())
    logger.log(level, "%s %s", event, words, extra={"fields": {"event": event, **told}})


def note_deed(*, deed: str, group: int, actor: int | None, subject: str) -> None:
    """Write a line for a deed of the audit record, once the transaction holds."""
    if deed in WATCHED_DEEDS:
        transaction.on_commit(lambda: note(deed, group=group, actor=actor, subject=subject))


# --- Receivers of what Django and allauth tell ----------------------------------------------------------------------
def on_signed_in(sender: object, *, user: Account, **said: Any) -> None:
    note("signed in", account=user.pk)


def on_signed_out(sender: object, *, user: Account | None, **said: Any) -> None:
    note("signed out", account=user.pk if user else None)


def on_address_changed(sender: object, *, user: Account, to_email_address: EmailAddress, **said: Any) -> None:
    note("address changed", account=user.pk, address=to_email_address.pk)


def on_authenticator_added(sender: object, *, user: Account, authenticator: Authenticator, **said: Any) -> None:
    note("second step added", account=user.pk, kind=authenticator.type)


def on_authenticator_removed(sender: object, *, user: Account, authenticator: Authenticator, **said: Any) -> None:
    note("second step removed", logging.WARNING, account=user.pk, kind=authenticator.type)


def note_refused(request: HttpRequest, *, group: int, deed: str) -> None:
    """Somebody asked for what their role may not."""
    note("refused", logging.WARNING, account=request.user.pk, group=group, deed=deed)


def note_absent(request: HttpRequest) -> None:
    """Somebody asked for a page of a group that is not theirs, or is not at all."""
    note("no such group for this account", logging.WARNING, account=request.user.pk)

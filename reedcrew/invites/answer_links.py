"""Links in mails that let a person answer without signing in: signed, for one purpose and one row, for some weeks."""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from django.conf import settings
from django.core import signing
from django.urls import reverse

VALID_FOR = timedelta(days=60)
SALT = "invites.answer"


class Purpose(StrEnum):
    """What a link lets its holder do."""

    OFFER = "offer"  # take the place that is offered, or let it go; of a calendar entry
    UNDO = "undo"  # take back a place that a calendar's answer gave up; of a calendar entry
    CONFIRM = "confirm"  # confirm that the place is given up; of an incoming mail


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLink:
    """What a link was made for: the purpose and the key of its row."""

    purpose: Purpose
    pk: int


def answer_url(purpose: Purpose, pk: int) -> str:
    """The absolute address of the page behind the link. The page acts on a press only, never when it is opened."""
    token = signing.dumps([purpose.value, pk], salt=SALT, compress=True)
    return f"{settings.SITE_URL}{reverse('invites:answer', args=[token])}"


def read_link(token: str) -> AnswerLink | None:
    """What a link was made for; None for one that is forged or too old."""
    try:
        purpose, pk = signing.loads(token, salt=SALT, max_age=VALID_FOR)
        return AnswerLink(purpose=Purpose(purpose), pk=int(pk))
    except (signing.BadSignature, ValueError, TypeError):
        return None

"""What the pages of the outbox show: the words of a mail, and how many there are in each state."""

from dataclasses import dataclass
from email import message_from_bytes, policy

from reedcrew.invites import drafts
from reedcrew.invites.models import OutgoingMail
from reedcrew.web.logs import masked


def words_of(mail: OutgoingMail) -> str:
    """The plain text of a mail as it is sent. Links that act for the receiver are masked: others read this page."""
    if mail.draft is not None:
        return masked(drafts.words_of(mail.draft).text)
    body = message_from_bytes(bytes(mail.raw), policy=policy.default).get_body(("plain",))
    return masked(body.get_content()) if body is not None else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StateLine:
    """A state of the outbox with the number of its mails; ``chosen`` where the page shows only these."""

    value: str
    label: str
    number: int
    chosen: bool


def states_of(numbers: dict[str, int], chosen: str) -> list[StateLine]:
    """Every state in which there is a mail, the chosen one besides."""
    return [
        StateLine(value=value, label=str(label), number=numbers.get(value, 0), chosen=value == chosen)
        for value, label in OutgoingMail.State.choices
        if numbers.get(value) or value == chosen
    ]

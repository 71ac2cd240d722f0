"""Mail addresses and names, checked once here, so that nothing typed can bend a header or a calendar property."""

import re
from dataclasses import dataclass
from urllib.parse import quote, unquote

from reedcrew.invites.plaintext import one_line
from reedcrew.web.addresses import AddressError, mail_address

NAME_LENGTH = 80  # characters kept of a display name; longer ones help nobody in a list of senders

BOUNCE_PREFIX = "bounce+"

# What a mailto address may hold unescaped besides letters, digits and "-._~" (RFC 6068 section 2, some-delims and
# sub-delims less those that section 2 tells to escape).
_MAILTO_SAFE = "!$'*+@"
_NO_NAME_SIGNS = str.maketrans({'"': "'", "^": None, "\\": None})
_TOKEN = re.compile(r"[a-z0-9]{8,48}")  # lower case only: servers on the way may fold the case of a local part


def clean_name(value: str) -> str:
    """A display name safe as CN parameter and as mail phrase: one line, no double quote, at most 80 characters.

    RFC 5545 section 3.2 knows no way to write a double quote there, and RFC 6868 section 3 does it with a caret,
    which not every receiver decodes. So the quote becomes a single one and the caret goes; the backslash goes too,
    since some receivers take it for an escape.
    """
    return one_line(value.translate(_NO_NAME_SIGNS))[:NAME_LENGTH].rstrip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mailbox:
    """An address with the name people know it by; ``name`` may be empty. Raises AddressError for a bad address."""

    address: str
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "address", mail_address(self.address))
        object.__setattr__(self, "name", clean_name(self.name))

    @property
    def domain(self) -> str:
        """The part after the @, in lower case."""
        return self.address.rpartition("@")[2]

    def is_same_as(self, other: "Mailbox") -> bool:
        """Whether both name the same mailbox; upper and lower case count as the same, as all large providers do."""
        return self.address.lower() == other.address.lower()


def mailto(address: str) -> str:
    """``address`` as the value of ORGANIZER or ATTENDEE: a mailto URI (RFC 5545 section 3.3.3, RFC 6068 section 2)."""
    return f"mailto:{quote(mail_address(address), safe=_MAILTO_SAFE)}"


def address_of_mailto(uri: str) -> str:
    """The address in a mailto URI that somebody sent; scheme and domain in any case (RFC 3986 section 6.2.2.1).

    Raises AddressError when it is no mailto URI of one address.
    """
    scheme, colon, rest = uri.strip().partition(":")
    if not colon or scheme.lower() != "mailto":
        raise AddressError(f"Not a mailto address: {uri!r}.")
    return mail_address(unquote(rest.partition("?")[0]))


def bounce_address(token: str, *, domain: str) -> str:
    """The envelope sender whose bounces name their mail: ``bounce+<token>@domain`` (a variable envelope return path).

    ``token`` is 8 to 48 of a-z and 0-9; ``domain`` is that of the header From, so that SPF aligns under DMARC
    (RFC 7489 section 3.1.2, from memory). Raises ValueError for another token, AddressError for a bad domain.
    """
    if not _TOKEN.fullmatch(token):
        raise ValueError("A bounce token is 8 to 48 of a-z and 0-9.")
    return mail_address(f"{BOUNCE_PREFIX}{token}@{domain}")


def bounce_token(address: str) -> str | None:
    """The token in an envelope recipient that ``bounce_address`` made, or None when it is another address."""
    local = address.rpartition("@")[0].lower()
    token = local.removeprefix(BOUNCE_PREFIX)
    return token if token != local and _TOKEN.fullmatch(token) else None

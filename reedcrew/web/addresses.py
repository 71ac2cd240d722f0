"""Which mail addresses can be written to: one rule for forms and for messages."""

import re

LOCAL_PART_OCTETS = 64  # RFC 5321 section 4.5.3.1.1, from memory
DOMAIN_OCTETS = 255  # RFC 5321 section 4.5.3.1.2, from memory
ADDRESS_LENGTH = 254  # RFC 5321 section 4.5.3.1.3 less the angle brackets (from memory); also of Django's columns

# RFC 5322 section 3.2.3: a dot-atom. Quoted local parts are legal, but no mail service of today hands them out.
_DOT_ATOM = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*")
_LABEL = re.compile(r"[A-Za-z0-9]([A-Za-z0-9-]{0,61}[A-Za-z0-9])?")  # RFC 1123 section 2.1


class AddressError(ValueError):
    """The text is no mail address that mail can be sent to. The message names the fault."""


def mail_address(value: str) -> str:
    """``value`` as an ASCII address ``local@domain``, the domain in lower case and, if needed, in its xn-- form.

    Raises AddressError for anything but a dot-atom local part of at most 64 octets and a valid domain.
    Source: RFC 5322 section 3.4.1, RFC 5321 section 4.5.3.1, RFC 5890 section 2.3.2.1.
    """
    local, at, domain = value.rpartition("@")
    if not at:
        raise AddressError(f"A mail address holds one @: {value!r}.")
    if len(local) > LOCAL_PART_OCTETS or not _DOT_ATOM.fullmatch(local):
        raise AddressError(f"The part before the @ is not usable: {value!r}.")
    try:
        ascii_domain = domain.encode("idna").decode("ascii").lower()
    except UnicodeError as fault:
        raise AddressError(f"The domain is not usable: {value!r}.") from fault
    labels = ascii_domain.split(".")
    if len(ascii_domain) > DOMAIN_OCTETS or not all(_LABEL.fullmatch(label) for label in labels):
        raise AddressError(f"The domain is not usable: {value!r}.")
    return f"{local}@{ascii_domain}"

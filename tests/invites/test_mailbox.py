"""Addresses and names: what is taken, what is refused, and what comes back from the other side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedcrew.invites.mailbox import (
    NAME_LENGTH,
    Mailbox,
    address_of_mailto,
    bounce_address,
    bounce_token,
    clean_name,
    mailto,
)
from reedcrew.web.addresses import AddressError, mail_address


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("ann@neighbour.example", "ann@neighbour.example"),
        ("Ann.Reed+crew@Neighbour.EXAMPLE", "Ann.Reed+crew@neighbour.example"),
        ("ann@mühle.example", "ann@xn--mhle-0ra.example"),  # RFC 3492: the xn-- form; checked with another encoder
        ("o'neil@neighbour.example", "o'neil@neighbour.example"),
        ("ann@localhost", "ann@localhost"),
    ],
)
def test_an_address_is_taken_in_its_ascii_form(typed: str, address: str) -> None:
    assert mail_address(typed) == address


@pytest.mark.parametrize(
    "typed",
    [
        *("", "ann", "@neighbour.example", "ann@", "a@b@neighbour.example", ".ann@neighbour.example"),
        *(
            "ann..reed@neighbour.example",
            "ann reed@neighbour.example",
            "ann@neigh bour.example",
            '"ann"@neighbour.example',
        ),
        *("änn@neighbour.example", "ann@-neighbour.example", "ann@neighbour..example", "ann@neighbour.example."),
        *("ann@neighbour.example\r\nBcc: x@y.example", "ann\n@neighbour.example", "ann@neighbour.example,x@y.example"),
        *(
            "<ann@neighbour.example>",
            "ann@[127.0.0.1]",
            "a" * 65 + "@neighbour.example",
            "ann@" + "a" * 64 + ".example",
        ),
        "ann@" + "abcdefg." * 40 + "example",
    ],
)
def test_what_is_no_plain_address_is_refused(typed: str) -> None:
    with pytest.raises(AddressError):
        mail_address(typed)
    with pytest.raises(AddressError):
        Mailbox(address=typed)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("  Ann \t Reed ", "Ann Reed"),
        ('Ann "The Reed"', "Ann 'The Reed'"),
        ("Ann\r\nBcc: x@y.example", "Ann Bcc: x@y.example"),
        ("Änn\x00\x7f\x85 Ó\u2028Neil", "Änn ÓNeil".replace("ÓNeil", "Ó Neil")),
        ("x" * 200, "x" * NAME_LENGTH),
        ("\ud800Ann", "Ann"),
        ("^nAnn^'^\\N", "nAnn'N"),
    ],
)
def test_a_name_is_one_short_line_without_double_quotes(typed: str, name: str) -> None:
    assert clean_name(typed) == name


def test_two_spellings_of_one_mailbox_are_the_same() -> None:
    first = Mailbox(address="Ann@neighbour.example", name="Ann")
    assert first.is_same_as(Mailbox(address="ann@NEIGHBOUR.example"))
    assert not first.is_same_as(Mailbox(address="bo@neighbour.example"))
    assert first.domain == "neighbour.example"


@pytest.mark.parametrize(
    ("address", "uri"),
    [
        ("ann@neighbour.example", "mailto:ann@neighbour.example"),
        ("ann+crew@neighbour.example", "mailto:ann+crew@neighbour.example"),
        # RFC 6068 section 2, item 1: percent, slash, question mark, equals sign and ampersand are escaped.
        ("a%b/c?d=e&f@neighbour.example", "mailto:a%25b%2Fc%3Fd%3De%26f@neighbour.example"),
    ],
)
def test_a_mailto_address_goes_out_and_comes_back(address: str, uri: str) -> None:
    assert mailto(address) == uri
    assert address_of_mailto(uri) == address


@given(st.from_regex(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]{1,40}", fullmatch=True))
def test_every_local_part_survives_the_way_through_a_mailto_address(local: str) -> None:
    assert address_of_mailto(mailto(f"{local}@neighbour.example")) == f"{local}@neighbour.example"


def test_a_mailto_address_is_read_in_any_case_and_without_its_headers() -> None:
    # RFC 3986 section 3.1: schemes are case-insensitive. RFC 6068 section 2: header fields follow the question mark.
    assert address_of_mailto(" MAILTO:Ann@Neighbour.EXAMPLE?subject=x ") == "Ann@neighbour.example"


@pytest.mark.parametrize("uri", ["", "ann@neighbour.example", "https://neighbour.example", "mailto:", "mailto:ann"])
def test_what_is_no_mailto_address_is_refused(uri: str) -> None:
    with pytest.raises(AddressError):
        address_of_mailto(uri)


def test_a_bounce_finds_its_token() -> None:
    sender = bounce_address("k7f3a9c2d1e4", domain="reedcrew.example")
    assert sender == "bounce+k7f3a9c2d1e4@reedcrew.example"
    assert bounce_token(sender) == "k7f3a9c2d1e4"
    assert bounce_token("Bounce+K7F3A9C2D1E4@reedcrew.example") == "k7f3a9c2d1e4"  # servers may fold the case


@pytest.mark.parametrize("token", ["", "short", "has space1", "UPPERCASE1", "a" * 49, "abc\r\nRCPT", "abcdefgh+i"])
def test_a_bounce_token_is_plain_and_fits_a_local_part(token: str) -> None:
    with pytest.raises(ValueError, match="token"):
        bounce_address(token, domain="reedcrew.example")


def test_the_longest_bounce_address_still_fits() -> None:
    local = bounce_address("a" * 48, domain="reedcrew.example").partition("@")[0]
    assert len(local) <= 64  # RFC 5321 section 4.5.3.1.1


@pytest.mark.parametrize(
    "address", ["days@reedcrew.example", "bounce@reedcrew.example", "bounce+@x.example", "", "a@b@c"]
)
def test_another_recipient_has_no_bounce_token(address: str) -> None:
    assert bounce_token(address) is None

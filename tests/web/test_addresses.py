"""A form takes no address that a message could not be sent to; what the rule itself takes is tested with messages."""

import pytest
from django.core.exceptions import ValidationError

from reedcrew.web.addresses import ADDRESS_LENGTH
from reedcrew.web.forms import AddressField

LABELS = ".".join("b" * 60 for _i in range(4))


@pytest.mark.parametrize(
    "address",
    [
        '"quoted part"@example.org',  # legal by RFC 5322, but no calendar message can name it
        f"{'a' * 65}@example.org",
        f"{'a' * 64}@{LABELS}.org",
        "two@example.org, other@example.org",
        "line@example.org\r\nBcc: other@example.org",
        "nul\x00@example.org",
    ],
)
def test_an_address_that_no_message_reaches_is_asked_back(address):
    with pytest.raises(ValidationError):
        AddressField().clean(address)


@pytest.mark.parametrize("address", ["ann+reed@example.org", "ann@b\u00fccher.example"])
def test_an_address_is_kept_as_it_was_written(address):
    assert AddressField().clean(address) == address


def test_an_empty_address_is_none_where_none_is_asked_for():
    assert AddressField(required=False).clean("") == ""


def test_no_longer_address_than_a_column_holds_is_taken():
    assert AddressField().max_length == ADDRESS_LENGTH == 254  # RFC 5321 section 4.5.3.1.3

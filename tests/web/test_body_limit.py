"""A body larger than any form of the site is refused before a byte of it is read."""

import pytest
from django.conf import settings as site


class Unread:
    """A body of which nobody may read a byte."""

    def read(self, *_size):
        raise AssertionError("the body was read")

    readline = read


def send(client, length):
    return client.generic("POST", "/accounts/login/code/", CONTENT_LENGTH=length, **{"wsgi.input": Unread()})


@pytest.mark.parametrize("length", [str(2**20 + 1), "-1", "many"])
def test_strangers_send_forms_and_no_files(client, length):
    answer = send(client, length)
    assert answer.status_code == 413
    assert "at most 1 MB" in answer.text
    assert answer["Connection"] == "close"


def test_who_may_be_signed_in_may_send_a_form_full_of_photos_and_no_more(client):
    client.cookies[site.SESSION_COOKIE_NAME] = "somebody"
    answer = send(client, str(121 * 2**20 + 1))
    assert answer.status_code == 413
    assert "at most 121 MB" in answer.text

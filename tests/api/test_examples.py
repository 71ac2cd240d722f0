"""The page of the API shows what programs really ask and get: each example on it is asked here.

After a wanted change of an answer, REEDCREW_WRITE_EXAMPLES=1 in front of the test writes the answers anew: read them.
"""

import html
import json
import os
import re
import shlex

import pytest
import time_machine

from reedcrew.api import examples
from reedcrew.api.examples.check_message import LATEST_S, is_from_reedcrew
from reedcrew.api.models import Delivery, Event
from reedcrew.api.services import tell
from reedcrew.api.signing import signature, signed_headers
from tests.api.rows import make_bay, make_token, make_webhook, program
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_the_moment_of_the_rows():
    with time_machine.travel(NOW, tick=False):
        yield


def shown(client):
    """The blocks of text on the page: question and answer of each example, then a message and how to check it."""
    page = client.get("/api/")
    assert page.status_code == 200
    return [html.unescape(block) for block in re.findall(r"<pre><code>(.*?)</code></pre>", page.text, re.DOTALL)]


def stored(name, answer):
    """What an example's file holds, which is the answer where it is to be written anew."""
    if "REEDCREW_WRITE_EXAMPLES" in os.environ:
        (examples.FOLDER / name).write_text(json.dumps(answer, ensure_ascii=False, indent=1) + "\n")
    return json.loads((examples.FOLDER / name).read_text())


def test_every_example_on_the_page_is_answered_as_it_says(client):
    bay = make_bay()
    blocks = shown(client)
    for number, example in enumerate(examples.EXAMPLES):
        _token, secret = make_token(bay.organizer, *example.scopes, number=number)
        command, url, *options = shlex.split(blocks[2 * number].replace("\\\n", " ").replace("$TOKEN", secret))
        assert (command, options) == ("curl", ["-H", f"Authorization: Bearer {secret}"])
        answer = program(secret).get(url.removeprefix("http://127.0.0.1:8000"))
        said = answer.json()
        assert stored(example.file, said) == said, example.file
        assert answer.status_code == (200 if example.is_answered else 400)
    answers = [json.loads(block) for block in shown(client)[1 : 2 * len(examples.EXAMPLES) : 2]]
    assert answers == [json.loads(example.answer) for example in examples.EXAMPLES]


def test_the_message_on_the_page_is_one_that_is_sent(client):
    bay = make_bay()
    make_webhook(bay.group, "https://crew.example.org/reedcrew")
    tell(day=bay.closed, event=Event.DAY_CLOSED, now=NOW)
    sent = json.loads(Delivery.objects.get().body)
    sent["message"] = "5b0e7c1e-7c44-4b60-9a53-2f3d0c9e8a11"
    assert stored(examples.MESSAGE, sent) == sent
    assert json.loads(shown(client)[-2]) == sent
    assert not [name for name in ("Ash", "Fern", "4KQ7MX2P") if name in json.dumps(sent)]


def test_the_check_on_the_page_knows_our_messages(client):
    assert shown(client)[-1] == (examples.FOLDER / examples.CHECK).read_text().strip()
    body, secret = '{"event": "day.posted", "title": "Été"}'.encode(), "hook_first"
    headers = signed_headers(secrets=["hook_second", secret], now=NOW, body=body)
    at = NOW.timestamp()
    assert is_from_reedcrew(secret, headers, body, at)
    assert is_from_reedcrew("hook_second", headers, body, at + LATEST_S)
    assert not is_from_reedcrew("hook_third", headers, body, at)
    assert not is_from_reedcrew(secret, headers, body + b" ", at)
    assert not is_from_reedcrew(secret, headers, body, at + LATEST_S + 1)
    assert not is_from_reedcrew(secret, {**headers, "Reedcrew-Sent-At": str(int(at) + 1)}, body, at)
    assert not is_from_reedcrew(secret, {}, body, at)


def test_a_signature_is_one_that_another_program_works_out():
    # printf '1786363200.{}' | openssl dgst -sha256 -hmac Jefe
    told = "362031fe93bf0bcbfa4a4e85ab65473bdc0f2324e63823f636f2a340358bfd8e"
    assert signature("Jefe", "1786363200", b"{}") == told

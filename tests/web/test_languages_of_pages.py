"""The main pages of each role in French and Spanish: shown in that language, with no English left over."""

import logging
import re
from collections.abc import Iterator

import pytest
import time_machine
from django.urls import reverse

from reedcrew.people.roles import Role
from tests.factories import NOW, account_of
from tests.walk.reader import Reader
from tests.walk.rows import World, make_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]

OF_EVERYBODY = ["people:group", "workdays:days", "stands:stands", "stands:map"]
OF_A_DAY = ["workdays:day", "workdays:roster", "crews:plan", "crews:gear_list", "crews:weather", "fieldbook:water"]
MAIN_PAGES = {
    Role.VOLUNTEER: [*OF_EVERYBODY, "workdays:day"],
    Role.CREW_LEAD: [*OF_EVERYBODY, *OF_A_DAY],
    Role.ORGANIZER: [*OF_EVERYBODY, *OF_A_DAY, "people:members", "people:rules", "stock:stock", "stock:care"],
    Role.COORDINATOR: ["people:group", "grants:hours", "grants:grants", "grants:season"],
}
# English words that no sentence in French or Spanish has, and that nearly every English one has.
ENGLISH = re.compile(r"\b(?:the|and|with|this|that|nobody|everyone|which|your|from|work day|stand)\b", re.IGNORECASE)
NOT_READ = re.compile(r"<(script|style)\b.*?</\1>|<[^>]*>", re.DOTALL)
# What the rows of the walk say themselves, and the names of people's sources, stays as it was written.
WRITTEN = re.compile(
    r"Morning at the reed|the dry bank|Stand \d+|The next group|The test says so\.|at the boat landing"
)


@pytest.fixture
def world(settings) -> Iterator[World]:
    settings.USERSESSIONS_TRACK_ACTIVITY = False
    logging.disable(logging.CRITICAL)
    with time_machine.travel(NOW, tick=False):
        yield make_world()
    logging.disable(logging.NOTSET)


def addresses(world: World, role: Role) -> list[str]:
    slug = world.group.slug
    of_day = {name: reverse(name, args=[slug, world.day.pk]) for name in MAIN_PAGES[role] if name in OF_A_DAY}
    return ["/", "/me/", *(of_day.get(name) or reverse(name, args=[slug]) for name in MAIN_PAGES[role])]


@pytest.mark.parametrize("language", ["fr", "es"])
def test_the_main_pages_of_each_role_speak_the_readers_language(world: World, language: str) -> None:
    found = []
    for role in MAIN_PAGES:
        account = account_of(world.readers[role])
        account.language = language
        account.save()
        reader = Reader(account)
        for url in addresses(world, role):
            answer = reader.ask(url, "GET")
            assert answer.status_code == 200, f"{role} {url}"
            assert answer["Content-Language"] == language
            assert f'<html lang="{language}">' in answer.text
            words = WRITTEN.sub("", NOT_READ.sub(" ", answer.text))
            found += [
                f"{role} {url}: …{words[max(at.start() - 40, 0) : at.end() + 40]}…" for at in ENGLISH.finditer(words)
            ]
    assert found == []

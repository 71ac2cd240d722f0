"""Help on every rule: nothing without it, no link that leads nowhere, no second copy of a number."""

import dataclasses
import re
from html.parser import HTMLParser

import pytest
from django.urls import reverse
from django.utils.translation import override

from reedcrew.help.finding import BY_POLICY, place_of, places
from reedcrew.help.glossary import GLOSSARY
from reedcrew.help.queries import words_in_order
from reedcrew.help.topics import TOPICS
from reedcrew.people.policy import change_policy
from reedcrew.trade.policy import Policy
from reedcrew.trade.reasons import SENTENCES
from reedcrew.web.cautions import CAUTIONS
from reedcrew.web.errors import ReedcrewError
from tests.factories import NOW, account_of, make_group, make_member
from tests.web.elements import rendered

# Codes whose sentence says all: what is wrong with a typed outline, or with a file of the plan contract.
SAYS_ALL = ("outline", "corners", "point", "input")


def refusal_codes() -> set[str]:
    found, left = set(), [ReedcrewError]
    while left:
        left += (kind := left.pop()).__subclasses__()
        found.add(kind.code)
    return found


def pages() -> list[str]:
    return [reverse("help:index"), reverse("help:words"), *(topic.get_absolute_url() for topic in TOPICS)]


class Anchors(HTMLParser):
    """The ids of a page and the addresses that it links to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids += [given["id"] or ""] if "id" in given else []
        self.links += [given["href"] or ""] if tag == "a" else []


def test_every_reason_of_the_trade_has_help() -> None:
    assert [code for code in SENTENCES if place_of(code) is None and code.split(".")[0] not in SAYS_ALL] == []


def test_every_hard_rule_has_a_section_of_its_own() -> None:
    rules = {code.split(".")[0] for code in SENTENCES if re.match(r"H\d", code)} | {"H8"}
    assert rules == {f"H{number}" for number in range(1, 12)}
    for rule in rules:
        place = place_of(rule)
        assert place is not None
        assert place.get_absolute_url() == f"/help/rules/#{rule}"


def test_every_value_that_a_group_may_change_has_help() -> None:
    assert set(BY_POLICY) == {field.name for field in dataclasses.fields(Policy)}


def test_every_code_that_help_names_is_given_by_something() -> None:
    given = refusal_codes() | {code[:end] for code in SENTENCES for end in points(code)}
    assert [code for place in places() for code in place.section.codes if code not in given] == []


def points(code: str) -> list[int]:
    return [*(found.start() for found in re.finditer(r"\.", code)), len(code)]


def test_no_code_leads_to_two_places() -> None:
    codes = [code for place in places() for code in place.section.codes]
    assert len(codes) == len(set(codes))


@pytest.mark.django_db
def test_every_link_within_the_help_leads_to_an_anchor_that_is_there(client) -> None:
    read = {url: Anchors(client.get(url).content.decode()) for url in pages()}
    for url, page in read.items():
        assert len(page.ids) == len(set(page.ids)), url
        for link in page.links:
            target, _mark, anchor = link.partition("#")
            if (target or url) in read and anchor:
                assert anchor in read[target or url].ids, f"{url} links to {link}"
            elif target.startswith("/help/"):
                assert target in read, f"{url} links to {link}"


@pytest.mark.django_db
def test_every_code_leads_to_an_anchor_that_is_there(client) -> None:
    ids = {
        topic.get_absolute_url(): Anchors(client.get(topic.get_absolute_url()).content.decode()).ids for topic in TOPICS
    }
    for place in places():
        url, _mark, anchor = place.get_absolute_url().partition("#")
        assert anchor in ids[url]


def test_help_where_work_can_hurt_shows_the_caution() -> None:
    kinds = {topic.slug: set(topic.cautions) for topic in TOPICS}
    assert set().union(*kinds.values()) == set(CAUTIONS)
    assert {"water", "minors"} <= kinds["rules"]
    assert {"heat", "cold"} <= kinds["weather"]
    assert "blades" in kinds["cutting"]
    assert "bleach" in kinds["cleaning"]
    assert "burning" in kinds["disposal"]


def test_words_are_in_order_and_each_has_its_own_anchor() -> None:
    words = [str(word.word) for word in GLOSSARY]
    assert words == sorted(words)
    assert len({word.anchor for word in GLOSSARY}) == len(GLOSSARY)


def test_words_stand_in_the_order_of_the_reader_s_language() -> None:
    with override("fr"):
        shown = [str(word.word) for word in words_in_order()]
    assert sorted(shown) != sorted(str(word.word) for word in GLOSSARY)  # another language
    assert shown.index("échelle") < shown.index("faucille à main")  # not after z, where its code point stands


@pytest.mark.django_db
def test_reader_sees_the_values_of_their_own_groups_and_of_no_other(client, django_assert_num_queries) -> None:
    mine, other = make_group(name="Alder Reach"), make_group(name="Birch Sound")
    me = account_of(make_member(mine))
    change_policy(group=mine, actor=me, now=NOW, sun_days=21)
    change_policy(group=other, actor=me, now=NOW, sun_days=30)
    assert b"Alder Reach" not in client.get("/help/disposal/").content
    client.force_login(me)
    page = client.get("/help/disposal/").content.decode()
    assert "14 days by default" in page
    assert "21 days" in page
    assert "30 days" not in page


@pytest.mark.django_db
def test_page_asks_as_much_for_two_groups_as_for_one(client, django_assert_max_num_queries) -> None:
    me = account_of(make_member(make_group(name="Alder Reach")))
    client.force_login(me)
    client.get("/help/rules/")
    with django_assert_max_num_queries(50) as one:
        client.get("/help/rules/")
    make_member(make_group(name="Birch Sound"), account=me)
    with django_assert_max_num_queries(len(one)):
        assert b"Birch Sound" in client.get("/help/rules/").content


def test_code_of_a_reason_is_a_link_to_its_help() -> None:
    page = rendered("{% reasons lines %}", lines=[{"code": "H5.waders_taken", "text": "All are given to others."}])
    assert 'href="/help/rules/#H5"' in page


def test_reason_without_its_code_has_a_mark_that_leads_to_help_once() -> None:
    lines = [{"code": "gear.chest_waders", "text": "Waders."}, {"code": "gear.life_jacket", "text": "Jackets."}]
    assert rendered("{% reasons lines codes=False %}", lines=lines).count('href="/help/rules/#H5"') == 1


def test_code_without_help_is_no_link() -> None:
    assert "<a" not in rendered("{% reasons lines %}", lines=[{"code": "outline.long", "text": "Too long."}])


@pytest.mark.django_db
def test_help_that_does_not_exist_is_not_found(client) -> None:
    assert client.get("/help/nothing/").status_code == 404

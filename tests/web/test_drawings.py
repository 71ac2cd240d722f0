"""Drawings: each has its words and its file, and takes its colours from the page by their names."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.contrib.staticfiles import finders
from django.template import TemplateSyntaxError

from reedcrew.web.drawings import DRAWINGS, HEIGHT, WIDTH
from tests.web.elements import rendered

SVG = "{http://www.w3.org/2000/svg}"


def file_of(name: str) -> Path:
    return Path(str(finders.find(f"web/{name}")))


def test_every_drawing_has_its_words_and_every_file_is_one_of_them():
    assert {each.stem for each in file_of("drawings").glob("*.svg")} == set(DRAWINGS)


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_keeps_its_room_and_tells_what_it_shows(name):
    html = rendered("{% drawing name %}", name=name)
    assert f'width="{WIDTH}" height="{HEIGHT}"' in html
    assert f'role="img" aria-label="{DRAWINGS[name].shows}"' in html
    assert f"drawings/{name}.svg#drawing" in html
    symbol = ElementTree.parse(file_of(f"drawings/{name}.svg")).getroot().find(f"{SVG}symbol[@id='drawing']")
    assert symbol is not None
    assert symbol.get("viewBox") == f"0 0 {WIDTH} {HEIGHT}"


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_has_the_colours_of_the_light_scheme_as_second_choice_only(name):
    light = file_of("tokens.css").read_text().partition("@media")[0]
    tokens = dict(re.findall(r"--([\w-]+): (#\w{6});", light))
    drawn = file_of(f"drawings/{name}.svg").read_text()
    used = re.findall(r"var\(--([\w-]+), (#\w{6})\)", drawn)
    assert used
    assert all(tokens[token] == colour for token, colour in used)
    assert drawn.count("#") == len(used) + 1  # the one more names the symbol


def test_a_drawing_without_its_sentence_is_the_picture_alone():
    assert "<figcaption>" in rendered("{% drawing 'pair' %}")
    assert "<figcaption>" not in rendered("{% drawing 'pair' caption=False %}")


def test_a_drawing_that_nobody_drew_is_refused():
    with pytest.raises(TemplateSyntaxError, match="'boat' is not one of depth"):
        rendered("{% drawing 'boat' %}")

"""What a template names in one block is not known in another, and a percent sign is not doubled on the page."""

import re
from pathlib import Path

from django.conf import settings

TEMPLATES = Path(settings.BASE_DIR) / "templates"
SOURCES = {str(path.relative_to(TEMPLATES)): path.read_text() for path in sorted(TEMPLATES.rglob("*.html"))}
BLOCK = re.compile(r"{% block (\w+) %}(.*?){% endblock\b", re.DOTALL)
NAMING = re.compile(r"\b(?:as|asvar) (\w+)\b(?=[^{]*%})")
STRING = re.compile(r'"[^"]*"' + r"|'[^']*'")
TAG = re.compile(r"{[{%].*?[%}]}", re.DOTALL)
WORD = re.compile(r"(?<![\w.|=])(\w+)|(?<==)(\w+)")
DOUBLED = re.compile(r"""_\("[^"]*%[^"]*"\)|_\('[^']*%[^']*'\)""")


def words_of(block: str) -> set[str]:
    """Names that the tags of a block use; strings are none, nor attributes, filters and names of arguments."""
    tags = STRING.sub('""', "\n".join(TAG.findall(block)))
    return {first or second for first, second in WORD.findall(tags)}


def borrowed(source: str) -> set[str]:
    """Names that a block uses and only another block sets."""
    blocks = BLOCK.findall(source)
    named = [set(NAMING.findall(body)) for _block, body in blocks]
    anywhere = set[str]().union(*named)
    return {
        f"{block}: {word}"
        for (block, body), own in zip(blocks, named, strict=True)
        for word in (words_of(body) - own) & anywhere
    }


def test_a_name_that_another_block_sets_is_found() -> None:
    crumb = '{% block breadcrumb %}{% url "people:members" as people_url %}{% endblock %}'
    use = "{% block content %}{% form_to form=form cancel=people_url %}{% endform_to %}{% endblock %}"
    assert borrowed(crumb + use) == {"content: people_url"}


def test_a_block_names_itself_what_it_uses() -> None:
    wrong = {name: borrowed(source) for name, source in SOURCES.items()}
    assert {name: found for name, found in wrong.items() if found} == {}


def test_no_translated_word_in_a_tag_has_a_percent_sign() -> None:
    """Django doubles it for gettext there and prints it so; its translate tag does not."""
    wrong = {name: DOUBLED.findall(source) for name, source in SOURCES.items()}
    assert {name: found for name, found in wrong.items() if found} == {}

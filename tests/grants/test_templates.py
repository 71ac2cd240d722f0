"""A name that is set in one block of a page is not known in another: what a block names it sets itself."""

import re
from pathlib import Path

import pytest
from django.conf import settings

PAGES = sorted((Path(settings.BASE_DIR) / "templates" / "grants").rglob("*.html"))
BLOCK = re.compile(r"{% block (\w+) %}(.*?){% endblock", re.DOTALL)
NAMED = re.compile(r"(?<![\w.])(?<!as )(\w+_url)\b")


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_addresses_that_a_block_uses_are_set_in_it(path: Path) -> None:
    wrong = [
        f"{block}: {name}"
        for block, body in BLOCK.findall(path.read_text())
        for name in NAMED.findall(body)
        if f" as {name} %}}" not in body
    ]
    assert wrong == []

"""The translations are complete and can be filled in. The sentences are read from the source by Python alone."""

import os
from pathlib import Path
from typing import Any

import pytest
from babel.messages.catalog import Catalog
from django.conf import settings
from django.core.management import CommandError, call_command

from reedcrew.web.checks import check_settings
from reedcrew.web.words import catalogs, collecting, reviewing


@pytest.fixture(scope="module")
def collected() -> Catalog:
    return collecting.collect()


def test_every_language_of_the_site_is_written_and_english_is_the_source() -> None:
    assert sorted(code for code, _name in settings.LANGUAGES) == sorted(["en", *dict(catalogs.written())])


@pytest.mark.parametrize(("language", "path"), list(catalogs.written()), ids=["es", "fr"])
def test_every_sentence_is_translated_as_the_source_says_it_today(
    language: str, path: Path, collected: Catalog
) -> None:
    found = reviewing.problems(catalogs.read(path), collected)
    assert [str(problem) for problem in found] == [], f"see DEVELOPERS.md, Words: {language}"


def test_sentences_of_code_templates_and_trade_are_collected_with_plurals_and_context(collected: Catalog) -> None:
    assert "Skip to the content" in collected  # a template
    assert "chest waders" in collected  # a word of the trade
    assert collected["%(count)d adult first-aider has a place."].id[1] == "%(count)d adult first-aiders have a place."


# --- What is noticed in a catalog -----------------------------------------------------------------------------------
SOURCE: dict[str | tuple[str, str], str | tuple[str, str]] = {
    "Hello %(name)s": "Bonjour %(name)s",
    "<b>Now</b>": "<b>Maintenant</b>",
    ("%(n)s day", "%(n)s days"): ("%(n)s jour", "%(n)s jours"),
    "100 % of {part}": "100 % de {part}",
}


def reviewed(**changes: Any) -> list[str]:
    """What is found in a catalog that translates SOURCE but for ``changes``, by the sentence's first word."""
    wanted, written = Catalog(), Catalog()
    for sentence, translation in SOURCE.items():
        wanted.add(sentence)
        first = (sentence if isinstance(sentence, str) else sentence[0]).split()[0].strip("<b>/%()s")
        written.add(sentence, changes.get(first, translation))
    return [problem.what for problem in reviewing.problems(written, wanted)]


def test_a_translation_with_the_same_places_tags_and_forms_is_right() -> None:
    assert reviewed() == []


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"Hello": "Bonjour %(nom)s"}, "other places to fill in"),
        ({"Hello": "Bonjour"}, "other places to fill in"),
        ({"100": "100 % de {partie}"}, "other places to fill in"),
        ({"Now": "<b>Maintenant"}, "other tags"),
        ({"Hello": ""}, "empty"),
        ({"Hello": "Bonjour %(name)s "}, "other white space at the ends"),
        ({"n": ("%(n)s jour", "")}, "empty"),
        ({"n": ("%(n)s jour",)}, "has not 2 forms"),
    ],
)
def test_a_translation_that_could_not_be_filled_in_is_noticed(change: dict[str, object], found: str) -> None:
    assert reviewed(**change) == [found]


def test_a_sentence_that_is_new_or_said_no_more_or_doubtful_is_noticed() -> None:
    wanted, written = Catalog(), Catalog()
    wanted.add("New")
    wanted.add("Doubtful")
    written.add("Old", "Vieux")
    written.add("Doubtful", "Douteux", flags=["fuzzy"])
    found = [str(problem) for problem in reviewing.problems(written, wanted)]
    assert found == ["marked as doubtful: Doubtful", "missing: New", "said no more: Old"]


# --- Compiling ------------------------------------------------------------------------------------------------------
PO = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\nmsgid "stand"\nmsgstr "roselière"\n'


@pytest.fixture
def catalog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The catalog of an installation that has only this one."""
    monkeypatch.setattr(catalogs, "LOCALE", tmp_path)
    path = tmp_path / "fr" / "LC_MESSAGES" / "django.po"
    path.parent.mkdir(parents=True)
    path.write_text(PO, encoding="utf-8")
    return path


def stale() -> list[str]:
    return [message.msg for message in check_settings(None) if message.id == "reedcrew.web.E008"]


def test_a_catalog_that_is_not_compiled_as_it_stands_is_an_error_until_it_is(catalog: Path) -> None:
    assert "fr" in stale()[0]
    call_command("words", "compile")
    assert stale() == []
    assert catalogs.compile_stale() == []  # a second time there is nothing to do
    earlier = catalog.stat().st_mtime - 3600
    catalog.write_text(PO.replace("roselière", "phragmitaie"), encoding="utf-8")
    os.utime(catalog, (earlier, earlier))  # as from an archive that is older than what was compiled
    assert "fr" in stale()[0]
    assert catalogs.compile_stale() == ["fr"]
    assert b"phragmitaie" in catalog.with_suffix(".mo").read_bytes()
    assert [path.name for path in catalog.parent.iterdir() if path.suffix == ".tmp"] == []


def test_a_catalog_that_cannot_be_read_is_named_and_leaves_what_was_compiled(catalog: Path) -> None:
    catalogs.compile_stale()
    catalog.write_text(PO + 'msgid "half', encoding="utf-8")
    earlier = catalog.stat().st_mtime - 60
    os.utime(catalog, (earlier, earlier))
    with pytest.raises(CommandError, match="fr: "):
        call_command("words", "compile")
    assert "roselière".encode() in catalog.with_suffix(".mo").read_bytes()

"""``manage.py words``: the translations of the site, for whoever translates or installs it."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from django.core.management import BaseCommand, CommandError

from reedcrew.web.words import catalogs, collecting, reviewing

LINE_LENGTH = 79  # of a catalog, as other tools for catalogs write them


class Command(BaseCommand):
    help = "Lists what is not translated (review), renews the catalogs from the source (collect), or compiles them."
    requires_system_checks = ()  # one of them is that the catalogs are compiled

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("step", nargs="?", choices=["review", "collect", "compile"], default="review")

    def handle(self, *args: Any, step: str, **options: Any) -> None:
        if step == "compile":
            self._compile()
        elif step == "collect":
            self._collect()
        else:
            self._review()

    def _compile(self) -> None:
        try:
            for language in catalogs.compile_stale():
                self.stdout.write(f"{language}: compiled")
        except (ValueError, OSError) as error:
            raise CommandError(f"A catalog could not be compiled: {error}") from error

    def _collect(self) -> None:
        collected = collecting.collect()
        for language, path in catalogs.written():
            catalog = _read(path)
            catalog.update(collected, no_fuzzy_matching=True, update_creation_date=False)
            with path.open("wb") as target:
                write_po(target, catalog, width=LINE_LENGTH, no_location=True, ignore_obsolete=True)
            missing = sum(1 for message in catalog if message.id and not message.string)
            self.stdout.write(f"{language}: {len(catalog)} sentences, {missing} of them not translated")

    def _review(self) -> None:
        collected = collecting.collect()
        count = 0
        for language, path in catalogs.written():
            for problem in reviewing.problems(_read(path), collected):
                self.stdout.write(f"{language}: {problem}")
                count += 1
        if count:
            raise CommandError(f"To be mended: {count}.")
        self.stdout.write("Every sentence is translated.")


def _read(path: Path) -> Catalog:
    with path.open("rb") as source:
        return read_po(source, abort_invalid=True)

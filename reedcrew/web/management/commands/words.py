"""``manage.py words``: the translations of the site, for whoever translates or installs it."""

from argparse import ArgumentParser
from typing import Any

from babel.messages.pofile import write_po
from django.core.management import BaseCommand, CommandError

from reedcrew.web.words import catalogs, collecting, reviewing

LINE_LENGTH = 79  # of a catalog, as other tools for catalogs write them


class Command(BaseCommand):
    help = "Lists what is not translated (review), renews the catalogs from the source (collect), or compiles them."
    requires_system_checks = ()  # one of them is that the catalogs are compiled

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("step", nargs="?", choices=["review", "collect", "compile"], default="review")

    def handle(self, *args: Any, step: str, **options: Any) -> None:
        try:
            {"review": self._review, "collect": self._collect, "compile": self._compile}[step]()
        except (ValueError, OSError) as error:
            raise CommandError(f"A catalog could not be read or written: {error}") from error

    def _compile(self) -> None:
        for language in catalogs.compile_stale():
            self.stdout.write(f"{language}: compiled")

    def _collect(self) -> None:
        collected = collecting.collect()
        for language, path in catalogs.written():
            catalog = catalogs.read(path)
            catalog.update(collected, no_fuzzy_matching=True, update_creation_date=False)
            with path.open("wb") as target:
                write_po(target, catalog, width=LINE_LENGTH, no_location=True, ignore_obsolete=True)
            missing = sum(1 for message in catalog if message.id and not message.string)
            self.stdout.write(f"{language}: {len(catalog)} sentences, {missing} of them not translated")

    def _review(self) -> None:
        collected = collecting.collect()
        count = 0
        for language, path in catalogs.written():
            for problem in reviewing.problems(catalogs.read(path), collected):
                self.stdout.write(f"{language}: {problem}")
                count += 1
        if count:
            raise CommandError(f"To be mended: {count}.")
        self.stdout.write("Every sentence is translated.")

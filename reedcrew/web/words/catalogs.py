"""The catalogs of translations: ``.po`` files that people write, and the ``.mo`` files that are made of them."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog

LOCALE = Path(__file__).parent.parent / "locale"


def written() -> Iterator[tuple[str, Path]]:
    """Each language that is translated, with its catalog."""
    for path in sorted(LOCALE.glob("*/LC_MESSAGES/django.po")):
        yield path.parent.parent.name, path


def is_compiled(path: Path) -> bool:
    """Whether the ``.mo`` file beside a catalog was made of this very state of it: it bears the catalog's own time.

    Not merely a later one: an update may bring files that are older than what was compiled before. Whole seconds, since
    images of containers keep no more.
    """
    made = path.with_suffix(".mo")
    return made.exists() and int(made.stat().st_mtime) == int(path.stat().st_mtime)


def compile_stale() -> list[str]:
    """Compile what is not yet; the languages that were. Raises ValueError for a catalog that cannot be read.

    Processes may do so at once: each file is put in its place whole.
    """
    return [language for language, path in written() if not is_compiled(path) and _compile(path)]


def read(path: Path) -> "Catalog":
    """One catalog. Raises ValueError for a file that is none."""
    from babel.messages.pofile import PoFileError, read_po

    try:
        with path.open("rb") as source:
            return read_po(source, abort_invalid=True)
    except PoFileError as error:
        raise ValueError(f"{path.parent.parent.name}: {error}") from error


def _compile(path: Path) -> bool:
    # The library takes a while to load, which a start that has nothing to compile need not wait for.
    from babel.messages.mofile import write_mo

    before = path.stat()
    catalog = read(path)
    made = path.with_suffix(f".{os.getpid()}.tmp")
    with made.open("wb") as target:
        write_mo(target, catalog)  # without what is marked as doubtful
    os.utime(made, ns=(before.st_atime_ns, before.st_mtime_ns))
    made.replace(path.with_suffix(".mo"))
    return True

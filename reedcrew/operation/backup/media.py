"""The photos: files in folders, in the archive as they lie there."""

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from reedcrew.operation.backup.archive import MEDIA, ArchiveWriter
from reedcrew.operation.backup.sums import differences
from reedcrew.web.storage import UNFINISHED


def pack(folder: Path, archive: ArchiveWriter) -> dict[str, list[object]]:
    """Put every photo into the archive; octets and SHA-256 of each. Called after the rows, which name no later photo.

    One that is removed in this moment is left out: its row is about to go, too.
    """
    sums = {}
    for name, content in _contents(folder):
        archive.add_bytes(f"{MEDIA}{name}", content)
        sums[name] = _sum_of(content)
    return sums


def is_empty(folder: Path) -> bool:
    return next(_files(folder), None) is None


class Unpacking:
    """A restore in progress: what was written, to be taken away again where it does not end well."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.written: list[Path] = []

    def take(self, name: str, content: IO[bytes]) -> None:
        """Write one photo, for its owner alone."""
        path = self._folder / name.removeprefix(MEDIA)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            self.written.append(path)
            file.write(content.read())
            file.flush()
            os.fsync(file.fileno())

    def finish(self, sums: dict[str, Any]) -> list[str]:
        """The names of photos that differ, as they lie on the disk now."""
        return differences(sums["files"], {name: _sum_of(content) for name, content in _contents(self._folder)})


@contextmanager
def unpacking(folder: Path) -> Iterator[Unpacking]:
    """Room for a restore; what was written is removed unless it ends well."""
    unpacked = Unpacking(folder)
    try:
        yield unpacked
    except BaseException:
        for path in unpacked.written:
            path.unlink(missing_ok=True)
        raise


def _sum_of(content: bytes) -> list[object]:
    return [len(content), hashlib.sha256(content).hexdigest()]


def _contents(folder: Path) -> Iterator[tuple[str, bytes]]:
    for path in _files(folder):
        with suppress(FileNotFoundError):
            yield path.relative_to(folder).as_posix(), path.read_bytes()


def _files(folder: Path) -> Iterator[Path]:
    """Every photo; what is being written in this moment, or was when a process died, is none yet."""
    found = (path for path in sorted(folder.rglob("*")) if not path.name.startswith(UNFINISHED))
    return (path for path in found if path.is_file())

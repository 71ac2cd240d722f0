"""The tar inside of a backup, written and read from front to back."""

import io
import json
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import PurePosixPath
from typing import IO, Any, BinaryIO

from reedcrew.operation.errors import BackupError

FORMAT = 1
HEAD, SUMS, SECRETS, MEDIA, DATABASE = "head.json", "sums.json", "secrets.json", "media/", "database/"


class ArchiveWriter:
    """What is put into the tar, one thing after another."""

    def __init__(self, tar: tarfile.TarFile) -> None:
        self._tar = tar

    def add(self, name: str, content: IO[bytes], size: int) -> None:
        info = tarfile.TarInfo(name)
        info.size, info.mode = size, 0o600
        self._tar.addfile(info, content)

    def add_bytes(self, name: str, content: bytes) -> None:
        self.add(name, io.BytesIO(content), len(content))

    def add_json(self, name: str, content: object) -> None:
        self.add_bytes(name, json.dumps(content, indent=1, sort_keys=True).encode())


@contextmanager
def writing(stream: BinaryIO) -> Iterator[ArchiveWriter]:
    """An archive written to a stream."""
    with tarfile.open(fileobj=stream, mode="w|gz", format=tarfile.PAX_FORMAT) as tar:
        yield ArchiveWriter(tar)


def reading(stream: BinaryIO) -> Iterator[tuple[str, IO[bytes]]]:
    """The names and contents of an archive in their order. Raises BackupError for what we would not have written."""
    with tarfile.open(fileobj=stream, mode="r|gz") as tar:
        for info in tar:
            content = tar.extractfile(info) if info.isreg() else None
            path = PurePosixPath(info.name)
            if content is None or path.is_absolute() or ".." in path.parts:
                raise BackupError(f"This is no backup of Reedcrew: {info.name!r} is none of its parts.")
            yield info.name, content


def read_json(content: IO[bytes]) -> Any:
    try:
        return json.load(content)
    except ValueError as error:
        raise BackupError("This is no backup of Reedcrew: a part of it is not JSON.") from error

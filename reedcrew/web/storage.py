"""Where uploaded files are kept: whole, or not at all."""

import contextlib
import os
import tempfile
from pathlib import Path
from typing import IO, Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

from reedcrew.web.outages import DiskFull, has_no_room

UNFINISHED = ".unfinished-"


class _Written(File):  # type: ignore[type-arg]
    """A file that is written already: the storage moves it to its name."""

    def __init__(self, path: str) -> None:
        super().__init__(None, path)
        self._path = path

    def temporary_file_path(self) -> str:
        return self._path


class WholeFiles(FileSystemStorage):
    """Files in a folder. Each is written beside the others and moved to its name: one that does not fit leaves nothing,
    and a process that is killed leaves no half under a name that somebody could ask for.

    Raises DiskFull.
    """

    def _save(self, name: str, content: IO[Any]) -> str:
        folder = Path(self.location)
        folder.mkdir(mode=self.directory_permissions_mode or 0o777, parents=True, exist_ok=True)
        number, unfinished = tempfile.mkstemp(prefix=UNFINISHED, dir=folder)
        try:
            with os.fdopen(number, "wb") as file:
                for chunk in File(content).chunks():
                    file.write(chunk)
            return str(super()._save(name, _Written(unfinished)))  # type: ignore[misc]  # a hook of Django's storages
        except OSError as error:
            if has_no_room(error):
                raise DiskFull from error
            raise
        finally:
            with contextlib.suppress(FileNotFoundError):  # moved
                os.unlink(unfinished)

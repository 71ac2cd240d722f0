"""Secrets of an embedded installation: made at first start, kept in its own folder, readable by its owner only."""

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from cryptography.fernet import Fernet
from django.core.management.utils import get_random_secret_key


def _kept(path: Path, fresh: str) -> str:
    """The text in ``path``; when there is none yet, ``fresh`` is put there first.

    Several processes may start at once. A link is made whole or not at all, and only one can be made, so each of them
    reads the same complete secret. An empty file (the disk was full) is an error and never a secret.
    """
    if not path.exists():
        descriptor, unfinished = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)  # mode 0600
        try:
            with os.fdopen(descriptor, "w") as file:
                file.write(fresh)
                file.flush()
                os.fsync(file.fileno())
            with suppress(FileExistsError):
                os.link(unfinished, path)
        finally:
            os.unlink(unfinished)
    if not (kept := path.read_text().strip()):
        raise ValueError(
            f"The secret in {path} is empty. Put it back from a backup, or remove the file to make a new one."
        )
    return kept


def local_secret_key(folder: Path) -> str:
    """Django's SECRET_KEY of this installation."""
    return _kept(folder / "secret-key", get_random_secret_key())


def local_field_key(folder: Path) -> str:
    """The Fernet key that encrypts private fields of this installation."""
    return _kept(folder / "field-key", Fernet.generate_key().decode())

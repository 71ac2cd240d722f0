"""Secrets of an embedded installation: made at first start, kept in its own folder, readable by its owner only."""

import os
from pathlib import Path

from cryptography.fernet import Fernet
from django.core.management.utils import get_random_secret_key


def _kept(path: Path, fresh: str) -> str:
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text()
    with os.fdopen(descriptor, "w") as file:
        file.write(fresh)
    return fresh


def local_secret_key(folder: Path) -> str:
    """Django's SECRET_KEY of this installation."""
    return _kept(folder / "secret-key", get_random_secret_key())


def local_field_key(folder: Path) -> str:
    """The Fernet key that encrypts private fields of this installation."""
    return _kept(folder / "field-key", Fernet.generate_key().decode())

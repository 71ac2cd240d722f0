"""Keys, and streams into and out of an encrypted file: the whole archive never lies unencrypted on a disk."""

import os
import tarfile
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import BinaryIO

import pyrage

from reedcrew.operation.errors import BackupError

A_PIECE = 1 << 20


def recipients_of(keys: Sequence[str]) -> list[pyrage.x25519.Recipient]:
    """Public keys as they stand in BACKUP_KEY. Raises BackupError."""
    if not keys:
        raise BackupError(
            "BACKUP_KEY names no public key. Make a pair with: bash deploy/backup.sh --new-key FILE, put the public "
            "key into BACKUP_KEY and keep FILE on another machine."
        )
    try:
        return [pyrage.x25519.Recipient.from_str(key.strip()) for key in keys]
    except pyrage.RecipientError:
        raise BackupError("BACKUP_KEY must hold public keys that begin with age1, separated by commas.") from None


def identities_in(path: Path) -> list[pyrage.x25519.Identity]:
    """The keys of a file as ``new_key`` writes it. Raises BackupError, without the key."""
    try:
        lines = [line.strip() for line in path.read_text().splitlines()]
        found = [pyrage.x25519.Identity.from_str(line) for line in lines if line and not line.startswith("#")]
    except (OSError, UnicodeDecodeError, pyrage.IdentityError):
        found = []
    if not found:
        raise BackupError(f"{path} holds no key that begins with AGE-SECRET-KEY-.")
    return found


def new_key(path: Path) -> str:
    """Write a new key that opens backups, for its owner alone, and give the public one. Raises BackupError."""
    identity = pyrage.x25519.Identity.generate()
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise BackupError(f"{path} is there already. Name another file: a key that is lost opens no backup.") from None
    except OSError as error:
        raise BackupError(f"The key cannot be written: {error}.") from error
    with os.fdopen(descriptor, "w") as file:
        file.write(f"# Opens backups of Reedcrew. Public key: {identity.to_public()}\n{identity}\n")
    return str(identity.to_public())


@contextmanager
def sealed(path: Path, recipients: Sequence[pyrage.x25519.Recipient]) -> Iterator[BinaryIO]:
    """A stream whose bytes stand encrypted in ``path`` afterwards, on the disk. Raises BackupError."""
    reading, writing = os.pipe()
    faults: list[Exception] = []

    def seal() -> None:
        try:
            with os.fdopen(reading, "rb") as plain, path.open("xb") as file:
                pyrage.encrypt_io(plain, file, recipients)
                file.flush()
                os.fsync(file.fileno())
        except (pyrage.EncryptError, OSError) as error:
            faults.append(error)

    thread = Thread(target=seal)
    thread.start()
    try:
        with os.fdopen(writing, "wb") as plain:
            yield plain
    except BrokenPipeError:  # the other end gave up, and knows why
        pass
    finally:
        thread.join()
    if faults:
        raise BackupError(f"The backup cannot be written: {faults[0]}.") from faults[0]


@contextmanager
def opened(path: Path, identities: Sequence[pyrage.x25519.Identity]) -> Iterator[BinaryIO]:
    """The bytes that stand encrypted in ``path``. Raises BackupError, at the end too: only then is all of it proven."""
    reading, writing = os.pipe()
    faults: list[Exception] = []

    def unseal() -> None:
        try:
            with os.fdopen(writing, "wb") as plain, path.open("rb") as file:
                pyrage.decrypt_io(file, plain, identities)
        except (pyrage.DecryptError, OSError) as error:
            faults.append(error)

    thread = Thread(target=unseal)
    thread.start()
    unreadable = None
    try:
        with os.fdopen(reading, "rb") as plain:
            yield plain
            while plain.read(A_PIECE):
                pass
    except (tarfile.TarError, zlib.error, EOFError, OSError) as error:
        unreadable = error
    finally:
        thread.join()
    if faults or unreadable:
        raise BackupError(
            f"{path} cannot be opened: it is damaged or cut short, or the key is not the one it was locked for "
            f"({faults[0] if faults else unreadable})."
        )

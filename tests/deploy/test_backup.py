"""Backup, loss, restore: through the scripts, as an operator runs them, on the database of the run."""

import os
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from cryptography.fernet import Fernet
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test.utils import override_settings

from reedcrew.operation.backup import archive, sealing
from reedcrew.operation.backup.restoring import unreadable_private_values
from reedcrew.operation.models import BackupRun
from reedcrew.people.models import Member, PrivateRecord
from tests import factories
from tests.worker import database_url

pytestmark = pytest.mark.django_db(transaction=True)

DEPLOY = Path(settings.BASE_DIR) / "deploy"
NOTE = "allergic to wasps: a \\ and\ttab,\r\nand a new line"


@pytest.fixture
def migrated(transactional_db: None) -> Iterator[None]:
    """The tests make their tables from the models; a backup names the migrations that make them."""
    recorder = MigrationRecorder(connection)
    recorder.ensure_schema()
    with override_settings(MIGRATION_MODULES={}):
        for app, name in MigrationLoader(None).graph.nodes:
            recorder.record_applied(app, name)
    yield
    recorder.migration_qs.all().delete()


@pytest.fixture
def run(tmp_path: Path) -> Callable[..., "subprocess.CompletedProcess[str]"]:
    """A function that runs a script of deploy/ in ``tmp_path``; keywords are its environment."""

    def command(script: str, *arguments: str, at: str = "", **environment: str) -> "subprocess.CompletedProcess[str]":
        own = {
            "REEDCREW_VAR": str(tmp_path / "var"),
            "DATABASE_URL": database_url(),
            "FIELD_KEYS": ",".join(settings.FIELD_KEYS),
            "LOG_LEVEL": "WARNING",
        }
        inherited = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
        return subprocess.run(
            ["bash", DEPLOY / script, *arguments],
            cwd=tmp_path / at,
            env={**inherited, **own, **environment},
            capture_output=True,
            text=True,
            check=False,
        )

    return command


@contextmanager
def reading(url: str) -> Iterator[None]:
    """Let the models of this process read another database."""
    own = connection.settings_dict["NAME"]
    path = urlsplit(url).path

    def turn_to(name: str) -> None:
        connection.close()
        if connection.vendor == "postgresql":
            connection.close_pool()  # type: ignore[attr-defined]  # of the backend for PostgreSQL
        connection.settings_dict["NAME"] = name

    turn_to(path if connection.vendor == "sqlite" else path.removeprefix("/"))
    try:
        yield
    finally:
        turn_to(own)


def test_what_is_backed_up_comes_back_equal_in_an_empty_place_and_nowhere_else(
    migrated: None, empty_database: str, run: Callable[..., "subprocess.CompletedProcess[str]"], tmp_path: Path
) -> None:
    factories.make_member(factories.make_group(name="Heron Bay, “reed” group"), name="Zoë Ångström")
    PrivateRecord.objects.update(health_note=NOTE)
    gone = factories.make_account()
    gone_pk = gone.pk
    gone.delete()  # its number must not be given again
    photos = tmp_path / "var" / "media" / "checks"
    photos.mkdir(parents=True)
    (photos / "a.jpg").write_bytes(os.urandom(100_000))
    (photos / "empty.jpg").write_bytes(b"")

    key = sealing.new_key(tmp_path / "opens.key")
    done = run("backup.sh", BACKUP_KEY=key, BACKUP_DIR="kept")
    assert (done.returncode, done.stderr) == (0, "")
    backup = tmp_path / done.stdout.strip()
    assert [path.name for path in (tmp_path / "kept").iterdir()] == [backup.name]
    assert backup.stat().st_mode & 0o077 == 0
    content = backup.read_bytes()
    assert content.startswith(b"age-encryption.org/v1\n")
    for plain in (b"Heron", b"checks/a.jpg", settings.FIELD_KEYS[0].encode()):
        assert plain not in content
    noted = BackupRun.objects.get()
    assert (noted.file_name, noted.octets, noted.files, noted.fault) == (backup.name, len(content), 2, "")
    assert noted.rows > 100  # the migrations alone are more

    with pytest.raises(CommandError, match="The database of DATABASE_URL has tables already"):
        call_command("restore", str(backup), "--key", str(tmp_path / "opens.key"))

    place = {"DATABASE_URL": empty_database, "REEDCREW_MEDIA": str(tmp_path / "elsewhere" / "media")}
    restored = run("restore.sh", backup.name, "--key", "../opens.key", at="kept", **place)
    assert (restored.returncode, restored.stderr) == (0, "")
    assert "2 photos, equal" in restored.stdout
    assert sum(line.endswith("rows, equal") for line in restored.stdout.splitlines()) == noted.tables
    assert (tmp_path / "elsewhere/media/checks/a.jpg").read_bytes() == (photos / "a.jpg").read_bytes()
    with reading(empty_database):
        assert Member.objects.get().name == "Zoë Ångström"
        assert PrivateRecord.objects.get().health_note == NOTE
        assert not BackupRun.objects.exists()  # of the moment before the backup
        assert factories.make_account("new@example.org").pk > gone_pk


@pytest.mark.parametrize("asked", [(), ("--with-secrets",)], ids=["as it is", "asked for"])
def test_the_keys_of_private_fields_are_inside_only_where_asked(
    settings: Any, tmp_path: Path, asked: tuple[str, ...]
) -> None:
    public = sealing.new_key(tmp_path / "opens.key")
    settings.BACKUP_KEY, settings.BACKUP_DIR, settings.MEDIA_ROOT = [public], tmp_path / "kept", tmp_path / "media"
    call_command("backup", *asked)
    (path,) = settings.BACKUP_DIR.iterdir()
    with sealing.opened(path, sealing.identities_in(tmp_path / "opens.key")) as stream:
        contents = {name: content.read() for name, content in archive.reading(stream)}
    assert (archive.SECRETS in contents) == bool(asked)
    for secret in (settings.FIELD_KEYS[0], settings.SECRET_KEY):
        assert any(secret.encode() in content for content in contents.values()) == bool(asked)


def test_private_values_that_no_key_of_the_settings_opens_are_counted(settings: Any) -> None:
    factories.make_member(factories.make_group())
    PrivateRecord.objects.update(health_note="wasps", emergency_name="Ada")
    assert unreadable_private_values(connection) == 0
    kept = settings.FIELD_KEYS
    settings.FIELD_KEYS = [Fernet.generate_key().decode()]
    assert unreadable_private_values(connection) == 2
    settings.FIELD_KEYS = [*settings.FIELD_KEYS, *kept]
    assert unreadable_private_values(connection) == 0

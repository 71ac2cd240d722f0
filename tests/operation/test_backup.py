"""What must not go wrong with a backup: half files, wrong keys, damage, an occupied place, a full disk."""

import datetime
import io
import json
import os
import resource
import tarfile

import pyrage
import pytest
from django.core.management import CommandError, call_command

from reedcrew.operation.backup import archive, media, sealing
from reedcrew.operation.backup.making import KEPT_AT_LEAST, NAME, forget_old
from reedcrew.operation.backup.sums import TableSum, differences
from reedcrew.operation.errors import BackupError
from reedcrew.operation.models import BackupRun
from tests.factories import NOW

IDENTITY = pyrage.x25519.Identity.generate()
PUBLIC = str(IDENTITY.to_public())


@pytest.fixture
def backup(tmp_path):
    """A sealed archive of 300 kB: several of age's chunks."""
    path = tmp_path / "a.age"
    with sealing.sealed(path, [IDENTITY.to_public()]) as stream, archive.writing(stream) as tar:
        tar.add_bytes("media/a", os.urandom(300_000))
    return path


def read(path, identity=IDENTITY):
    with sealing.opened(path, [identity]) as stream:
        return [(name, len(content.read())) for name, content in archive.reading(stream)]


def test_the_stream_comes_back_and_opens_with_the_format_s_own_library(backup):
    assert read(backup) == [("media/a", 300_000)]
    plain = io.BytesIO(pyrage.decrypt(backup.read_bytes(), [IDENTITY]))
    with tarfile.open(fileobj=plain) as tar:
        assert tar.getnames() == ["media/a"]


@pytest.mark.parametrize("fault", ["another key", "a changed sign", "cut short", "half its head", "empty", "absent"])
def test_a_file_that_cannot_be_trusted_is_refused_in_one_sentence(backup, fault):
    content, identity = bytearray(backup.read_bytes()), IDENTITY
    if fault == "another key":
        identity = pyrage.x25519.Identity.generate()
    elif fault == "a changed sign":
        content[-1000] ^= 1
    else:
        content = content[: {"cut short": -70_000, "half its head": 100}.get(fault, 0)]
    backup.write_bytes(content)
    if fault == "absent":
        backup.unlink()
    with pytest.raises(BackupError, match=r"a\.age cannot be opened: it is damaged"):
        read(backup, identity)


@pytest.mark.parametrize("name", ["../outside", "/etc/outside", "media/../../outside"])
def test_an_archive_that_points_outside_is_none_of_ours(tmp_path, name):
    path = tmp_path / "a.age"
    with sealing.sealed(path, [IDENTITY.to_public()]) as stream, archive.writing(stream) as tar:
        tar.add_bytes(name, b"x")
    with pytest.raises(BackupError, match="is none of its parts"):
        read(path)


def test_a_key_is_its_owner_s_alone_and_never_written_over(tmp_path):
    path = tmp_path / "opens.key"
    public = sealing.new_key(path)
    assert path.stat().st_mode & 0o777 == 0o600
    assert [str(identity.to_public()) for identity in sealing.identities_in(path)] == [public]
    with pytest.raises(BackupError, match="is there already"):
        sealing.new_key(path)
    path.write_text("no key\n")
    with pytest.raises(BackupError, match="holds no key"):
        sealing.identities_in(path)


@pytest.mark.django_db
@pytest.mark.parametrize(("keys", "said"), [([], "BACKUP_KEY names no public key"), (["age1no"], "begin with age1")])
def test_a_backup_that_cannot_be_made_says_why_and_is_noted(settings, tmp_path, keys, said):
    settings.BACKUP_KEY, settings.BACKUP_DIR = keys, tmp_path / "kept"
    with pytest.raises(CommandError, match=said):
        call_command("backup")
    assert said in BackupRun.objects.get().fault
    assert BackupRun.objects.last_good() is None
    assert not settings.BACKUP_DIR.exists()


@pytest.fixture
def disk_takes_100_kb():
    """The system itself refuses to write further into a file (setrlimit(2)), as a full disk does."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_a_disk_that_takes_no_more_ends_the_backup_in_one_sentence(tmp_path, disk_takes_100_kb):
    with (
        pytest.raises(BackupError, match=r"The backup cannot be written: .*File too large"),
        sealing.sealed(tmp_path / "a.age", [IDENTITY.to_public()]) as stream,
        archive.writing(stream) as tar,
    ):
        tar.add_bytes("media/a", os.urandom(3_000_000))


def test_photos_that_differ_or_are_too_many_are_named_and_a_failed_restore_takes_its_own_away(tmp_path):
    folder = tmp_path / "media"
    sums = {"files": {"a": media._sum_of(b"right"), "b": media._sum_of(b"b")}}

    def restore(content):
        with media.unpacking(folder) as photos:
            for name in ("a", "b"):
                photos.take(f"media/{name}", io.BytesIO(content))
            if wrong := photos.finish(sums):
                raise BackupError(", ".join(wrong))

    with pytest.raises(BackupError, match=r"^a, b$"):
        restore(b"wrong")
    assert media.is_empty(folder)


def test_sums_know_no_order_but_every_row_and_every_repeat():
    def of(*rows):
        found = TableSum()
        for row in rows:
            found.add(row)
        return found.record()

    assert of(b"a", b"b", b"b") == of(b"b", b"a", b"b")
    assert len({json.dumps(of(*rows)) for rows in ([b"a", b"b"], [b"a", b"b", b"b"], [b"a", b"c"], [b"ab"], [])}) == 5
    assert differences({"a": [1], "b": [2]}, {"a": [1], "b": [3], "c": [0]}) == ["b", "c"]


def test_old_backups_go_and_the_newest_stay_however_old(tmp_path):
    days = [NOW - datetime.timedelta(days=number) for number in range(0, 60, 10)]
    for day in days:
        (tmp_path / NAME.format(day)).touch()
    (tmp_path / "reedcrew-of-the-operator.age").touch()
    month = datetime.timedelta(days=30)
    assert forget_old(folder=tmp_path, keep=month, now=NOW) == [NAME.format(day) for day in reversed(days[4:])]
    much_later = NOW + datetime.timedelta(days=3650)
    assert len(forget_old(folder=tmp_path, keep=month, now=much_later)) == len(days) - 2 - KEPT_AT_LEAST
    assert (tmp_path / "reedcrew-of-the-operator.age").exists()

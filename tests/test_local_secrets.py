"""The secrets that an embedded installation makes for itself."""

import stat
import subprocess
import sys
from pathlib import Path

import pytest
from cryptography.fernet import Fernet

from reedcrew.local_secrets import local_field_key, local_secret_key


def test_secrets_are_kept_and_private(tmp_path: Path) -> None:
    secret, key = local_secret_key(tmp_path), local_field_key(tmp_path)
    assert (local_secret_key(tmp_path), local_field_key(tmp_path)) == (secret, key)
    assert len(secret) >= 50  # Django's own check of SECRET_KEY, security.W009
    assert Fernet(key).decrypt(Fernet(key).encrypt(b"asthma")) == b"asthma"
    assert {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()} == {
        "secret-key": 0o600,
        "field-key": 0o600,
    }


def test_processes_that_start_at_once_agree_on_the_secret(tmp_path: Path) -> None:
    code = "from reedcrew.local_secrets import Path, local_field_key; print(local_field_key(Path('.')))"
    env = {"PYTHONPATH": str(Path(__file__).parent.parent)}
    processes = [
        subprocess.Popen([sys.executable, "-c", code], cwd=tmp_path, env=env, stdout=subprocess.PIPE, text=True)
        for _ in range(6)
    ]
    said = {process.communicate()[0].strip() for process in processes}
    assert said == {(tmp_path / "field-key").read_text()}


def test_an_empty_secret_is_an_error_and_never_used(tmp_path: Path) -> None:
    (tmp_path / "secret-key").write_text("")
    with pytest.raises(ValueError, match="secret-key is empty"):
        local_secret_key(tmp_path)

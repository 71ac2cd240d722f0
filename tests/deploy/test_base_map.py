"""The base map that an operator may name: what is refused, and whom the content policy lets send images."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TILES = "https://tiles.example:8443/{z}/{x}/{y}.png"
PRINT = (
    "import json\n"
    "from django.conf import settings\n"
    "print(json.dumps(settings.CONTENT_SECURITY_POLICY['DIRECTIVES']['img-src']))"
)


def settings_with(tmp_path: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    """A process that reads the settings in this environment and prints where images may come from."""
    kept = {name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "REDIS_URL"}}
    environment = kept | {"REEDCREW_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "reedcrew.settings"} | variables
    return subprocess.run(
        [sys.executable, "-c", PRINT], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )


@pytest.mark.once
@pytest.mark.parametrize(
    ("variables", "sources"),
    [
        ({}, ["'self'", "data:"]),
        (
            {"MAP_TILES_URL": TILES, "MAP_ATTRIBUTION": "An invented survey"},
            ["'self'", "data:", "https://tiles.example:8443"],
        ),
    ],
)
def test_only_the_host_of_the_base_map_may_send_images(tmp_path, variables, sources):
    done = settings_with(tmp_path, **variables)
    assert json.loads(done.stdout) == sources, done.stderr


@pytest.mark.once
@pytest.mark.parametrize(
    ("variables", "words"),
    [
        ({"MAP_TILES_URL": "ftp://tiles.example/{z}/{x}/{y}", "MAP_ATTRIBUTION": "A"}, "http or https"),
        ({"MAP_TILES_URL": "https://{s}.tiles.example/{z}/{x}/{y}", "MAP_ATTRIBUTION": "A"}, "http or https"),
        ({"MAP_TILES_URL": "https://tiles.example/{z}/{x}.png", "MAP_ATTRIBUTION": "A"}, "must hold {z}, {x} and {y}"),
        ({"MAP_TILES_URL": TILES}, "needs MAP_ATTRIBUTION"),
    ],
)
def test_a_base_map_that_cannot_be_used_is_refused_at_the_start(tmp_path, variables, words):
    done = settings_with(tmp_path, **variables)
    assert done.returncode == 1
    assert "ImproperlyConfigured" in done.stderr
    assert words in done.stderr

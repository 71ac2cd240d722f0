"""A hosted installation on PostgreSQL and Redis, served as deploy/ serves it, and clients that press on it.

A benchmark asks for :func:`measured`, which runs the function ``measure`` of its module in a process of its own, on
databases that are made for it and dropped. A DATABASE_URL of the environment is not touched.
"""

import json
import os
import subprocess
import sys
import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from tests.services import LOOPBACK, free_port, postgres_server, redis_server


def measured(name: str, *arguments: str) -> Any:
    """What ``tests.bench.NAME.measure`` returns, on an empty database with the tables of the present code.

    PostgreSQL writes to the disk before it acknowledges, as in use.
    """
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="reedcrew-bench-")))
        folder.chmod(0o711)  # the server runs as another user where the measurement runs as root
        (folder / "var").mkdir()
        port = str(free_port())
        environment = {
            **os.environ,
            "DATABASE_URL": stack.enter_context(postgres_server(folder / "postgres", safe=True)).address,
            "REDIS_URL": stack.enter_context(redis_server(folder / "redis")),
            "REEDCREW_VAR": str(folder / "var"),
            "PORT": port,
            "SITE_URL": f"http://{LOOPBACK}:{port}",
            "LOG_LEVEL": "WARNING",
            "DJANGO_SETTINGS_MODULE": "tests.bench.served.settings",
        }
        command = [sys.executable, "-m", "tests.bench.served", name, *arguments]
        done = subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE, text=True)  # own code
    return json.loads(done.stdout.splitlines()[-1])

"""Configuration of the web processes: ``gunicorn --config python:reedcrew.web.gunicorn``.

Logs look as those of the other processes, and the processes of one server add up their metrics in one folder. The
folder is new with each start: counters begin at zero then, as Prometheus expects of a server that was restarted.
"""

import os
import shutil
import tempfile

from gunicorn.arbiter import Arbiter
from gunicorn.workers.base import Worker

# Set before the application is loaded: prometheus_client decides once, at its import, where it keeps numbers.
_folder = os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix="reedcrew-metrics-")

_FORMATTERS = {"plain": "reedcrew.web.logs.PlainLines", "json": "reedcrew.web.logs.JsonLines"}
logconfig_dict = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"lines": {"()": _FORMATTERS.get(os.environ.get("LOG_FORMAT", ""), _FORMATTERS["plain"])}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "lines"}},
    "root": {"handlers": ["console"]},
    "loggers": {"gunicorn.error": {"handlers": ["console"], "propagate": False}},
}


def post_worker_init(worker: Worker) -> None:
    """Called by gunicorn once a process has loaded the site."""
    worker.log.info("Ready to answer")


def on_exit(server: Arbiter) -> None:
    """Called by gunicorn when the web server ends."""
    shutil.rmtree(_folder, ignore_errors=True)

"""The broker of an embedded installation: one folder, one small file for each wake-up, no server.

Kombu's own folder transport writes a message in place, so that a worker which looks at that very moment reads half of
it and stops, as does every worker after it when a killed process left such a half. This one writes under another name
and renames, and drops what cannot be read. Nothing is lost with a wake-up: the row it is about stays in the database,
and the periodic sweep of its task finds it.
"""

import logging
import os
import uuid
from collections.abc import Iterator
from pathlib import Path
from queue import Empty
from time import time_ns
from typing import Any

from kombu.transport import virtual
from kombu.utils.json import dumps, loads

logger = logging.getLogger(__name__)

MESSAGE, TAKEN, UNFINISHED = ".msg", ".taken", ".part"


class Channel(virtual.Channel):
    """Direct exchanges only: a wake-up goes to one worker, and there is no remote control over a folder.

    Which queue an exchange leads to is declared by every sender and every worker for itself, so no file holds it.
    """

    do_restore = True

    @property
    def folder(self) -> Path:
        """The folder of messages: transport option ``folder``. Made when it is missing."""
        connection: Any = self.connection  # never None in a channel in use, which its types do not know
        folder = Path(connection.client.transport_options["folder"])
        folder.mkdir(parents=True, exist_ok=True)
        return folder

    def _waiting(self, queue: str) -> Iterator[Path]:
        """The messages of ``queue``, oldest first by the clock of the machine that wrote them."""
        return iter(sorted(self.folder.glob(f"*.{queue}{MESSAGE}")))

    def _put(self, queue: str, message: dict[str, Any], **_kwargs: Any) -> None:
        name = f"{time_ns():020d}-{uuid.uuid4()}.{queue}"
        unfinished = self.folder / f"{name}{UNFINISHED}"
        unfinished.write_text(dumps(message))
        os.replace(unfinished, self.folder / f"{name}{MESSAGE}")

    def _get(self, queue: str, timeout: float | None = None) -> Any:
        for waiting in self._waiting(queue):
            taken = waiting.with_suffix(TAKEN)
            try:
                os.rename(waiting, taken)
            except FileNotFoundError:
                continue  # another worker was faster
            try:
                return loads(taken.read_text())
            except ValueError:
                logger.warning(
                    "A wake-up in %s cannot be read and is dropped; its sweep will find the row.", waiting.name
                )
            finally:
                taken.unlink()
        raise Empty

    def _size(self, queue: str) -> int:
        return sum(1 for _ in self._waiting(queue))

    def _purge(self, queue: str) -> int:
        purged = 0
        for waiting in self._waiting(queue):
            waiting.unlink(missing_ok=True)
            purged += 1
        return purged


def clear_unfinished(folder: Path) -> int:
    """Remove what processes that were killed left half written or half read in ``folder``; returns how many files.

    Only for a moment when no process uses the folder. Whole messages stay and are handled by the next worker.
    """
    leftovers = [*folder.glob(f"*{UNFINISHED}"), *folder.glob(f"*{TAKEN}")]
    for leftover in leftovers:
        leftover.unlink()
    return len(leftovers)


class Transport(virtual.Transport):
    """Broker address ``folder://`` with the transport option ``folder``."""

    Channel = Channel
    driver_type = driver_name = "folder"
    polling_interval = 0.5  # s; a wake-up may wait this long, and a look at an empty folder costs next to nothing
    declared = virtual.BrokerState()  # of this process, so that a new connection knows what an earlier one declared

    def __init__(self, client: Any, **kwargs: Any) -> None:
        super().__init__(client, **kwargs)
        self.state = self.declared

    def driver_version(self) -> str:
        return "1"

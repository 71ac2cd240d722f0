"""The line between a phone and the server, which a test can cut: while it is cut, the server is really out of reach."""

import socket
import threading
from contextlib import suppress
from types import TracebackType
from typing import Self
from urllib.parse import urlsplit

CHUNK_BYTES = 64 * 1024


class Cable:
    """Listens on a port of its own and passes everything on to the site; ``url`` is the site's address through it."""

    def __init__(self, site: str) -> None:
        self._server = (urlsplit(site).hostname or "localhost", urlsplit(site).port or 80)
        self._ends: set[socket.socket] = set()
        self._whole = threading.Event()
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://localhost:{self._listener.getsockname()[1]}"
        self._whole.set()
        threading.Thread(target=self._listen, daemon=True).start()

    def cut(self) -> None:
        """Break every connection and let no new one through."""
        self._whole.clear()
        for end in list(self._ends):
            _close(end)

    def mend(self) -> None:
        """Let connections through again."""
        self._whole.set()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.cut()
        self._listener.close()

    def _listen(self) -> None:
        while True:
            try:
                phone, _address = self._listener.accept()
            except OSError:
                return  # closed at the end of the test
            if not self._whole.is_set():
                _close(phone)
                continue
            server = socket.create_connection(self._server)
            self._ends |= {phone, server}
            for source, target in ((phone, server), (server, phone)):
                threading.Thread(target=self._carry, args=(source, target), daemon=True).start()

    def _carry(self, source: socket.socket, target: socket.socket) -> None:
        with suppress(OSError):
            while data := source.recv(CHUNK_BYTES):
                target.sendall(data)
        for end in (source, target):
            self._ends.discard(end)
            _close(end)


def _close(end: socket.socket) -> None:
    with suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    with suppress(OSError):
        end.close()

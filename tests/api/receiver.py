"""A real program that is told of days: an HTTP server of this machine that does as it is asked."""

import contextlib
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass(slots=True)
class Receiver:
    """Where it listens, what it does with the next messages, and what it was sent."""

    url: str = ""
    does: list[str] = field(default_factory=list)  # a status, "hang up", "drip" or "sleep"; 204 behind them
    got: list[tuple[dict[str, str], bytes]] = field(default_factory=list)
    done: threading.Event = field(default_factory=threading.Event)  # ends what drips and sleeps


@contextlib.contextmanager
def receiving() -> Iterator[Receiver]:
    """A receiver that listens on a free port."""
    receiver = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            receiver.got.append((dict(self.headers), body))
            deed = receiver.does.pop(0) if receiver.does else "204"
            if deed == "hang up":
                self.close_connection = True
            elif deed == "drip":
                with contextlib.suppress(OSError):
                    while not receiver.done.wait(0.02):
                        self.wfile.write(b"H")
            elif deed == "sleep":
                receiver.done.wait()
            else:
                self.send_response(int(deed))
                self.send_header("Location", receiver.url)
                self.send_header("Content-Length", "0")
                self.end_headers()

        def log_message(self, *_said: object) -> None:
            """Nothing: what came is in ``got``."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    receiver.url = f"http://127.0.0.1:{server.server_port}/told?by=reedcrew"
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield receiver
    finally:
        receiver.done.set()
        server.shutdown()
        thread.join()
        server.server_close()

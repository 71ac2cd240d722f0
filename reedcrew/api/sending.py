"""One message over the wire: to the very machine that was judged, no redirect followed, never for long.

http.client rather than a larger client: the connection must go to a number while certificate and Host name the name,
which this class does in a few lines and others do not offer.
"""

import contextlib
import http.client
import socket
import ssl
import threading
from collections.abc import Mapping
from dataclasses import dataclass

from reedcrew.api.addresses import Target, ask_reachable
from reedcrew.api.errors import AddressUnusable

STEP_S = 10.0  # s, for one step: connecting, sending, the answer's next octets
WHOLE_S = 20.0  # s, for the whole conversation: an answer that drips in is cut off (convention)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How one try went: the status of the answer, None where none came, and the code of its fault, "" where taken."""

    status: int | None
    fault: str


def post(
    url: str, body: bytes, headers: Mapping[str, str], *, step_s: float = STEP_S, whole_s: float = WHOLE_S
) -> Outcome:
    """Send one message. Only an answer from 200 to 299 means that it was taken."""
    try:
        target = ask_reachable(url)
    except AddressUnusable as error:
        return Outcome(status=None, fault=error.problem)
    connection = _Connection(target, step_s)
    watch = threading.Timer(whole_s, connection.cut)
    watch.daemon = True
    watch.start()
    try:
        connection.request("POST", target.path, body, {"Host": target.host_header, "Connection": "close", **headers})
        status = connection.getresponse().status
    except ssl.SSLCertVerificationError:
        return Outcome(status=None, fault="certificate")
    except TimeoutError:
        return Outcome(status=None, fault="too slow")
    except (OSError, http.client.HTTPException, ValueError):
        return Outcome(status=None, fault="too slow" if connection.is_cut else "no connection")
    finally:
        watch.cancel()
        connection.close()
    if 200 <= status < 300:
        return Outcome(status=status, fault="")
    return Outcome(status=status, fault="redirect" if 300 <= status < 400 else "answer")


# --- Private ---------------------------------------------------------------------------------------------------------


class _Connection(http.client.HTTPConnection):
    """A connection to a judged number; the certificate must be that of the name."""

    sock: socket.socket | None

    def __init__(self, target: Target, step_s: float) -> None:
        super().__init__(target.host, target.port, timeout=step_s)
        self._target = target
        self._step_s = step_s
        self.is_cut = False

    def connect(self) -> None:
        """Take the first number that answers, and shake hands where the scheme asks for it."""
        for left, number in enumerate(self._target.numbers, 1 - len(self._target.numbers)):
            try:
                self.sock = socket.create_connection((number, self._target.port), self._step_s)
                break
            except OSError:
                if left == 0 or self.is_cut:
                    raise
        if self.sock is not None and self._target.scheme == "https":
            context, host = ssl.create_default_context(), self._target.host
            secured = context.wrap_socket(self.sock, server_hostname=host, do_handshake_on_connect=False)
            self.sock = secured  # from here on it can be cut, also in the middle of the handshake
            secured.do_handshake()
        if self.is_cut:
            raise TimeoutError

    def cut(self) -> None:
        """End the conversation from another thread: whoever reads finds the line closed."""
        self.is_cut = True
        if self.sock is not None:
            with contextlib.suppress(OSError):
                socket.socket.shutdown(self.sock, socket.SHUT_RDWR)  # not that of TLS, which another thread reads from

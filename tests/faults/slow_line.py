"""A line to a server of this machine that can be slow, or swallow what the server answers."""

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from tests.services import LOOPBACK


class SlowLine:
    """Passes bytes on; answers come ``delay_s`` late, and not at all while it is ``silent``."""

    def __init__(self, server_port: int) -> None:
        self.server_port, self.port = server_port, 0
        self.delay_s, self.silent = 0.0, False
        self.swallowed = 0  # answers
        self.loop: asyncio.AbstractEventLoop  # once the line is open

    async def serve(self, client: asyncio.StreamReader, back: asyncio.StreamWriter) -> None:
        """One connection of a client."""
        try:
            server, onward = await asyncio.open_connection(LOOPBACK, self.server_port)
        except OSError:
            back.close()
            return
        await asyncio.gather(self._pass(client, onward, answers=False), self._pass(server, back, answers=True))

    async def _pass(self, source: asyncio.StreamReader, target: asyncio.StreamWriter, *, answers: bool) -> None:
        try:
            while data := await source.read(2**16):
                if answers:
                    await asyncio.sleep(self.delay_s)
                if answers and self.silent:
                    self.swallowed += 1
                else:
                    target.write(data)
                    await target.drain()
        except OSError:
            pass  # one side is gone: the other learns it below
        finally:
            target.close()


@contextmanager
def slow_line(server_port: int) -> Iterator[SlowLine]:
    """An open line to the server at this port of this machine."""
    line, is_open, close = SlowLine(server_port), threading.Event(), asyncio.Event()

    async def hold_open() -> None:
        listening = await asyncio.start_server(line.serve, LOOPBACK, 0)
        line.port, line.loop = listening.sockets[0].getsockname()[1], asyncio.get_running_loop()
        is_open.set()
        await close.wait()
        listening.close()

    # In a thread of its own, for a test in a browser may have left a loop in this one.
    thread = threading.Thread(target=asyncio.run, args=[hold_open()])
    thread.start()
    is_open.wait()
    try:
        yield line
    finally:
        line.loop.call_soon_threadsafe(close.set)
        thread.join()

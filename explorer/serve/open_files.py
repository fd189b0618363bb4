"""How many files and connections the server may have open, and what it does with no more left."""

import asyncio
import errno
import logging
import os
import socket
import time
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

from tornado.httpserver import HTTPServer
from tornado.ioloop import IOLoop
from tornado.iostream import IOStream, StreamClosedError

try:
    import resource
except ImportError:  # not a Unix
    resource = None

log = logging.getLogger("explorer")

ENOUGH = 65_536
"""How many open files are asked for, if the system lets us [count]: a visitor takes some twenty,
and a busy process lists more than it needs ever more slowly."""

NO_LIMIT = 2**31

KEPT_FREE = 100
"""How many are kept free of connections [count], for kernels that start and for websockets."""

PAUSE_SECONDS = 1.0
"""How long nobody is let in when none are left at all [s]."""

SAID_EVERY_SECONDS = 60.0
"""How often that is said in the log [s]."""

_SENTENCE = b"Too many connections at once. Try again in a minute.\n"
REFUSAL = (
    b"HTTP/1.1 503 Service Unavailable\r\nContent-Type: text/plain; charset=utf-8\r\n"
    b"Retry-After: 60\r\nConnection: close\r\nContent-Length: %d\r\n\r\n%b"
    % (len(_SENTENCE), _SENTENCE)
)


def limit() -> int:
    """How many files this process may have open; a very large number where there is no limit."""
    soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0] if resource else NO_LIMIT
    return NO_LIMIT if soft < 0 else soft


def raise_limit() -> None:
    """Let this process, and those that it starts, open as many files as it may, within reason."""
    if resource is None or limit() >= ENOUGH:
        return
    hard = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    with suppress(OSError, ValueError):  # macOS has a lower bound of its own
        soft = ENOUGH if hard < 0 else min(ENOUGH, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


def has_room(lowest_free: int | None = None, kept: int = KEPT_FREE) -> bool:
    """Whether more than so many files, those kept [count], can still be opened.

    The number that the system gave to the file opened last was the lowest free one, so it tells how
    many are in use; without it one is opened to see.
    """
    if lowest_free is None:
        try:
            lowest_free = os.dup(2)
        except OSError:
            return False
        os.close(lowest_free)
    return lowest_free < limit() - kept


class BoundedServer(HTTPServer):
    """Answers one connection too many with a sentence, and rests when no file can be opened.

    Stock goes on accepting until the system refuses, and then tries again without a pause, with a
    traceback each time.
    """

    _said = float("-inf")

    def say(self, sentence: str) -> None:
        """Write a line into the log, now and then."""
        if time.monotonic() - self._said > SAID_EVERY_SECONDS:
            self._said = time.monotonic()
            log.error(sentence)

    def handle_stream(self, stream: IOStream, address: Any) -> None:
        if has_room(stream.fileno().fileno()):
            super().handle_stream(stream, address)
            return
        self.say("Too many connections: some were refused (LimitNOFILE of the service).")
        with suppress(StreamClosedError):
            stream.write(REFUSAL)
        stream.close()

    def rest_when_full(self, sockets: Sequence[socket.socket]) -> None:
        """Stop listening for a moment whenever the system lets us open no more files."""
        ioloop = IOLoop.current()

        def on_fault(loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
            fault = context.get("exception")
            if not isinstance(fault, OSError) or fault.errno not in (errno.EMFILE, errno.ENFILE):
                loop.default_exception_handler(context)
                return
            self.say("No more files can be opened: nobody is let in for a moment.")
            for listening in sockets:
                ioloop.remove_handler(listening)
            loop.call_later(PAUSE_SECONDS, self.add_sockets, sockets)

        ioloop.asyncio_loop.set_exception_handler(on_fault)

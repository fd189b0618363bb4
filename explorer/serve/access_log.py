"""A log of requests that says nothing of who asked: no address, no browser, no query, no kernel."""

import logging
import os
import re
import sys
from datetime import UTC, datetime

from tornado.web import HTTPError, OutputTransform, RequestHandler

from explorer.app import fault_number

STANDARD_ERROR = "-"
"""Given instead of a file's name."""

_LONGEST_PATH = 200
# Whoever knows a kernel's id may talk to it, so the log does not.
_KERNEL_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.IGNORECASE)

log = logging.getLogger("explorer")


class CountedBytes(OutputTransform):
    """Notes on the request how many bytes of answer were sent, as they leave, compressed or not."""

    def __init__(self, request) -> None:
        self._request = request
        request.sent_bytes = 0

    def transform_first_chunk(self, status_code, headers, chunk, finishing):
        self._request.sent_bytes += len(chunk)
        return status_code, headers, chunk

    def transform_chunk(self, chunk, finishing):
        self._request.sent_bytes += len(chunk)
        return chunk


def shown_path(path: str) -> str:
    """A request's path as it stands in the log.

    >>> shown_path("/api/kernels/0b6f3b1e-8f0c-4d4e-9a57-0c9b1f3e2d11/chan nels")
    '/api/kernels/…/chan?nels'
    """
    # All but the printable characters of ASCII, and no space.
    return _KERNEL_ID.sub("…", re.sub(r"[^!-~]", "?", path[:_LONGEST_PATH]))


class AccessLog:
    """Writes one line for each request: when, what, the answer, how long, how many bytes.

    Each line is added to the end of what is in the file at that moment, so a program that rotates
    logs may copy the file and empty it (logrotate's "copytruncate") while the server runs. "-" is
    the standard error stream; an `OSError` says in a plain sentence that the file can't be written.
    """

    def __init__(self, name: str) -> None:
        self._told = False
        if name == STANDARD_ERROR:
            self._file = sys.stderr.fileno()
            return
        try:
            self._file = os.open(name, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o640)
        except OSError as fault:
            raise OSError(
                f"The access log {name} can't be written: {fault.strerror}; choose another "
                "file, or - for the standard error stream."
            ) from None

    def note(self, handler: RequestHandler) -> None:
        """Write the line of a request that has been answered."""
        request = handler.request
        now = datetime.now(UTC).isoformat(timespec="seconds")
        method = request.method if request.method in RequestHandler.SUPPORTED_METHODS else "?"
        answer = f"{handler.get_status()} {round(1000 * request.request_time())} ms"
        sent = getattr(request, "sent_bytes", 0)
        line = f"{now} {method} {shown_path(request.path)} {answer} {sent} B\n"
        try:
            os.write(self._file, line.encode())
        except OSError as fault:
            # A full disk: pages are served all the same, and this is said once.
            if not self._told:
                self._told = True
                log.error("The access log can't be written: %s", fault.strerror)


def say_nothing(_handler: RequestHandler) -> None:
    """In the place of Tornado's own log, which names the address and the query of a failure."""


class NamelessFaults:
    """Logs a fault of ours with its traceback and without the request's address, query or headers.

    Tornado's own line has all three. `fault` is its number in the log; None while there is none.
    """

    fault: str | None = None

    def log_exception(self, typ, value, tb) -> None:
        if not isinstance(value, HTTPError):
            self.fault = fault_number()
            path = shown_path(self.request.path)
            log.error("fault %s at %s", self.fault, path, exc_info=(typ, value, tb))

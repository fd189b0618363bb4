"""What one visitor's kernel may write into the server's log: enough to find a fault, no more."""

from typing import Any, TextIO

MOST_CHARACTERS = 200_000
"""About a hundred tracebacks [count]. A visitor can bring about one with each message, and put
megabytes of his own into it: without a limit he could fill the disk."""


class BoundedLog:
    """A text stream that takes so many characters, says once that it is full, and is silent then.

    >>> import sys
    >>> log = BoundedLog(sys.stdout, most=5)
    >>> length = log.write("1234567")
    12345
    (this kernel writes no more into the log)
    >>> length = log.write("8")
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream, self._left = stream, MOST_CHARACTERS

    def write(self, text: str) -> int:
        """Write what there is room for."""
        written = text[: self._left]
        if written:
            self._left -= len(written)
            self._stream.write(written)
            if not self._left:
                self._stream.write("\n(this kernel writes no more into the log)\n")
        return len(text)

    def __getattr__(self, name: str) -> Any:
        """All else is the stream's own."""
        return getattr(self._stream, name)

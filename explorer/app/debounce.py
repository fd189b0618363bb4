"""Work that takes longer than a slider's step: done once the rider has paused."""

import asyncio
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PAUSE = 0.2
"""Long enough to be sure that a drag has ended, short enough to feel like an answer [s]."""

_hurried = 0


@contextmanager
def at_once() -> Iterator[None]:
    """Within it nothing waits for a pause: there is no hand to rest, as when a page follows a link.

    >>> done = []
    >>> with at_once():
    ...     Debounce(lambda: done.append("words")).ask()
    >>> done
    ['words']
    """
    global _hurried
    _hurried += 1
    try:
        yield
    finally:
        _hurried -= 1


class Debounce:
    """Does an action, which says its own faults, after a pause; asking again starts the pause anew.

    Without a running event loop, as in a script or a test, the action is done at once.
    """

    def __init__(self, action: Callable[[], None]) -> None:
        self._action = action
        self._waiting: asyncio.TimerHandle | None = None

    def ask(self) -> None:
        """Do the action after the pause."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            loop = None
        if self._waiting is not None:
            self._waiting.cancel()
        if loop is None or _hurried:
            self._do()
        else:
            self._waiting = loop.call_later(PAUSE, self._do)

    def _do(self) -> None:
        self._waiting = None
        self._action()

"""Nothing a rider does ends in silence: every callback of a page runs inside `Faults.guard`.

An exception in a widget's callback would otherwise vanish: nothing on the page, nothing in the
browser. What a rider can mend is a RecordError and is said in its own sentences; anything else is
our fault, gets a number that also stands in the server's log beside the traceback, and leaves the
page in its last good state.
"""

import functools
import logging
from collections.abc import Callable

from markupsafe import Markup

from explorer.app import fault_number
from explorer.panels import widgets
from explorer.panels.html import sentences
from explorer.records.errors import RecordError

log = logging.getLogger("explorer")


class Faults:
    """The place on a page where faults are said, and the guard that finds them."""

    def __init__(self) -> None:
        self.widget = widgets.HTML()
        self._sayings = 0
        self.clear()

    def guard(self, callback: Callable, clears: bool = True) -> Callable:
        """The same callback, whose failure is said on the page.

        One guarded callback may call another: what the inner one says stays.

        Args:
            clears: Whether its success takes away what was said before; not so for work done after
                a pause, which knows nothing of what was said meanwhile.
        """

        @functools.wraps(callback)
        def guarded(*arguments, **named):
            said_before = self._sayings
            try:
                result = callback(*arguments, **named)
            except RecordError as error:
                self.say(*error.sentences)
            except Exception:
                number = fault_number()
                log.exception("fault %s", number)
                self.say(
                    f"Something went wrong on our side (error {number} in the server log). The "
                    "page is back in its last working state; try another value."
                )
            else:
                if clears and self._sayings == said_before:
                    self.clear()
                return result
            return None

        return guarded

    def button(
        self, name: str, action: Callable[[], None], tooltip: str | None = None, **named
    ) -> widgets.Button:
        """A button whose action runs inside the guard."""
        return widgets.button(name, tooltip, self.guard(action), **named)

    def say(self, *texts: str) -> None:
        """Show sentences in place of what was said before."""
        self._sayings += 1
        said = sentences(texts, "ge-fault-line")
        self.widget.value = Markup('<div role="alert">{}</div>').format(said)
        self.widget.add_class("ge-fault")
        widgets.show_if(True, self.widget)

    def clear(self) -> None:
        """Say nothing any more."""
        self.widget.value = ""
        self.widget.remove_class("ge-fault")
        widgets.show_if(False, self.widget)

"""The shell that makes a visitor's page: a fault of ours goes to the log, not to the visitor."""

import logging
import sys

from ipykernel.zmqshell import ZMQInteractiveShell

from explorer.serve.bounded_log import BoundedLog
from explorer.serve.fault_number import FAULT_TYPE, fault_number

log = logging.getLogger("explorer")


class VisitorShell(ZMQInteractiveShell):
    """Stock shell, except that no traceback leaves it for the browser.

    IPython would send it over the websocket to the page: for a page that could not be made, and for
    a callback that failed outside `explorer.app.faults.Faults.guard`. The server's template shows
    a sentence and the number; the log has the number beside the traceback.
    """

    def _showtraceback(
        self, etype: type[BaseException], evalue: BaseException, stb: list[str]
    ) -> None:
        number = fault_number()
        log.error("fault %s", number, exc_info=(etype, evalue, evalue.__traceback__))
        self.display_pub.publish({FAULT_TYPE: {"number": number}})


def keep_from_the_visitor() -> None:
    """Let what is written to the standard error stream, logs too, go to the server's own.

    Stock ipykernel sends it to the browser, and nowhere else.
    """
    sys.stderr = BoundedLog(sys.__stderr__)

"""The line between a page and its kernel: only a page's messages, and no more than it can need."""

import time
from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from tornado.iostream import StreamBufferFullError

from explorer.serve.messages import HEARD_BY_A_PAGE, is_allowed

LARGEST_MESSAGE = 10 * 2**20
"""Largest message from a page [byte]: uploads of 8 MB (explorer/records) and what goes around them.
One that is larger closes the line."""

MESSAGES_A_SECOND = 500.0
"""How many messages a page may send for long [1/s]; dragging a chart along sends some 240."""
MESSAGES_AT_ONCE = 2000.0
"""How many it may send after having been quiet [count]: a page of many charts that is laid out."""

BYTES_A_SECOND = 2.0 * 2**20
"""How much a page may send for long [byte/s]. A kernel at work reads nothing, and until then the
server keeps what was sent."""
BYTES_AT_ONCE = 3.0 * LARGEST_MESSAGE
"""How much it may send after having been quiet [byte]: several uploads, one after the other."""

LONGEST_BACKLOG = 32 * 2**20
"""How much the server keeps for a page that does not read [byte]; a page's whole state has some
2 MB, and a visitor could ask for it again and again without reading it."""

LINES_OF_A_KERNEL = 4
"""Most lines to one kernel [count]. A page has one; after a lost connection the old one may not
have been missed yet. Each takes the server some ten sockets."""

TOO_MUCH = 1008
"""Close code "policy violation" (RFC 6455, 7.4.1)."""


class Allowance:
    """So much at once, and so much a second for long.

    Parameters
    ----------
    at_once : float
        What may be taken after a pause.
    a_second : float
        What comes back each second.

    Examples
    --------
    >>> few = Allowance(at_once=2.0, a_second=0.001)
    >>> few.take(1.0), few.take(1.0), few.take(1.0)
    (True, True, False)
    """

    def __init__(self, at_once: float, a_second: float) -> None:
        self._most, self._rate = at_once, a_second
        self._left, self._since = at_once, time.monotonic()

    def take(self, amount: float) -> bool:
        """Take so much; False, and nothing is taken, if there is not so much."""
        now = time.monotonic()
        self._left = min(self._most, self._left + self._rate * (now - self._since))
        self._since = now
        if amount > self._left:
            return False
        self._left -= amount
        return True


class VisitorLine(ZMQChannelsWebsocketConnection):
    """Passes on what pages say and need to hear, and closes when there is too much of it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._messages = Allowance(MESSAGES_AT_ONCE, MESSAGES_A_SECOND)
        self._bytes = Allowance(BYTES_AT_ONCE, BYTES_A_SECOND)

    def handle_incoming_message(self, incoming_msg: str | bytes) -> None:
        if not (self._messages.take(1.0) and self._bytes.take(len(incoming_msg))):
            self.websocket_handler.close(TOO_MUCH, "Too many messages; reload the page.")
        elif is_allowed(incoming_msg, self.subprotocol):
            super().handle_incoming_message(incoming_msg)

    def handle_outgoing_message(self, stream: str, outgoing_msg: list[Any]) -> None:
        _, parts = self.session.feed_identities(outgoing_msg)
        # Signature, header, …
        if self.session.unpack(parts[1])["msg_type"] not in HEARD_BY_A_PAGE:
            return
        try:
            super().handle_outgoing_message(stream, outgoing_msg)
        except StreamBufferFullError:
            # Nobody reads at the other end, so saying goodbye would be waited for as well.
            self.websocket_handler.ws_connection.stream.close()

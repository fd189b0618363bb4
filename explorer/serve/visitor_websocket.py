"""The websocket between page and kernel: only a page's messages, no more than it can need."""

import time
from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from tornado.iostream import StreamBufferFullError

from explorer.serve.messages import HEARD_BY_A_PAGE, id_if_allowed

LARGEST_MESSAGE = 10 * 2**20
"""Largest message from a page [byte]: uploads of 8 MB (explorer/records) and what goes around them.
One that is larger closes the websocket."""

MESSAGES_PER_SECOND = 500.0
"""How many messages a page may send its kernel for long [1/s]; dragging a chart along sends some
240."""
MESSAGE_BURST = 2000.0
"""How many it may send after having been quiet [count]: a page of many charts that is laid out."""

BYTES_PER_SECOND = 2.0 * 2**20
"""How much a page may send its kernel for long [byte/s]."""
BYTE_BURST = 3.0 * LARGEST_MESSAGE
"""How much it may send after having been quiet [byte]: several uploads, one after the other."""

MOST_IN_FLIGHT = 32 * 2**20
"""How much may lie between a page and its kernel [byte]: a kernel at work reads nothing, and until
then the server keeps what was sent. More than may be sent at once, so that only who goes on sending
meets it."""

WRITE_BUFFER = 32 * 2**20
"""How much the server keeps for a page that does not read [byte]; a page's whole state has some
2 MB, and a visitor could ask for it again and again without reading it."""

WEBSOCKETS_PER_KERNEL = 4
"""Most websockets to one kernel [count]. A page has one; after a lost connection the old one may
not have been missed yet. Each takes the server some ten sockets."""

POLICY_VIOLATION = 1008
"""Close code "policy violation" (RFC 6455, 7.4.1)."""


class TokenBucket:
    """A token bucket: so much at once after a pause, and so much a second for long.

    >>> few = TokenBucket(capacity=2.0, per_second=0.001)
    >>> few.take(1.0), few.take(1.0), few.take(1.0)
    (True, True, False)
    """

    def __init__(self, capacity: float, per_second: float) -> None:
        self._capacity, self._rate = capacity, per_second
        self._left, self._since = capacity, time.monotonic()

    def take(self, amount: float) -> bool:
        """Take so much; False, and nothing is taken, if there is not so much."""
        now = time.monotonic()
        self._left = min(self._capacity, self._left + self._rate * (now - self._since))
        self._since = now
        if amount > self._left:
            return False
        self._left -= amount
        return True


class KernelInbox:
    """All that has been said to one kernel: how much of it, and what it has not dealt with yet.

    It is the kernel's and not a websocket's: who closes one and opens another has no more.

    >>> inbox = KernelInbox()
    >>> inbox.admit(100), inbox.begin("a", 100), inbox.begin("a", 100)
    (True, True, False)
    >>> inbox.admit(BYTE_BURST)
    False
    """

    def __init__(self) -> None:
        self._messages = TokenBucket(MESSAGE_BURST, MESSAGES_PER_SECOND)
        self._bytes = TokenBucket(BYTE_BURST, BYTES_PER_SECOND)
        self._unanswered: dict[str, int] = {}

    def admit(self, size: int) -> bool:
        """Whether a message of so many bytes may come; if so it is counted."""
        if sum(self._unanswered.values()) + size > MOST_IN_FLIGHT:
            return False
        return self._messages.take(1.0) and self._bytes.take(size)

    def begin(self, number: str, size: int) -> bool:
        """Note a message that goes to the kernel; False for an id that is on its way already."""
        if number in self._unanswered:
            return False
        self._unanswered[number] = size
        return True

    def end(self, number: str | None) -> None:
        """The kernel has dealt with a message, of whomever it was."""
        self._unanswered.pop(number, None)


class VisitorWebsocket(ZMQChannelsWebsocketConnection):
    """Passes on what pages say and need to hear, and closes when there is too much of it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._inbox: KernelInbox = self.multi_kernel_manager.inboxes[self.kernel_id]
        self._connected = False
        self._refused = False

    def connect(self) -> Any:
        self._connected = True
        return super().connect()

    def disconnect(self) -> None:
        # Stock counts down as well for one given up before it was connected, or ended twice. A
        # kernel with a wrong count is kept for good when nobody looks, or culled while somebody
        # does.
        if self._connected:
            self._connected = False
            super().disconnect()
        elif self._open_sessions.get(self.session_key) is self.websocket_handler:
            del self._open_sessions[self.session_key]

    def handle_incoming_message(self, incoming_msg: str | bytes) -> None:
        if self._refused:
            # What was sent before the page learned of it: not at the expense of the other
            # websockets.
            return
        size = len(incoming_msg)
        if not self._inbox.admit(size):
            self._refused = True
            self.websocket_handler.close(POLICY_VIOLATION, "Too many messages; reload the page.")
            return
        number = id_if_allowed(incoming_msg, self.subprotocol)
        if number is not None and self._inbox.begin(number, size):
            super().handle_incoming_message(incoming_msg)

    def handle_outgoing_message(self, stream: str, outgoing_msg: list[Any]) -> None:
        _, (_, header, parent, _, content, *_) = self.session.feed_identities(outgoing_msg)
        kind = self.session.unpack(header)["msg_type"]
        if kind not in HEARD_BY_A_PAGE:
            return
        if kind == "status" and self.session.unpack(content)["execution_state"] == "idle":
            self._inbox.end(self.session.unpack(parent).get("msg_id"))
        try:
            super().handle_outgoing_message(stream, outgoing_msg)
        except StreamBufferFullError:
            # Nobody reads at the other end, so saying goodbye would be waited for as well.
            self.websocket_handler.ws_connection.stream.close()

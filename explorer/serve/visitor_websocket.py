"""The websocket between page and kernel: only a page's messages, no more than it can need."""

import json
import time
from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from jupyter_client.session import DELIM
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from tornado.iostream import StreamBufferFullError

from explorer.serve.adapters.jupyter_server import WEBSOCKET, forget_session
from explorer.serve.adapters.names import misfits
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

MOST_UNANSWERED = 50
"""How many messages a kernel may have before it at once [count]; a control has one there."""
MOST_UNANSWERED_PACED = 4
"""The same for one that has taken too much of the processors (explorer/serve/fair_share.py)."""
MOST_HELD = 500
"""With how many more held back the server reads on [count]: two seconds of a chart dragged along.
They go with their websocket; what a kernel has been given it would work through for nobody."""

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


class Message(NamedTuple):
    """A message on its way: how large it is [byte], whose websocket's, what sends it on."""

    size: int
    websocket: object
    send: Callable[[], None]


class KernelInbox:
    """All that has been said to one kernel: how much of it, and what it has not dealt with yet.

    It is the kernel's and not a websocket's: who closes one and opens another has no more.

    >>> inbox = KernelInbox()
    >>> inbox.admit(100), inbox.put("a", Message(100, None, lambda: print("sent")))
    sent
    (True, True)
    >>> inbox.admit(MOST_IN_FLIGHT)
    False
    """

    def __init__(self) -> None:
        self._messages = TokenBucket(MESSAGE_BURST, MESSAGES_PER_SECOND)
        self._bytes = TokenBucket(BYTE_BURST, BYTES_PER_SECOND)
        self._given: dict[str, Message] = {}
        self._held: dict[str, Message] = {}
        self._most, self._paused = MOST_UNANSWERED, False

    def __len__(self) -> int:
        """How many messages the kernel has been given and not dealt with."""
        return len(self._given)

    def admit(self, size: int) -> bool:
        """Whether a message of so many bytes may come; if so it is counted."""
        here = sum(each.size for some in (self._given, self._held) for each in some.values())
        if here + size > MOST_IN_FLIGHT:
            return False
        return self._messages.take(1.0) and self._bytes.take(size)

    @property
    def is_full(self) -> bool:
        """Whether no more is to be read for the time being."""
        return len(self._held) >= MOST_HELD

    def put(self, number: str, message: Message) -> bool:
        """Send a message on, now or in its turn; False for an id that is on its way already."""
        if number in self._given or number in self._held:
            return False
        self._held[number] = message
        self._send_on()
        return True

    def _send_on(self) -> None:
        while self._held and not self._paused and len(self._given) < self._most:
            number = next(iter(self._held))
            self._given[number] = message = self._held.pop(number)
            message.send()

    @property
    def backlog(self) -> int:
        """How many messages the kernel has not dealt with, given to it or held back [count]."""
        return len(self._given) + len(self._held)

    def pause(self, paused: bool) -> None:
        """Hold back what comes for the time being, or go on; who was paused has fewer at once."""
        self._paused = paused
        if paused:
            self._most = MOST_UNANSWERED_PACED
        else:
            self._send_on()

    def hear(self, published: list[bytes]) -> None:
        """Note what a kernel publishes if it is the word that a message has been dealt with.

        One that the same websocket sent before has been dealt with as well, heard of or not.
        """
        if not published[0].endswith(b".status"):
            return
        _, _, parent, _, content, *_ = published[published.index(DELIM) + 1 :]
        number = json.loads(parent).get("msg_id")
        if json.loads(content)["execution_state"] != "idle" or number not in self._given:
            return
        websocket = self._given[number].websocket
        for earlier in [name for name, each in self._given.items() if each.websocket is websocket]:
            del self._given[earlier]
            if earlier == number:
                break
        self._send_on()

    def forget(self, websocket: object) -> None:
        """Drop what a websocket that has ended wanted to have sent."""
        self._held = {
            name: each for name, each in self._held.items() if each.websocket is not websocket
        }


class CheckedWebsocket(ZMQChannelsWebsocketConnection):
    """Passes on what pages say and need to hear, and closes when there is too much of it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._inbox: KernelInbox = self.multi_kernel_manager.inboxes[self.kernel_id]
        self._refused = False

    def connect(self) -> Any:
        # A kernel answers in several small messages: none waits until the last one is acknowledged.
        self.websocket_handler.set_nodelay(True)
        return super().connect()

    def handle_incoming_message(self, incoming_msg: str | bytes) -> None:
        # What was sent before the page learned of a refusal is not at the others' expense.
        if not self.admit(len(incoming_msg)):
            return
        number = id_if_allowed(incoming_msg, self.subprotocol)
        if number is not None:
            send = partial(super().handle_incoming_message, incoming_msg)
            self._inbox.put(number, Message(len(incoming_msg), self, send))

    @property
    def must_wait(self) -> bool:
        """Whether the page's next message is left unread; not once nobody is at the other end."""
        return self._inbox.is_full and not self.websocket_handler.ws_connection.stream.closed()

    def admit(self, size: int) -> bool:
        """Whether so many bytes may come, of a message or a ping; if not, the websocket ends."""
        if not self._refused and not self._inbox.admit(size):
            self._refused = True
            self.websocket_handler.close(POLICY_VIOLATION, "Too many messages; reload the page.")
        return not self._refused

    def disconnect(self) -> None:
        self._inbox.forget(self)
        super().disconnect()

    def handle_outgoing_message(self, stream: str, outgoing_msg: list[Any]) -> None:
        _, (_, header, *_) = self.session.feed_identities(outgoing_msg)
        if self.session.unpack(header)["msg_type"] not in HEARD_BY_A_PAGE:
            return
        try:
            super().handle_outgoing_message(stream, outgoing_msg)
        except StreamBufferFullError:
            # Nobody reads at the other end, so saying goodbye would be waited for as well.
            self.websocket_handler.ws_connection.stream.close()


class VisitorWebsocket(CheckedWebsocket):
    """The same, counted while it is connected.

    Stock counts down as well for one given up before it was connected, or ended twice. A kernel
    with a wrong count is kept for good when nobody looks, or culled while somebody does.
    """

    _connected = False

    def connect(self) -> Any:
        self._connected = True
        return super().connect()

    def disconnect(self) -> None:
        if self._connected:
            self._connected = False
            super().disconnect()
        else:
            self._inbox.forget(self)
            forget_session(self)


def websocket_class() -> type[CheckedWebsocket]:
    """What serves websockets with the library that is here."""
    return CheckedWebsocket if misfits(WEBSOCKET) else VisitorWebsocket

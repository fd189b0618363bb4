"""The websocket between a scripted visitor and its kernel, in the form that browsers use."""

import json
import time
import uuid
from collections.abc import Callable

from jupyter_server.services.kernels.connection.base import (
    deserialize_msg_from_ws_v1,
    serialize_msg_to_ws_v1,
)
from tornado.httpclient import HTTPRequest
from tornado.websocket import WebSocketClientConnection, websocket_connect

VERSION_1 = "v1.kernel.websocket.jupyter.org"


class PageWebsocket:
    """Sends messages to a kernel. To be had from `open`."""

    def __init__(self, session: str) -> None:
        self._session = session
        self._connection: WebSocketClientConnection | None = None

    @classmethod
    async def open(
        cls, address: str, headers: dict[str, str], seconds: float, hear: Callable
    ) -> "PageWebsocket":
        """Connect to the channels of a kernel.

        Parameters
        ----------
        address : str
            Of the channels, beginning with http.
        headers : dict of str to str
            Cookie and origin.
        seconds : float
            Longest wait [s].
        hear : callable
            Is given every message, and None when the websocket has been closed.
        """
        websocket = cls(str(uuid.uuid4()))
        websocket._connection = await websocket_connect(
            HTTPRequest(
                f"{address.replace('http', 'ws', 1)}?session_id={websocket._session}",
                headers=headers,
                connect_timeout=seconds,
            ),
            on_message_callback=hear,
            compression_options={},  # offered by every browser; the server decides
            max_message_size=100 * 2**20,
            subprotocols=[VERSION_1],
        )
        return websocket

    def say(self, kind: str, content: dict, metadata: dict | None = None) -> str:
        """Send a message to the kernel; returns its id."""
        number = str(uuid.uuid4())
        header = {
            "date": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()),
            "msg_id": number,
            "msg_type": kind,
            "session": self._session,
            "username": "",
            "version": "5.2",
        }
        parts = [json.dumps(part).encode() for part in (header, {}, metadata or {}, content)]
        self._connection.write_message(serialize_msg_to_ws_v1(parts, "shell"), binary=True)
        return number

    def ask_for_states(self) -> None:
        """Ask for the states of all widgets, as a page does first."""
        control = str(uuid.uuid4())
        self.say("kernel_info_request", {})
        opening = {"comm_id": control, "target_name": "jupyter.widget.control", "data": {}}
        self.say("comm_open", opening, {"version": "1.0.0"})
        self.say("comm_msg", {"comm_id": control, "data": {"method": "request_states"}})
        self.say("comm_close", {"comm_id": control, "data": {}})

    @property
    def why_closed(self) -> str:
        """Code and reason that the server gave."""
        return f"code {self._connection.close_code}, {self._connection.close_reason}"

    def close(self) -> None:
        """Close the websocket."""
        self._connection.close()


def take_apart(raw: bytes) -> tuple[str, bytes, bytes]:
    """Kind, parent's header and content of a message; the latter two not yet read."""
    _, (header, parent, _, content, *_) = deserialize_msg_from_ws_v1(raw)
    return json.loads(header)["msg_type"], parent, content

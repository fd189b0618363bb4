"""A visitor without a browser, who may say anything: HTTP as typed, and the websocket."""

import asyncio
import contextlib
import http.client
import json
import re
import uuid
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

from jupyter_server.services.kernels.connection.base import (
    deserialize_binary_message,
    deserialize_msg_from_ws_v1,
    serialize_binary_message,
    serialize_msg_to_ws_v1,
)
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

VERSION_1 = "v1.kernel.websocket.jupyter.org"
FORMS = ("JSON", "JSON with buffers", "version 1")
"""The forms of a message (jupyter_server, "WebSocket kernel wire protocols")."""

ANSWER_SECONDS = 30.0
ASKED_AGAIN = 3


@dataclass
class Answer:
    """What the server answered to a request."""

    status: int
    headers: http.client.HTTPMessage
    text: str


def ask(
    url: str, path: str, method: str = "GET", headers: dict | None = None, body: Any = None
) -> Answer:
    """Ask for a path exactly as written; `http.client` does not tidy it up."""
    parts = urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=60)
    try:
        connection.request(method, path, body=body, headers=headers or {})
        answer = connection.getresponse()
        return Answer(answer.status, answer.headers, answer.read().decode())
    finally:
        connection.close()


@dataclass
class Visit:
    """A page that has been opened."""

    url: str
    html: str
    kernel_id: str
    token: str

    @classmethod
    def begin(cls, url: str, page: str, headers: dict | None = None) -> "Visit":
        answer = ask(url, page, headers=headers)
        assert answer.status == 200, answer.text
        kernel_id = re.search(r'"kernelId": "([^"]+)"', answer.text)[1]
        token = re.search(r'_xsrf="?([^;"]+)', answer.headers["Set-Cookie"])[1]
        return cls(url, answer.text, kernel_id, token)

    @property
    def kernel(self) -> str:
        """Path of the kernel."""
        return f"/api/kernels/{self.kernel_id}"

    def end(self, **headers: str) -> Answer:
        """Say that the page has been closed, as the page itself does."""
        own = {"Cookie": f"_xsrf={self.token}", "X-XSRFToken": self.token}
        return ask(self.url, f"/voila/api/shutdown/{self.kernel_id}", "POST", own | headers)

    @asynccontextmanager
    async def websocket(
        self, form: str = "version 1", origin: str | None = None, session: str = "visitor"
    ) -> AsyncIterator["KernelWebsocket"]:
        """A websocket to the page's kernel."""
        parts = urlsplit(self.url)
        request = HTTPRequest(
            f"ws://{parts.netloc}{self.kernel}/channels?session_id={session}",
            headers={"Origin": origin} if origin else {},
            request_timeout=60,
        )
        arrived: asyncio.Queue[str | bytes | None] = asyncio.Queue()
        connection = await websocket_connect(
            request,
            subprotocols=[VERSION_1] if form == "version 1" else None,
            max_message_size=100 * 2**20,
            on_message_callback=arrived.put_nowait,
        )
        websocket = KernelWebsocket(connection, form, arrived)
        try:
            yield websocket
        finally:
            connection.close()
            await websocket.closing_code()


def upgrade(url: str, path: str, *headers: str) -> bytes:
    """The request that turns a connection into a websocket (RFC 6455, 4.1)."""
    lines = [
        *(f"GET {path} HTTP/1.1", f"Host: {urlsplit(url).netloc}"),
        *("Upgrade: websocket", "Connection: Upgrade"),
        *("Sec-WebSocket-Version: 13", "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==", *headers),
    ]
    return "".join(f"{line}\r\n" for line in [*lines, ""]).encode()


def frame(message: str | bytes) -> bytes:
    """A message as it goes over a websocket, masked with zeros (RFC 6455, 5.2)."""
    code = 0x81 if isinstance(message, str) else 0x82
    payload = message.encode() if isinstance(message, str) else message
    return bytes([code, 0xFF]) + len(payload).to_bytes(8, "big") + bytes(4) + payload


@dataclass
class KernelWebsocket:
    """A websocket to a kernel."""

    connection: Any
    form: str
    arrived: asyncio.Queue
    heard: list[dict] = field(default_factory=list)
    """Every message so far."""
    raw: list[str | bytes] = field(default_factory=list)

    def packed(
        self,
        kind: str,
        content: Any,
        channel: str = "shell",
        metadata: Any = None,
        buffers: tuple[bytes, ...] = (),
        **header: Any,
    ) -> tuple[str, str | bytes]:
        """Id of a message, and the message in the form of this websocket."""
        number = uuid.uuid4().hex
        own = {"msg_id": number, "msg_type": kind, "username": "", "session": "visitor"}
        own |= {"version": "5.3", "date": "2026-11-25T12:00:00Z"} | header
        parts = {"header": own, "parent_header": {}, "metadata": metadata or {}}
        parts["content"] = content
        if self.form == "version 1":
            encoded = [json.dumps(part).encode() for part in parts.values()]
            return number, serialize_msg_to_ws_v1([*encoded, *buffers], channel)
        message = parts | {"channel": channel}
        if self.form == "JSON with buffers":
            return number, serialize_binary_message(message | {"buffers": list(buffers)})
        return number, json.dumps(message | {"buffers": []})

    async def write(self, message: str | bytes) -> None:
        await self.connection.write_message(message, binary=isinstance(message, bytes))

    async def say(self, kind: str, content: Any, **more: Any) -> str:
        """Send a message; returns its id."""
        number, message = self.packed(kind, content, **more)
        await self.write(message)
        return number

    async def update(self, comm_id: str, **state: Any) -> str:
        """Change a widget, as a control in the browser does."""
        data = {"method": "update", "state": state, "buffer_paths": []}
        return await self.say("comm_msg", {"comm_id": comm_id, "data": data})

    async def next(self) -> dict:
        raw = await asyncio.wait_for(self.arrived.get(), ANSWER_SECONDS)
        if raw is None:
            self.arrived.put_nowait(None)
            raise ConnectionError(f"the websocket was closed: {self.connection.close_code}")
        self.raw.append(raw)
        if self.form == "version 1":
            channel, parts = deserialize_msg_from_ws_v1(raw)
            names = ("header", "parent_header", "metadata", "content")
            message = {name: json.loads(part) for name, part in zip(names, parts, strict=False)}
            message["channel"] = channel
        elif isinstance(raw, bytes):
            message = deserialize_binary_message(raw)
        else:
            message = json.loads(raw)
        self.heard.append(message)
        return message

    async def settle(self) -> None:
        """Wait until the kernel has dealt with everything said before."""
        asked = set()
        for _ in range(ASKED_AGAIN):
            asked.add(await self.say("kernel_info_request", {}))
            # What a kernel publishes while its new websocket is being tried is not passed on.
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(ANSWER_SECONDS / ASKED_AGAIN):
                    while not self._is_idle_after(asked, await self.next()):
                        pass
                return
        raise TimeoutError("the kernel said nothing")

    def _is_idle_after(self, asked: set[str], message: dict) -> bool:
        return (
            message["header"]["msg_type"] == "status"
            and message["content"]["execution_state"] == "idle"
            and message["parent_header"].get("msg_id") in asked
        )

    async def states(self) -> dict[str, dict]:
        """The states of all widgets, asked for as a page does."""
        await self.say(
            "comm_open",
            {"comm_id": "control", "target_name": "jupyter.widget.control", "data": {}},
            metadata={"version": "1.0.0"},
        )
        data = {"method": "request_states"}
        await self.say("comm_msg", {"comm_id": "control", "data": data})
        while True:
            message = await self.next()
            if message["header"]["msg_type"] == "comm_msg":
                said = message["content"]["data"]
                if said["method"] == "update_states":
                    break
        await self.say("comm_close", {"comm_id": "control", "data": {}})
        return {name: told["state"] for name, told in said["states"].items()}

    async def closing_code(self) -> int | None:
        """Wait until the server has closed the websocket."""
        while await asyncio.wait_for(self.arrived.get(), ANSWER_SECONDS) is not None:
            pass
        self.arrived.put_nowait(None)
        return self.connection.close_code

    def answered(self, numbers: set[str]) -> list[str]:
        """Types of what was heard in answer to these messages."""
        return [
            message["header"]["msg_type"]
            for message in self.heard
            if message["parent_header"].get("msg_id") in numbers
        ]

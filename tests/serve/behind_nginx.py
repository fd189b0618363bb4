"""Visitors of two workers behind one address, as their browsers ask and hear."""

import asyncio
import http.client
import http.server
import json
from collections.abc import Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import WebSocketClientConnection, websocket_connect

T = TypeVar("T")


# RFC 5737 sets 203.0.113.0/24 aside for documentation: no machine of ours has it.
ELSEWHERE = "203.0.113.7"


@dataclass
class Site:
    """nginx and its workers."""

    port: int
    folder: Path
    workers: dict[str, object]
    """The servers, by the cookie that leads to each."""

    @property
    def log(self) -> str:
        return (self.folder / "gearing.log").read_text()


@dataclass
class Visitor:
    """A browser: keeps cookies, asks nginx."""

    site: Site
    cookies: dict[str, str] = field(default_factory=dict)
    kernel: str = ""

    @property
    def headers(self) -> dict[str, str]:
        kept = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        # What a stranger may say of where a request comes from.
        return {"Cookie": kept, "X-Forwarded-For": ELSEWHERE}

    def ask(self, path: str, method: str = "GET", **headers: str):
        connection = http.client.HTTPConnection("127.0.0.1", self.site.port, timeout=60)
        try:
            named = {name.replace("_", "-"): text for name, text in headers.items()}
            connection.request(method, path, headers=self.headers | named)
            answer = connection.getresponse()
            for cookie in answer.headers.get_all("Set-Cookie", []):
                name, value = cookie.split(";")[0].split("=", 1)
                self.cookies[name] = value.strip('"')
            return answer.status, answer.headers, answer.read()
        finally:
            connection.close()

    def open(self, query: str) -> str:
        """Open the page; returns its text."""
        status, _, body = self.ask(f"/gearing/page?{query}")
        assert status == 200
        html = body.decode()
        self.kernel = html.split('"kernelId": "')[1].split('"')[0]
        return html

    @property
    def worker(self) -> str:
        return self.cookies["gearing_worker"]

    async def websocket(self) -> WebSocketClientConnection:
        """The page's websocket to its kernel."""
        host = f"127.0.0.1:{self.site.port}"
        request = HTTPRequest(
            f"ws://{host}/gearing/api/kernels/{self.kernel}/channels",
            headers=self.headers | {"Origin": f"http://{host}"},
        )
        return await websocket_connect(request)


async def until_closed(websocket: WebSocketClientConnection) -> None:
    async with asyncio.timeout(60):
        while await websocket.read_message() is not None:
            pass


@asynccontextmanager
async def websockets_of(visitors: dict[str, Visitor]):
    """The websockets of several visitors' pages, by their names."""
    websockets = {name: await visitor.websocket() for name, visitor in visitors.items()}
    try:
        yield websockets
    finally:
        for websocket in websockets.values():
            websocket.close()
            await until_closed(websocket)


def message(kind: str, content: dict, **metadata: str) -> str:
    header = {"msg_id": f"{kind} {content.get('comm_id')}", "msg_type": kind, "session": "visitor"}
    header |= {"username": "", "version": "5.3", "date": "2026-11-25T12:00:00Z"}
    parts = {"header": header, "parent_header": {}, "metadata": metadata, "content": content}
    return json.dumps({"channel": "shell", "buffers": [], **parts})


async def heard(websocket: WebSocketClientConnection, look: Callable[[dict], T | None]) -> T:
    """Wait for a message of a widget's in which something is found."""
    async with asyncio.timeout(60):
        while True:
            said = json.loads(await websocket.read_message())
            found = (
                look(said["content"].get("data", {})) if said["msg_type"] == "comm_msg" else None
            )
            if found is not None:
                return found


async def slider_of(websocket: WebSocketClientConnection) -> str:
    """Ask for all widgets, as a page does; returns the id of its slider."""
    opened = {"comm_id": "asking", "target_name": "jupyter.widget.control", "data": {}}
    await websocket.write_message(message("comm_open", opened, version="1.0.0"))
    asked = {"comm_id": "asking", "data": {"method": "request_states"}}
    await websocket.write_message(message("comm_msg", asked))
    states = await heard(websocket, lambda data: data.get("states"))
    [slider] = [key for key, each in states.items() if each["model_name"] == "IntSliderModel"]
    return slider


async def move(websocket: WebSocketClientConnection, slider: str, teeth: int) -> str:
    """Move the slider; returns what the page then says."""
    state = {"method": "update", "state": {"value": teeth}, "buffer_paths": []}
    await websocket.write_message(message("comm_msg", {"comm_id": slider, "data": state}))
    return await heard(websocket, lambda data: data.get("state", {}).get("value"))


def visitors_of_both(site: Site) -> dict[str, Visitor]:
    """One visitor for each worker, as nginx sends them there."""
    found: dict[str, Visitor] = {}
    # A visitor is sent to either with even chances: 40 to one worker come once in 10¹² tests.
    for _ in range(40):
        visitor = Visitor(site)
        assert visitor.ask("/gearing/")[0] == 200
        found.setdefault(visitor.worker, visitor)
        if len(found) == 2:
            return found
    pytest.fail(f"all visitors were sent to the same worker: {set(found)}")

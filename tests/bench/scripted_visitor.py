"""A visitor without a browser: opens the ground page, drags sliders, checks answers, leaves.

It speaks HTTP and a websocket as the page does. Like the sliders of ipywidgets it sends no value
while the answer to the last one is awaited, only the newest afterwards. Front, rear, slope and wind
are dragged equally often; the kernel answers each (front and rear of the bench would be answered in
the browser). Not done: drawing, and the twenty or so messages with which a browser says how large
its charts are when it has laid them out.
"""

import asyncio
import json
import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from tornado.httpclient import AsyncHTTPClient, HTTPRequest, HTTPResponse
from tornado.httputil import url_concat

from tests.bench.page_habits import Files
from tests.bench.page_websocket import PageWebsocket, take_apart
from tests.bench.right_answers import WrongAnswerError, first_states, wrong_in, wrong_words
from tests.bench.seen_answers import Answer, Seen

LONGEST_WAIT = 60.0
"""A visitor who waits longer than this for anything is an error [s]."""
STEP = 0.1
"""A hand that drags moves a slider by one tooth in this time [s]."""
DRAG = (1.5, 4.0)
"""Shortest and longest drag [s]."""
LOOK = (2.0, 6.0)
"""Shortest and longest pause to look at what came of it [s]."""
FILES_AT_ONCE = 6
"""A browser's connections to one host."""


class NoPlaceError(Exception):
    """The waiting page came instead of the page; `seconds` later it may be asked for again."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds


@dataclass
class _Awaited:
    message: str
    moved: float
    sent: float
    places: dict[str, float]
    link: str = ""


class Visitor:
    """One visitor, with a bike and a weight to tell them from others.

    Args:
        url: Address of the front page.
        files: Paths of what a browser asks for besides.
        link: The set-up that the visitor's link carries, "front" and "rear" among it.
        seen: Where answers are noted.
        chance: Where the hand goes, and for how long.
    """

    def __init__(
        self, url: str, files: Files, link: dict[str, str], seen: Seen, chance: random.Random
    ) -> None:
        self._url, self._paths, self._link = url, files, link
        # As a web server in front tells it: each visitor comes from an address of their own.
        self._address = (
            f"10.{chance.randrange(256)}.{chance.randrange(256)}.{chance.randrange(256)}"
        )
        self._seen, self._chance = seen, chance
        parts = urlsplit(url)
        self._host = f"{parts.scheme}://{parts.netloc}"
        self._kernel = self._token = ""
        self._websocket: PageWebsocket | None = None
        self._awaited: _Awaited | None = None
        self._held: tuple[str, float, float] | None = None  # slider, value, when moved
        self._names: dict[str, str] = {}  # of the widgets that are listened to, by comm id
        self._sliders: dict[str, dict[str, Any]] = {}
        self._places: dict[str, float] = {}
        self._said = self._glance = ""
        self._fault: Exception | None = None
        self._news = asyncio.Event()

    async def come(self) -> None:
        """Open the page, with everything that a browser asks for, until all widgets are known."""
        started = time.perf_counter()
        answer = await self._ask(url_concat(f"{self._url}ground", self._link))
        if answer.code == 503:
            raise NoPlaceError(float(answer.headers["Retry-After"]))
        html = answer.body.decode()
        cookie = answer.headers["Set-Cookie"].split(";")[0]
        self._token = cookie.removeprefix("_xsrf=").strip('"')
        if '"kernelId": "' not in html:
            raise WrongAnswerError(f"status {answer.code}, and no kernel on the page")
        self._kernel = html.split('"kernelId": "')[1].split('"')[0]
        if 'class="ge-broken"' in html or "data-view" not in html:
            raise WrongAnswerError("the page came without its widgets")
        # A browser asks for them while the page is still on its way.
        await self._files()
        await self._ask(f"{self._url}api/kernels/{self._kernel}", well=True)
        await self._connect()
        self._seen.pages.append(time.perf_counter() - started)

    async def drag_until(self, end: float, leave: asyncio.Event) -> None:
        """Drag and look, again and again, until a time of `time.perf_counter` or until told."""
        while time.perf_counter() < end and not leave.is_set():
            await self._drag()
            await _pause(self._chance.uniform(*LOOK), leave)

    async def go(self) -> None:
        """Leave as a tab that is closed: say so with the cookie, and close the websocket."""
        if self._kernel:
            address = f"{self._url}voila/api/shutdown/{self._kernel}"
            answer = await self._ask(address, method="POST", body=f"_xsrf={self._token}")
            self._kernel = ""
            if answer.code != 204:
                raise WrongAnswerError(f"saying goodbye was answered with status {answer.code}")
        if self._websocket is not None:
            self._websocket.close()

    async def _ask(
        self, address: str, method: str = "GET", body: str | None = None, well: bool = False
    ) -> HTTPResponse:
        headers = {"X-Real-IP": self._address}
        headers |= {"Cookie": f"_xsrf={self._token}"} if self._token else {}
        answer = await AsyncHTTPClient().fetch(
            HTTPRequest(
                address,
                method=method,
                headers=headers,
                body=body,
                connect_timeout=LONGEST_WAIT,
                request_timeout=LONGEST_WAIT,
                decompress_response=True,
            ),
            raise_error=False,
        )
        if answer.code == 599:
            raise TimeoutError(f"no answer from {urlsplit(address).path}: {answer.error}")
        if well and answer.code != 200:
            raise WrongAnswerError(f"{urlsplit(address).path} answered with status {answer.code}")
        return answer

    async def _files(self) -> None:
        """All scripts and styles, as many at once as a browser asks for."""
        left = list(reversed(self._paths))

        async def fetch() -> None:
            while left:
                await self._ask(f"{self._host}{left.pop()}", well=True)

        await asyncio.gather(*(fetch() for _ in range(FILES_AT_ONCE)))

    async def _connect(self) -> None:
        self._websocket = await PageWebsocket.open(
            f"{self._url}api/kernels/{self._kernel}/channels",
            {"Cookie": f"_xsrf={self._token}", "Origin": self._host},
            LONGEST_WAIT,
            self._hear,
        )
        self._websocket.ask_for_states()
        await self._until(lambda: self._sliders, "the states of the widgets")

    async def _drag(self) -> None:
        """Move one slider to and fro for a while, then wait for the last answer and the words."""
        name = self._chance.choice(list(self._sliders))
        slider = self._sliders[name]
        way = self._chance.choice((-1, 1))
        place = self._places[name]
        before = dict(self._places)
        for _ in range(round(self._chance.uniform(*DRAG) / STEP)):
            if not slider["min"] <= place + way <= slider["max"] or self._chance.random() < 0.1:
                way = -way
            if not slider["min"] <= place + way <= slider["max"]:
                way = -way
            place += way
            self._move(name, place)
            await asyncio.sleep(STEP)  # the pace of the hand
            self._raise_fault()
        await self._until(lambda: self._awaited is None, f"the answer to {name} {place}")
        if self._places != before:
            places = self._places
            await self._until(lambda: not wrong_words(self._said, places), f"words on {places}")

    def _move(self, name: str, value: float) -> None:
        """The hand has moved a slider: send it now, or once the answer awaited has come."""
        now = time.perf_counter()
        self._seen.moves += 1
        if self._awaited is None:
            self._send(name, value, now)
        else:
            self._held = (name, value, now)

    def _send(self, name: str, value: float, moved: float) -> None:
        self._places[name] = value
        data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        sent = time.perf_counter()
        number = self._websocket.say(
            "comm_msg", {"comm_id": self._sliders[name]["comm"], "data": data}
        )
        self._awaited = _Awaited(number, moved, sent, dict(self._places))

    def _hear(self, raw: str | bytes | None) -> None:
        """A message from the server; whatever is wrong with it ends the visit."""
        try:
            if raw is None:
                raise WrongAnswerError(f"the websocket was closed: {self._websocket.why_closed}")
            self._read(raw)
        except Exception as fault:
            # What came after it counts no more.
            self._fault = self._fault or fault
        self._news.set()

    def _read(self, raw: bytes) -> None:
        kind, parent, content = take_apart(raw)
        if kind == "comm_msg":
            said = json.loads(content)
            self._read_widget(said["comm_id"], said["data"], parent)
        elif kind == "status" and self._awaited and self._is_answer(parent):
            if json.loads(content)["execution_state"] == "idle":
                self._finish(self._awaited)
        elif kind == "error":
            raise WrongAnswerError(f"the kernel sent an error: {content[:300]!r}")

    def _is_answer(self, parent: bytes) -> bool:
        return self._awaited is not None and self._awaited.message.encode() in parent

    def _read_widget(self, comm: str, data: dict, parent: bytes) -> None:
        if data["method"] == "update_states":
            self._names, self._sliders, texts = first_states(data["states"], self._link)
            self._said, self._glance = texts["words"], texts["glance"]
            self._places = {name: slider["value"] for name, slider in self._sliders.items()}
            return
        name = self._names.get(comm)
        if name == "words":
            self._said = data["state"].get("value", self._said)
        elif name == "glance":
            self._glance = data["state"]["value"]
        elif name == "link" and self._is_answer(parent):
            self._awaited.link = data["state"]["value"]

    def _finish(self, answered: _Awaited) -> None:
        """The kernel has done with what was sent: check it, note it, send what was held back."""
        done = time.perf_counter() - answered.sent
        self._awaited = None
        complaint = wrong_in(self._glance, answered.link, answered.places, self._link)
        if complaint:
            raise WrongAnswerError(complaint)
        self._seen.answers.append(Answer(answered.moved, answered.sent, done))
        if self._held:
            (name, value, moved), self._held = self._held, None
            if value != self._places[name]:
                self._send(name, value, moved)

    def _raise_fault(self) -> None:
        if self._fault:
            raise self._fault

    async def _until(self, ready: Callable[[], Any], what: str) -> None:
        """Wait until what comes over the websocket has made something true."""
        end = time.perf_counter() + LONGEST_WAIT
        while not ready():
            self._raise_fault()
            self._news.clear()
            try:
                await asyncio.wait_for(self._news.wait(), end - time.perf_counter())
            except TimeoutError:
                raise TimeoutError(f"{what} did not come within {LONGEST_WAIT:.0f} s") from None
        self._raise_fault()


async def _pause(seconds: float, leave: asyncio.Event) -> None:
    """Wait so long, or until told to leave."""
    try:
        await asyncio.wait_for(leave.wait(), seconds)
    except TimeoutError:
        return

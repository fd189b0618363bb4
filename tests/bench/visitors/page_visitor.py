"""A visitor without a browser, on whatever page: HTTP and a websocket, as the page has them."""

import asyncio
import random
import time
from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from tornado.httpclient import AsyncHTTPClient, HTTPRequest, HTTPResponse
from tornado.httputil import url_concat

from tests.bench.visitors.page_habits import Files
from tests.bench.visitors.page_websocket import PageWebsocket
from tests.bench.visitors.right_answers import WrongAnswerError
from tests.bench.visitors.seen_answers import Seen

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


class PageVisitor:
    """Opens a page, hears what its kernel says, leaves.

    Args:
        url: Address of the front page.
        page: Name of the page.
        files: Paths of what a browser asks for besides.
        link: The set-up that the visitor's link carries.
        seen: Where answers are noted.
        chance: Where the hand goes, and for how long.
    """

    def __init__(
        self,
        url: str,
        page: str,
        files: Files,
        link: dict[str, str],
        seen: Seen,
        chance: random.Random,
    ) -> None:
        self._url, self._page, self._paths, self._link = url, page, files, link
        # As a web server in front tells it: each visitor comes from an address of their own.
        self._address = (
            f"10.{chance.randrange(256)}.{chance.randrange(256)}.{chance.randrange(256)}"
        )
        self.seen, self._chance = seen, chance
        parts = urlsplit(url)
        self._host = f"{parts.scheme}://{parts.netloc}"
        self._kernel = self._token = ""
        self._websocket: PageWebsocket | None = None
        self._html = ""
        self._fault: Exception | None = None
        self._news = asyncio.Event()

    async def come(self) -> None:
        """Open the page, with everything that a browser asks for, until all widgets are known."""
        started = time.perf_counter()
        answer = await self._ask(url_concat(f"{self._url}{self._page}", self._link))
        if answer.code == 503:
            raise NoPlaceError(float(answer.headers["Retry-After"]))
        html = self._html = answer.body.decode()
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
        self.seen.pages.append(time.perf_counter() - started)

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
        await self._until(self._knows_the_page, "the states of the widgets")

    def _knows_the_page(self) -> Any:
        """Whether the states of the widgets have come."""
        raise NotImplementedError

    def _read(self, raw: bytes) -> None:
        """Take a message of the kernel's in."""
        raise NotImplementedError

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


async def pause(seconds: float, leave: asyncio.Event) -> None:
    """Wait so long, or until told to leave."""
    try:
        await asyncio.wait_for(leave.wait(), seconds)
    except TimeoutError:
        return

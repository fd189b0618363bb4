"""A real Chromium that may ask our server and nobody else.

A browser test takes `open_page` and gets a Playwright page that is ready: widgets stand, charts
are drawn. At its end the test fails if the page asked another host for anything, or if the browser
logged an error.
"""

import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    Error,
    Page,
    Request,
    TimeoutError,
    expect,
    sync_playwright,
)

CHROMIUM_NAMES = (
    "chromium-headless-shell",  # Debian's without windows: a third less to compute
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
)
READY_MILLISECONDS = 120_000
"""Longest wait for a page: a cold kernel on two busy processors."""

NO_OTHER_HOST = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost"
"""The network is blocked in the browser: to look at each request here would take its cache away."""

GOING_SECONDS = 10.0
"""Longest wait for the kernel of a page that has been closed."""

expect.set_options(timeout=READY_MILLISECONDS)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder needs the browser."""
    for item in items:
        if "tests/browser/" in item.path.as_posix():
            item.add_marker("browser")


def find_chromium() -> str | None:
    """Path of an installed Chromium."""
    return next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)


class OneBrowser:
    """The browser of all tests of a worker; each test has a profile of its own in it.

    Playwright's event loop runs in this thread until it is stopped, so no other test can use
    ``asyncio.run`` meanwhile: the browser ends with the last browser test, not with the session.
    """

    def __init__(self) -> None:
        self._ends = ExitStack()
        self._browser: Browser | None = None

    def started(self) -> Browser:
        if self._browser is None:
            path = find_chromium()
            if path is None:
                say = pytest.fail if os.environ.get("REQUIRE_BROWSER") == "1" else pytest.skip
                say("no Chromium here; install Debian's package chromium, or Chrome")
            playwright = self._ends.enter_context(sync_playwright())
            self._browser = playwright.chromium.launch(
                executable_path=path,
                args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", NO_OTHER_HOST],
            )
            self._ends.callback(self._browser.close)
        return self._browser

    def end(self) -> None:
        self._browser = None
        self._ends.close()


_ONE_BROWSER = OneBrowser()


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(nextitem: pytest.Item | None) -> None:
    """Stop the browser where a test follows that needs none."""
    if nextitem is None or nextitem.get_closest_marker("browser") is None:
        _ONE_BROWSER.end()


@pytest.fixture(scope="module")
def chromium() -> Browser:
    """The browser. Without one the tests are skipped, or fail where REQUIRE_BROWSER=1 is set."""
    return _ONE_BROWSER.started()


class Watch:
    """What a page must not do: ask another host, log an error, throw."""

    def __init__(self, page: Page, host: str) -> None:
        self._host = host
        self.elsewhere: list[str] = []
        self.errors: list[str] = []
        page.on("request", self._note)
        page.on("websocket", lambda line: self._note_address(line.url))
        page.on("console", self._note_console)
        page.on("pageerror", lambda fault: self.errors.append(str(fault)))

    def _is_ours(self, address: str) -> bool:
        parts = urlsplit(address)
        return parts.scheme in ("data", "blob", "about") or parts.netloc == self._host

    def _note(self, request: Request) -> None:
        self._note_address(request.url)

    def _note_address(self, address: str) -> None:
        if not self._is_ours(address):
            self.elsewhere.append(address)

    def _note_console(self, message) -> None:
        if message.type == "error":
            self.errors.append(f"{message.text} ({message.location['url']})")


def close_tab(page: Page) -> None:
    """As a person closes a tab: the page tells the server that its kernel may go.

    Waits until it has gone, for that message ends with the browser's profile; a page that is still
    coming, or whose server has gone, sends none.
    """
    parts = urlsplit(page.url)
    kernel = page.evaluate("document.body?.dataset.kernelId")
    with page.expect_event("close"):
        page.close(run_before_unload=True)
    address = f"{parts.scheme}://{parts.netloc}/api/kernels/{kernel}"
    end = time.monotonic() + GOING_SECONDS
    with suppress(OSError, Error):
        while kernel and time.monotonic() < end:
            if page.context.request.get(address).status == 404:
                return
            time.sleep(0.05)


@contextmanager
def pages_in(browser: Browser) -> Iterator[Callable[..., Page]]:
    """What `open_url` gives; at the end its pages close, and what they must not do is told."""
    opened: list[Page] = []

    def open_it(address: str, width: int = 1280, height: int = 900) -> Page:
        context = browser.new_context(viewport={"width": width, "height": height})
        page = context.new_page()
        page.set_default_timeout(READY_MILLISECONDS)
        page.watch = Watch(page, urlsplit(address).netloc)
        opened.append(page)
        # "commit": a page is sent in pieces while its kernel works.
        page.goto(address, wait_until="commit")
        return page

    yield open_it
    faults = []
    for page in opened:
        faults += [f"asked another host: {address}" for address in page.watch.elsewhere]
        faults += [f"error in the browser: {text}" for text in page.watch.errors]
        if not page.is_closed():
            close_tab(page)
        page.context.close()
    assert not faults, "\n".join(faults)


def ready_pages(open_url: Callable[..., Page], server) -> Callable[..., Page]:
    """What `open_page` gives."""

    def open_it(name: str, query: str = "", on=server, **size: int) -> Page:
        page = open_url(f"{on.url}{name}" + (f"?{query}" if query else ""), **size)
        try:
            page.wait_for_selector("html[data-ready]", state="attached")
        except TimeoutError:
            pytest.fail(f"{name} did not get ready; it shows: {page.inner_text('body')[:500]!r}")
        return page

    return open_it


@pytest.fixture
def open_url(chromium: Browser) -> Iterator[Callable[..., Page]]:
    """Open an address in a browser profile of its own: ``open_url(address, width=1280)``.

    Does not wait for widgets. The page has the attribute ``watch``; a test that brings an error
    about on purpose looks at ``page.watch.errors`` and clears it.
    """
    with pages_in(chromium) as open_it:
        yield open_it


@pytest.fixture
def open_page(server, open_url) -> Callable[..., Page]:
    """Open a page and wait until all widgets stand and all charts are drawn.

    ``open_page("gearing", query="rear=48", width=390)``; another server by ``on=…``.
    """
    return ready_pages(open_url, server)


@pytest.fixture(scope="module")
def open_shared(server, chromium: Browser) -> Iterator[Callable[..., Page]]:
    """As `open_page`, for a page that stays open for all tests of a file: call it in a fixture.

    Only for tests that leave the page as another of them needs it, in whatever order they run.
    """
    with pages_in(chromium) as open_it:
        yield ready_pages(open_it, server)

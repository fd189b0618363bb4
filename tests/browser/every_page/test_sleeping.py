"""A page whose kernel or server has gone says so, and goes on where it was when it is reloaded."""

import asyncio
import re
import signal
import sys
from collections.abc import Coroutine
from contextlib import suppress
from threading import Event, Thread
from urllib.parse import urlsplit

import psutil
import pytest
from playwright.sync_api import Page, expect

from tests.browser.charts_in_page import wait_for_pair
from tests.browser.gone_kernel import wait_until_gone
from tests.conftest import PLACES, RunningServer, start_server, stop_all

pytestmark = pytest.mark.browser

NOTICE = "This page went to sleep: reload it to go on."

# The shipped command. Idle kernels are looked for each second instead of each minute; between two
# signals, it lets a kernel go that has been idle for a second, instead of for ten minutes.
_SERVE = """
import signal
import sys
from explorer.serve import settings
from explorer.serve.command import main
from explorer.serve.server import ExplorerServer

def end_idle_kernels(seconds):
    ExplorerServer.instance().kernel_manager.cull_idle_timeout = seconds

signal.signal(signal.SIGUSR1, lambda *_: end_idle_kernels(1))
signal.signal(signal.SIGUSR2, lambda *_: end_idle_kernels(settings.IDLE_SECONDS))
settings.IDLE_CHECK_SECONDS = 1
sys.exit(main())
"""


@pytest.fixture
def serve(tmp_path):
    """Start the server, on a free port or on one that is given; stopped at the end."""
    started: list[RunningServer] = []

    def start(port: int = 0) -> RunningServer:
        command = [sys.executable, "-c", _SERVE, "--port", str(port), "--pool", "0", "--no-browser"]
        started.append(start_server([*command, *PLACES], tmp_path / f"errors-{len(started)}.txt"))
        return started[-1]

    yield start
    stop_all(started)


class Line:
    """A way to the server that can be cut: passes on every byte, until then."""

    def __init__(self, port: int) -> None:
        self._to = port
        self._lost: set[str] = set()
        self.lost_last_word = Event()
        self._ends: set[asyncio.StreamWriter] = set()
        self._loop = asyncio.new_event_loop()
        self._thread = Thread(target=self._loop.run_forever)
        self._thread.start()
        self.port = 0
        self.mend()
        self.url = f"http://127.0.0.1:{self.port}/"

    def _do(self, work: Coroutine) -> None:
        asyncio.run_coroutine_threadsafe(work, self._loop).result(timeout=30)

    async def _pass_on(
        self, what: str, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> None:
        with suppress(OSError):
            while data := await reader.read(2**16):
                if what not in self._lost:
                    # Nobody agrees to deflate messages, so that their words can be looked for.
                    writer.write(data.replace(b"permessage-deflate", b"permessage-nothing"))
                elif b'"execution_state": "idle"' in data:
                    self.lost_last_word.set()
                await writer.drain()
        writer.close()

    async def _connected(self, reader, writer) -> None:
        self._ends.add(writer)
        try:
            far_reader, far_writer = await asyncio.open_connection("127.0.0.1", self._to)
        except OSError:
            return writer.close()
        ends = {writer, far_writer}
        self._ends |= ends
        await asyncio.gather(
            self._pass_on("questions", reader, far_writer),
            self._pass_on("answers", far_reader, writer),
        )
        self._ends -= ends

    def mend(self) -> None:
        """Let the page through again."""

        async def listen() -> None:
            self._lost.clear()
            self._server = await asyncio.start_server(self._connected, "127.0.0.1", self.port)
            self.port = self._server.sockets[0].getsockname()[1]

        self._do(listen())

    def lose(self, *what: str) -> None:
        """Pass on no more "questions" or "answers": a radio's line before either end misses it."""
        self._lost.update(what)

    def cut(self) -> None:
        """Break it off, and let nothing through any more."""

        async def end() -> None:
            self._server.close()
            for writer in self._ends:
                writer.transport.abort()

        self._do(end())

    def close(self) -> None:
        self.cut()

        async def finish() -> None:
            others = asyncio.all_tasks() - {asyncio.current_task()}
            await asyncio.gather(*others, return_exceptions=True)

        self._do(finish())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()


@pytest.fixture
def lay_line():
    """Make a line to a server's port."""
    lines: list[Line] = []

    def lay(port: int) -> Line:
        lines.append(Line(port))
        return lines[-1]

    yield lay
    for line in lines:
        line.close()


class Visit:
    """The gearing page of a server, opened over a line; moved by one rear tooth at a time."""

    def __init__(self, page: Page, server: RunningServer, line: Line, rear: int):
        self.page, self.server, self.line, self.rear = page, server, line, rear
        self.notice = page.get_by_text(NOTICE)
        page.goto(f"{line.url}gearing?front=13&rear={rear}", wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
        self.move()

    def press(self) -> None:
        self.rear += 1
        self.page.get_by_role("slider", name="Rear sprocket", exact=True).press("ArrowRight")

    def see(self) -> None:
        """The page shows the pair that was chosen last, and its link holds it."""
        wait_for_pair(self.page, f"13/{self.rear}")
        link = self.page.get_by_label("Link to this bench")
        expect(link).to_have_value(re.compile(f"front=13&rear={self.rear}&"))
        expect(self.notice).to_be_hidden()

    def move(self) -> None:
        """One rear tooth more; wait for the page's answer."""
        self.press()
        self.see()

    def cut(self) -> None:
        self.line.cut()
        expect(self.notice).to_be_visible()

    def mend(self) -> None:
        self.line.mend()
        expect(self.notice).to_be_hidden()

    def reload(self) -> None:
        """Press the notice's button; the page opens with the pair that stood there, and works."""
        expect(self.notice).to_be_visible()
        self.page.get_by_role("button", name="Reload", exact=True).click()
        self.page.wait_for_selector("html:not([data-asleep])[data-ready]", state="attached")
        self.see()
        assert f"front=13&rear={self.rear}&" in self.page.url
        # The browser may have logged that the line was gone: so it was.
        self.page.watch.errors.clear()
        self.move()


# What the widget library would do after ten seconds and more.
_HELD = """
const later = window.setTimeout;
window.held = [];
window.setTimeout = (work, wait, ...rest) =>
    wait < 10000 ? later(work, wait, ...rest) : (held.push(() => work(...rest)), 0);
"""


def what_was_on_its_way_is_made_up_for(visit: Visit, *lost: str) -> None:
    visit.line.lose(*lost)
    visit.press()
    if "questions" not in lost:
        gone = visit.line.lost_last_word.wait(timeout=60)
        assert gone, "the kernel did not deal with the change"
    visit.cut()
    visit.mend()
    visit.see()
    visit.move()


def a_kernel_let_go_does_not_come_back(visit: Visit, watcher: Page) -> None:
    visit.cut()
    visit.server.process.send_signal(signal.SIGUSR1)
    kernel = visit.page.evaluate("document.body.dataset.kernelId")
    wait_until_gone(watcher, f"{visit.server.url}api/kernels/{kernel}")
    watcher.watch.errors.clear()  # an answer 404 is logged as one
    visit.server.process.send_signal(signal.SIGUSR2)
    visit.line.mend()
    visit.reload()


def a_line_in_use_is_not_cut_for_an_attempt_that_failed_before(visit: Visit) -> None:
    """The page has `_HELD`."""
    page = visit.page
    page.evaluate("held = []")
    visit.cut()
    # The attempt failed, the library asked for the kernel in vain, and will ask again.
    page.wait_for_function("held.length > 0")
    visit.mend()
    lines = []
    page.on("websocket", lambda line: lines.append(line.url))
    asked = f"/api/kernels/{page.evaluate('document.body.dataset.kernelId')}?"
    with page.expect_response(lambda answer: asked in answer.url):
        page.evaluate("held.forEach((work) => work())")
    visit.move()
    assert lines == []


@pytest.mark.long
def test_a_page_outlives_its_line_its_kernel_and_its_server(serve, lay_line, open_url):
    server = serve()
    line = lay_line(urlsplit(server.url).port)
    visit = Visit(open_url(line.url), server, line, rear=44)

    visit.cut()
    visit.mend()
    visit.move()
    what_was_on_its_way_is_made_up_for(visit, "answers")
    what_was_on_its_way_is_made_up_for(visit, "questions", "answers")

    visit.page.add_init_script(_HELD)  # from the next page on
    a_kernel_let_go_does_not_come_back(visit, open_url(server.url))
    a_line_in_use_is_not_cut_for_an_attempt_that_failed_before(visit)

    # The process that kernels are forked from dies, and its kernels with it; another is started.
    [warm] = psutil.Process(server.process.pid).children()
    assert "explorer.serve.warm_process" in warm.cmdline()
    warm.kill()
    visit.reload()

    # The server is started anew, as for another version.
    assert server.stop() == []
    serve(port=urlsplit(server.url).port)
    visit.reload()

"""What the bench sends, and what it shows on a slow line: `python -m tests.bench.bench_line`.

Prints, in Chromium with a cache of its own: bytes over the line on the first visit and on a later
one (all that comes down it), when the page stands, own memory of the kernel after a minute of
dragging, and on a line of 400 kbit/s with 400 ms of delay when the first answer stands and when it
can be dragged.
"""

import socket
import sys
import time
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, CDPSession, Page, sync_playwright

from tests.bench.bench_drag import drag, processor
from tests.bench.bench_kernels import seconds_until, wait_until_warm
from tests.bench.visitors.server_processes import ServerProcesses
from tests.browser.conftest import find_chromium
from tests.conftest import RunningServer, start_server

ANSWER = "#bench [data-verdict]:not(:empty)"
DRAGGED = "#bench[data-state=live]"
STANDS = "html[data-ready] #bench[data-charts=live]"
SLOW = {
    "offline": False,
    "latency": 400,
    "downloadThroughput": 400_000 / 8,
    "uploadThroughput": 400_000 / 8,
}
A_MINUTE = 60
MOVES = 18
REST = 1000
"""So long the hand rests, where it does [ms]."""


class CountedLine:
    """A line to a server that counts what comes down it, headers and all.

    Attributes:
        bytes: So far.
        url: Where the pages are on it.
    """

    def __init__(self, url: str) -> None:
        self.bytes = 0
        self._there = urlsplit(url).port
        listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{listener.getsockname()[1]}/"
        Thread(target=self._listen, args=(listener,), daemon=True).start()

    def _listen(self, listener: socket.socket) -> None:
        while True:
            near, far = listener.accept()[0], socket.create_connection(("127.0.0.1", self._there))
            for one, other in ((near, far), (far, near)):
                Thread(target=self._pass_on, args=(one, other, one is far), daemon=True).start()

    def _pass_on(self, one: socket.socket, other: socket.socket, counted: bool) -> None:
        with suppress(OSError):
            while part := one.recv(65536):
                self.bytes += len(part) if counted else 0
                other.sendall(part)
            other.shutdown(socket.SHUT_WR)


def opened(context: BrowserContext) -> tuple[Page, CDPSession]:
    """A page of the bench's size, and its line."""
    page = context.new_page()
    page.set_default_timeout(120_000)
    return page, context.new_cdp_session(page)


def visit(context: BrowserContext, line: CountedLine) -> tuple[float, int]:
    """When the page stands [s], and bytes over the line until its kernel has said all."""
    page, _ = opened(context)
    before = line.bytes
    page.goto(f"{line.url}gearing", wait_until="commit")
    stands = seconds_until(page, STANDS)
    # The code for paper is the last thing that comes by itself.
    page.wait_for_selector("[data-code] svg", state="attached")
    sent = line.bytes - before
    page.close()
    return stands, sent


def slow_visit(context: BrowserContext, url: str) -> tuple[float, float]:
    """First answer and dragging on the slow line, with nothing kept from before [s]."""
    page, session = opened(context)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", SLOW)
    page.goto(f"{url}gearing", wait_until="commit")
    answered = seconds_until(page, ANSWER)
    dragged = seconds_until(page, DRAGGED)
    page.close()
    return answered, dragged


def print_memory(page: Page, server: RunningServer, told: bool) -> None:
    """Of the kernel, after a minute of dragging.

    Args:
        told: Whether the hand rests after each stretch, so that the kernel works out all words;
            else it moves without a rest, and the kernel hears of nothing.
    """
    page.set_default_timeout(120_000)
    page.goto(f"{server.url}gearing")
    page.wait_for_selector(STANDS)
    end, moves = time.monotonic() + A_MINUTE, 0
    while time.monotonic() < end:
        moves += len(drag(page, MOVES))
        if told:
            page.wait_for_timeout(REST)
    memory = ServerProcesses(server).memory(visitors=1)
    how = "resting after every 18 moves" if told else "never resting"
    print(
        f"kernel after a minute of dragging, {moves} moves, {how}: {memory.kernel_uss:.1f} MB of "
        f"its own, {memory.kernel_pss:.1f} MB with its share of what all kernels have in common"
    )
    page.goto("about:blank")  # as a visitor who leaves, so that the kernel goes


def main() -> None:
    """Measure and print."""
    processor()
    command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = start_server(command, Path(folder, "errors.txt"))
        wait_until_warm(server)
        browser = playwright.chromium.launch(executable_path=find_chromium())
        size = {"width": 1280, "height": 720}
        context, line = browser.new_context(viewport=size), CountedLine(server.url)
        for name in ("first visit", "later visit"):
            stands, sent = visit(context, line)
            print(f"{name}: page stands after {stands:.2f} s, {sent / 1e3:.0f} kB over the line")
        context.close()
        context = browser.new_context(viewport=size)
        answered, dragged = slow_visit(context, server.url)
        print(f"400 kbit/s, 400 ms: first answer {answered:.1f} s, dragged {dragged:.1f} s")
        context.close()
        for told in (False, True):
            print_memory(browser.new_page(viewport=size), server, told)
        browser.close()
        server.stop()


if __name__ == "__main__":
    main()

"""A hundred visitors who drag front and rear at once: `python -m tests.bench.bench_hundred`.

One of them is Chromium and is measured from each move to all charts and numbers repainted; the
others speak its protocol (bench_visitor.py). A visitor's own device paints, so no more than one
browser can be on the machine of the server: they would measure each other. Printed are the 95th
percentile of what the browser sees alone, among hands that never rest, and among hands that drag
for 1.5 to 4 s and rest for 2 to 6 s; what the words after a rest take; and processor time of server
and kernels per visitor and minute. Then the same hands, as many as it bears, on the code of before,
where each step of a slider is a message to the kernel.

`--visitors N`, `--before N` (0 leaves it out), `--seconds S` for a quicker look.
"""

import argparse
import asyncio
import random
import statistics
import time
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil
from playwright.sync_api import Page, sync_playwright
from tornado.httpclient import AsyncHTTPClient

from tests.bench.bench_drag import drag, processor
from tests.bench.bench_visitor import BenchVisitor, VisitorBefore
from tests.bench.beside_before import baseline, serve
from tests.bench.visitors.crowd import link_of
from tests.bench.visitors.page_habits import Files, files_of_the_page
from tests.bench.visitors.page_visitor import DRAG, LOOK
from tests.bench.visitors.seen_answers import Seen
from tests.bench.visitors.server_processes import ServerProcesses
from tests.browser.conftest import find_chromium
from tests.conftest import RunningServer

STANDS = "html[data-ready] #bench[data-charts=live]"
SPARE = 12
"""Places beside the visitors': the pool's, and some for those who come while others go."""
OWN_DEVICE = -10
"""Niceness of the browser: on its visitor's own device no kernel takes its processor."""
LOOK_EVERY = 1.0
"""How often the kernels' processor time is read [s]."""
HANDS = {"never resting": False, "resting": True}
"""What hands do, and whether they rest."""
MOVES = 12
"""Moves of the browser's hand between two looks at the clock."""

AnyVisitor = BenchVisitor | VisitorBefore


class OneBrowser:
    """Chromium with the bench open, in a thread of its own: Playwright stays in one."""

    def __init__(self, url: str) -> None:
        self._thread = ThreadPoolExecutor(1)
        self._stack = ExitStack()
        self._page: Page = self._thread.submit(self._open, url).result()

    def _open(self, url: str) -> Page:
        playwright = self._stack.enter_context(sync_playwright())
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page(viewport={"width": 1280, "height": 720})
        page.set_default_timeout(120_000)
        page.goto(f"{url}gearing")
        page.wait_for_selector(STANDS)
        with suppress(psutil.AccessDenied):  # only an administrator may
            for process in psutil.Process().children(recursive=True):
                if "chrom" in process.name():
                    process.nice(OWN_DEVICE)
        drag(page, MOVES)
        return page

    async def drag(self, seconds: float, rests: bool) -> list[float]:
        """From each move to all repainted [ms], for so long."""
        return await asyncio.get_running_loop().run_in_executor(
            self._thread, self._drag, seconds, rests
        )

    def _drag(self, seconds: float, rests: bool) -> list[float]:
        end, spent = time.monotonic() + seconds, []
        while time.monotonic() < end:
            spent += drag(self._page, MOVES)
            if rests:
                self._page.wait_for_timeout(1e3 * LOOK[0])
        return spent

    def close(self) -> None:
        """Leave."""
        self._thread.submit(self._page.goto, "about:blank").result()
        self._thread.submit(self._stack.close).result()
        self._thread.shutdown()


def quantile(spent: list[float]) -> float:
    """95th percentile."""
    return statistics.quantiles(spent, n=20)[-1]


async def as_people(visitor: AnyVisitor, end: float, chance: random.Random) -> None:
    """Drag and look, again and again."""
    await asyncio.sleep(chance.uniform(0, DRAG[1]))  # hands do not begin together
    while time.perf_counter() < end:
        await visitor.drag(chance.uniform(*DRAG))
        await visitor.rest()
        await asyncio.sleep(chance.uniform(*LOOK))


async def watched(
    what: str, hands: Coroutine, processes: ServerProcesses, visitors: int
) -> tuple[float, list[float]]:
    """Print the processor time of all parts while hands move.

    Returns: Time of server and kernels per visitor and minute [s]; what the hands return.
    """
    moving = asyncio.ensure_future(hands)
    began, before = time.perf_counter(), processes.work()
    while not moving.done():
        await asyncio.wait({moving}, timeout=LOOK_EVERY)
        after = processes.work()
    seconds = time.perf_counter() - began
    kernels, server, warm, scripted = (
        getattr(after, part) - getattr(before, part)
        for part in ("kernels", "server", "warm", "visitors")
    )
    minutes = visitors * seconds / 60
    spent = (kernels + server + warm) / minutes
    print(
        f"{what}: {spent:.2f} s of processor time per visitor and minute (kernels "
        f"{kernels / minutes:.2f}, server {server / minutes:.2f}); processors busy: kernels "
        f"{kernels / seconds:.2f}, server {server / seconds:.2f}, scripted {scripted / seconds:.2f}"
    )
    return spent, moving.result()


async def opened(kind: type[AnyVisitor], server: RunningServer, number: int, page: Files) -> list:
    """So many visitors with their pages open, who came two at a time."""
    seen, chance = Seen(), random.Random(1)
    visitors = [
        kind(server.url, page, link_of(each, chance), seen, random.Random(each))
        for each in range(number)
    ]
    left = list(visitors)

    async def come() -> None:
        while left:
            await left.pop().come()

    await asyncio.gather(come(), come())
    print(f"{number} scripted visitors came, each page in {statistics.median(seen.pages):.1f} s")
    seen.forget()
    return visitors


def say_answers(what: str, visitors: list, of: int) -> None:
    """Print how long the scripted visitors waited."""
    took = [1e3 * answer.done for answer in visitors[0].seen.answers]
    if len(took) > of:
        print(
            f"{what}: {len(took)}, median {statistics.median(took):.0f} ms, "
            f"95 % within {quantile(took):.0f} ms"
        )


async def bench_now(server: RunningServer, files: Files, options: argparse.Namespace) -> float:
    """The bench as it is; returns processor time per visitor and minute where hands rest [s]."""
    seconds, processes = options.seconds, ServerProcesses(server)
    browser = OneBrowser(server.url)
    alone = {}
    for what, rests in HANDS.items():
        hand = browser.drag(seconds / 2, rests)
        _, moves = await watched(f"the browser alone, {what}", hand, processes, 1)
        alone[rests] = quantile(moves)
        print(f"the browser alone, {what}: 95 % of its moves repainted in {alone[rests]:.0f} ms")
    visitors = await opened(BenchVisitor, server, options.visitors - 1, files)

    async def together(rests: bool) -> list[float]:
        end = time.perf_counter() + seconds
        others = (
            as_people(each, end, random.Random(at)) if rests else each.drag(seconds)
            for at, each in enumerate(visitors)
        )
        return (await asyncio.gather(browser.drag(seconds, rests), *others))[0]

    for what, rests in HANDS.items():
        what = f"{options.visitors} hands {what}"
        spent, moves = await watched(what, together(rests), processes, options.visitors)
        among = quantile(moves)
        print(f"{what}: the browser's 95 % {among:.0f} ms, {among / alone[rests]:.2f} times alone")
    say_answers("all words after a rest", visitors, of=20)
    memory = processes.memory(options.visitors)
    print(f"a kernel's own memory {memory.kernel_uss:.1f} MB, the server's {memory.server:.0f} MB")
    browser.close()
    await asyncio.gather(*(each.go() for each in visitors))
    return spent


async def bench_before(server: RunningServer, files: Files, options: argparse.Namespace) -> float:
    """The code of before; returns processor time per visitor and minute [s]."""
    visitors = await opened(VisitorBefore, server, options.before, files)
    end = time.perf_counter() + options.seconds
    hands = asyncio.gather(
        *(as_people(each, end, random.Random(at)) for at, each in enumerate(visitors))
    )
    what = f"{options.before} hands resting, code of before"
    spent, _ = await watched(what, hands, ServerProcesses(server), options.before)
    say_answers("steps answered", visitors, of=20)
    await asyncio.gather(*(each.go() for each in visitors))
    return spent


def measured(
    measure: Callable, code: Path, folder: Path, options: argparse.Namespace, *more: str
) -> float:
    """Serve a checkout as shipped, with room for all, and measure."""
    server = serve(code, folder / "errors.txt", "--visitors", str(options.visitors + SPARE), *more)
    try:
        files = files_of_the_page(server.url, "gearing")
        return asyncio.run(measure(server, files, options))
    finally:
        server.stop()
        print((folder / "errors.txt").read_text(), end="")


def main(options: argparse.Namespace) -> None:
    """Measure and print."""
    AsyncHTTPClient.configure(None, max_clients=10_000)  # waiting is the server's part
    processor()
    root = Path(__file__).resolve().parents[2]
    with TemporaryDirectory() as folder:
        now = measured(bench_now, root, Path(folder), options, "--behind", "127.0.0.1")
        if options.before:
            with baseline(root) as place:
                before = measured(bench_before, place, Path(folder), options)
            print(f"per visitor and minute: {before:.2f} s before, {now:.2f} s now")
    processor()


def parsed() -> argparse.Namespace:
    command = argparse.ArgumentParser(prog="python -m tests.bench.bench_hundred")
    command.add_argument("--visitors", type=int, default=100, help="the browser included")
    command.add_argument("--before", type=int, default=8, metavar="N", help="0 leaves it out")
    command.add_argument("--seconds", type=float, default=60.0, help="how long hands are watched")
    return command.parse_args()


if __name__ == "__main__":
    main(parsed())

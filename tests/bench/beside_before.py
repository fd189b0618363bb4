"""The gearing page beside its code of before: `python -m tests.bench.beside_before [ROUNDS]`.

Checks the baseline out into a folder that is deleted at the end, starts both servers as shipped and
opens either page in Chromium by turns. Prints medians and their ratios: first answer, sliders and
charts stand (before, with the whole page), the whole page stands, own memory of a visitor's kernel,
and a sprocket moved by one tooth to everything repainted. Both sides run at the same time on the
same machine, so that a slow hour of it is in neither's favour.
"""

import os
import statistics
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.bench_drag import drag, processor
from tests.bench.bench_kernels import seconds_until, wait_until_warm
from tests.bench.visitors.server_processes import ServerProcesses
from tests.browser.conftest import find_chromium
from tests.conftest import PLACES, RunningServer, start_server

BASELINE = "1b576dc"
"""The commit before the pages were declared and the table was picked in the browser."""
ROUNDS = 5
MOVES = 18

WAIT_FOR_REPAINT = """pair => new Promise(resolve => {
    const charts = () => window.changed > window.pressed;
    const readout = () => document.querySelector(".ge-tile strong").textContent === pair;
    const painted = new MessageChannel();
    painted.port1.onmessage = () => resolve(performance.now() - window.pressed);
    const look = () => {
        if (readout() && charts()) painted.port2.postMessage("");
        else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
})"""
LISTEN = """() => {
    window.changed = 0;
    Bokeh.documents[0].on_change(() => { window.changed = performance.now(); }, true);
    addEventListener("keydown", () => { window.pressed = performance.now(); }, true);
}"""


@contextmanager
def baseline(root: Path) -> Iterator[Path]:
    """The code of before in a folder of its own."""
    with TemporaryDirectory() as folder:
        place = Path(folder, "before")
        git = ["git", "-C", str(root), "worktree"]
        subprocess.run([*git, "add", "--quiet", "--detach", place, BASELINE], check=True)
        try:
            yield place
        finally:
            subprocess.run([*git, "remove", "--force", place], check=True)


def serve(code: Path, log: Path, *places: str) -> RunningServer:
    """Serve the pages of a checkout with the libraries of this one, as shipped."""
    command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
    environment = {**os.environ, "PYTHONPATH": str(code)}
    server = start_server([*command, *(places or PLACES)], log, cwd=code, env=environment)
    wait_until_warm(server)
    return server


def keys(page: Page, moves: int) -> list[float]:
    """Front and rear by one tooth in the code of before, to and fro [ms]."""
    page.evaluate(LISTEN)
    spent = []
    for move in range(moves):
        name = "Rear sprocket" if move % 3 else "Front sprocket"
        slider = page.get_by_role("slider", name=name, exact=True)
        front, rear = page.locator(".ge-tile strong").first.inner_text().split("/")
        step = 1 if move % 6 < 3 else -1
        pair = f"{front}/{int(rear) + step}" if move % 3 else f"{int(front) + step}/{rear}"
        slider.focus()
        page.keyboard.press("ArrowRight" if step > 0 else "ArrowLeft")
        spent.append(page.evaluate(WAIT_FOR_REPAINT, pair))
    return spent


def visit(browser: Browser, server: RunningServer, before: bool) -> tuple[float, ...]:
    """First answer [s], charts and page stand [s], memory of the kernel [MB], repaint [ms]."""
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    page = context.new_page()
    page.set_default_timeout(120_000)
    page.goto(f"{server.url}gearing", wait_until="commit")
    answer, charts = (
        (".ge-tile strong", "html[data-ready]")
        if before
        else ("#bench [data-slider=front] input", "#bench[data-charts=live]")
    )
    answered = seconds_until(page, answer)
    drawn = seconds_until(page, charts)
    ready = seconds_until(page, "html[data-ready]")
    spent = (keys if before else drag)(page, MOVES)
    memory = ServerProcesses(server).memory(visitors=1).kernel_uss
    page.goto("about:blank")  # as a visitor who leaves, so that the kernel goes
    context.close()
    return answered, drawn, ready, memory, statistics.median(spent)


def main(rounds: int = ROUNDS) -> None:
    """Measure and print."""
    processor()
    root = Path(__file__).resolve().parents[2]
    seen: dict[bool, list[tuple[float, ...]]] = {True: [], False: []}
    with baseline(root) as place, sync_playwright() as playwright:
        servers = {
            True: serve(place, place.with_name("before.txt")),
            False: serve(root, place.with_name("now.txt")),
        }
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        # The first visitor of a server also waits for files to be read from the disk.
        for turn in range(rounds + 1):
            for before, server in servers.items():
                seen[before].append(visit(browser, server, before))
                if turn == 0:
                    seen[before].clear()
        browser.close()
        for server in servers.values():
            server.stop()
    print("| what | before | now | now over before |\n|---|---|---|---|")
    names = (
        "first answer, s",
        "sliders and charts stand, s",
        "page stands, s",
        "own memory of a kernel, MB",
        "repaint, ms",
    )
    for at, name in enumerate(names):
        was, now = (statistics.median(each[at] for each in seen[side]) for side in (True, False))
        print(f"| {name} | {was:.2f} | {now:.2f} | {now / was:.2f} |")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))

"""From a slider's move to the repainted bench, in Chromium: `python -m tests.bench.bench_drag`.

Moves front and rear by one tooth many times and measures in the browser the time until numbers and
charts show the new pair and a frame has been painted; then the same with 200 ms of delay on the
line, how long a tyre's table takes, and the processor time of kernel and server while the hand
moves. A plain loop is timed before, because shared processors change their speed between two runs.
"""

import statistics
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import CDPSession, Page, sync_playwright

from tests.browser.conftest import find_chromium
from tests.conftest import start_server

MOVES = 60
DELAY = 200
"""On the line, there and back together [ms]."""

MOVE = """([name, value]) => new Promise((resolve, reject) => {
    const input = document.querySelector(`[data-slider=${name}] input`);
    if (value < Number(input.min) || value > Number(input.max)) {
        reject(new Error(`${name} ${value} is beyond the slider's end: nothing would be painted`));
    }
    const painted = new MessageChannel();
    input.value = value;
    const begun = performance.now();
    painted.port1.onmessage = () => resolve(performance.now() - begun);
    const bench = document.getElementById("bench");
    bench.addEventListener("bench:row", () => {
        // Bokeh has asked for the next frame before this does; the message is taken up once that
        // frame has been painted.
        requestAnimationFrame(() => painted.port2.postMessage(""));
    }, { once: true });
    input.dispatchEvent(new Event("input", { bubbles: true }));
})"""

TYRE = """value => new Promise(resolve => {
    const input = document.querySelector("[data-slider=tyre] input");
    const bench = document.getElementById("bench");
    input.value = value;
    const begun = performance.now();
    const wanted = bench.bench.table.meta.tyres[value];
    const look = ({ detail }) => {
        if (detail.table.meta.tyre !== wanted) return;
        bench.removeEventListener("bench:table", look);
        const done = () => resolve(performance.now() - begun);
        requestAnimationFrame(() => requestAnimationFrame(done));
    };
    bench.addEventListener("bench:table", look);
    input.dispatchEvent(new Event("input", { bubbles: true }));
})"""


def said(name: str, spent: list[float]) -> None:
    """Print median and 95th percentile."""
    quantiles = statistics.quantiles(spent, n=20)
    print(f"{name}: median {statistics.median(spent):.0f} ms, 95 % {quantiles[-1]:.0f} ms")


def drag(page: Page, moves: int = MOVES) -> list[float]:
    """Front and rear by one tooth, to and fro [ms]; every six moves end where they began."""
    assert moves % 6 == 0, "the hand would drift to a slider's end, where nothing moves"
    spent = []
    for move in range(moves):
        name = "rear" if move % 3 else "front"
        now = int(page.evaluate(f"document.querySelector('[data-slider={name}] input').value"))
        spent.append(page.evaluate(MOVE, [name, now + (1 if move % 6 < 3 else -1)]))
        page.wait_for_timeout(25)
    return spent


def slow_line(session: CDPSession, delay: float) -> None:
    """Put a delay on the line."""
    session.send("Network.enable")
    session.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": delay, "downloadThroughput": -1, "uploadThroughput": -1},
    )


def processor_seconds() -> float:
    """Of all kernels and the server: every process of this test's children [s]."""
    ticks = 0
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            text = (folder / "stat").read_text()
            line = (folder / "cmdline").read_bytes()
        except OSError:
            continue
        if b"warm_process" in line or b"explorer" in line:
            fields = text.rpartition(")")[2].split()
            ticks += int(fields[11]) + int(fields[12])
    return ticks / 100


def processor() -> None:
    """Time of a plain loop, as a measure of what the processor gives at this moment."""
    start, total = time.perf_counter(), 0
    for number in range(1_000_000):
        total += number * number
    print(f"processor: a million squares in {(time.perf_counter() - start) * 1e3:.0f} ms")


def main() -> None:
    """Measure and print."""
    processor()
    chromium = find_chromium()
    if chromium is None:
        sys.exit("No Chromium here.")
    command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = start_server(command, Path(folder, "errors.txt"))
        browser = playwright.chromium.launch(executable_path=str(chromium))
        page = browser.new_page(viewport={"width": 1280, "height": 720})
        page.goto(f"{server.url}gearing")
        page.wait_for_selector("html[data-ready=yes]")
        page.wait_for_selector("#bench[data-charts=live]")
        drag(page, 12)
        before = processor_seconds()
        said("front and rear, near", drag(page))
        print(
            f"kernel and server meanwhile: {processor_seconds() - before:.2f} s of processor time"
        )
        session = page.context.new_cdp_session(page)
        slow_line(session, DELAY)
        said(f"front and rear, {DELAY} ms on the line", drag(page))
        slow_line(session, 0)
        tyres = len(page.evaluate("document.getElementById('bench').bench.table.meta.tyres"))
        middle = tyres // 2
        said("tyre", [page.evaluate(TYRE, middle + step % 3) for step in range(20)])
        browser.close()
        server.stop()


if __name__ == "__main__":
    main()

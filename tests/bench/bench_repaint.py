"""From key press to repaint, in Chromium through Voilà: `python -m tests.bench.bench_repaint`.

Opens the gearing page, moves the front and rear sliders by one tooth many times, and measures in
the browser the time until readout and all charts show the new pair and a frame has been drawn.
Prints median and 95th percentile, and the share of each part of the kernel's work. The baseline is
the smallest page that the platform allows: one slider and one text, in the same server. A plain
loop is timed before and after, because shared processors change their speed between two runs.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from explorer.study.study import Study
from explorer.tasks.gearing import page as gearing
from tests.browser.conftest import find_chromium
from tests.conftest import start_server, write_notebook

MOVES = 40

BARE = """
import ipywidgets as w
slider = w.IntSlider(value=13, min=0, max=1000, description="Front sprocket", readout=False)
said = w.HTML("<b id=said>13</b>")
slider.observe(lambda _: setattr(said, "value", f"<b id=said>{slider.value}</b>"), "value")
w.VBox([slider, said])
"""

LISTEN = """() => {
    window.changed = 0;
    Bokeh.documents[0].on_change(() => { window.changed = performance.now(); }, true);
}"""

WAIT_FOR_REPAINT = """pair => new Promise(resolve => {
    const charts = () => window.changed > window.pressed;
    const readout = () => document.querySelector(".ge-tile strong").textContent === pair;
    // Bokeh draws in the first frame after a change, and this frame is the first to see it: the
    // message is taken up once the frame has been laid out, painted and handed over.
    const painted = new MessageChannel();
    painted.port1.onmessage = () => resolve(performance.now());
    const look = () => {
        if (readout() && charts()) painted.port2.postMessage("");
        else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
})"""

WAIT_FOR_TEXT = """wanted => new Promise(resolve => {
    const look = () => {
        if (document.getElementById("said").textContent === wanted)
            requestAnimationFrame(() => resolve(performance.now()));
        else requestAnimationFrame(look);
    };
    look();
})"""


def measure(page: Page, moves: list[tuple[str, str, str]], wait: str) -> list[float]:
    """Milliseconds of each move: the slider's name, the key, and what must appear."""
    spent = []
    for name, key, wanted in moves:
        handle = page.get_by_role("slider", name=name, exact=True)
        handle.focus()
        page.evaluate("addEventListener('keydown', () => { window.pressed = performance.now() }, "
                      "{capture: true, once: true})")  # fmt: skip
        page.keyboard.press(key)
        spent.append(page.evaluate(wait, wanted) - page.evaluate("window.pressed"))
    return spent


def said(name: str, spent: list[float]) -> None:
    quantiles = statistics.quantiles(spent, n=20)
    middle = statistics.median(spent)
    print(f"{name}: median {middle:.0f} ms, 95th percentile {quantiles[-1]:.0f} ms")


def gearing_moves() -> list[tuple[str, str, str]]:
    moves, front, rear = [], 13, 50
    for step in range(MOVES):
        if step % 4 in (0, 1):
            rear += 1 if step % 8 < 4 else -1
            key = "ArrowRight" if step % 8 < 4 else "ArrowLeft"
            moves.append(("Rear sprocket", key, f"{front}/{rear}"))
        else:
            front += 1 if step % 4 == 2 else -1
            key = "ArrowRight" if step % 4 == 2 else "ArrowLeft"
            moves.append(("Front sprocket", key, f"{front}/{rear}"))
    return moves


SHOWN = (
    "shifts",
    "engine_pull",
    "pull",
    "steepest_slope",
    "walking_pull",
    "sure",
    "engine",
    "pairs.tradeoff",
    "pairs.top_speed_uncertainty",
    "pairs.value_uncertainty",
)
"""What the gearing page asks of a study."""


def processor() -> None:
    """Time of a plain loop, as a measure of what the processor gives at this moment."""
    start, total = time.perf_counter(), 0
    for number in range(1_000_000):
        total += number * number
    print(f"processor: a million squares in {(time.perf_counter() - start) * 1e3:.0f} ms")


def parts() -> None:
    """Processor time of each part of one change, without a browser."""
    page = gearing.GearingPage("")
    spent: dict[str, list[float]] = {
        "one tooth, compute": [],
        "one tooth, compute and paint": [],
        "another slope, all 248 pairs with their bands, compute": [],
    }
    for step in range(MOVES):
        setup = page.state.setup.changed(front=12 + step % 3)
        start = time.process_time()
        Study.of(page.state.bike, setup).ask(*SHOWN)
        spent["one tooth, compute"].append(time.process_time() - start)
        start = time.process_time()
        page.state.change(front=12 + step % 3)
        spent["one tooth, compute and paint"].append(time.process_time() - start)
        start = time.process_time()
        Study.of(page.state.bike, page.state.setup.changed(slope=step / 1000)).ask(*SHOWN)
        spent["another slope, all 248 pairs with their bands, compute"].append(
            time.process_time() - start
        )
    for name, values in spent.items():
        print(f"kernel, {name}: median {statistics.median(values) * 1e3:.1f} ms of processor time")


def main() -> None:
    processor()
    folder = Path(tempfile.mkdtemp())
    ours = start_server(
        [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"],
        folder / "ours.txt",
    )
    from tests.conftest import _SERVE_FOLDER

    write_notebook(folder / "bare.ipynb", BARE)
    bare = start_server(
        [sys.executable, "-c", _SERVE_FOLDER, str(folder), "--port", "0", "--no-browser"],
        folder / "bare.txt",
    )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        for server, name, moves, wait in (
            (bare, "bare", [("Front sprocket", "ArrowRight", str(14 + i)) for i in range(MOVES)],
             WAIT_FOR_TEXT),
            (ours, "gearing", gearing_moves(), WAIT_FOR_REPAINT),
        ):  # fmt: skip
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            page.goto(f"{server.url}{name}", wait_until="commit")
            page.wait_for_selector("html[data-ready]", state="attached", timeout=90_000)
            page.evaluate(LISTEN if server is ours else "0")
            said(name, measure(page, moves, wait))
            page.close()
        browser.close()
    ours.stop()
    bare.stop()
    parts()
    processor()


if __name__ == "__main__":
    main()

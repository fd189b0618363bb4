"""What a visitor's kernel costs, stock and forked: `python -m tests.bench.bench_kernels [VISITS]`.

Serves the shipped pages twice: with stock kernels, each started from nothing, and with ours, forked
from one warm process. Opens the gearing page in Chromium, moves a slider of the bench, and prints
for either the memory that only this visitor's kernel has (USS), the time until the kernel first
answers, and the time until the page stands. With a number of VISITS it then lets so many visitors
come and go over HTTP, and prints the memory and the open files of server and warm process on the
way.
"""

import http.client
import statistics
import sys
import tempfile
from pathlib import Path
from urllib.parse import urlsplit

import psutil
from playwright.sync_api import Browser, Page, sync_playwright

from explorer.serve.forked_kernel import can_fork
from tests.browser.conftest import find_chromium
from tests.conftest import RunningServer, start_server

PAGES_OPENED = 5
MOVES = 10
REPORTS = 10

OURS = "import sys; from explorer.serve.command import main; sys.exit(main())"

# The kernel that jupyter_client would start of its own: ipykernel with its debugger.
STOCK = """
import sys
from jupyter_client.kernelspec import KernelSpec
from explorer.serve import kernels
from explorer.serve.command import main

stock = KernelSpec(
    argv=[sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
    display_name="Python",
    language="python",
)
kernels.can_fork = lambda: False
kernels.SamePythonKernelSpec.get_kernel_spec = lambda self, name: stock
sys.exit(main())
"""


def serve(program: str, folder: Path) -> RunningServer:
    command = [sys.executable, "-c", program, "--port", "0", "--no-browser", "--pool", "0"]
    return start_server(command, folder / "errors.txt")


def uss(process: psutil.Process) -> float:
    """Memory that no other process shares [MB]."""
    return process.memory_full_info().uss / 1e6


def kernels_below(server: RunningServer, forked: bool) -> list[psutil.Process]:
    """The visitors' kernels, oldest first."""
    below = psutil.Process(server.process.pid).children()
    if forked:
        below = [kernel for warm in below for kernel in warm.children()]
    return sorted(below, key=lambda process: process.create_time())


def wait_until_warm(server: RunningServer) -> None:
    """Until the warm process has rehearsed every page: it waits, and takes no more time."""
    (warm,) = psutil.Process(server.process.pid).children()
    while warm.cpu_percent(interval=3.0) > 1 or warm.cpu_times().user < 1:
        pass


def seconds_until(page: Page, selector: str) -> float:
    """When the page has what the selector says, from its asking on and by its own clock [s].

    It looks with each frame; Playwright's `wait_for_selector` looks every 0.5 s in the end, which
    made a page of 1.9 s one of 2.4.
    """
    has_come = f"() => document.querySelector('{selector}') && performance.now()"
    return page.wait_for_function(has_come).json_value() / 1e3


def visit(browser: Browser, server: RunningServer, forked: bool, seen: set[int]) -> list[float]:
    """First answer [s], page ready [s], memory at once and after moving a slider [MB]."""
    context = browser.new_context()
    page = context.new_page()
    page.set_default_timeout(120_000)
    page.goto(f"{server.url}gearing", wait_until="commit")
    # This part of the page is sent when the kernel has answered for the first time.
    answered = seconds_until(page, "[data-step]")
    ready = seconds_until(page, "html[data-ready]")
    kernel = next(k for k in kernels_below(server, forked) if k.pid not in seen)
    seen.add(kernel.pid)
    opened = uss(kernel)
    page.wait_for_selector("#bench[data-charts=live]")
    slider = page.locator("#bench [data-slider=front] input")
    for key in ["ArrowRight", "ArrowLeft"] * (MOVES // 2):
        slider.press(key)
        page.wait_for_function("() => new Promise(requestAnimationFrame)")
    moved = uss(kernel)
    page.goto("about:blank")  # as a visitor who leaves: the next one has the processors
    return [answered, ready, opened, moved]


def come_and_go(server: RunningServer) -> None:
    """One visitor without a browser: ask for the page, then say that it has been closed."""
    parts = urlsplit(server.url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=120)
    connection.request("GET", "/gearing")
    answer = connection.getresponse()
    html = answer.read().decode()
    kernel = html.split('"kernelId": "')[1].split('"')[0]
    cookie = answer.headers["Set-Cookie"].split(";")[0]
    token = cookie.removeprefix("_xsrf=").strip('"')
    headers = {"Cookie": cookie, "X-XSRFToken": token}
    connection.request("POST", f"/voila/api/shutdown/{kernel}", headers=headers)
    assert connection.getresponse().status == 204
    connection.close()


def print_leaks(server: RunningServer, visits: int) -> None:
    process = psutil.Process(server.process.pid)
    print("visits | server, MB | warm process, MB | open files of either | kernels left")
    for done in range(visits + 1):
        if done % max(1, visits // REPORTS) == 0:
            (warm,) = process.children()
            files = f"{process.num_fds()} {warm.num_fds()}"
            left = len(warm.children())
            print(f"{done} | {uss(process):.1f} | {uss(warm):.1f} | {files} | {left}", flush=True)
        if done < visits:
            come_and_go(server)


def main(visits: int) -> None:
    print("kernel | first answer, s | page ready, s | own memory, MB | after moving a slider, MB")
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        for name, program, forked in (("stock", STOCK, False), ("forked", OURS, can_fork())):
            server = serve(program, Path(folder))
            if forked:
                wait_until_warm(server)
            seen: set[int] = set()
            # The first visitor of a server also waits for the files to be read from the disk.
            results = [visit(browser, server, forked, seen) for _ in range(PAGES_OPENED + 1)][1:]
            columns = list(zip(*results, strict=True))
            numbers = " | ".join(f"{statistics.median(column):.1f}" for column in columns)
            print(f"{name} | {numbers}", flush=True)
            if forked and visits:
                print_leaks(server, visits)
            server.stop()
        browser.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 0)

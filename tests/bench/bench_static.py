"""What a bike's page of the static site takes: `python -m tests.bench.bench_static [BIKE]`.

Exports the demo, serves it as a plain web host does (gzip for text), and prints, in Chromium with a
profile of its own: processor time and size of the export; for the first visit and a later one when
the page can be dragged and its charts stand, and the bytes over the line until then and until all
tables are kept for no signal, headers and all; and how long moves of a slider and a tyre take.
"""

import gzip
import mimetypes
import statistics
import sys
import threading
import time
import zlib
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import BrowserContext, sync_playwright

from explorer.records.bikes.bike_library import demo_bikes
from explorer.serve.contents import PAGES
from explorer.serve.export import GROUNDS, TYRES, export
from explorer.serve.site import site_of
from tests.bench.bench_drag import TYRE, drag, processor, said
from tests.bench.bench_kernels import seconds_until
from tests.bench.bench_line import DRAGGED, CountedLine, opened
from tests.browser.conftest import find_chromium

VISITS = 5
KEPT = f"""async () => {{
    for (const name of await caches.keys()) {{
        const found = await (await caches.open(name)).keys();
        const tables = found.filter((each) => each.url.includes("/tables/"));
        if (tables.length >= {TYRES * GROUNDS - 1}) return true;
    }}
    return false;
}}"""


class Host(SimpleHTTPRequestHandler):
    """Sends text compressed, with an entity tag; what a browser has is not sent again."""

    protocol_version = "HTTP/1.1"

    def log_message(self, *_: object) -> None:
        """Nothing: lines of a log are no part of what is measured."""

    def do_GET(self) -> None:
        path = Path(self.translate_path(self.path))
        content = _compressed(path) if path.is_file() else b""
        tag = f'"{zlib.crc32(content):x}"'
        status = 200 if content else 404
        if self.headers.get("If-None-Match") == tag:
            status, content = 304, b""
        self.send_response(status)
        self.send_header("ETag", tag)
        if content:
            self.send_header("Content-Type", mimetypes.guess_type(path.name)[0] or "text/plain")
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)


_sent: dict[Path, bytes] = {}


def _compressed(path: Path) -> bytes:
    if path not in _sent:
        _sent[path] = gzip.compress(path.read_bytes(), 6)
    return _sent[path]


def visit(context: BrowserContext, line: CountedLine, bike: str) -> tuple[float, float, int, int]:
    """When it can be dragged, when charts stand [s]; bytes until then and until all is kept."""
    page, _ = opened(context)
    before = line.bytes
    page.goto(f"{line.url}bikes/{bike}.html", wait_until="commit")
    dragged = seconds_until(page, f"{DRAGGED} ~ * #site-ground:enabled")
    stands = seconds_until(page, "#bench[data-charts=live]")
    sent = line.bytes - before
    while not page.evaluate(KEPT):
        page.wait_for_timeout(50)
    page.wait_for_load_state("networkidle")
    whole = line.bytes - before
    page.close()
    return dragged, stands, sent, whole


def main(bike: str) -> None:
    """Measure and print."""
    processor()
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        began = time.process_time()
        list(export({bike: demo_bikes()[bike]}, site_of(None, PAGES), Path(folder)))
        size = sum(each.stat().st_size for each in Path(folder).rglob("*") if each.is_file())
        print(f"export: {time.process_time() - began:.1f} s of processor, {size / 1e6:.1f} MB")
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Host, directory=folder))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        line = CountedLine(f"http://127.0.0.1:{server.server_port}/")
        browser = playwright.chromium.launch(executable_path=find_chromium())
        seen: dict[str, list[tuple[float, float, int, int]]] = {
            "first visit": [],
            "later visit": [],
        }
        for _ in range(VISITS):
            context = browser.new_context(viewport={"width": 1280, "height": 720})
            for name, times in seen.items():
                times.append(visit(context, line, bike))
                print(name, *(f"{each:.2f}" for each in times[-1][:2]), *times[-1][2:])
            context.close()
        for name, times in seen.items():
            dragged, stands, sent, whole = map(statistics.median, zip(*times, strict=True))
            print(
                f"{name}: can be dragged after {dragged:.2f} s, charts stand after {stands:.2f} s, "
                f"{sent / 1e3:.0f} kB until then, {whole / 1e3:.0f} kB until all is kept"
            )
        page, _ = opened(browser.new_context(viewport={"width": 1280, "height": 720}))
        page.goto(f"{line.url}bikes/{bike}.html")
        page.wait_for_selector("#bench[data-charts=live]")
        said("front or rear", drag(page))
        said("tyre", [page.evaluate(TYRE, at % TYRES) for at in range(10)])
        browser.close()
        server.shutdown()


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else next(iter(demo_bikes())))

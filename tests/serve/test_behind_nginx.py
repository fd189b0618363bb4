"""Two workers behind a real nginx, with the configuration that is shipped."""

import asyncio
import gzip
import http.client
import http.server
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.serve.behind_nginx import (
    ELSEWHERE,
    Site,
    Visitor,
    move,
    slider_of,
    until_closed,
    visitors_of_both,
    websockets_of,
)

CONFIGURATION = Path("explorer/serve/publish/nginx.conf")


# Its chart is a sentence; it tells whose page it is.
PAGE = """
import ipywidgets as w
from explorer.app.address import query_string

query = query_string()
front, said = w.IntSlider(value=13, min=9, max=17), w.HTML()

def tell(_):
    said.value = f"{query}: {front.value} teeth"

tell(None)
front.observe(tell, "value")
w.VBox([front, said])
"""


HEADERS = """
daemon off;
master_process off;
pid {folder}/nginx.pid;
error_log {folder}/start.log;
events {{}}
http {{
    client_body_temp_path {folder}/body;
    proxy_temp_path {folder}/proxy;
    fastcgi_temp_path {folder}/fastcgi;
    scgi_temp_path {folder}/scgi;
    uwsgi_temp_path {folder}/uwsgi;
    include {folder}/gearing.conf;
}}
"""


def find_nginx() -> str:
    """Path of nginx. Without it the tests are skipped, or fail where REQUIRE_NGINX=1 is set."""
    # Debian keeps it where only an administrator's path leads.
    path = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin")
    if path is None:
        say = pytest.fail if os.environ.get("REQUIRE_NGINX") == "1" else pytest.skip
        say("no nginx here; install Debian's package nginx-light")
    return path


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def substituted(text: str, changes: dict[str, str]) -> str:
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    return text


@pytest.fixture(scope="module")
def site(serve_pages, tmp_path_factory, repository) -> Iterator[Site]:
    nginx = find_nginx()
    folder = tmp_path_factory.mktemp("nginx")
    workers = {
        # All visitors have one address here, which may hold three quarters of the places.
        name: serve_pages(
            {"page": PAGE},
            *("--pool", "0", "--base-path", "/gearing/", "--visitors", "30"),
            *("--access-log", str(folder / f"worker-{name}.log")),
        )
        for name in ("1", "2")
    }
    port = free_port()
    ports = {name: str(urlsplit(worker.url).port) for name, worker in workers.items()}
    # Nothing but ports and folders differs from what is shipped.
    changes = {
        "listen 80;": f"listen 127.0.0.1:{port};",
        "/var/log/nginx/": f"{folder}/",
        "8871": ports["1"],
        "8872": ports["2"],
    }
    shipped = (repository / CONFIGURATION).read_text()
    (folder / "gearing.conf").write_text(substituted(shipped, changes))
    site = Site(port, folder, workers)
    with running_nginx(site, nginx):
        yield site


@contextmanager
def running_nginx(site: Site, nginx: str) -> Iterator[None]:
    """nginx with the configuration in the site's folder."""
    configuration = site.folder / "nginx.conf"
    configuration.write_text(HEADERS.format(folder=site.folder))
    command = [nginx, "-p", str(site.folder), "-c", str(configuration)]
    checked = subprocess.run([*command, "-t"], capture_output=True, text=True, timeout=30)
    assert checked.returncode == 0, checked.stderr
    assert "[warn]" not in checked.stderr
    process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    try:
        wait_for_log_line(site)
        yield
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(timeout=30)


def wait_for_log_line(site: Site) -> None:
    """Wait until nginx listens."""

    async def connect() -> None:
        async with asyncio.timeout(30):
            while True:
                try:
                    _, writer = await asyncio.open_connection("127.0.0.1", site.port)
                except ConnectionRefusedError:
                    await asyncio.sleep(0)
                else:
                    writer.close()
                    return

    asyncio.run(connect())


def test_each_visitors_websocket_reaches_the_visitors_own_kernel(site):
    both = visitors_of_both(site)
    # A second one behind the same address, with another cookie than the first.
    for name, visitor in both.items():
        visitor.open(f"visitor={name}")
        assert visitor.worker == name

    async def drag() -> None:
        async with websockets_of(both) as websockets:
            for name, websocket in websockets.items():
                slider = await slider_of(websocket)
                assert await move(websocket, slider, 15) == f"visitor={name}: 15 teeth"

    asyncio.run(drag())
    for visitor in both.values():
        path = f"/gearing/api/kernels/{visitor.kernel}"
        assert visitor.ask(path)[0] == 200
        # By nobody else's cookie: the other worker does not know this kernel.
        [other] = [each for each in both.values() if each is not visitor]
        assert other.ask(path)[0] == 404


def test_a_cookie_says_which_worker_and_nothing_else(site):
    visitor = Visitor(site)
    _, headers, _ = visitor.ask("/gearing/")
    [cookie] = headers.get_all("Set-Cookie")
    assert re.fullmatch(r"gearing_worker=[12]; Path=/gearing/; HttpOnly; SameSite=Lax", cookie)
    # It is sent once.
    assert visitor.ask("/gearing/")[1].get_all("Set-Cookie") is None
    # In another site's frame a browser keeps no cookie but such a one.
    _, headers, _ = Visitor(site).ask("/gearing/", Sec_Fetch_Dest="iframe")
    [cookie] = headers.get_all("Set-Cookie")
    assert cookie.endswith("; SameSite=None; Secure; Partitioned")
    # One that was made up leads somewhere all the same.
    stray = Visitor(site, {"gearing_worker": "http://203.0.113.7/"})
    assert stray.ask("/gearing/")[0] == 200
    assert stray.worker in ("1", "2")


def test_a_websocket_from_another_sites_page_is_refused(site):
    visitor = Visitor(site)
    visitor.open("")
    answer = visitor.ask(
        f"/gearing/api/kernels/{visitor.kernel}/channels",
        Upgrade="websocket",
        Connection="Upgrade",
        Origin="http://elsewhere.example",
        Sec_WebSocket_Version="13",
        Sec_WebSocket_Key="dGhlIHNhbXBsZSBub25jZQ==",
    )
    assert answer[0] == 403


def test_a_closed_page_says_goodbye_to_its_own_worker(site):
    visitor = Visitor(site)
    visitor.open("")
    token = visitor.cookies["_xsrf"]
    path = f"/gearing/voila/api/shutdown/{visitor.kernel}"
    assert visitor.ask(path, "POST", X_XSRFToken=token)[0] == 204
    assert visitor.ask(f"/gearing/api/kernels/{visitor.kernel}")[0] == 404


def test_every_address_lies_below_the_path(site):
    visitor = Visitor(site)
    front_page = visitor.ask("/gearing/")[2].decode()
    page = visitor.open("rear=48")
    assert '"baseUrl": "/gearing/"' in page
    for html in (front_page, page):
        found = re.findall(r'(?:href|src)="(/[^"]*)"', html)
        assert found
        for address in found:
            assert address.startswith("/gearing/")
    status, headers, _ = visitor.ask("/gearing")
    assert (status, headers["Location"]) == (301, "/gearing/")
    # Scripts and styles come from whichever worker a cookie leads to.
    [style] = re.findall(r'href="([^"]+explorer\.css)"', front_page)
    for name in ("1", "2"):
        assert Visitor(site, {"gearing_worker": name}).ask(style)[0] == 200


def test_text_comes_compressed_once(site):
    visitor = Visitor(site)
    [style] = re.findall(rb'href="([^"]+explorer\.css)"', visitor.ask("/gearing/")[2])
    for path, end in (("/gearing/page", b"</html>"), (style.decode(), b"}")):
        _, headers, body = visitor.ask(path, Accept_Encoding="gzip")
        assert headers.get_all("Content-Encoding") == ["gzip"]
        assert gzip.decompress(body).rstrip().endswith(end)
        assert visitor.ask(path)[1]["Content-Encoding"] is None


def test_what_no_visitor_needs_is_not_passed_on(site):
    visitor = Visitor(site)
    visitor.open("rear=48")
    # A kernel asks its own worker for its visitor's link; nobody else is told.
    assert visitor.ask(f"/gearing/voila/query/{visitor.kernel}")[0] == 404
    assert visitor.ask("/")[0] == 404
    # Loopback may ask for the health, which others may not; nginx knows both only by address.
    status, _, body = visitor.ask("/gearing/health")
    assert status == 200
    assert json.loads(body)["status"] == "ok"


def test_no_log_says_who_asked(site):
    visitor = Visitor(site)
    visitor.open("rear=4848")
    visitor.ask(f"/gearing/api/kernels/{visitor.kernel}")
    logs = [site.log, (site.folder / "gearing-errors.log").read_text()]
    logs += [(site.folder / f"worker-{name}.log").read_text() for name in site.workers]
    assert re.search(r" GET /gearing/page 200 \d+\.\d+s \d+B worker=[12]\n", site.log)
    assert " GET /gearing/api/kernels/... 200 " in site.log
    for log in logs:
        for private in (ELSEWHERE, "127.0.0.1", "4848", visitor.kernel):
            assert private not in log


def test_when_one_worker_dies_the_others_visitors_go_on(site):
    both = visitors_of_both(site)
    for name, visitor in both.items():
        visitor.open(f"visitor={name}")
    worker = site.workers["1"].process

    async def die() -> None:
        async with websockets_of(both) as websockets:
            slider = await slider_of(websockets["2"])
            worker.kill()
            worker.wait()
            # The websocket of its visitor ends, whose page then says that it went to sleep.
            await until_closed(websockets["1"])
            websockets.pop("1").close()
            assert await move(websockets["2"], slider, 16) == "visitor=2: 16 teeth"

    asyncio.run(die())
    # Its kernel is gone, and its page can tell: from the other worker, once nginx knows.
    assert both["1"].ask(f"/gearing/api/kernels/{both['1'].kernel}")[0] in (404, 502)
    # Reloaded, the page comes from the worker that lives, and stays there.
    assert "kernelId" in both["1"].open("visitor=1")
    assert both["1"].worker == "2"
    for _ in range(20):
        visitor = Visitor(site)
        assert visitor.ask("/gearing/")[0] == 200
        assert visitor.worker == "2"
    worker.stdout.close()


def test_a_flood_from_one_address_is_not_passed_on(site):
    answers = [Visitor(site).ask("/gearing/")[0] for _ in range(300)]
    assert set(answers) == {200, 429}


class SaysItsPort(http.server.BaseHTTPRequestHandler):
    """Stands for a worker: where a visitor is sent is a matter of nginx alone."""

    def do_GET(self) -> None:
        said = str(self.server.server_port).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(said)))
        self.end_headers()
        self.wfile.write(said)

    def log_message(self, *_) -> None:
        """Tests print nothing."""


def test_a_third_worker_with_the_lines_that_the_readme_gives(tmp_path, repository):
    readme = (repository / CONFIGURATION).with_name("README.md").read_text("utf-8")
    [lines] = re.findall(r"```\n(upstream gearing_3 .*?)```", readme, re.DOTALL)
    upstream, _, rest = lines.partition("}\n")
    share, cookie, answer = (line.partition(": ")[2].strip() for line in rest.strip().splitlines())
    with ExitStack() as open_servers:
        workers = [http.server.ThreadingHTTPServer(("127.0.0.1", 0), SaysItsPort) for _ in range(3)]
        for worker in workers:
            open_servers.callback(worker.server_close)
            open_servers.callback(worker.shutdown)
            threading.Thread(target=worker.serve_forever, daemon=True).start()
        ports = [str(worker.server_port) for worker in workers]
        port = free_port()
        changes = {
            "split_clients $": f"{upstream}}}\n\nsplit_clients $",
            "    *   gearing_2;": f"    {share}\n    *   gearing_2;",
            "    1       gearing_1;": f"    1       gearing_1;\n    {cookie}",
            '    default             "";': f'    {answer}\n    default             "";',
            "listen 80;": f"listen 127.0.0.1:{port};",
            "/var/log/nginx/": f"{tmp_path}/",
            "8871": ports[0],
            "8872": ports[1],
            "10.0.0.3:8873": f"127.0.0.1:{ports[2]}",
            "10\\.0\\.0\\.3:8873": f"127\\.0\\.0\\.1:{ports[2]}",
        }
        shipped = (repository / CONFIGURATION).read_text("utf-8")
        (tmp_path / "gearing.conf").write_text(substituted(shipped, changes))
        site = Site(port, tmp_path, {})
        with running_nginx(site, find_nginx()):
            seen = set()
            for _ in range(55):  # as many at once as are let through
                visitor = Visitor(site)
                _, _, worker = visitor.ask("/gearing/")
                again = {visitor.ask("/gearing/api/")[2] for _ in range(3)}
                assert again == {worker}
                seen.add((visitor.worker, worker.decode()))
            assert seen == set(zip("123", ports, strict=True))

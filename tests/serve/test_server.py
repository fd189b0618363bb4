"""What the server answers, asked without a browser."""

import contextlib
import http.client
import json
import re
import signal
import subprocess
import sys
from urllib.parse import urlsplit

import psutil
import pytest
from markupsafe import escape

from explorer.serve.command import base_path, main
from explorer.serve.contents import PAGES


def ask(server, path: str, method: str = "GET") -> tuple[int, dict[str, str], str]:
    """Ask for a path exactly as written; `http.client` does not tidy it up."""
    parts = urlsplit(server.url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=60)
    try:
        connection.request(method, path)
        answer = connection.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read().decode()
    finally:
        connection.close()


PAGE = "import ipywidgets; ipywidgets.IntSlider()"


def test_front_page_lists_every_page(server):
    status, _, html = ask(server, "/")
    assert status == 200
    for page in PAGES:
        # Without a club there are no members.
        listed = page.listed and not page.shows_members
        assert (f'href="/{page.name}"' in html) is listed
        assert (escape(page.description) in html) is listed
    assert '<meta name="robots" content="nofollow">' in html
    # 13 to 12 teeth: 13/12 - 1 more pull, 1 - 12/13 less speed.
    assert "12/50 each gear pulls 8.3 % harder" in html and "7.7 % slower" in html
    assert 'href="/gearing?bike=bracken-125&amp;front=12&amp;rear=50"' in html


def test_every_notebook_is_a_page_and_every_page_a_notebook(repository):
    notebooks = {path.stem for path in (repository / "notebooks").glob("*.ipynb")}
    assert notebooks == {page.name for page in PAGES}


@pytest.mark.parametrize(
    "path",
    [
        "/notebooks/gearing.ipynb",
        "/gearing.ipynb",
        "/voila/files/gearing.ipynb",
        "/voila/files/../explorer/serve/command.py",
        "/voila/render/gearing.ipynb",
        "/voila/tree",
        "/voila/static/voila.js",
        "/voila/api/contents",
        "/api/contents",
        "/api/contents/gearing.ipynb",
        "/api/kernels",
        "/api/kernelspecs",
        "/api/sessions",
        "/api/terminals",
        "/static/etc/passwd",
        "/voila/templates/base/static/../../../../../../etc/passwd",
        "/explorer/serve/command.py",
        "/../pyproject.toml",
        "/%2e%2e/pyproject.toml",
        "//etc/passwd",
        "/login",
        "/favicon.ico",
    ],
)
def test_nothing_else_is_served(server, path):
    status, _, body = ask(server, path)
    assert status == 404
    assert "There is nothing at this address." in body


@pytest.mark.parametrize(
    "inside",
    [
        "own/../index.html.j2",
        "own/../../command.py",
        "own/%2e%2e/index.html.j2",
        "own//etc/passwd",
        "own/..%2f..%2fcommand.py",
        "own/",
        "bokeh/bokeh-gl.min.js",
        "voila/../voila/voila.js",
        "extensions/jupyterlab_pygments/package.json",
        "extensions/@bokeh/jupyter_bokeh/package.json",
        "extensions/@bokeh/jupyter_bokeh/static/../package.json",
    ],
)
def test_asset_folders_give_nothing_beside_assets(server, inside):
    _, _, html = ask(server, "/")
    assets = re.search(r'href="(/assets/\w+/)own/explorer\.css"', html)[1]
    assert ask(server, f"{assets}own/explorer.css")[0] == 200  # the place is right
    assert ask(server, assets + inside)[0] in (403, 404)


def test_assets_are_kept_for_a_year_and_pages_are_not(server):
    _, headers, html = ask(server, "/")
    assert headers["Cache-Control"] == "no-cache"
    for address in re.findall(r'(?:href|src)="(/assets/[^"]+)"', html):
        status, headers, _ = ask(server, address)
        assert status == 200
        assert headers["Cache-Control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("path", ["/", "/no-such-page"])
def test_pages_let_the_browser_ask_nobody_else(server, path):
    _, headers, _ = ask(server, path)
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'self'"
    assert "'unsafe-inline'" not in policy["script-src"]
    assert policy["frame-ancestors"] == "'none'"


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_a_stranger_can_not_end_a_kernel(server, method):
    status, _, _ = ask(server, "/api/kernels/00000000-0000-0000-0000-000000000000", method)
    assert status in (403, 405)


def test_a_closing_message_without_its_token_is_refused(server):
    path = "/voila/api/shutdown/00000000-0000-0000-0000-000000000000"
    status, _, body = ask(server, path, "POST")
    assert status == 403
    assert "_xsrf" in json.loads(body)["message"]


def run_process(*options: str) -> subprocess.CompletedProcess:
    """The command as a process of its own."""
    command = [sys.executable, "-m", "explorer.serve.command", *options]
    return subprocess.run(command, capture_output=True, text=True, timeout=60)


def test_port_in_use_is_one_sentence(server):
    port = urlsplit(server.url).port
    done = run_process("--port", str(port), "--no-browser")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"Port {port} is in use already; choose another one with --port.\n"


def test_address_of_another_machine_is_one_sentence():
    # 192.0.2.1 is set aside for documentation (RFC 5737), so no machine has it.
    done = run_process("--address", "192.0.2.1", "--port", "0", "--no-browser")
    assert done.returncode == 2
    assert done.stderr.startswith("Can't listen on 192.0.2.1, port 0: ")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--port", "70000"], "use a number from 0 to 65535"),
        (["--port", "http"], "use a number from 0 to 65535"),
        (["--pool", "-1"], "use a number from 0 to 99"),
        (["--pool", "many"], "use a number from 0 to 99"),
        (["--base-path", "/a b"], "can't be a path"),
        (["--base-path", "/a/../b"], "can't be a path"),
    ],
)
def test_wrong_options_are_told_in_a_sentence(options, says, capsys):
    with pytest.raises(SystemExit) as end:
        main(options)
    assert end.value.code == 2
    assert says in capsys.readouterr().err


def test_help_names_the_options():
    done = run_process("--help")
    assert done.returncode == 0
    for option in ("--port", "--address", "--base-path", "--no-browser", "--pool", "--access-log"):
        assert option in done.stdout
    assert "explorer export --out FOLDER" in done.stdout


@pytest.mark.parametrize(
    ("text", "path"),
    [("", "/"), ("/", "/"), ("club", "/club/"), ("/club", "/club/"), ("/a/b/", "/a/b/")],
)
def test_base_path_has_a_slash_at_either_end(text, path):
    assert base_path(text) == path


@pytest.mark.long
def test_ctrl_c_again_and_again_ends_it_all_the_same(serve_pages):
    """Whoever holds the keys down finds the server gone, without a traceback."""
    running = serve_pages({"page": PAGE}, "--pool", "0")
    assert ask(running, "/page")[0] == 200  # a kernel runs
    started = psutil.Process(running.process.pid).children(recursive=True)
    presses = 0
    while running.process.poll() is None and presses < 50:
        running.process.send_signal(signal.SIGINT)
        presses += 1
        with contextlib.suppress(subprocess.TimeoutExpired):
            running.process.wait(timeout=0.1)
    assert presses > 1
    assert running.process.wait(timeout=60) == 0
    running.process.stdout.close()
    assert "Traceback" not in running.log.read_text()
    assert psutil.wait_procs(started, timeout=60)[1] == []


# Told to stop while it answers a request.
_STOPPED_AT_WORK = """
import os, signal
from explorer.serve.adapters.jsonschema import leave_addresses_out
leave_addresses_out()
from explorer.serve import access_log, server

class StoppedAtWork(access_log.CountedBytes):
    def __init__(self, request):
        os.kill(os.getpid(), signal.{0})
        super().__init__(request)

server.CountedBytes = StoppedAtWork
"""


@pytest.mark.long
@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_it_stops_when_the_signal_comes_in_the_middle_of_a_request(serve_pages, name):
    running = serve_pages({"page": PAGE}, "--pool", "0", before=_STOPPED_AT_WORK.format(name))
    with contextlib.suppress(OSError, http.client.HTTPException):
        ask(running, "/")
    assert running.process.wait(timeout=60) == 0
    running.process.stdout.close()
    assert running.log.read_text() == ""


def test_a_page_below_a_base_path_and_stopping_leaves_no_process_behind(serve_pages):
    running = serve_pages({"page": PAGE}, "--pool", "0", "--base-path", "/club/gearing")
    assert urlsplit(running.url).path == "/club/gearing/"
    status, _, html = ask(running, "/club/gearing/page")
    assert status == 200
    assert '"baseUrl": "/club/gearing/"' in html
    assert ask(running, "/page")[0] == 404
    assert "kernelId" in html  # a kernel runs
    assert running.stop() == []
    assert running.process.returncode == 0

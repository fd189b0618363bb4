"""What a visitor can't ask for, tried for real: addresses, other visitors, other hosts' pages."""

import asyncio
import contextlib
import json
import re
import socket
import time
import uuid
from urllib.parse import urlsplit

import psutil
import pytest

from explorer.serve.forked_kernel import can_fork
from tests.serve.read_only.every_control import TEXT, Widgets, still_works, widgets_of
from tests.serve.visitor import Visit, ask, upgrade


def raw_answer(url: str, request: bytes) -> bytes:
    """What comes back for bytes sent as they are; nothing if the connection is closed."""
    parts = urlsplit(url)
    with socket.create_connection((parts.hostname, parts.port), timeout=30) as connection:
        with contextlib.suppress(ConnectionError):
            connection.sendall(request)
        received = b""
        with contextlib.suppress(ConnectionError):
            while part := connection.recv(65536):
                received += part
        return received


@pytest.mark.parametrize(
    "request_text",
    [
        b"GET /one?" + b"x" * 100_000 + b" HTTP/1.1\r\nHost: h\r\n\r\n",
        b"GET /one HTTP/1.1\r\nHost: h\r\nX: " + b"x" * 100_000 + b"\r\n\r\n",
        b"POST /voila/api/shutdown/0 HTTP/1.1\r\nHost: h\r\nContent-Length: 9999999\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: chunked\r\n\r\nffffff\r\n"
        + b"x" * 100_000,
        b"GET /one?\x00\xff HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"GET /one?template=%ff HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"GET one HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: h\r\nContent-Length: -1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
    ],
    ids=lambda text: text[:24].decode("latin-1"),
)
def test_an_oversized_or_malformed_request_gets_no_more_than_a_refusal(server, request_text):
    before = server.log.read_text()
    received = raw_answer(server.url, request_text)
    assert received == b"" or received.startswith(b"HTTP/1.1 4")
    assert ask(server.url, "/health").status == 200
    assert server.log.read_text() == before


# --- Addresses ------------------------------------------------------------------------------------


METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE")


def api_paths(own: str, foreign: str) -> list[str]:
    return [
        *("/api", "/api/", "/api/kernels", "/api/kernels/", "/api/kernelspecs", "/api/sessions"),
        *("/api/terminals", "/api/contents", "/api/contents/one.ipynb", "/api/config/notebook"),
        *("/api/status", "/api/me", "/api/spec.yaml", "/api/security/csp-report", "/api/shutdown"),
        *(f"/api/kernels/{number}/{what}" for number in (own, foreign) for what in ACTIONS),
        *(f"/api/sessions/{own}", "/voila/api/contents", "/voila/execution/" + own),
        *(
            "/voila/files/one.ipynb",
            "/voila/render/one.ipynb",
            "/one.ipynb",
            "/notebooks/one.ipynb",
        ),
        *("/files/one.ipynb", "/view/one.ipynb", "/nbconvert/html/one.ipynb", "/tree", "/lab"),
        *("/explorer/serve/command.py", "/../one.ipynb", "/one/../../one.ipynb", "/.git/config"),
        *("/%2e%2e/one.ipynb", "/..%2fone.ipynb", "/one%00.ipynb", "//one.ipynb", "/\\one.ipynb"),
    ]


ACTIONS = ("interrupt", "restart", "shutdown", "")


def test_no_other_address_answers_whatever_the_method(server, visit):
    stranger = str(uuid.uuid4())
    own = {"Cookie": f"_xsrf={visit.token}", "X-XSRFToken": visit.token}
    for path in api_paths(visit.kernel_id, stranger):
        for method in METHODS:
            answer = ask(server.url, path, method, headers=own)
            assert answer.status in (404, 405), (method, path, answer.status)
            assert "cells" not in answer.text and visit.kernel_id not in answer.text
    for method in METHODS[1:]:
        # Even its own kernel it can only ask after; it ends it by the closing message.
        assert ask(server.url, visit.kernel, method, headers=own).status in (403, 404, 405)
    asyncio.run(still_works(visit))


def test_a_page_can_be_asked_for_in_one_way_only(server, visit):
    for method in METHODS[1:]:
        for path in ("/one", "/", "/health"):
            assert ask(server.url, path, method).status in (403, 405)
    with_template = ask(server.url, "/?template=../../etc&theme=../../etc")
    assert with_template.status == 200


# --- Other visitors ---------------------------------------------------------------------------


def test_nothing_of_one_visitor_reaches_another(server, visit):
    marker = "marker-of-the-first"
    second = Visit.begin(server.url, "/one", headers={"User-Agent": "the-second"})

    async def try_it():
        mine, theirs = await widgets_of(visit), await widgets_of(second)
        assert mine.about()["process"] != theirs.about()["process"]
        assert mine.states.keys().isdisjoint(theirs.states.keys())
        # Both websockets have the same name: it must not matter.
        async with visit.websocket() as websocket, second.websocket() as other:
            await websocket.update(mine.id(TEXT), value=marker)
            await websocket.settle()
            # Nor can a visitor talk to another's widgets by his own websocket.
            stray = await other.update(mine.id(TEXT), value="from the second")
            await other.settle()
            await other.states()
            assert not any(marker.encode() in raw for raw in other.raw)
            assert set(other.answered({stray})) == {"status"}
            assert Widgets(await websocket.states()).value(TEXT) == marker
        third = Visit.begin(server.url, "/other")
        assert marker not in third.html
        assert marker not in json.dumps((await widgets_of(third)).states)
        assert third.end().status == 204

    asyncio.run(try_it())
    assert second.end().status == 204


@pytest.mark.parametrize("page", ["/one", "/other"])
def test_a_kernel_is_told_nothing_of_the_request_before(server, page):
    """With kernels that stand ready, for one of the pages, and without."""
    words = ["first-word", "second-word"]
    for number, word in enumerate(words):
        headers = {name: f"{name}-{word}" for name in ("User-Agent", "Referer", "X-Forwarded-For")}
        headers["Cookie"] = f"own={word}"
        visit = Visit.begin(server.url, f"{page}?note={word}", headers=headers)
        about = asyncio.run(widgets_of(visit)).about()
        assert about["query"] == f"note={word}"
        told = json.dumps(about["told"])
        for earlier in words[:number]:
            assert earlier not in told
        for name in ("User-Agent", "Referer", "X-Forwarded-For"):
            assert f"{name}-{word}" not in told
        assert visit.end().status == 204


def test_a_waiting_kernels_link_is_told_to_nobody_else(server, visit):
    """The address where a kernel of the pool asks for its visitor's link."""
    parts = urlsplit(server.url)
    for number, origin, status in [
        (visit.kernel_id, EVIL, b"403"),
        # Its own it may ask for: it is in the page's address.
        (visit.kernel_id, f"http://{parts.netloc}", b"101"),
        (str(uuid.uuid4()), f"http://{parts.netloc}", b"404"),
    ]:
        with socket.create_connection((parts.hostname, parts.port), timeout=30) as connection:
            connection.sendall(upgrade(server.url, f"/voila/query/{number}", f"Origin: {origin}"))
            assert connection.recv(12) == b"HTTP/1.1 " + status


# --- Other hosts' pages -----------------------------------------------------------------------

EVIL = "http://evil.example"


def test_a_websocket_is_for_pages_of_ours(visit):
    async def try_it():
        for origin in (EVIL, "null", "http://127.0.0.1:1", f"{visit.url.rstrip('/')}.evil.example"):
            with pytest.raises(Exception, match="403"):
                async with visit.websocket(origin=origin):
                    pass
        async with visit.websocket(origin=visit.url.rstrip("/")) as websocket:
            await websocket.settle()

    asyncio.run(try_it())


def test_a_kernel_is_ended_by_its_own_page_only(server):
    visit = Visit.begin(server.url, "/one")
    path = f"/voila/api/shutdown/{visit.kernel_id}"
    assert ask(server.url, path, "POST").status == 403
    assert visit.end(**{"X-XSRFToken": "wrong"}).status == 403
    assert visit.end(Cookie="_xsrf=wrong").status == 403
    assert visit.end(Origin=EVIL).status == 404
    assert ask(server.url, visit.kernel).status == 200
    unknown = Visit(server.url, "", str(uuid.uuid4()), visit.token)
    assert unknown.end().status == 404
    assert visit.end().status == 204
    assert visit.end().status == 404
    assert ask(server.url, visit.kernel).status == 404


def test_no_other_hosts_page_may_read_or_frame_ours(server, visit):
    for path in ("/", "/health", "/nothing", visit.kernel, "/api/kernels"):
        for method in ("GET", "OPTIONS"):
            headers = {"Origin": EVIL, "Access-Control-Request-Method": "GET"}
            answer = ask(server.url, path, method, headers)
            assert not [name for name in answer.headers if "access-control" in name.lower()]
            policy = answer.headers["Content-Security-Policy"]
            assert "frame-ancestors 'none'" in policy


def test_a_riders_own_pages_are_for_names_of_this_machine(server, visit):
    """A stranger's name may lead to this machine ("DNS rebinding"); the logbook is here."""
    port = urlsplit(server.url).port
    for host in ("evil.example", f"evil.example:{port}", "192.0.2.1", "localhost.evil.example"):
        for path in ("/one", "/other", visit.kernel, f"{visit.kernel}/channels"):
            answer = ask(server.url, path, headers={"Host": host})
            assert answer.status == 403
            assert "kernelId" not in answer.text
        assert visit.end(Host=host).status == 403
    assert ask(server.url, visit.kernel, headers={"Host": f"localhost:{port}"}).status == 200


# --- What is written down -------------------------------------------------------------------------


def test_the_access_log_says_nothing_of_who_asked(server, visit, log):
    word = "marker-of-a-person"
    headers = {
        **{"User-Agent": word, "Referer": f"http://x/{word}", "Cookie": f"a={word}"},
        **{"X-Forwarded-For": word, "X-Real-IP": word, "Forwarded": f"for={word}", "From": word},
    }
    asked = Visit.begin(server.url, f"/other?rider={word}", headers=headers)

    async def say_it():
        widgets = await widgets_of(asked)
        async with asked.websocket(session=word) as websocket:
            await websocket.update(widgets.id(TEXT), value=word)
            await websocket.settle()

    asyncio.run(say_it())
    for path in ("/", "/health", "/nothing", asked.kernel, "/api/kernels", "/other/x"):
        for method in METHODS:
            ask(server.url, f"{path}?rider={word}", method, headers)
    ask(server.url, f"/?rider={word}", f"X{word}", headers)
    assert asked.end(**headers | {"Cookie": f"_xsrf={asked.token}"}).status == 204

    lines = log.read_text().splitlines()
    assert len(lines) > 40
    shape = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00 ([A-Z]+|\?) \S+ \d{3} \d+ ms \d+ B"
    assert not [line for line in lines if not re.fullmatch(shape, line)]
    written = log.read_text() + server.log.read_text()
    for secret in (word, "127.0.0.1", asked.kernel_id, visit.kernel_id, asked.token):
        assert secret not in written


def test_the_health_address_takes_no_place(server, visit):
    def told() -> dict:
        answer = ask(server.url, "/health?x=1")
        assert answer.status == 200
        assert answer.headers["Cache-Control"] == "no-store"
        return json.loads(answer.text)

    before = told()
    assert before.keys() == {"status", "version", "places", "taken", "free"}
    assert before["status"] == "ok"
    assert before["taken"] + before["free"] == before["places"]
    assert before["taken"] >= 1  # the page that is open all the time
    for _ in range(20):
        # One, because a kernel for the pool may just be on its way.
        assert told()["taken"] <= before["taken"] + 1
    second = Visit.begin(server.url, "/other")
    assert told()["taken"] >= 2
    assert second.end().status == 204


def test_the_health_address_tells_that_no_kernel_can_be_had(server):
    """The last test of this server: the process that its kernels are forked from is killed."""
    if not can_fork():
        pytest.skip("kernels are forked on Linux only")
    [warm] = psutil.Process(server.process.pid).children()
    warm.kill()
    until = time.monotonic() + 30
    while (answer := ask(server.url, "/health")).status == 200:
        assert time.monotonic() < until, "its death is not noticed"
    assert answer.status == 503
    assert json.loads(answer.text)["status"] == "no kernels can be started"
    # Another has been started, and the next visitor is served.
    assert ask(server.url, "/health").status == 200
    assert Visit.begin(server.url, "/other").end().status == 204

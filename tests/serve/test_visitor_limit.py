"""The limit on visitors: where it comes from, whom it lets in, and what the others are told."""

import asyncio
import http.client
import mmap
import time
from functools import partial
from types import SimpleNamespace
from urllib.parse import urlsplit

import pytest

from explorer.serve import kernels, visitor_limit
from explorer.serve.command import parser
from explorer.serve.handlers import PageHandler
from explorer.serve.kernels import MOST_UNSEEN, VisitorKernelManager
from explorer.serve.visitor_limit import (
    FORKED_KERNEL,
    ORDINARY_KERNEL,
    SERVER,
    Arrivals,
    group_room,
    own_memory,
    visitors_for,
    visitors_here,
)

MIB = 2**20
PAGE = """
import os
import ipywidgets
ipywidgets.HTML(f"<p>process {os.getpid()}</p>")
"""


def ask(url: str, path: str, method: str = "GET", headers: dict | None = None):
    parts = urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=60)
    try:
        connection.request(method, path, headers=headers or {})
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read().decode()
    finally:
        connection.close()


def close(url: str, visit) -> None:
    """Say that a page has been closed, as the page itself does."""
    _, headers, html = visit
    kernel = html.split('"kernelId": "')[1].split('"')[0]
    cookie = headers["Set-Cookie"].split(";")[0]
    token = cookie.removeprefix("_xsrf=").strip('"')
    status, _, _ = ask(
        url,
        f"/voila/api/shutdown/{kernel}",
        "POST",
        {"Cookie": cookie, "X-XSRFToken": token},
    )
    assert status == 204


def test_a_place_is_freed_and_handed_out_again(serve_pages):
    url = serve_pages({"page": PAGE}, "--pool", "0", "--visitors", "2").url
    visits = [ask(url, "/page") for _ in range(2)]
    assert [status for status, _, _ in visits] == [200, 200]

    status, headers, html = ask(url, "/page?front=13&rear=48")
    assert status == 503
    assert int(headers["Retry-After"]) > 0
    assert "no-store" in headers["Cache-Control"]
    # It asks again by itself, for its own address: that is what a refresh without one means (HTML
    # Living Standard, "shared declarative refresh steps").
    assert f'<meta http-equiv="refresh" content="{headers["Retry-After"]}">' in html
    assert "<script" not in html
    assert "2 places" in html
    assert ask(url, "/")[0] == 200  # the list of pages needs no place

    close(url, visits[0])
    assert ask(url, "/page?front=13&rear=48")[0] == 200
    assert ask(url, "/page")[0] == 503


@pytest.mark.long
def test_a_kernel_of_the_pool_has_a_place_of_its_own(serve_pages):
    url = serve_pages({"page": PAGE}, "--pool", "1", "--visitors", "2").url
    assert ask(url, "/page")[0] == 200
    status, _, html = ask(url, "/page")
    assert status == 503
    assert "one place" in html


@pytest.mark.long
def test_a_single_place_is_a_visitors_not_the_pools(serve_pages):
    url = serve_pages({"page": PAGE}, "--pool", "1", "--visitors", "1").url
    assert ask(url, "/page")[0] == 200
    assert ask(url, "/page")[0] == 503


def from_address(url: str, address: str, page: str = "/page"):
    return ask(url, page, headers={"X-Real-IP": address})


def test_no_address_holds_all_places_and_idle_ones_go_to_another(serve_pages):
    """Addresses as a web server in front tells them; RFC 5737 sets these aside."""
    options = ("--pool", "0", "--visitors", "5", "--behind", "127.0.0.1")
    url = serve_pages({"page": PAGE}, *options).url
    greedy = [from_address(url, "192.0.2.7") for _ in range(5)]
    assert [status for status, _, _ in greedy] == [200, 200, 200, 503, 503]
    others = [from_address(url, f"198.51.100.{last}")[0] for last in (1, 2)]
    assert others == [200, 200]
    # All are taken; a page of the greedy one's goes once it has been idle for a moment.
    until = time.monotonic() + 60
    while from_address(url, "203.0.113.9")[0] != 200:
        assert time.monotonic() < until
    assert from_address(url, "192.0.2.7")[0] == 503
    kernels = [html.split('"kernelId": "')[1].split('"')[0] for _, _, html in greedy[:3]]
    assert sorted(ask(url, f"/api/kernels/{each}")[0] for each in kernels) == [200, 200, 404]


@pytest.mark.parametrize(
    ("peer", "said", "counts_as"),
    [
        ("198.51.100.1", {"X-Real-IP": "192.0.2.7"}, "198.51.100.1"),
        ("127.0.0.1", {"X-Real-IP": "192.0.2.7"}, "192.0.2.7"),
        ("127.0.0.1", {"X-Real-IP": "2001:db8:1:2:aaaa::7"}, "2001:db8:1:2::"),
        ("127.0.0.1", {"X-Forwarded-For": "192.0.2.7"}, "127.0.0.1"),
    ],
)
def test_a_visitors_address_is_believed_only_of_a_web_server_that_was_named(peer, said, counts_as):
    request = SimpleNamespace(remote_ip=peer, headers=said)
    handler = SimpleNamespace(request=request, settings={"web_servers": ["127.0.0.1"]})
    assert PageHandler._address(handler) == counts_as


@pytest.mark.parametrize("browser_comes", [True, False])
def test_pages_on_their_way_to_one_address_wait_for_their_turn(monkeypatch, browser_comes):
    """A class behind one address is let in as its browsers come back; a program is not."""
    monkeypatch.setattr(kernels, "TURN_SECONDS", 60.0 if browser_comes else 0.0)
    monkeypatch.setattr(visitor_limit, "LOOK_SECONDS", 0.0)
    monkeypatch.setattr(visitor_limit, "room_here", lambda: 2**40)
    manager = SimpleNamespace(
        parent=SimpleNamespace(places=40, pool=0),
        holders={str(number): "192.0.2.7" for number in range(MOST_UNSEEN)},
        **{"arrivals": Arrivals(), "looked_at": set(), "visitors": MOST_UNSEEN},
    )
    manager._unseen = partial(VisitorKernelManager._unseen, manager)

    async def come() -> bool:
        assert await VisitorKernelManager.let_in(manager, "198.51.100.1")
        waiting = asyncio.create_task(VisitorKernelManager.let_in(manager, "192.0.2.7"))
        for _ in range(5):
            await asyncio.sleep(0)  # whoever waits has looked
        assert browser_comes is not waiting.done()
        if browser_comes:
            manager.looked_at.add("3")
        return await waiting

    assert asyncio.run(come()) is browser_comes


def test_places_come_from_the_memory():
    assert visitors_for(SERVER + 10 * FORKED_KERNEL, FORKED_KERNEL) == 10
    assert visitors_for(SERVER + 10 * FORKED_KERNEL - 1, FORKED_KERNEL) == 9
    assert visitors_for(0, ORDINARY_KERNEL) == 1  # one is always tried


@pytest.mark.parametrize(
    ("own", "room"),
    [
        ("0::/\n", 2**63),
        ("0::/club.slice/explorer.service\n", 100 * MIB),
        # A group lives within the limits of the group above it.
        ("0::/club.slice/other.service\n", 900 * MIB),
        ("5:memory:/old\n0::/club.slice/explorer.service\n", 100 * MIB),
        ("0::/club.slice/full.service\n", 0),
        # What files keep in memory is let go when it is needed.
        ("0::/club.slice/reader.service\n", 70 * MIB),
    ],
)
def test_room_below_the_limit_of_a_control_group(tmp_path, own, room):
    limits = {
        "club.slice": (f"{1000 * MIB}", 100 * MIB),
        "club.slice/explorer.service": (f"{300 * MIB}", 200 * MIB),
        "club.slice/other.service": ("max", 50 * MIB),
        "club.slice/full.service": (f"{10 * MIB}", 11 * MIB),
        "club.slice/reader.service": (f"{200 * MIB}", 190 * MIB),
    }
    for name, (most, used) in limits.items():
        folder = tmp_path / name
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "memory.max").write_text(f"{most}\n")
        (folder / "memory.current").write_text(f"{used}\n")
        files = 60 * MIB if "reader" in name else 0
        (folder / "memory.stat").write_text(
            f"anon 1\nfile 1\ninactive_file {files * 2 // 3}\nactive_file {files // 3}\n"
        )
    listing = tmp_path / "own"
    listing.write_text(own)
    assert group_room(tmp_path, listing) == room


def test_what_the_server_has_taken_already_is_not_taken_off_twice(monkeypatch):
    """A worker with 1500 MiB, in which the server has 110 by then: documented as 16 places."""
    limit, own = 1500 * MIB, 110 * MIB
    monkeypatch.setattr(visitor_limit, "group_room", lambda: limit - own)
    monkeypatch.setattr(visitor_limit, "own_memory", lambda: own)
    assert visitors_here(FORKED_KERNEL) == visitors_for(limit, FORKED_KERNEL) == 16


def test_own_memory_is_what_a_process_would_give_back():
    before = own_memory()
    # New memory, and not what the worker has freed and still holds.
    taken = mmap.mmap(-1, 50 * MIB, mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS)
    for page in range(0, len(taken), mmap.PAGESIZE):
        taken[page] = 1
    assert own_memory() - before == pytest.approx(len(taken), rel=0.2)
    assert own_memory(2**22 + 1) == 0  # no such process: Linux has ids up to 2^22


def test_no_control_groups_means_no_limit_of_theirs(tmp_path):
    assert group_room(tmp_path, tmp_path / "none") == 2**63


@pytest.mark.parametrize("text", ["0", "-1", "many", "1.5"])
def test_a_wrong_number_of_visitors_is_told_in_a_sentence(text, capsys):
    with pytest.raises(SystemExit):
        parser().parse_args(["--visitors", text])
    assert "use a number from 1 to 99999" in capsys.readouterr().err

"""A club's pages in the browser: its bike, its units, and a frame on its own web site."""

import http.server
import json
import shutil
import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import READY_MILLISECONDS
from tests.browser.every_page.test_accessibility import rules_broken
from tests.browser.lids import open_lid
from tests.conftest import PLACES, RunningServer, start_server


class OtherSite(http.server.BaseHTTPRequestHandler):
    """The club's web site: one page with ours in a frame."""

    framed = ""

    def do_GET(self) -> None:
        page = (
            f'<!DOCTYPE html><title>Club</title><iframe src="{self.framed}" width=900 height=800>'
        )
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(page.encode())

    def log_message(self, *_) -> None:
        """Tests print nothing."""


@pytest.fixture(scope="module")
def other_site() -> Iterator[http.server.ThreadingHTTPServer]:
    # Reached by two names, which are two sites to a browser.
    site = http.server.ThreadingHTTPServer(("127.0.0.1", 0), OtherSite)
    threading.Thread(target=site.serve_forever, daemon=True).start()
    yield site
    site.shutdown()
    site.server_close()


@pytest.fixture(scope="module")
def club_server(
    tmp_path_factory: pytest.TempPathFactory, repository: Path, other_site
) -> Iterator[RunningServer]:
    folder = tmp_path_factory.mktemp("club") / "club"
    shutil.copytree(repository / "data" / "club", folder)
    settings = {
        "title": "Puddle Lane & <b>Friends</b>",
        "bike": "club-youth-80",
        "units": "imperial",
        "pages": ["members", "gearing"],
        "frame_hosts": [f"http://localhost:{other_site.server_port}"],
    }
    lines = [f"{name} = {json.dumps(value)}" for name, value in settings.items()]
    (folder / "club.toml").write_text("\n".join(lines))
    command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
    command += [*PLACES, "--pool", "0", "--club", str(folder)]
    running = start_server(command, folder / "errors.txt")
    OtherSite.framed = f"{running.url}gearing"
    yield running
    running.stop()


@pytest.mark.long
def test_members_set_ups_are_listed_and_open_on_the_bench(open_page, club_server, long_run):
    page: Page = open_page("members", on=club_server, width=390)
    expect(page).to_have_title("What members ride · Puddle Lane & <b>Friends</b>")
    expect(page.locator("footer")).to_contain_text("Puddle Lane & <b>Friends</b>")
    # The table scrolls by itself; the page does not.
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert rules_broken(page, long_run) == []
    page.get_by_label("Bike or class").select_option("Club trail 200, invented")
    page.get_by_label("Terrain").select_option("hills")
    rows = page.locator(".ge-members tbody tr", has_text="checked by GPS")
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("79.3 in")

    name, _, query = rows.get_by_role("link", name="12/48").get_attribute("href").partition("?")
    page = open_page(name, query=query, on=club_server)
    open_lid(page, "Bike, units and what acceleration means")
    expect(page.get_by_label("Bike", exact=True)).to_have_value("Club trail 200")


def is_alive(club_server: RunningServer, kernel: str) -> bool:
    try:
        urllib.request.urlopen(f"{club_server.url}api/kernels/{kernel}").close()
    except urllib.error.HTTPError as answer:
        assert answer.code == 404
        return False
    return True


@pytest.mark.long
def test_a_frame_on_a_named_host_is_live_with_the_clubs_bike_and_on_another_is_empty(
    chromium: Browser, club_server, other_site
):
    context = chromium.new_context()
    page = context.new_page()
    page.set_default_timeout(READY_MILLISECONDS)
    page.goto(f"http://localhost:{other_site.server_port}/", wait_until="commit")
    page.frame_locator("iframe").locator("html[data-ready]").wait_for(state="attached")
    frame = page.frames[1]
    assert frame.url.startswith(club_server.url)
    frame.get_by_text("Bike, units and what acceleration means", exact=True).click()
    bike = frame.get_by_label("Bike", exact=True)
    expect(bike.locator("option:checked")).to_have_text("Club youth 80")
    expect(frame.locator("[data-tile=top]")).to_contain_text("mph")
    expect(frame.locator("a", has_text="Does it fit?")).to_have_count(0)
    bike.select_option("Club trail 200")
    expect(frame.locator("#bench")).to_contain_text("12/45")
    kernel = frame.evaluate("document.body.dataset.kernelId")
    assert is_alive(club_server, kernel)
    # Closing the tab lets the kernel go, from another site's frame as well.
    with page.expect_event("close"):
        page.close(run_before_unload=True)
    watching = context.new_page()
    watching.goto(club_server.url)
    watching.wait_for_function(
        "path => fetch(path, {cache: 'no-store'}).then(answer => answer.status === 404)",
        arg=f"/api/kernels/{kernel}",
        timeout=READY_MILLISECONDS,
    )

    # The same page by a name that the club did not give.
    page = context.new_page()
    with page.expect_console_message(lambda message: "frame-ancestors" in message.text):
        page.goto(f"http://127.0.0.1:{other_site.server_port}/", wait_until="load")
    assert page.frame_locator("iframe").locator(".ge-app").count() == 0
    context.close()

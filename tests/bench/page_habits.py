"""What the gearing page does in a browser besides its sliders, seen once in Chromium.

Scripted visitors do the same, so that the load is a browser's also after the page has changed.
"""

import json
from dataclasses import dataclass
from urllib.parse import urlsplit

from jupyter_server.services.kernels.connection.base import deserialize_msg_from_ws_v1
from playwright.sync_api import WebSocket, sync_playwright

from tests.browser.conftest import find_chromium

CALM_MILLISECONDS = 1000
"""A page that has sent nothing for so long has said all that it had to say [ms]."""


@dataclass(frozen=True)
class PageHabits:
    """What a visitor's browser asks for and sends.

    Attributes
    ----------
    files : tuple of str
        Paths of the scripts and styles that a browser asks for that has none of them yet.
    sends_charts_back : bool
        Whether the page tells the kernel each change of its charts that it had from there.
    """

    files: tuple[str, ...]
    sends_charts_back: bool


def watch_page(url: str) -> PageHabits:
    """Open the gearing page of a running server in Chromium and move a slider once.

    Parameters
    ----------
    url : str
        Address of the front page.
    """
    files: dict[str, None] = {}
    sent: list[str | bytes] = []

    def watch_line(line: WebSocket) -> None:
        line.on("framesent", lambda message: sent.append(message))

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page()
        page.set_default_timeout(120_000)
        page.on("request", lambda request: files.update({urlsplit(request.url).path: None}))
        page.on("websocket", watch_line)
        page.goto(f"{url}gearing", wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
        page.wait_for_timeout(CALM_MILLISECONDS)
        sent.clear()
        tile = page.locator(".ge-tile strong").first
        before = tile.text_content()
        page.get_by_role("slider", name="Front sprocket", exact=True).press("ArrowRight")
        page.wait_for_function(
            "before => document.querySelector('.ge-tile strong').textContent !== before",
            arg=before,
        )
        page.wait_for_timeout(CALM_MILLISECONDS)
        page.goto("about:blank")  # as a visitor who leaves, so that the kernel goes
        browser.close()
    assets = tuple(path for path in files if "/assets/" in path)
    return PageHabits(assets, any(map(_is_chart_change, sent)))


def _is_chart_change(message: str | bytes) -> bool:
    _, (_, _, _, content, *_) = deserialize_msg_from_ws_v1(message)
    data = json.loads(content).get("data", {})
    return data.get("content", {}).get("kind") == "ModelChanged"

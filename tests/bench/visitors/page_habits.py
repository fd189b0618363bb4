"""What a browser asks for besides a page, seen once in Chromium.

Scripted visitors ask for the same, so that the load is a browser's also after the page has changed.
"""

from urllib.parse import urlsplit

from playwright.sync_api import sync_playwright

from tests.browser.conftest import find_chromium

Files = tuple[str, ...]
"""Paths."""


def files_of_the_page(url: str, name: str = "ground") -> Files:
    """Paths of the scripts and styles that a browser asks for that has none of them yet.

    Args:
        url: Address of the front page of a running server.
        name: Of the page.
    """
    files: dict[str, None] = {}
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page()
        page.set_default_timeout(120_000)
        page.on("request", lambda request: files.update({urlsplit(request.url).path: None}))
        page.goto(f"{url}{name}", wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
        page.goto("about:blank")  # as a visitor who leaves, so that the kernel goes
        browser.close()
    return tuple(path for path in files if "/assets/" in path)

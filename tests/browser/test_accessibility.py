"""WCAG 2.2, levels A and AA, as far as a machine can judge them, by axe-core 4.12.

axe-core (MPL-2.0) comes in its Python wrapper (MIT) with the test command; the rules are those it
tags with the success criteria of WCAG 2.0, 2.1 and 2.2 (W3C Recommendation, 5 October 2023). Each
page is judged at first load and with all its lids open, in two windows, by day and by night; by
night only the rules of colour in both, for nothing else changes. Without ``--long`` in the one by
day, in the other by night.
"""

from collections.abc import Iterator

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from tests.browser.lids import open_lids

PAGES = ("gearing", "wants", "ground", "fit", "lesson", "check", "logbook", "method")
DESKTOP, PHONE = {"width": 1280, "height": 720}, {"width": 390, "height": 844}
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {"runOnly": {"type": "tag", "values": LEVELS}, "resultTypes": ["violations"]}
COLOURS = ["color-contrast", "link-in-text-block"]
OF_COLOURS = {"runOnly": {"type": "rule", "values": COLOURS}, "resultTypes": ["violations"]}

# The steps that fade in are judged when they stand; two frames for what a new window repaints.
_STAND = """
async () => {
  await Promise.all(document.getAnimations().filter((each) =>
    each.effect.getComputedTiming().endTime < Infinity).map((each) => each.finished));
  await new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)));
}
"""


def _violations(page: Page, options: dict) -> Iterator[str]:
    page.evaluate(_STAND)
    for rule in page.evaluate("(options) => axe.run(options)", options)["violations"]:
        for node in rule["nodes"]:
            why = [each["message"] for kind in ("any", "all", "none") for each in node[kind]]
            yield f"{rule['id']}: {node['target']} {node['html'][:200]} {why[:2]}"


def _everywhere(page: Page, long_run: bool) -> list[str]:
    """What is broken in each window and colour scheme, with its place."""
    page.evaluate(AXE_SCRIPT)
    broken = []
    looks = [(DESKTOP, "light"), (DESKTOP, "dark"), (PHONE, "light"), (PHONE, "dark")]
    for window, colours in looks if long_run else looks[::3]:
        page.set_viewport_size(window)
        page.emulate_media(color_scheme=colours)
        options = OF_COLOURS if long_run and colours == "dark" else OPTIONS
        broken += [f"{window['width']} {colours}, {each}" for each in _violations(page, options)]
    return broken


@pytest.mark.parametrize("name", PAGES)
def test_a_page_breaks_no_rule_of_wcag_a_or_aa(open_page, name, long_run):
    page = open_page(name, **DESKTOP)
    assert _everywhere(page, long_run) == []
    open_lids(page)
    assert _everywhere(page, long_run) == []


def test_the_front_page_breaks_no_rule_of_wcag_a_or_aa(open_url, server, long_run):
    page = open_url(server.url, **DESKTOP)
    page.wait_for_load_state()
    assert _everywhere(page, long_run) == []

"""WCAG 2.2, levels A and AA, as far as a machine can judge them, by axe-core 4.12.

axe-core (MPL-2.0) comes in its Python wrapper (MIT) with the test command; the rules are those it
tags with the success criteria of WCAG 2.0, 2.1 and 2.2 (W3C Recommendation, 5 October 2023). Each
page is judged at first load and with all its lids open, in two windows, by day and by night; by
night only the rules of colour in both, for nothing else changes. Without ``--long`` in the one by
day, in the other by night. So are all sheets and static pages; members' page in test_club.py.
"""

from collections.abc import Iterator
from datetime import date

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from explorer.records.logbook.entry import LogEntry
from explorer.tasks.logbook import sheet
from tests.browser.lids import open_lids

PAGES = {
    "gearing": "front=12",
    "wants": "want.1=clutch-out;weight+3;speed+5+km/h&want.ticked=stalls",
    "ground": "rear=52",
    "fit": "rear=52",
    "lesson": "step=10",
    "check": "front=12",
    "logbook": "",
    "method": "",
}
LONGEST = "method"
"""Only with ``--long``: all of it is words and formulas."""
BEFORE = LogEntry.of({"date": "2026-04-01", "bike": "Meadow", "front": "13", "rear": "50"})
AFTER = LogEntry.of({"date": "2026-05-01", "bike": "Meadow", "front": "12", "rear": "50"})
DESKTOP, PHONE = {"width": 1280, "height": 720}, {"width": 390, "height": 844}
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {"runOnly": {"type": "tag", "values": LEVELS}, "resultTypes": ["violations"]}
COLOURS = ["color-contrast", "link-in-text-block"]
OF_COLOURS = {"runOnly": {"type": "rule", "values": COLOURS}, "resultTypes": ["violations"]}
# No rule here needs the style sheets fetched anew, which a file may not ask for.
OPTIONS["preload"] = OF_COLOURS["preload"] = False

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


def rules_broken(page: Page, long_run: bool) -> list[str]:
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


@pytest.mark.parametrize(
    "name",
    [pytest.param(each, marks=pytest.mark.long if each == LONGEST else ()) for each in PAGES],
)
def test_a_page_breaks_no_rule_of_wcag_a_or_aa(open_page, name, long_run):
    page = open_page(name, PAGES[name], **DESKTOP)
    assert rules_broken(page, long_run) == []
    open_lids(page)
    assert rules_broken(page, long_run) == []


def test_the_front_page_breaks_no_rule_of_wcag_a_or_aa(open_url, server, long_run):
    page = open_url(server.url, **DESKTOP)
    page.wait_for_load_state()
    assert rules_broken(page, long_run) == []


def test_no_sheet_and_no_static_page_breaks_one(open_url, static_site, long_run):
    more = next(static_site.glob("more/*/metric"))
    paths = [static_site / "index.html", *more.glob("*.html")]
    sheets = [path for path in paths if path.name.startswith("fitting-")]
    paths = [path for path in paths if path not in sheets[1:]]
    assert sheets and {"riding.html", "lesson.html", "pupil.html", "coach.html"} <= {
        path.name for path in paths
    }
    page = open_url(next(static_site.glob("bikes/*.html")).as_uri(), **DESKTOP)
    page.wait_for_selector("#bench[data-charts=live]")
    broken = rules_broken(page, long_run)
    for path in paths:
        page.goto(path.as_uri())
        broken += [f"{path.name}: {each}" for each in rules_broken(page, long_run)]
    page.set_content(sheet.render(BEFORE, AFTER, date(2026, 5, 2)))
    assert broken + rules_broken(page, long_run) == []

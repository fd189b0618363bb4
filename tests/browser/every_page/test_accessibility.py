"""WCAG 2.2, levels A and AA, as far as a machine can judge them, by axe-core 4.12.

axe-core (MPL-2.0) comes in its Python wrapper (MIT) with the test command; the rules are those it
tags with the success criteria of WCAG 2.0, 2.1 and 2.2 (W3C Recommendation, 5 October 2023). All
sheets and static pages are judged here; in the same way each page, at first load and with all its
lids open, in test_words_and_access.py, and members' page in test_club.py. It is done in two
windows, by day and by night; by night only by the rules of colour in both, for nothing else
changes. Without ``--long`` in the one by day, in the other by night.
"""

from collections.abc import Iterator
from datetime import date

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from explorer.records.logbook.entry import LogEntry
from explorer.tasks.logbook import sheet

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


# What has been judged is remembered; `more`: only what has come into sight since, and open lids.
_JUDGE = """
async ([options, more]) => {
  const lids = ".jupyter-widget-Collapse-open";
  const shown = [...document.querySelectorAll("body *")].filter((each) => each.checkVisibility());
  const judged = (window.judged ??= new Set());
  const include = shown.filter((each) =>
    each.matches(lids) || (!judged.has(each) && !each.closest(lids)));
  if (!more) shown.forEach((each) => judged.add(each));
  if (more && !include.length) return [];
  return (await axe.run(more ? { include } : document, options)).violations;
}
"""


def _violations(page: Page, options: dict, more: bool) -> Iterator[str]:
    page.evaluate(_STAND)
    for rule in page.evaluate(_JUDGE, [options, more]):
        for node in rule["nodes"]:
            why = [each["message"] for kind in ("any", "all", "none") for each in node[kind]]
            yield f"{rule['id']}: {node['target']} {node['html'][:200]} {why[:2]}"


def rules_broken(page: Page, long_run: bool, more: bool = False) -> list[str]:
    """What is broken in each window and colour scheme, with its place.

    With `more`, on a page that has been judged once, what was not in sight then.
    """
    if not more:
        page.evaluate(AXE_SCRIPT)
    broken = []
    looks = [(DESKTOP, "light"), (DESKTOP, "dark"), (PHONE, "light"), (PHONE, "dark")]
    for window, colours in looks if long_run else looks[::3]:
        page.set_viewport_size(window)
        page.emulate_media(color_scheme=colours)
        options = OF_COLOURS if long_run and colours == "dark" else OPTIONS
        found = _violations(page, options, more)
        broken += [f"{window['width']} {colours}, {each}" for each in found]
    return broken


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

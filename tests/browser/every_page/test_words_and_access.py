"""Each page is opened once: its words at first load, what a screen reader and the keyboard meet."""

import pytest
from playwright.sync_api import expect

from tests.browser.every_page.test_accessibility import DESKTOP, rules_broken
from tests.browser.lids import open_lids

BUDGETS = {"gearing": 450, "wants": 350, "ground": 450, "fit": 500, "check": 350, "logbook": 250}
"""Words that a page may say before anything is asked [count]."""

# What a reader sees: no text that only a screen reader reads, of a list only what is picked.
WORDS = r"""
() => {
  const page = document.querySelector("#ge-page");
  const count = (text) => text.split(/\s+/).filter((each) => /[\p{L}\d]/u.test(each)).length;
  const unseen = [...page.querySelectorAll(".ge-visually-hidden")]
    .filter((each) => !each.parentElement.closest(".ge-visually-hidden"));
  const unpicked = [...page.querySelectorAll("select")].filter((each) => each.offsetParent)
    .flatMap((each) => [...each.options].filter((option) => !option.selected));
  const less = [...unseen, ...unpicked].reduce((sum, each) => sum + count(each.innerText), 0);
  return count(page.innerText) - less;
}
"""

# Every chart of the page with what of it the Tab key stops at, through all shadow trees.
STOPS = """
() => {
  const within = (root) => [...root.querySelectorAll("*")]
    .flatMap((each) => [each, ...(each.shadowRoot ? within(each.shadowRoot) : [])]);
  const stops = (root) => within(root).filter((each) =>
    each.tabIndex >= 0 && !each.disabled && each.checkVisibility());
  const figures = within(document).filter((each) => each.matches(".bk-Figure"));
  return figures.map((each) => stops(each.shadowRoot ?? each).length + (each.tabIndex >= 0));
}
"""
PAGES = {
    "gearing": "",
    "wants": "want.1=clutch-out;weight+3;speed+5+km/h&want.2=corner;weight+3;speed+25+km/h"
    "&want.ticked=stalls",
    "ground": "",
    "fit": "",
    "lesson": "step=10",
    "check": "",
    "logbook": "",
    "method": "",
}
"""What each page is opened with, so that all of it stands."""
LONGEST = "method"
"""By the rules of WCAG only with ``--long``: all of it is words and formulas."""
ARROWS = """
() => {
  const deep = () => {
    let here = document.activeElement;
    while (here.shadowRoot?.activeElement) here = here.shadowRoot.activeElement;
    return here;
  };
  return deep().title;
}
"""


def see_that_arrows_lead_from_tool_to_tool(page):
    """Of a chart whose one stop has the focus."""
    focus = "stops(figures[0].shadowRoot)[0].focus(); return figures"
    page.evaluate(STOPS.replace("return figures", focus))
    first = page.evaluate(ARROWS)
    page.keyboard.press("ArrowRight")
    second = page.evaluate(ARROWS)
    page.keyboard.press("ArrowLeft")
    assert first and second and first != second and page.evaluate(ARROWS) == first
    assert max(page.evaluate(STOPS)) <= 1


@pytest.mark.parametrize("name", PAGES)
def test_a_page_says_little_breaks_no_rule_of_wcag_and_a_chart_is_one_stop(
    open_page, name, long_run
):
    page = open_page(name, PAGES[name])
    if name in BUDGETS:
        bare = open_page(name) if PAGES[name] else page
        assert bare.evaluate(WORDS) <= BUDGETS[name]
    if name in ("ground", "fit", "check"):
        # Another set-up than the page begins with.
        rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
        before = rear.get_attribute("aria-valuetext")
        rear.press("ArrowRight")
        expect(rear).not_to_have_attribute("aria-valuetext", before)
        page.wait_for_function("location.search.includes('rear=')")

    judged = long_run or name != LONGEST
    assert not judged or rules_broken(page, long_run) == []
    open_lids(page)
    # What came under a lid gets its names when the page has a moment.
    expect(page.locator("#ge-page [role=slider]:not([aria-label]):visible")).to_have_count(0)
    assert not judged or rules_broken(page, long_run, more=True) == []

    page.set_viewport_size(DESKTOP)
    if name == "check":
        page.get_by_role("button", name="Open the demo ride").click()
        page.wait_for_function("document.querySelectorAll('.bk-Figure').length >= 3")
    if name == "gearing":
        page.wait_for_function("document.getElementById('bench').dataset.charts === 'live'")
    page.wait_for_function("window.Bokeh.documents.every((chart) => chart.is_idle)")
    found = page.evaluate(STOPS)
    assert len(found) >= 3 * (name in ("gearing", "ground", "check")) and max(found, default=0) <= 1
    if name == "ground":
        see_that_arrows_lead_from_tool_to_tool(page)

"""Words at first load, from the rendered page; and what a screen reader and the keyboard meet."""

import pytest

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


@pytest.mark.parametrize("name", BUDGETS)
def test_a_page_says_little_before_it_is_asked(open_page, name):
    assert open_page(name).evaluate(WORDS) <= BUDGETS[name]


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
OPEN = {
    "gearing": "",
    "wants": "want.1=corner;weight+3;speed+25+km/h",
    "ground": "",
    "fit": "",
    "lesson": "step=10",
    "check": "",
    "logbook": "",
    "method": "",
}
"""What each page is opened with, so that its charts stand."""
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


@pytest.mark.parametrize("name", OPEN)
def test_no_chart_costs_the_keyboard_more_than_one_stop(open_page, name):
    page = open_page(name, OPEN[name])
    open_lids(page)
    if name == "check":
        page.get_by_role("button", name="Open the demo ride").click()
        page.wait_for_function("document.querySelectorAll('.bk-Figure').length >= 3")
    if name == "gearing":
        page.wait_for_function("document.getElementById('bench').dataset.charts === 'live'")
    page.wait_for_function("window.Bokeh.documents.every((chart) => chart.is_idle)")
    found = page.evaluate(STOPS)
    assert len(found) >= 3 * (name in ("gearing", "ground", "check")) and max(found, default=0) <= 1


def test_the_arrows_lead_from_one_tool_of_a_chart_to_the_next(open_page):
    page = open_page("ground")
    open_lids(page)
    page.wait_for_function(
        "window.Bokeh.documents.length && window.Bokeh.documents.every((chart) => chart.is_idle)"
    )
    focus = "stops(figures[0].shadowRoot)[0].focus(); return figures"
    page.evaluate(STOPS.replace("return figures", focus))
    first = page.evaluate(ARROWS)
    page.keyboard.press("ArrowRight")
    second = page.evaluate(ARROWS)
    page.keyboard.press("ArrowLeft")
    assert first and second and first != second and page.evaluate(ARROWS) == first
    assert max(page.evaluate(STOPS)) <= 1

"""From a complaint to the short list to the fitting page, in a real browser, by link."""

import re

from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_chart_text


def answer_stays_in_view(page):
    """While the first and the last control are moved."""
    answer = page.locator(".ge-answer-first")
    for width, height in ((1280, 720), (390, 844)):
        page.set_viewport_size({"width": width, "height": height})
        sliders = page.get_by_role("slider")
        for which in (sliders.first, sliders.last):
            which.scroll_into_view_if_needed()
            which.focus()
            page.keyboard.press("ArrowRight")
            expect(which).to_be_in_viewport()
            expect(answer.locator("p, b, h2, h3").first).to_be_in_viewport()
            expect(answer).to_contain_text(re.compile("Try |Keep "))


def test_from_complaint_to_short_list_with_its_answer_in_view_to_fitting_page(open_page):
    page = open_page("wants")
    page.get_by_role("checkbox", name="First is too tall").check()
    expect(page.get_by_text("What gearing cannot do", exact=True)).to_be_visible()
    speed = page.get_by_label("At most")
    speed.fill("5 km/h")
    speed.press("Enter")
    link = page.get_by_label("Link to these wants")
    expect(link).to_have_value(re.compile("want.1=clutch-out.*5%20km/h"))
    # The link changes at once; the answer follows when the rider has paused, part by part.
    table = page.locator(".ge-short-list")
    expect(table).to_contain_text("clutch out: at most 5 km/h")
    pair = table.locator("thead th").nth(1).inner_text()
    front, rear = pair.split("/")
    wait_for_chart_text(page, f"1. {pair}")
    # What to do stands above all, and is the verdict on the first of the list.
    expect(page.locator(".ge-answer-first")).to_contain_text(re.compile(rf"Try {pair}|Keep 13/50"))
    way = page.locator(".ge-fold[open] a[href^='fit?']").first
    expect(way).to_contain_text(pair)
    again = open_page("wants", link.input_value().removeprefix("?"))
    assert again.get_by_label("Link to these wants").input_value() == link.input_value()
    answer_stays_in_view(again)
    way.click()
    page.wait_for_url("**/fit?**")
    page.wait_for_selector("html[data-ready]", state="attached")
    expect(page.get_by_role("slider", name="Front sprocket")).to_have_attribute(
        "aria-valuenow", f"{front}.0"
    )
    expect(page.get_by_role("slider", name="Rear sprocket")).to_have_attribute(
        "aria-valuenow", f"{rear}.0"
    )


# Cells of the short list that are outside the window, or narrower than their words.
CUT = """
() => [...document.querySelectorAll(".ge-short-list :is(th, td)")].filter((cell) =>
  cell.getBoundingClientRect().right > innerWidth || cell.scrollWidth > cell.clientWidth + 1)
  .map((cell) => cell.innerText)
"""


# Words of the short list that go on in another line.
BROKEN = r"""
() => [...document.querySelectorAll(".ge-short-list :is(th, td):not(:empty)")].flatMap((cell) =>
  [...cell.firstChild.data.matchAll(/\S+/g)].filter((word) => {
    const range = document.createRange();
    range.setStart(cell.firstChild, word.index);
    range.setEnd(cell.firstChild, word.index + word[0].length);
    return range.getClientRects().length > 1;
  }).map(([word]) => word))
"""


def test_a_phone_shows_the_whole_short_list_without_moving_sideways(open_page):
    """Four pairs or more, as wants that go against each other make it; the fitted one is last."""
    wants = "fit.room-forward=&want.1=clutch-out;weight+3;speed+5+km/h&want.2=few-shifts;weight+3"
    page = open_page("wants", f"{wants};course+woods-loop;shifts+6", width=390)
    expect(page.get_by_text("as it is now").first).to_be_visible()
    assert page.locator(".ge-short-list thead th").count() >= 5
    for width, height in ((390, 844), (1280, 720)):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate(CUT) == [] and page.evaluate(BROKEN) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width

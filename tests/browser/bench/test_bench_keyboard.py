"""The whole job on the bench by keyboard alone, with the focus in sight all the way."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair

FOCUS = """() => {
    // A chart's drawing has the focus inside a shadow root; its frame shows it.
    const here = document.activeElement.closest(".bn-plot") ?? document.activeElement;
    const { outlineStyle, outlineWidth } = getComputedStyle(here);
    const { top, bottom } = here.getBoundingClientRect();
    return {
        is: here.dataset.chip || here.dataset.wish || here.id || here.className || here.tagName,
        seen: outlineStyle !== "none" && parseFloat(outlineWidth) > 0,
        inside: top >= 0 && bottom <= innerHeight,
    };
}"""


def tab_to(page, selector, most=40):
    """Press Tab until a part has the focus; every stop on the way shows it, inside the window."""
    for _ in range(most):
        if page.evaluate("name => document.activeElement.matches(name)", selector):
            return
        page.keyboard.press("Tab")
        here = page.evaluate(FOCUS)
        assert here["seen"] and here["inside"], here
    raise AssertionError(f"{selector} is not reached by Tab")


@pytest.mark.long
def test_set_ups_sliders_chips_run_and_picture_by_keyboard(open_page):
    page = open_page("gearing", width=1280, height=720)
    wait_for_pair(page, "12/50")
    tab_to(page, "[data-chart=shift] .bn-plot *")
    for _ in range(30):
        page.keyboard.press("ArrowRight")
    speed = page.evaluate("() => document.getElementById('bench').bench.cursorSpeed * 3.6")
    assert round(speed) == 30
    tab_to(page, "[data-slot][aria-checked=true]")
    page.keyboard.press("ArrowRight")
    wait_for_pair(page, "14/50")
    page.keyboard.press("ArrowLeft")
    wait_for_pair(page, "12/50")
    tab_to(page, "[data-slider=rear] input")
    page.keyboard.press("ArrowRight")
    wait_for_pair(page, "12/51")
    expect(page.locator("[data-live]")).to_contain_text("12/51")
    tab_to(page, "[data-slider=tyre] input")
    tyre = page.locator("[data-slider=tyre] output")
    before = tyre.inner_text()
    page.keyboard.press("ArrowRight")
    expect(tyre).not_to_have_text(before)
    page.keyboard.press("ArrowLeft")
    expect(tyre).to_have_text(before)
    tab_to(page, "[data-chip=fitted]")
    page.keyboard.press("Enter")
    wait_for_pair(page, "13/50")
    expect(page.locator("[data-live]")).to_contain_text("13/50")  # a hand that moves ends a run
    tab_to(page, "[data-run]")
    page.keyboard.press("Space")
    lanes, charts = page.locator(".bn-lanes"), page.locator(".bn-charts")
    expect(lanes).to_contain_text(re.compile("behind"))
    # The charts are what is looked at: no lane covers them.
    low, high = lanes.bounding_box(), charts.bounding_box()
    assert low["y"] + low["height"] <= high["y"]
    page.keyboard.press("Escape")
    expect(lanes).to_be_hidden()
    tab_to(page, "[data-picture]")
    with page.expect_download() as saved:
        page.keyboard.press("Enter")
    assert saved.value.suggested_filename == "bench.png"
    page.keyboard.press("Tab")
    tab_to(page, "[data-save]")
    with page.expect_download() as kept:
        page.keyboard.press("Enter")
    assert kept.value.suggested_filename.endswith(".html")

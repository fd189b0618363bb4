"""The fit page in a real browser: a pair that does not fit, the reason, and the one that does."""

import re
from contextlib import suppress

import numpy as np
import pytest
from playwright.sync_api import TimeoutError, expect

from tests.browser.lids import open_lids
from tests.browser.window_fit import fits_the_window

MAP_CELL = """
([front, rear]) => {
  const top = view => view.el.getBoundingClientRect().top;
  const map = [...Bokeh.index.roots].filter(view => view.frame)
    .sort((one, other) => top(one) - top(other))[0];
  const box = map.canvas_view.el.getBoundingClientRect();
  return [box.left + map.frame.x_scale.compute(front), box.top + map.frame.y_scale.compute(rear)];
}
"""


def verdict_becomes(page, text, **longest):
    page.wait_for_function(
        "text => document.querySelector('.ge-verdict').textContent.includes(text)",
        arg=text,
        **longest,
    )


def tap_on_map(page, front, rear):
    """The pair's own cell, asked from the uppermost chart.

    What is worked out late may move the map away under a tap; then a rider taps again.
    """
    for _ in range(20):
        page.locator(".bk-Figure").first.scroll_into_view_if_needed()
        page.mouse.click(*page.evaluate(MAP_CELL, [front, rear]))
        with suppress(TimeoutError):
            return verdict_becomes(page, f"{front}/{rear} fits", timeout=3000)
    pytest.fail("no tap on the map was heard")


def press_slider(page, name, key, times):
    page.get_by_role("slider", name=name, exact=True).focus()
    for _ in range(times):
        page.keyboard.press(key)


def type_pair(page, pair):
    field = page.get_by_role("textbox", name="Both sprockets")
    field.fill(pair)
    field.press("Enter")
    verdict_becomes(page, pair)
    expect(field).to_have_value(pair)
    # The slider hears of it by a message of its own.
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    expect(rear).to_have_attribute("aria-valuenow", f"{pair.partition('/')[2]}.0")
    return field


@pytest.fixture(scope="module")
def page(open_shared):
    """The first test takes it as it opens; each other begins with a pair of its own."""
    page = open_shared("fit", "bike=marram-250&rear=50&fit.manual-slack=40%20mm")
    open_lids(page)
    return page


@pytest.fixture(scope="module")
def phone(open_shared):
    return open_shared("fit", "bike=bracken-125", width=390, height=844)


def test_the_sheet_is_made_and_downloads(page):
    verdict_becomes(page, "13/50")
    page.get_by_role("button", name="Make the fitting sheet").click()
    link = page.get_by_text("Download the fitting sheet")
    link.wait_for()
    with page.expect_download() as download:
        link.click()
    assert download.value.suggested_filename.startswith("fitting-sheet-13-50-")


def test_a_pair_that_does_not_fit_says_why_and_the_nearest_that_does_is_one_tap_away(page):
    type_pair(page, "13/49")
    verdict_becomes(page, "13/49 fits")
    press_slider(page, "Rear sprocket", "ArrowRight", 4)
    verdict_becomes(page, "13/53 does not fit")
    expect(page.locator(".ge-verdict")).to_contain_text("further forward than the adjuster allows")
    expect(page.get_by_text("The pair nearest to this ratio that fits")).to_contain_text("12/49")
    tap_on_map(page, 12, 49)
    expect(page.get_by_label("Link to this page")).to_have_value(re.compile("front=12&rear=49"))


def test_both_sprockets_never_shows_an_old_pair(page):
    """Typed, then moved by the slider, then typed and tapped away on the map."""
    field = type_pair(page, "13/50")
    press_slider(page, "Rear sprocket", "ArrowRight", 1)
    verdict_becomes(page, "13/51")
    expect(field).to_have_value("")
    type_pair(page, "13/50")
    tap_on_map(page, 12, 49)
    expect(field).to_have_value("")


def test_a_slip_is_answered_with_the_likely_meaning_and_kept(page):
    type_pair(page, "13/49")
    field = page.get_by_label("Output shaft to rear axle")
    before = field.input_value()
    field.fill("25.5")
    field.press("Enter")
    answer = page.get_by_text('Perhaps "25.5 in" or "25.5 cm" is meant.')
    answer.wait_for()
    assert field.input_value() == "25.5"
    verdict_becomes(page, "13/49 fits")
    field.fill("51.5")  # inches would be 1.3 m, millimetres a hand's width
    field.press("Enter")
    expect(field).to_have_value("51.5 cm")
    expect(answer).to_be_hidden()
    field.fill(before)
    field.press("Enter")
    expect(field).to_have_value(before)


@pytest.mark.long
def test_the_wheel_slider_moves_the_side_view_to_scale(page):
    type_pair(page, "12/48")
    said = page.get_by_text("Drawn to scale")
    before = said.inner_text()
    press_slider(page, "Wheel travel [mm]", "ArrowRight", 20)
    page.wait_for_function(
        "before => ![...document.querySelectorAll('.ge-summary')]"
        ".some(each => each.textContent === before)",
        arg=before,
    )
    # One unit across is as long as one unit up, to a pixel in a thousand.
    across, up = page.evaluate(
        """() => {
            const figure = [...Bokeh.index.roots]
                .find(view => view.frame && view.model.match_aspect);
            const {x_scale, y_scale} = figure.frame;
            return [
                x_scale.compute(500) - x_scale.compute(0),
                y_scale.compute(0) - y_scale.compute(500),
            ];
        }"""
    )
    assert across == pytest.approx(up, rel=0.005)


@pytest.mark.long
def test_the_gearing_page_opens_with_the_same_set_up(page, open_page):
    type_pair(page, "12/48")
    way = page.get_by_text("See what this pair does")
    expect(way).to_have_attribute("href", re.compile("front=12&rear=48.*fit.manual-slack=40%20mm"))
    gearing = open_page("gearing", way.get_attribute("href").partition("?")[2])
    assert "front=12&rear=48" in gearing.get_by_label("Link to this bench").input_value()
    assert gearing.locator(".ge-fault").count() == 0


def test_a_bad_link_is_answered_in_sentences(open_page):
    script = "<script>alert(1)</script>"
    page = open_page("fit", f"fit.links=0&fit.room-back=-5%20mm&fit.slack-place={script}&fit.x=1")
    fault = page.locator(".ge-fault")
    for said in ("fit.links", "fit.room-back", "fit.x"):
        expect(fault).to_contain_text(said)
    assert fault.inner_text().count(".") >= 3
    assert page.locator(".ge-main script").count() == 0
    assert "Traceback" not in page.content()


MARKS_AND_NUMBERS = """() => {
    const top = view => view.el.getBoundingClientRect().top;
    const map = [...Bokeh.index.roots].filter(view => view.frame)
        .sort((one, other) => top(one) - top(other))[0];
    const glyphs = map.model.renderers.map(each => each.glyph);
    const written = glyphs.find(glyph => glyph.type === "Text");
    const source = map.model.renderers.find(each => each.glyph === written).data_source;
    const marks = map.model.renderers
        .find(each => each.data_source === source && each.glyph !== written);
    const pen = document.createElement("canvas").getContext("2d");
    pen.font = `${written.text_font_size.value} ${written.text_font.value}`;
    const {x, y, text} = source.data;
    const {x_scale, y_scale, bbox} = map.frame;
    const half = (marks.glyph.size.value + marks.glyph.line_width.value) / 2;
    const boxes = [];
    for (let i = 0; i < text.length; i++) {
        const [h, v] = [x_scale.compute(x[i]), y_scale.compute(y[i])];
        boxes.push([h - half, v - half, h + half, v + half]);
        const under = v + written.y_offset.value;
        const box = pen.measureText(text[i]);
        const wide = box.width / 2;
        const high = (box.actualBoundingBoxAscent + box.actualBoundingBoxDescent) / 2;
        if (text[i]) boxes.push([h - wide, under - high, h + wide, under + high]);
    }
    const frame = [bbox.left, bbox.top, bbox.right, bbox.bottom];
    return {boxes, said: [...text].join(), pairs: text.length, frame};
}"""


def test_jump_links_open_what_they_lead_to(phone):
    jumps = phone.get_by_role("navigation", name="On this page")
    leads = {
        "Chain": "Which chain, and nearly the same ratio",
        "Parts": "Parts and cost",
        "Fitting sheet": "Fitting sheet",
        "First ride": "The first ride",
    }
    assert jumps.get_by_role("link").all_inner_texts() == list(leads)
    address = phone.url
    for name, title in leads.items():
        jumps.get_by_role("link", name=name).press("Enter")
        lid = phone.get_by_role("button", name=title, exact=True)
        expect(lid).to_have_attribute("aria-expanded", "true")
        expect(lid).to_be_focused()
        expect(lid).to_be_in_viewport()
    assert phone.url == address


def do_not_overlap(found):
    boxes = np.array(found["boxes"])
    assert len(boxes) == 2 * found["pairs"] >= 80
    left, top, right, bottom = boxes.T
    across = np.minimum.outer(right, right) - np.maximum.outer(left, left)
    down = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
    together = (across > 0) & (down > 0) & ~np.eye(len(boxes), dtype=bool)
    assert not together.any()
    frame = found["frame"]
    assert left.min() >= frame[0] and top.min() >= frame[1]
    assert right.max() <= frame[2] and bottom.max() <= frame[3]


def test_marks_and_numbers_of_the_map_do_not_overlap_on_a_phone(phone):
    """Of two bikes, in both systems of units."""
    open_lids(phone)
    do_not_overlap(phone.evaluate(MARKS_AND_NUMBERS))

    def after(change):
        before = phone.evaluate(MARKS_AND_NUMBERS)["said"]
        change()
        phone.wait_for_function(f"before => ({MARKS_AND_NUMBERS})().said !== before", arg=before)
        do_not_overlap(phone.evaluate(MARKS_AND_NUMBERS))

    after(phone.get_by_role("button", name="mph, in, lbf").click)
    after(lambda: phone.get_by_label("Bike", exact=True).select_option("Marram 250"))
    verdict_becomes(phone, "13/49 fits")
    after(phone.get_by_role("button", name="km/h, mm, N").click)


def test_nothing_is_wider_than_the_window(phone):
    open_lids(phone)
    fits_the_window(phone, 390, 1280, 1920)


@pytest.mark.parametrize("width", [1280, 390])
def test_late_words_leave_the_map_where_it_is(open_page, width):
    page = open_page("fit", width=width, height=844)
    why = page.locator(".ge-why-it-fits")
    low = "element => element.offsetTop + element.offsetHeight - element.parentElement.offsetTop"
    ends = []
    for pair in ("13/44", "13/50", "13/57"):
        type_pair(page, pair)
        expect(why).to_contain_text(f"rear sprocket {pair.partition('/')[2]} teeth")
        ends.append(why.evaluate(low))
    assert len(set(ends)) == 1, ends

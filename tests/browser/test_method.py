"""The method page in a real browser."""

import pytest

from explorer.records.references import references


@pytest.fixture(scope="module")
def method(open_shared):
    return open_shared("method")


@pytest.fixture
def page(method):
    """All closed, on a screen."""
    method.set_viewport_size({"width": 1280, "height": 900})
    method.emulate_media(media="null")
    method.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = false; })")
    return method


def test_formulas_are_drawn_and_every_reference_is_there(page):
    assert page.locator("td[data-label='Computed now']").count() == len(references())
    assert page.locator("td[data-label='Agrees']", has_text="NO").count() == 0
    group = page.locator("details#limits-of-grip-and-balance")
    heading = group.locator("summary")
    drawn = group.locator("math[display=block]").first
    assert not drawn.is_visible()
    heading.focus()
    page.keyboard.press("Enter")
    drawn.wait_for()
    # A fraction that the browser lays out is taller than a line; read as plain text it is not.
    fraction = group.locator("mfrac").first
    assert fraction.evaluate("e => e.namespaceURI.endsWith('MathML')")
    top, bottom = (fraction.locator("> *").nth(place).bounding_box() for place in (0, 1))
    assert bottom["y"] > top["y"]


def test_nothing_sticks_out_on_a_phone_and_all_is_printed(page):
    page.set_viewport_size({"width": 390, "height": 844})
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = false; })")
    drawn = page.locator("details#tyre math[display=block]").first
    height = "e => e.getBoundingClientRect().height"
    assert not drawn.is_visible()
    page.emulate_media(media="print")
    assert drawn.evaluate(height) > 0
    assert drawn.is_visible()

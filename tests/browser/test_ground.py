"""The ground page in a real browser, through Voilà, with every other host blocked."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair
from tests.browser.lids import open_lids
from tests.browser.window_fit import fits_the_window


def slider(page, name):
    return page.get_by_role("slider", name=name, exact=True)


@pytest.fixture(scope="module")
def page(open_shared):
    """In the order of the file each test goes on from where the one before leaves it."""
    page = open_shared("ground", "bike=marram-250&rear=48&surface=loose-sand&slope=5%25")
    open_lids(page)
    return page


@pytest.mark.long
def test_gearing_and_ground_open_each_other_with_the_same_set_up(page, open_page):
    query = page.get_by_label("Link to this set-up").input_value()
    target = page.get_by_role("link", name="Gearing: every pair with this set-up")
    address = target.get_attribute("href")
    assert address == f"gearing{query}"
    gearing = open_page("gearing", query.removeprefix("?"))
    assert gearing.get_by_label("Link to this bench").input_value().startswith(query)
    back = gearing.get_by_role("link", name="On the ground: pulling away").get_attribute("href")
    assert back.startswith(f"ground{query}")


def test_one_tooth_changes_every_chart_and_the_course_follows(page):
    slider(page, "Rear sprocket").press("ArrowRight")
    # Every chart carries the pair, that of the course too, which is ridden after a pause.
    wait_for_pair(page, "13/49")
    expect(page.get_by_text("chosen 13/49 ").first).to_be_visible()
    expect(page.get_by_label("Link to this set-up")).to_have_value(re.compile("rear=49"))


def test_a_course_is_typed_kept_answered_and_downloaded(page):
    page.get_by_role("button", name="Edit this course").click()
    length = page.get_by_label("Length", exact=True).first
    length.wait_for()
    length.fill("far")
    length.press("Enter")
    page.get_by_text("Until then the course is ridden as it was.").wait_for()
    assert length.input_value() == "far"
    length.fill("123 m")
    length.press("Enter")
    page.get_by_text("Your own course is kept in its file, not in the link").wait_for()
    download = page.get_by_text("Download this course as CSV")
    expect(download).to_have_attribute("href", re.compile("123"))


def test_nothing_is_wider_than_the_window(page):
    fits_the_window(page, 390, 1280)

"""A rider enters a bike of one's own, by mouse and by keyboard alone, and finds it everywhere."""

import re

import pytest
from playwright.sync_api import expect

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import OWN_FIELDS
from tests.browser.window_fit import fits_the_window
from tests.net.test_own_bike_alone import own_link
from tests.records.bikes.test_own_bike import MEADOW

KEYS_A_SECOND = 5
LONGEST_SECONDS = 90
OTHERS = ("wants", "fit", "ground", "check", "logbook")
FIELDS = [(each.label, MEADOW.get(each.name, "")) for each in OWN_FIELDS]


def own(page, label):
    return page.locator(".ge-own").get_by_label(label, exact=True)


def finds_meadow(page, name):
    page.wait_for_url(re.compile(rf"/{name}\?.*own\.name=Meadow"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert "Meadow" in page.locator("body").inner_html()
    assert page.locator(".ge-fault").count() == 0


def is_picked(page):
    page.get_by_text("Bike, units and what acceleration means").click()
    expect(page.get_by_label("Bike", exact=True).locator("option:checked")).to_have_text("Meadow")


def wait_for_own(page):
    page.get_by_text(re.compile("Meadow is on the page; it assumes a torque curve")).wait_for()
    page.wait_for_url(re.compile(r"\?.*bike=mine.*own\.name=Meadow"), wait_until="commit")


@pytest.mark.long
def test_by_mouse_then_on_every_page_and_back(open_page, open_url, server):
    # From the front page the form opens by itself.
    page = open_url(server.url)
    page.get_by_role("link", name="Enter your own bike").click()
    page.wait_for_selector("html[data-ready]", state="attached")
    expect(own(page, "Name")).to_be_focused()
    for label, text in FIELDS:
        if text:
            own(page, label).fill(text if label != "Rev limit" else "fast")
    page.get_by_role("button", name="Use my bike").click()
    field = own(page, "Rev limit")
    expect(field).to_be_focused()
    expect(field).to_be_in_viewport()
    expect(field).to_have_value("fast")
    expect(page.get_by_text('"fast" does not begin with a number', exact=False)).to_be_visible()
    field.fill("10000")
    page.get_by_role("button", name="Use my bike").click()
    wait_for_own(page)
    is_picked(page)
    fits_the_window(page, 1280)
    # Forward by the links of each page, then back by the browser's: it opens their addresses anew.
    for name in OTHERS:
        page.get_by_role("navigation", name="Pages").locator(f'a[href*="{name}"]').first.click()
        finds_meadow(page, name)
    tab = open_page(OTHERS[-1], page.url.partition("?")[2])
    finds_meadow(tab, OTHERS[-1])
    for name in (*OTHERS[-2::-1], "gearing"):
        page.go_back(wait_until="commit")
        finds_meadow(page, name)
    is_picked(page)


def test_the_form_leads_back_to_the_bench_and_answers_a_file_beside_its_button(open_page, tmp_path):
    page = open_page("gearing", width=390, height=844)
    page.get_by_text("This bike", exact=True).click()
    page.get_by_role("button", name="Enter your own bike").click()
    own(page, "Sprockets fitted").fill("14/45")
    use = page.get_by_role("button", name="Use my bike")
    use.click()
    back = page.get_by_role("link", name="See it on the bench")
    expect(back).to_be_in_viewport()
    use.focus()
    page.keyboard.press("Tab")
    expect(back).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("slider", name="Front sprocket", exact=True)).to_be_focused()
    expect(page.locator("[data-verdict]")).to_be_in_viewport()
    file = tmp_path / "mine.toml"
    for name, content, role, words in (
        ("Open a bike file", "<b> is no file of ours", "alert", "TOML"),
        ("Open a bike file", demo_bikes()["sleet-450"].to_toml(), "status", "Sleet 450 is on"),
        ("Open a file of set-ups", "<b> is no file of ours", "alert", "TOML"),
    ):
        file.write_text(content)
        button = page.get_by_role("button", name=name)
        with page.expect_file_chooser() as chooser:
            button.click()
        chooser.value.set_files(file)
        said = page.locator(".ge-opened", has=button).get_by_role(role)
        expect(said).to_contain_text(words)
        expect(said).to_be_in_viewport()


@pytest.mark.long
def test_by_keyboard_alone_within_a_minute_and_a_half(open_page):
    page = open_page("gearing")
    # What is still being put in its place takes the focus along.
    page.wait_for_function("document.getElementById('bench')?.dataset.charts === 'live'")
    pressed = 0

    def press(key):
        nonlocal pressed
        page.keyboard.press(key)
        pressed += 1

    def tab_to(name, most=60):
        for _ in range(most):
            here = page.evaluate(
                "(document.activeElement.ariaLabel || document.activeElement.innerText || '')"
            )
            if here.strip() == name:
                return
            press("Tab")
        raise AssertionError(f"{name} is not reached by Tab")

    tab_to("This bike")
    press("Enter")
    page.get_by_role("button", name="Enter your own bike").wait_for()
    tab_to("Enter your own bike")
    press("Enter")
    expect(own(page, "Name")).to_be_focused()
    for place, (label, text) in enumerate(FIELDS):
        if place:
            press("Tab")
        expect(own(page, label)).to_be_focused()
        page.keyboard.type(text, delay=1000 / KEYS_A_SECOND)  # as a person types
        pressed += len(text)
    tab_to("Use my bike")
    press("Enter")
    wait_for_own(page)
    assert len(FIELDS) <= 12
    assert pressed / KEYS_A_SECOND <= LONGEST_SECONDS


@pytest.mark.parametrize(("name", "answer"), [("fit", ".ge-verdict"), ("gearing", "#bench")])
def test_that_a_bike_could_not_be_read_stands_above_the_answer(open_page, name, answer):
    """In the first screen: the answer under it is about another bike."""
    page = open_page(name, own_link().replace("own.sprockets.rear=49", "own.sprockets.rear=x"))
    said = page.get_by_text("Your bike could not be read from the link")
    for width, height in ((1280, 720), (390, 844)):
        page.set_viewport_size({"width": width, "height": height})
        box, below = said.bounding_box(), page.locator(answer).bounding_box()
        assert box["y"] >= 0 and box["y"] + box["height"] <= min(height, below["y"])
        fits_the_window(page, width)

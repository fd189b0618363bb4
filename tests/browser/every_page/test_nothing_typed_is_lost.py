"""What is typed and not taken is found again by who leaves a page and comes back."""

import pytest
from playwright.sync_api import expect

from tests.browser.lids import open_lids
from tests.browser.test_check import choose
from tests.browser.test_own_bike import own

HALF = {"Name": "Meadow <b>two</b>", "Sprockets fitted": "13/49", "Rev limit": "fast"}


def away_and_back(page, how):
    """To another page by its link and back, or loaded anew."""
    if how == "reload":
        page.reload(wait_until="commit")
    else:
        page.get_by_role("navigation", name="Pages").get_by_role("link", name="Lesson").click()
        page.wait_for_url(lambda address: "/lesson" in address, wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
        page.go_back(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")


def open_form(page):
    page.get_by_text("This bike", exact=True).click()
    page.get_by_role("button", name="Enter your own bike").click()
    own(page, "Name").wait_for()


@pytest.mark.parametrize("how", ["reload", "back"])
def test_a_bike_half_entered(open_page, how):
    page = open_page("wants" if how == "back" else "gearing")
    open_form(page)
    for label, text in HALF.items():
        own(page, label).press_sequentially(text)
    if how == "back":
        page.get_by_role("button", name="Use my bike").click()
        page.get_by_text('"fast" does not begin with a number', exact=False).wait_for()
    away_and_back(page, how)
    open_form(page)
    for label, text in HALF.items():
        expect(own(page, label)).to_have_value(text)
    # The kernel has it too: only what is missing or wrong is asked for.
    page.get_by_role("button", name="Use my bike").click()
    page.get_by_text('"fast" does not begin with a number', exact=False).wait_for()
    assert "Name is missing" not in page.locator(".ge-own").inner_text()
    assert page.locator("#ge-page b", has_text="two").count() == 0


def test_a_measure_that_was_refused_and_one_that_was_taken(open_page):
    page = open_page("fit")
    open_lids(page)
    links = page.get_by_label("Links of the chain now")
    room = page.get_by_label("Axle room forward")
    links.fill("124")
    links.press("Tab")
    page.wait_for_function("location.search.includes('fit.links=124')")
    room.fill("")
    room.press_sequentially("12 furlongs")
    room.press("Tab")
    wrong = page.locator(".ge-field", has=room).locator(".ge-answer")
    expect(wrong).not_to_be_empty()
    said = wrong.text_content()
    away_and_back(page, "back")
    open_lids(page)
    expect(room).to_have_value("12 furlongs")
    expect(page.locator(".ge-field", has=room).locator(".ge-answer")).to_have_text(said)
    expect(links).to_have_value("124")


def test_measures_on_the_check_page(open_page, tmp_path):
    """Rows of a table and ride files are in no link; the tab keeps them, with what was picked."""
    page = open_page("check", "bike=bracken-125&rear=52")
    open_lids(page)
    ride = tmp_path / "loop <b>.csv"
    ride.write_text("time [s],speed [km/h]\n" + "".join(f"{n},{30 + n % 3}\n" for n in range(120)))
    choose(page, ride)
    read = page.get_by_text("loop <b>.csv: CSV, 120 readings")
    read.wait_for(state="attached")
    page.wait_for_function("Object.keys(sessionStorage).some(each => each.startsWith('ride on'))")
    table = page.locator(".ge-card", has_text="three runs each way")
    rows = table.locator(".ge-entry-row")
    table.get_by_role("button", name="Add a row").click()
    expect(rows).to_have_count(2)
    texts = {"Gear": "3", "From": "30", "To": "60 km/h", "There": "5,1, 5,3", "Back": "soon"}
    for row, gearing in ((rows.nth(0), "fitted"), (rows.nth(1), "chosen")):
        row.get_by_label("Gearing").select_option(gearing)
        for label, text in texts.items():
            row.get_by_label(label, exact=True).fill(text)
        row.get_by_label("Back", exact=True).press("Tab")
    expect(rows.nth(1).get_by_label("There", exact=True)).to_have_value("5,1, 5,3 s")
    page.get_by_label("Weight with rider").select_option(index=2)
    away_and_back(page, "back")
    read.wait_for(state="attached")
    open_lids(page)
    expect(rows).to_have_count(2)
    for row, gearing in ((rows.nth(0), "fitted"), (rows.nth(1), "chosen")):
        expect(row.get_by_label("Gearing")).to_have_value(gearing)
        expect(row.get_by_label("From", exact=True)).to_have_value("30 km/h")
        expect(row.get_by_label("Back", exact=True)).to_have_value("soon")
    assert page.get_by_label("Weight with rider").evaluate("field => field.selectedIndex") == 2
    # The kernel has them too: what was wrong is said again, and what is put right is compared.
    table.get_by_text('Row 2: Back: "soon" does not begin with a number', exact=False).wait_for()
    for row in (rows.nth(0), rows.nth(1)):
        row.get_by_label("Back", exact=True).fill("4,9, 5,0")
        row.get_by_label("Back", exact=True).press("Tab")
    table.get_by_role("columnheader", name="Chosen less fitted").wait_for()

"""What is typed and not taken is found again by who leaves a page and comes back."""

import pytest
from playwright.sync_api import expect

from tests.browser.lids import open_lids
from tests.browser.test_check import choose
from tests.browser.test_own_bike import own

HALF = {"Name": "Meadow <b>two</b>", "Sprockets fitted": "13/49", "Rev limit": "fast"}


def go_to(page, link, name):
    """To another page by its link."""
    page.get_by_role("navigation", name="Pages").get_by_role("link", name=link).click()
    page.wait_for_url(lambda address: f"/{name}" in address, wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")


def move_through_history(page, step, name):
    """Back or forward to the page of this name."""
    step(wait_until="commit")
    page.wait_for_url(lambda address: f"/{name}" in address, wait_until="commit")
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
    if how == "reload":
        page.evaluate("window.isLeft = true")
        page.reload(wait_until="commit")
        page.wait_for_function("!window.isLeft && 'ready' in document.documentElement.dataset")
    else:
        page.get_by_role("button", name="Use my bike").click()
        page.get_by_text('"fast" does not begin with a number', exact=False).wait_for()
        go_to(page, "Logbook", "logbook")
        move_through_history(page, page.go_back, "wants")
    open_form(page)
    for label, text in HALF.items():
        expect(own(page, label)).to_have_value(text)
    # The kernel has it too: only what is missing or wrong is asked for.
    page.get_by_role("button", name="Use my bike").click()
    page.get_by_text('"fast" does not begin with a number', exact=False).wait_for()
    assert "Name is missing" not in page.locator(".ge-own").inner_text()
    assert page.locator("#ge-page b", has_text="two").count() == 0


def enter_on_fit(page):
    """One measure that is taken and one that is refused; returns what is said of it."""
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
    return wrong.text_content()


def stands_on_fit(page, said):
    open_lids(page)
    room = page.get_by_label("Axle room forward")
    expect(room).to_have_value("12 furlongs")
    expect(page.locator(".ge-field", has=room).locator(".ge-answer")).to_have_text(said)
    expect(page.get_by_label("Links of the chain now")).to_have_value("124")


def table_on_check(page):
    """The table of measured times; and its two rows, each with the gearing it is for."""
    table = page.locator(".ge-card", has_text="three runs each way")
    rows = table.locator(".ge-entry-row")
    return table, [(rows.nth(0), "fitted"), (rows.nth(1), "chosen")]


def enter_on_check(page, ride):
    open_lids(page)
    ride.write_text("time [s],speed [km/h]\n" + "".join(f"{n},{30 + n % 3}\n" for n in range(120)))
    choose(page, ride)
    page.get_by_text(f"{ride.name}: CSV, 120 readings").wait_for(state="attached")
    page.wait_for_function("Object.keys(sessionStorage).some(each => each.startsWith('ride on'))")
    table, rows = table_on_check(page)
    table.get_by_role("button", name="Add a row").click()
    expect(table.locator(".ge-entry-row")).to_have_count(2)
    texts = {"Gear": "3", "From": "30", "To": "60 km/h", "There": "5,1, 5,3", "Back": "soon"}
    for row, gearing in rows:
        row.get_by_label("Gearing").select_option(gearing)
        for label, text in texts.items():
            row.get_by_label(label, exact=True).fill(text)
        row.get_by_label("Back", exact=True).press("Tab")
    expect(rows[1][0].get_by_label("There", exact=True)).to_have_value("5,1, 5,3 s")
    page.get_by_label("Weight with rider").select_option(index=2)


def stands_on_check(page, ride):
    page.get_by_text(f"{ride.name}: CSV, 120 readings").wait_for(state="attached")
    open_lids(page)
    table, rows = table_on_check(page)
    expect(table.locator(".ge-entry-row")).to_have_count(2)
    for row, gearing in rows:
        expect(row.get_by_label("Gearing")).to_have_value(gearing)
        expect(row.get_by_label("From", exact=True)).to_have_value("30 km/h")
        expect(row.get_by_label("Back", exact=True)).to_have_value("soon")
    assert page.get_by_label("Weight with rider").evaluate("field => field.selectedIndex") == 2
    # The kernel has them too: what was wrong is said again, and what is put right is compared.
    table.get_by_text('Row 2: Back: "soon" does not begin with a number', exact=False).wait_for()
    for row, _ in rows:
        row.get_by_label("Back", exact=True).fill("4,9, 5,0")
        row.get_by_label("Back", exact=True).press("Tab")
    table.get_by_role("columnheader", name="Chosen less fitted").wait_for()


def test_measures_on_the_fit_page_and_on_the_check_page(open_page, tmp_path):
    """Rows of a table and ride files are in no link; the tab keeps them, with what was picked."""
    ride = tmp_path / "loop <b>.csv"
    page = open_page("fit", "bike=bracken-125&rear=52")
    said = enter_on_fit(page)
    go_to(page, "Ride it and check", "check")
    enter_on_check(page, ride)
    move_through_history(page, page.go_back, "fit")
    stands_on_fit(page, said)
    move_through_history(page, page.go_forward, "check")
    stands_on_check(page, ride)

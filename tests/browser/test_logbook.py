"""The logbook in a real browser: kept, found again, taken along as a file, opened elsewhere."""

import json
import signal
import sys
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from explorer.records.bikes.last_bike import FILE_NAME
from explorer.records.bikes.own_bike import read_own_bike
from tests.conftest import PLACES, start_server, stop_all
from tests.records.bikes.test_own_bike import MEADOW

HEAR_THE_ANSWER = """() => new MutationObserver(() => { window.answered = true; })
  .observe(document.querySelector(".ge-log-form .ge-answer"), { childList: true, subtree: true })"""

COMMAND = [sys.executable, "-m", "explorer.serve.command"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def start_at_home(tmp_path_factory, folder):
    """The shipped pages as a rider at home gets them, with a data folder of the test's own."""

    def start(port=0):
        command = [*COMMAND, *PLACES, "--pool", "0", "--no-browser", "--logbook", "home"]
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("XDG_DATA_HOME", str(folder))
            log = tmp_path_factory.mktemp("server") / "errors.txt"
            return start_server([*command, "--port", str(port)], log)

    return start


@pytest.fixture(scope="module")
def at_home(start_at_home):
    running = start_at_home()
    yield running
    stop_all([running])


def test_an_entry_is_kept_on_disk_and_is_there_in_the_next_tab(at_home, folder, open_page):
    page = open_page("logbook", on=at_home)
    note = page.get_by_label("Note", exact=True)
    note.fill("slider <b>still</b> thick")
    note.press("Tab")
    page.get_by_role("button", name="Keep this entry").click()
    page.get_by_text("Saved: ").wait_for()
    assert (folder / "gearing-explorer" / "logbook.sqlite").stat().st_size > 0
    # There what a ride gave is filled in, and a backup is gone back to.
    query = "bike=bracken-125&rear=52&log.measured=92+km/h+held;+%3Cb%3E&log.verdict=as+predicted"
    other = open_page("logbook", query, on=at_home, width=390)
    other.get_by_text("1 entry, the newest first.").wait_for()
    with other.expect_download() as waiting:
        other.get_by_text("Download the logbook as JSON").click()
    waiting.value.save_as(folder / "taken.json")
    document = json.loads((folder / "taken.json").read_text())
    assert document["entries"][0]["note"] == "slider <b>still</b> thick"
    other.get_by_text("Filled in from").wait_for()
    assert other.get_by_label("Measured", exact=True).input_value() == "92 km/h held\n<b>"
    other.get_by_role("button", name="Back up now").click()
    other.get_by_text("Copied to").wait_for()
    other.get_by_role("button", name="Keep this entry").click()
    other.get_by_text("2 entries, the newest first.").wait_for()
    other.get_by_label("Backup", exact=True).select_option(index=1)
    other.get_by_role("button", name="Go back to this backup").click()
    other.get_by_role("button", name="Yes, go back").click()
    other.get_by_text("The state before is in the backup").wait_for()
    other.get_by_text("1 entry, the newest first.").wait_for()
    assert other.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("width", [1280, 390])
def test_an_example_in_an_empty_field_is_not_cut_off(open_page, width):
    page = open_page("logbook", "bike=bracken-125", width=width)
    fields = page.locator("#ge-page input[type=text]")
    cut = fields.evaluate_all("""(fields) => fields.filter((field) => {
      if (!field.placeholder || !field.clientWidth) return false;
      const ink = document.createElement("canvas").getContext("2d");
      const { font, paddingLeft, paddingRight } = getComputedStyle(field);
      ink.font = font;
      const room = field.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
      return ink.measureText(field.placeholder).width > room;
    }).map((field) => field.placeholder)""")
    assert cut == []


@pytest.mark.long
def test_the_last_bike_of_ones_own_is_offered_again_at_home(at_home, folder, open_page):
    kept = folder / "gearing-explorer" / FILE_NAME
    kept.parent.mkdir(exist_ok=True)
    kept.write_text(read_own_bike(MEADOW).bike.to_toml(), encoding="utf-8")
    page = open_page("fit", on=at_home)
    picker = page.get_by_label("Bike", exact=True)
    expect(picker.locator("option", has_text="Meadow")).to_have_count(1)
    picker.select_option(label="Meadow")
    page.wait_for_function("location.search.includes('own.name=Meadow')")
    assert page.locator(".ge-fault").count() == 0
    kept.unlink()


def test_on_a_server_the_entries_come_back_from_the_browser_or_from_a_file(open_page, tmp_path):
    """Nothing is stored on the server; two tabs of one browser do not undo each other's entries."""
    page = open_page("logbook", "bike=bracken-125&rear=52", width=390)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.get_by_text("Nothing is stored on this server").is_visible()
    page.set_viewport_size({"width": 1280, "height": 900})
    page.get_by_text("the logbook is kept in this browser").wait_for()
    keep = page.get_by_role("button", name="Keep this entry")
    page.get_by_label("Hours", exact=True).fill("many")
    keep.click()
    page.get_by_text("is not a number of hours").wait_for()
    # The same fault again is an answer too: the page must not say that the server gives none.
    page.evaluate(HEAR_THE_ANSWER)
    keep.click()
    page.wait_for_function("window.answered")
    page.get_by_label("Hours", exact=True).fill("41,5")
    page.get_by_label("Note", exact=True).fill("first\nof two " + "and a long line " * 9)
    keep.click()
    page.get_by_text("Saved: ").wait_for()
    page.get_by_text("In this browser only").wait_for()
    first = page.get_by_role("row", name="Bracken 125, invented").first
    expect(first).to_be_visible()
    fits = "table => table.scrollWidth <= table.closest('.ge-table').clientWidth"
    assert page.locator(".ge-log-table").evaluate(fits)  # every column in sight, at 1280 px
    with page.expect_download() as waiting:
        page.get_by_text("Download the logbook as CSV").click()
    file = tmp_path / "logbook.csv"
    waiting.value.save_as(file)
    elsewhere = open_page("logbook")
    with elsewhere.expect_file_chooser() as chooser:
        elsewhere.get_by_role("button", name="Open a logbook file").click()
    chooser.value.set_files(file)
    elsewhere.get_by_text("1 entry added.").wait_for()
    expect(elsewhere.get_by_role("row", name="Bracken 125, invented")).to_be_visible()

    other = page.context.new_page()
    other.set_viewport_size({"width": 390, "height": 844})
    other.goto(page.url, wait_until="commit")
    row = other.get_by_role("row", name="Bracken 125, invented")
    expect(row).to_contain_text("first")
    assert other.locator(".ge-log-table").evaluate(fits)
    assert other.evaluate("document.documentElement.scrollWidth") <= 390
    other.get_by_label("Note", exact=True).fill("second")
    other.get_by_role("button", name="Keep this entry").click()
    other.get_by_text("2 entries, the newest first.").wait_for()
    other.close()

    page.get_by_label("Entry", exact=True).select_option(index=1)
    page.get_by_role("button", name="Delete", exact=True).click()
    page.get_by_role("button", name="Yes, delete it").click()
    page.get_by_text("Deleted: ").wait_for()
    page.reload(wait_until="commit")
    expect(page.get_by_text("1 entry, the newest first.")).to_be_visible()
    expect(page.get_by_role("row", name="Bracken 125, invented")).to_contain_text("second")


@pytest.mark.long
def test_a_dead_server_is_said_in_three_seconds_and_what_was_typed_is_put_back(
    at_home, start_at_home, open_page
):
    page = open_page("logbook", "bike=bracken-125&rear=52", on=at_home)
    page.get_by_label("Note", exact=True).press_sequentially("typed before the crash")
    # By the keyboard, as a rider would: what a script puts in is no draft.
    page.get_by_label("Verdict", exact=True).press_sequentially("as p")
    expect(page.get_by_label("Verdict", exact=True)).to_have_value("as predicted")
    page.evaluate(
        """() => new MutationObserver((_, watch) => {
          if (document.getElementById("ge-asleep").hidden) return;
          window.noticed = performance.now();
          watch.disconnect();
        }).observe(document.getElementById("ge-asleep"), { attributes: true })"""
    )
    begin = page.evaluate("performance.now()")
    at_home.process.kill()
    at_home.process.wait()
    at_home.process.stdout.close()
    page.wait_for_selector("html[data-asleep]", state="attached")
    assert page.evaluate("window.noticed") - begin < 3000
    page.watch.errors.clear()  # that the line was gone

    at_home.process = start_at_home(urlsplit(at_home.url).port).process
    page.goto(f"{at_home.url}logbook", wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    page.get_by_text("was not saved. It is kept in this browser only").wait_for()
    page.get_by_role("button", name="Put it back").click()
    expect(page.get_by_label("Note", exact=True)).to_have_value("typed before the crash")
    page.get_by_role("button", name="Keep this entry").click()
    page.get_by_text("Saved: ").wait_for()
    page.reload(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    row = page.get_by_role("row", name="Bracken 125, invented").first
    expect(row).to_contain_text("typed before the crash")
    expect(row).to_contain_text("as predicted")
    assert page.get_by_text("was not saved").count() == 0
    page.watch.errors.clear()


@pytest.mark.long
def test_a_save_that_nobody_answers_is_said_and_nothing_typed_is_lost(server, open_page):
    page = open_page("logbook", "bike=bracken-125")
    page.get_by_label("Note", exact=True).press_sequentially("still here")
    server.process.send_signal(signal.SIGSTOP)  # it hangs: the line stays open
    try:
        page.get_by_role("button", name="Keep this entry").click()
        page.get_by_text("Not saved: the server does not answer").wait_for()
        assert "still here" in page.evaluate("JSON.stringify(localStorage)")
    finally:
        server.process.send_signal(signal.SIGCONT)
    page.locator(".ge-saved").get_by_text("Saved: ").wait_for()
    # Saved in the browser now, and no draft any more.
    page.wait_for_function("!Object.keys(localStorage).some(each => each.startsWith('draft of'))")
    expect(page.get_by_text("Not saved")).to_have_count(0)

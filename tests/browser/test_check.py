"""The check page in a real browser, through Voilà: a ride in, verdicts out, bad files answered."""

import re

from playwright.sync_api import expect

from tests.browser.lids import open_lids
from tests.browser.window_fit import fits_the_window


def choose(page, path):
    with page.expect_file_chooser() as chooser:
        page.get_by_text("Open ride files").click()
    chooser.value.set_files(path)


def test_a_demo_ride_gives_verdicts_as_wide_as_the_window_and_a_hostile_file_a_sentence(
    open_page, tmp_path
):
    page = open_page("check", "bike=marram-250&rear=51")
    open_lids(page)
    page.get_by_role("button", name="Open the demo ride").click()
    page.get_by_text("That is as the bike file says").wait_for()
    expect(page.get_by_text(re.compile("Highest speed held for 5 seconds"))).to_be_visible()
    # All three charts are drawn, each with a text.
    page.wait_for_function("document.querySelectorAll('.bk-Figure').length >= 3")
    fits_the_window(page, 390, 1280)
    expect(page.get_by_text(re.compile("^Speed over time, from the log"))).to_be_visible()
    expect(page.get_by_text("Reading", exact=True)).to_be_hidden()
    # A time is minutes and seconds wherever it stands.
    said = page.inner_text("#ge-page")
    assert re.search(r"\d:\d\d min", said) and not re.search(r"\d\.\d\s?(min|h)\b", said)
    page.get_by_label("Demo ride").select_option(label="Logger, not the sprocket of the bike file")
    page.get_by_role("button", name="Open the demo ride").click()
    page.get_by_text("the front sprocket has 12 teeth instead of 13").wait_for()

    bomb = tmp_path / "ride.gpx"
    bomb.write_text('<!DOCTYPE gpx [<!ENTITY a "a">]><gpx version="1.1"><trk/></gpx>')
    choose(page, bomb)
    page.get_by_text("defines a document type or entities").wait_for()
    # The ride before stays, and the page lives.
    expect(page.get_by_text("the front sprocket has 12 teeth instead of 13")).to_be_visible()

    # The largest that is accepted goes over the line; what is larger is refused in the browser.
    large = tmp_path / "large.csv"
    line = b"# " + b"x" * 997 + b"\n"
    head = b"time [s],speed [km/h]\n" + b"".join(b"%d,%d\n" % (n, 30 + n % 3) for n in range(120))
    large.write_bytes(head + line * ((7_999_000 - len(head)) // len(line)))
    choose(page, large)
    page.get_by_text("large.csv: CSV, 120 readings").wait_for(state="attached")
    large.write_bytes(b"#" * 8_100_000)
    choose(page, large)
    expect(page.get_by_text("The file has 8.1 MB; at most 8 MB is accepted.")).to_be_visible()

"""Up to four set-ups on every chart of a real page; their file goes out and comes back."""

import re
from urllib.parse import unquote

from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_chart_text


def test_set_ups_are_added_changed_saved_and_brought_back(open_page, tmp_path):
    page = open_page("compare", "front=12&rear=50&also.1=14/50")
    page.get_by_role("button", name="Add a set-up").click()
    wait_for_chart_text(page, "D 12/52")
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    expect(rear).to_have_attribute("aria-valuenow", "52.0")
    rear.press("ArrowRight")
    wait_for_chart_text(page, "D 12/53")
    expect(page.get_by_role("columnheader", name="D 12/53")).to_be_visible()
    link = page.get_by_label("Link to this comparison")
    expect(link).to_have_value(re.compile("also.1=14/50&also.2=12/53$"))
    download = page.get_by_text("Download these set-ups as a file")
    expect(download).to_have_attribute("href", re.compile("rear%20%3D%2053"))
    address = download.get_attribute("href")
    file = tmp_path / "set-ups.toml"
    file.write_text(unquote(address.partition(",")[2]), encoding="utf-8")
    query = link.input_value()
    page.get_by_role("button", name="Remove this set-up").click()
    expect(link).to_have_value(re.compile("also.1=14/50$"))
    with page.expect_file_chooser() as chooser:
        page.get_by_text("Open a file of set-ups").click()
    chooser.value.set_files(file)
    wait_for_chart_text(page, "D 12/53")
    expect(link).to_have_value(query)

"""Up to four set-ups on the bench of a real page; their file goes out and comes back."""

import re
from urllib.parse import unquote

import pytest
from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair
from tests.browser.lids import open_lid


@pytest.mark.long
def test_set_ups_are_added_changed_saved_and_brought_back(open_page, tmp_path):
    # By the address that older links have.
    page = open_page("compare", "front=12&rear=50&also.1=14/50")
    wait_for_pair(page, "12/50")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("also.at=3"))
    # Pressed again, the one that is picked gets a name of the rider's own.
    page.once("dialog", lambda asked: asked.accept("  Sand;  day <b>"))
    page.get_by_role("radio").nth(3).click()
    expect(page.get_by_role("radio").nth(3)).to_contain_text("Sand day <b>")
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("Sand%20day"))
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    expect(rear).to_have_value("50")
    rear.press("ArrowRight")
    wait_for_pair(page, "12/51")
    link = page.get_by_label("Link to this bench")
    expect(link).to_have_value(re.compile("rear=51&.*also.1=12/50&also.2=14/50&also.at=3"))
    download = page.get_by_text("Download these set-ups as a file")
    expect(download).to_have_attribute("href", re.compile("rear%20%3D%2051"))
    address = download.get_attribute("href")
    file = tmp_path / "set-ups.toml"
    file.write_text(unquote(address.partition(",")[2]), encoding="utf-8")
    rear.press("ArrowRight")
    wait_for_pair(page, "12/52")
    expect(link).to_have_value(re.compile("rear=52"))
    with page.expect_file_chooser() as chooser:
        page.get_by_text("Open a file of set-ups").click()
    chooser.value.set_files(file)
    wait_for_pair(page, "12/50")
    expect(page.get_by_role("radio").nth(3)).to_contain_text("12/51")


COURSE_CHART = """() => {
    const onTheBench = document.getElementById("bench").bench.charts;
    const own = ["shift", "pull", "tradeoff"].map(name => onTheBench[name].document);
    const chart = Bokeh.documents.find(each => !own.includes(each));
    if (!chart?.is_idle) return "";
    return [...chart.roots()[0].references()].filter(({ type }) => type === "ColumnDataSource")
        .map(({ data }) => JSON.stringify(data.entries ? [...data] : data)).sort().join();
}"""
"""What the chart under the lid holds, once it is drawn; empty before."""


def test_a_chart_under_a_lid_shows_what_was_moved_before_it_opened_and_follows(open_page):
    def course_chart(page, pair):
        page.wait_for_function(f"pair => ({COURSE_CHART})().includes(pair)", arg=pair)
        return page.evaluate(COURSE_CHART)

    title = "All set-ups over a course"
    page = open_page("gearing", "front=12&rear=50")
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    rear.press("ArrowRight")
    wait_for_pair(page, "12/51")
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("rear=51"))
    open_lid(page, title)
    shown = course_chart(page, "12/51")
    straight = open_page("gearing", "front=12&rear=51")
    open_lid(straight, title)
    assert shown == course_chart(straight, "12/51")
    rear.press("ArrowRight")
    followed = course_chart(page, "12/52")
    assert followed != shown

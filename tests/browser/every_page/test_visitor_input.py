"""What a visitor brings along stays text in a real browser; and what a page sends to its kernel."""

import json

from jupyter_server.services.kernels.connection.base import deserialize_msg_from_ws_v1
from playwright.sync_api import expect

from tests.serve.hostile_link import SCRIPTS, hostile_query


def test_a_script_in_a_link_or_a_files_name_never_becomes_an_element(open_page, tmp_path):
    page = open_page("gearing", hostile_query(SCRIPTS[0]))
    page.get_by_text(SCRIPTS[0][:20]).first.wait_for(state="attached")  # as typed
    assert page.locator("img[src=x], [onerror]").count() == 0
    assert page.evaluate("window.hacked") is None

    page = open_page("check")
    ride = tmp_path / f"{SCRIPTS[0]}.csv"
    rows = "".join(f"{second},{30 + second % 3}\n" for second in range(120))
    ride.write_text(f"time [s],speed [km/h]\n{rows}")
    with page.expect_file_chooser() as chooser:
        page.get_by_text("Open ride files").click()
    chooser.value.set_files(ride)
    page.get_by_text(f"{SCRIPTS[0]}.csv: CSV, 120 readings").wait_for(state="attached")
    assert page.locator("img[src=x], [onerror]").count() == 0
    assert page.evaluate("window.hacked") is None


def test_a_page_says_back_nothing_of_what_its_kernel_has_said(server, open_url):
    page = open_url(server.url)
    said = []

    def note(message: bytes) -> None:
        _, parts = deserialize_msg_from_ws_v1(message)
        said.append(json.loads(parts[3]).get("data", {}))

    page.on("websocket", lambda line: line.on("framesent", note))
    page.goto(f"{server.url}gearing", wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    said.clear()
    link = page.get_by_label("Link to this bench")
    before = link.input_value()
    page.get_by_role("slider", name="Rear sprocket").press("ArrowRight")
    expect(link).not_to_have_value(before)
    page.wait_for_function("window.Bokeh.documents.every((chart) => chart.is_idle)")
    values = [data["state"].get("value", "") for data in said if data.get("method") == "update"]
    # The code for paper is asked for with the link, whenever the hand has rested for a while.
    moves = [value for value in values if "http://" not in str(value)]
    assert len(moves) == 1
    # A chart may tell its new size, but none of its data.
    others = [data["content"].get("attr") for data in said if data.get("method") == "custom"]
    assert "data" not in others
    assert len(others) < 10

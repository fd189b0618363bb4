"""The exported site in Chromium: from a folder, from a plain web host, and without a signal."""

import re
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import expect

from explorer.records.bikes.bike_library import demo_bikes
from explorer.serve.export import cases_for, choice_for
from explorer.tasks.bench.table import table_of
from explorer.tasks.lesson.steps import STEPS
from tests.browser.charts_in_page import wait_for_pair

ONE_STOP = "[tabindex='0']"
"""What the keyboard stops at inside of a chart: the chart itself."""

BIKE_ID, BIKE = next(iter(demo_bikes().items()))

DRAWN = [each for each in STEPS if each.figure is not None]


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


@pytest.fixture
def host(static_site):
    """A plain web host of the site; `with` ends it."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(static_site)))
    threading.Thread(target=server.serve_forever).start()
    yield server
    server.shutdown()
    server.server_close()


def ready(page):
    expect(page.locator("#bench[data-charts=live]")).to_be_attached()
    expect(page.locator("#site-ground")).to_be_enabled()
    return page


def said(t, g, u):
    """Tiles and verdict that Python says of the first set-up beside the fitted one."""
    meta = table_of(choice_for(BIKE_ID, BIKE, cases_for(BIKE_ID, BIKE)[t][g][u])).meta
    return [value for value, _ in meta["texts"][1]], meta["verdicts"][1]


def shows(page, t, g, u):
    tiles, verdict = said(t, g, u)
    expect(page.locator("[data-tile] [data-value]")).to_have_text(tiles)
    expect(page.locator("[data-verdict]")).to_have_text(verdict)


@pytest.mark.long
def test_from_a_folder_every_case_is_a_choice_away(static_site, open_url):
    page = ready(open_url((static_site / "bikes" / f"{BIKE_ID}.html").as_uri()))
    sizes = [by_ground[0][0].tyre for by_ground in cases_for(BIKE_ID, BIKE)]
    at = sizes.index(BIKE.tyre.rear)
    shows(page, at, 0, 0)
    expect(page.locator(f".bk-Figure {ONE_STOP}")).to_have_count(3)
    page.select_option("#site-ground", "2")
    shows(page, at, 2, 0)
    page.select_option("#site-units", "1")
    shows(page, at, 2, 1)
    page.locator("#bn-tyre").press("ArrowRight")
    shows(page, at + 1, 2, 1)
    expect(page).to_have_url(re.compile(f"#case={at + 1}-2-1"))
    page.locator("#bn-rear").press("ArrowRight")
    others = choice_for(BIKE_ID, BIKE, cases_for(BIKE_ID, BIKE)[at][0][0]).others
    # Written when the hand rests.
    expect(page).to_have_url(re.compile(f"setup={others[0].front}%2F{others[0].rear + 1}"))
    link, tiles = page.url, page.locator("[data-tile] [data-value]").all_inner_texts()
    again = ready(open_url(link))
    expect(again.locator("[data-tile] [data-value]")).to_have_text(tiles)


def test_a_link_with_anything_in_it_does_no_harm(static_site, open_url):
    address = (static_site / "bikes" / f"{BIKE_ID}.html").as_uri()
    page = ready(open_url(f"{address}#case=9-x-2&picked=99&setup=999/1 a&setup=<b>&setup=13/"))
    expect(page.locator("[data-verdict]")).not_to_be_empty()


@pytest.mark.long
def test_a_demonstration_of_the_lesson_is_drawn_when_its_lid_is_opened(static_site, open_url):
    page = open_url((static_site / "more" / BIKE_ID / "metric" / "lesson.html").as_uri(), width=390)
    lids = page.get_by_text("Demonstration", exact=True)
    expect(lids).to_have_count(len(DRAWN))
    for at in range(len(DRAWN)):
        lids.nth(at).click()
    drawn = page.locator("[data-drawn]")
    expect(drawn.filter(has=page.locator(".bk-Figure"))).to_have_count(len(DRAWN))
    expect(drawn.locator(ONE_STOP)).to_have_count(len(DRAWN))
    assert page.evaluate("document.documentElement.scrollWidth") == 390


def test_without_a_signal(host, open_url):
    address = f"http://127.0.0.1:{host.server_port}/bikes/{BIKE_ID}.html"
    page = ready(open_url(address))
    # The worker has kept this bike when all its tables in these units are there.
    kept = """async () => {
        for (;;) {
            for (const name of await caches.keys()) {
                const found = await (await caches.open(name)).keys();
                if (found.filter((each) => each.url.includes("/tables/")).length >= 19) return true;
            }
            await new Promise((resolve) => setTimeout(resolve, 50));
        }
    }"""
    assert page.evaluate(kept)
    page.context.set_offline(True)
    host.shutdown()
    page.reload()
    ready(page)
    page.select_option("#site-ground", "1")
    at = [each[0][0].tyre for each in cases_for(BIKE_ID, BIKE)].index(BIKE.tyre.rear)
    shows(page, at, 1, 0)


def test_a_bench_saved_as_a_file_is_the_riders_own(open_page, open_url, tmp_path):
    """The bike of the link, the pair under the hand, the ground; no network, and it drags on."""
    own = "bike=bracken-125&own.name=Meadow&own.mass.bike=104%20kg&front=12&rear=50"
    page = open_page("gearing", f"{own}&surface=firm-sand&units=imperial")
    wait_for_pair(page, "12/50")
    page.locator("#bn-rear").press("ArrowRight")
    wait_for_pair(page, "12/51")
    with page.expect_download() as made:
        page.click("[data-save]")
    assert made.value.suggested_filename == "bench-meadow.html"
    made.value.save_as(tmp_path / "bench.html")
    tiles = "[data-tile] [data-value]"

    saved = open_url((tmp_path / "bench.html").as_uri())
    expect(saved.locator("#bench[data-charts=live]")).to_be_attached()
    expect(saved.locator(tiles)).to_have_text(page.locator(tiles).all_inner_texts())
    expect(saved.locator("h1")).to_have_text("Bench: Meadow, invented")
    expect(saved.locator("main")).to_contain_text("Computed for firm sand")
    for bench in (page, saved):
        bench.locator("#bn-front").press("ArrowRight")
        wait_for_pair(bench, "13/51")
    expect(saved.locator(tiles)).to_have_text(page.locator(tiles).all_inner_texts())
    expect(saved).to_have_url(re.compile("setup=13%2F51"))
    policy = saved.locator("meta[http-equiv]").get_attribute("content")
    assert "default-src 'none'" in policy and "unsafe-eval" not in policy
    assert saved.locator("[src], link").count() == 0

"""What a mouse and a thumb do on the bench: drag the candidate, swipe, tap, and run it."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair
from tests.browser.every_page.test_words_and_access import WORDS

PLACE = """([front, rear]) => {
    const { charts } = document.getElementById("bench").bench;
    const { left, top } = charts.tradeoff.place.getBoundingClientRect();
    const { x, y } = charts.points.find(each => each.front === front && each.rear === rear);
    return [left + charts.tradeoff.x(x), top + charts.tradeoff.y(y)];
}"""
"""Where a pair stands on the trade-off [px]."""

IN_WINDOW = WORDS.replace(
    "return count(page.innerText) - less;",
    """const root = document.getElementById("bench");
    const seen = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    let words = 0;
    while (seen.nextNode()) {
        const part = seen.currentNode.parentElement;
        const { top } = part.getBoundingClientRect();
        if (part.checkVisibility() && !part.closest("svg, script, template") && top < innerHeight
            && part.offsetWidth > 1) words += count(seen.currentNode.textContent);
    }
    return words;""",
)
"""Words of the instrument in the window [count]."""

LEGEND = """() => {
    const { tradeoff, points } = document.getElementById("bench").bench.charts;
    const [west, east, south, north] = tradeoff.held;
    const inside = points.filter(({ x, y }) => x >= west && x <= east && y >= south && y <= north);
    return [[...tradeoff.sources.marks.data.text], {
        "pale: far from fitted": inside.some(({ near, blocked }) => !near && !blocked),
        "× no chain": inside.some(({ blocked }) => blocked),
        "○ another chain": inside.some(({ another }) => another),
        "● best": inside.some(({ best, another, blocked }) => best && !another && !blocked),
    }];
}"""
"""Words on the trade-off, and what is drawn there of each kind."""

HEARD = """() => {
    window.heard = { started: 0, closed: 0, tones: [] };
    const param = { setTargetAtTime: value => window.heard.tones.push(value) };
    const part = () => ({ frequency: { ...param }, gain: {}, connect: next => next,
                          start() { window.heard.started += 1; } });
    window.AudioContext = class {
        currentTime = 0;
        createOscillator = part;
        createBiquadFilter = part;
        createGain = part;
        close() { window.heard.closed += 1; }
    };
}"""
"""In place of the browser's sound, which no machine of a test has: it writes down what is asked."""

RESTING = """() => new Promise(resolve => {
    let [last, calm] = [-1, 0];
    const look = () => {
        calm = scrollY === last ? calm + 1 : 0;
        last = scrollY;
        if (calm > 20) resolve();
        else requestAnimationFrame(look);
    };
    look();
})"""
"""Until the page has not scrolled for twenty frames."""

RUN = """() => {
    const { bench } = document.getElementById("bench");
    const { meta } = bench.table;
    return { firings: meta.firings, limiter: meta.limiter,
             ends: bench.slots.map((_, at) => bench.run(at).distance.at(-1)) };
}"""


def test_the_candidate_is_dragged_along_the_tradeoff_and_there_is_a_way_back(open_page):
    page = open_page("gearing", "bike=bracken-125", width=1280, height=720)
    wait_for_pair(page, "12/50")
    # One view says little before anything is asked.
    assert page.evaluate(IN_WINDOW) <= 250
    said, seen = page.evaluate(LEGEND)
    assert {name for name in seen if name in said} == {name for name in seen if seen[name]}
    assert seen["● best"] and seen["○ another chain"] and seen["pale: far from fitted"]
    page.mouse.move(*page.evaluate(PLACE, [12, 50]))
    page.mouse.down()
    page.mouse.move(*page.evaluate(PLACE, [12, 54]), steps=8)
    wait_for_pair(page, "12/54")
    page.mouse.up()
    page.get_by_role("button", name="Back to 12/50").click()
    wait_for_pair(page, "12/50")

    page.evaluate(HEARD)
    run, lanes = page.locator("[data-run]"), page.locator(".bn-lanes")
    run.click()
    expect(lanes.locator(".bn-lane")).to_have_count(3)
    assert page.evaluate("window.heard.started") == 0  # silent unless switched on
    lanes.get_by_text("engine note").click()
    page.wait_for_function("window.heard.tones.length > 20")
    facts, tones = page.evaluate(RUN), page.evaluate("window.heard.tones")
    # A firing each `firings` turns of the crank: up to the rev limit, and climbing from the launch.
    assert min(tones) > 0 and max(tones) <= facts["limiter"] / 60 * facts["firings"] + 1e-6
    behind = re.compile(r"[\d.]+ m, [\d.]+ m and [\d.]+ s behind")
    expect(lanes.locator(".bn-lane span").filter(has_text=behind)).to_have_count(2)
    page.locator("[data-slider=rear] input").press("ArrowRight")  # any move ends it at once
    expect(lanes).to_be_hidden()
    expect(run).to_have_text("Run it")
    assert page.evaluate("window.heard.closed") == 1


@pytest.fixture
def phone(open_page):
    """The bench under a thumb, for someone who wants no motion."""
    page = open_page("gearing", "bike=bracken-125", width=390, height=844)
    wait_for_pair(page, "12/50")
    line = page.context.new_cdp_session(page)
    line.send("Emulation.setTouchEmulationEnabled", {"enabled": True, "maxTouchPoints": 1})
    page.emulate_media(reduced_motion="reduce")
    page.wait_for_function("matchMedia('(pointer: coarse)').matches")

    def touch(kind, *points):
        points = [{"x": x, "y": y} for x, y in points]
        line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def swipe(selector, across=0, down=0, begin=0.5):
        box = page.locator(selector).bounding_box()
        x, y = box["x"] + box["width"] * begin, box["y"] + box["height"] / 2
        touch("touchStart", (x, y))
        for part in range(1, 16):
            touch("touchMove", (x + across * part / 15, y + down * part / 15))
        for _ in range(10):  # held still at the end: nothing goes on by itself
            touch("touchMove", (x + across, y + down))
        touch("touchEnd")

    def tap(pair):
        touch("touchStart", page.evaluate(PLACE, pair))
        touch("touchEnd")

    page.swipe, page.tap_on = swipe, tap
    yield page
    line.detach()


def test_a_thumb_scrolls_upward_and_drags_sideways(phone):
    area = "[data-slider=rear] .bn-thumb-area"
    scrolled = "Math.round(scrollY)"
    phone.swipe(area, down=-120)
    phone.wait_for_function(f"{scrolled} > 60")
    wait_for_pair(phone, "12/50")
    phone.evaluate(RESTING)
    before = phone.evaluate(scrolled)
    phone.swipe(area, across=60)
    phone.wait_for_function("document.getElementById('bench').bench.slots[1].rear > 52")
    assert phone.evaluate(scrolled) == before
    phone.evaluate("scrollTo(0, 0)")
    # From chart to chart by a swipe, with its tab marked.
    phone.swipe("[data-chart=shift]", across=-300, begin=0.9)
    expect(phone.get_by_role("tab", name="Pull")).to_have_attribute("aria-selected", "true")


def test_the_first_tap_shows_the_second_takes_and_a_run_without_motion_shows_its_end(phone):
    phone.get_by_role("tab", name="Trade-off").click()
    phone.wait_for_function(
        """() => { const { left, right } = document.querySelector("[data-chart=tradeoff]")
            .getBoundingClientRect(); return left >= 0 && right <= innerWidth; }"""
    )
    phone.tap_on([11, 50])
    card = phone.get_by_role("dialog", name="Pair on the chart")
    expect(card).to_be_visible()
    shown = card.locator("strong").inner_text()
    for words in ("pull, every gear", "km/h", "chain"):
        expect(card).to_contain_text(words)
    wait_for_pair(phone, "12/50")
    phone.tap_on([11, 50])
    wait_for_pair(phone, shown)
    phone.get_by_role("button", name="Back to 12/50").click()
    wait_for_pair(phone, "12/50")
    phone.get_by_role("button", name="More", exact=True).click()
    phone.locator("[data-run]").click()
    expect(phone.locator("[data-run]")).to_have_text("Clear the run")
    ends = [f"{each:.0f} m" for each in phone.evaluate(RUN)["ends"]]
    for lane, end in zip(phone.locator(".bn-lane").all(), ends, strict=True):
        expect(lane).to_contain_text(end)

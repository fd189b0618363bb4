"""The bench is one view: hand, charts and numbers inside the window, and nothing jumps."""

import re

import pytest
from playwright.sync_api import TimeoutError, expect

from tests.browser.charts_in_page import wait_for_pair

OWN = (
    "bike=mine&front=12&rear=48&own.name=Meadow&own.provenance=measured&own.sprockets.front=13"
    "&own.sprockets.rear=49&own.gearbox.ratios=2.8,+1.8,+1.4,+1.1,+0.9&own.gearbox.primary=3.35"
    "&own.tyre.rear=110/100-18&own.chain.size=520&own.chain.links=112&own.mass.bike=110+kg"
    "&own.engine.peak=11+kW+at+9000+rpm&own.engine.rev_limit=10000+rpm"
)
SETTLING = 20_000
"""Longest until a window has its new layout [ms]."""

INSIDE = """names => names.flatMap(name => [...document.querySelectorAll(name)].map(part => {
    const { left, top, right, bottom, width, height } = part.getBoundingClientRect();
    const inside = left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight;
    return [name, inside && width > 20 && height > 8, [left, top, right, bottom]];
}))"""


CLIPPED = """() => [...document.querySelectorAll("[data-tile], [data-chip]")]
    .filter(part => part.offsetParent && (part.scrollWidth > part.clientWidth + 1
        || part.scrollHeight > part.clientHeight + 1)).map(part => part.innerText)"""
"""Numbers and buttons whose words do not go into their box."""


WORDS_LAID_OVER = """() => {
    const { charts } = document.getElementById("bench").bench;
    const ink = document.createElement("canvas").getContext("2d");
    ink.font = "14px sans-serif";
    return ["pull", "tradeoff"].flatMap(name => {
        const plot = charts[name];
        const { text, x, y, dx, dy, align } = plot.sources.marks.data;
        const words = [...text.keys()].filter(at => text[at]).map(at => {
            const wide = ink.measureText(text[at]).width;
            const share = { left: 0, center: 0.5, right: 1 }[align[at]];
            const left = plot.x(x[at]) + dx[at] - share * wide;
            return { text: text[at], left, right: left + wide, middle: plot.y(y[at]) + dy[at] };
        });
        const drawn = name !== "pull" ? [] : ["lines", "ground"].flatMap(source => {
            const { xs, ys } = plot.sources[source].data;
            return xs.flatMap((each, at) => Array.from(each, (value, place) =>
                // A limit is one line across the chart.
                [source === "lines" || each.length > 2 ? plot.x(value) : null,
                    plot.y(ys[at][place])]));
        });
        return words.flatMap((word, at) => [
            ...words.slice(at + 1)
                .filter(other => word.left < other.right && other.left < word.right
                    && Math.abs(word.middle - other.middle) < 13)
                .map(other => `${word.text} on ${other.text}`),
            ...drawn.filter(([px, py]) => (px === null || (px > word.left && px < word.right))
                && Math.abs(py - word.middle) < 6).slice(0, 1).map(() => `${word.text} on a line`),
        ]);
    });
}"""
"""Words on the bench's pull chart and trade-off that lie on others, or on a line."""

INSIDE_ALL = (
    f"names => {{ const found = ({INSIDE})(names); return names.every(name => found.some("
    "([each]) => each === name)) && found.every(([, inside]) => inside); }"
)


def wait_until_inside(page, size, *names):
    """A window of another size: in a moment all parts are wholly in it."""
    page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
    page.wait_for_function("([w, h]) => innerWidth === w && innerHeight === h", arg=size)
    try:
        page.wait_for_function(INSIDE_ALL, arg=list(names), timeout=SETTLING)
    except TimeoutError:
        found = page.evaluate(INSIDE, list(names))
        pytest.fail(f"{size}: {[each for each in found if not each[1]]}")
    assert page.evaluate(CLIPPED) == []
    try:
        page.wait_for_function(f"({WORDS_LAID_OVER})().length === 0", timeout=SETTLING)
    except TimeoutError:
        pytest.fail(f"{size}: {page.evaluate(WORDS_LAID_OVER)}")


JUMPED = """() => new Promise(resolve => {
    let jumped = 0;
    new PerformanceObserver(list => {
        for (const entry of list.getEntries()) jumped += entry.value;
    }).observe({ type: "layout-shift" });
    const input = document.querySelector("[data-slider=rear] input");
    let step = 0;
    const move = () => {
        input.value = 45 + (step += 1) % 12;
        input.dispatchEvent(new Event("input", { bubbles: true }));
        if (step < 39) requestAnimationFrame(move);
        else setTimeout(() => resolve(jumped), 500);
    };
    move();
})"""
"""How far anything jumps while the rear sprocket runs up and down, to end with 48 teeth."""


# The bike with the longest numbers, and one with an assumed curve.
@pytest.mark.parametrize(
    "query", [pytest.param("bike=sleet-450&front=12&rear=48", marks=pytest.mark.long), OWN]
)
def test_hand_and_eye_are_in_one_view_at_every_size_and_nothing_jumps(open_page, query):
    page = open_page("gearing", query, width=1280, height=720)
    wait_for_pair(page, "12/48")
    assert page.evaluate(JUMPED) == 0
    wait_for_pair(page, "12/48")
    parts = ("[data-slider] input", "[data-chart] .bn-figure", "[data-tile] b", "[data-verdict]")
    for size in ((1280, 720), (1366, 768), (1920, 1080)):
        wait_until_inside(page, size, *parts)
    assert page.get_by_role("navigation", name="Pages").bounding_box()["height"] <= 48
    if query == OWN:
        # A dashed frame says in words what it is.
        for name in ("top", "measure"):
            said = page.locator(f"[data-tile={name}]")
            expect(said.get_by_text("assumed")).to_be_visible()
            expect(said).to_have_css("border-left-style", "dashed")
    sliders = ("[data-slider=front] input", "[data-slider=rear] input")
    parts = (*sliders, "[data-chart=shift] .bn-figure", "[data-verdict]", "[data-more]")
    for size in ((390, 844), (360, 640), (844, 390), (640, 360)):
        wait_until_inside(page, size, *parts)
        # The chart that is shown has its tab marked, also after a wide window.
        expect(page.get_by_role("tab", name="Shifting")).to_have_attribute("aria-selected", "true")
        for button in page.locator("[data-slider=front] [data-step]").all():
            box = button.bounding_box()
            # 44 px: W3C, WCAG 2.2, success criterion 2.5.5 Target Size (Enhanced).
            assert box["height"] >= 44 and box["width"] >= 44
    page.get_by_role("tab", name="Trade-off").click()
    expect(page.get_by_role("tab", name="Trade-off")).to_have_attribute("aria-selected", "true")
    page.get_by_role("button", name="More", exact=True).click()
    expect(page.locator("[data-slider=tyre] input")).to_be_visible()


JUMPED_WHILE_IT_CAME = """() => new Promise(resolve => {
    const onTheBench = ({ sources }) =>
        sources.some(({ node }) => node?.parentElement?.closest(".bn"));
    new PerformanceObserver(list => resolve(list.getEntries().filter(onTheBench).map(entry =>
        [entry.value, entry.sources.map(({ node }) => node?.className || node?.nodeName)])))
        .observe({ type: "layout-shift", buffered: true });
    setTimeout(() => resolve([]), 500);
})"""
"""How far anything of the bench has jumped since the page was asked for, and what."""


@pytest.mark.parametrize("size", [(1280, 720), (390, 844)])
def test_nothing_jumps_while_the_page_comes(open_page, size):
    width, height = size
    # Three set-ups and up to four: the buttons that add and remove one.
    page = open_page("gearing", "front=12&rear=50&also.1=14/50", width=width, height=height)
    wait_for_pair(page, "12/50")
    # All that comes later has its place. By the measure of W3C's Layout Instability charts that
    # shrink by a row of buttons have 0.02.
    jumped = page.evaluate(JUMPED_WHILE_IT_CAME)
    assert sum(value for value, _ in jumped) < 0.001, jumped


def test_the_upright_axis_of_a_low_trade_off_chart_names_its_quantity(open_page):
    page = open_page("gearing", "bike=bracken-125&rear=53", width=360, height=640)
    wait_for_pair(page, "13/53")
    page.get_by_role("tab", name="Trade-off").click()
    page.wait_for_function("""() => {
      const { axis_label } = document.getElementById("bench").bench.charts.tradeoff.model.left[0];
      return axis_label.replaceAll("\\n", " ") === "Slowest with the clutch out in 1st, km/h";
    }""")


SHAPES = """() => [...document.querySelectorAll("[data-chart] .bn-figure")].map(figure => {
    const { left, right, top, bottom } = figure.getBoundingClientRect();
    const plot = figure.parentElement.getBoundingClientRect();
    const inside = right <= plot.right + 1 && bottom <= plot.bottom + 1;
    return [inside, (right - left) / (bottom - top)];
})"""
"""Of each chart whether its place holds it, and its width over its height."""


def test_on_paper_the_bench_is_one_page_with_its_link_and_code(open_page):
    page = open_page("gearing", "bike=bracken-125&rear=53")
    wait_for_pair(page, "13/53")
    expect(page.locator("[data-code] svg")).to_be_attached()
    drawn = page.evaluate(SHAPES)
    for paper in ("A4", "Letter"):
        # A leaf of the page tree for each page: ISO 32000-1, 7.7.3.3.
        assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) == 1
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    expect(page.locator("[data-address]")).to_contain_text(page.url)
    # Bokeh draws nothing anew for paper: a chart of another shape would be cut off.
    for (inside, shape), (_, before) in zip(page.evaluate(SHAPES), drawn, strict=True):
        assert inside and shape == pytest.approx(before, rel=0.01)
    charts = [f"[data-chart={name}] .bn-figure" for name in ("shift", "pull", "tradeoff")]
    for part in ("[data-code] svg", "[data-address]", "[data-verdict]", "[data-numbers]", *charts):
        expect(page.locator(part)).to_be_visible()
    expect(page.locator("[data-slots]")).to_contain_text("Trail 13/53")

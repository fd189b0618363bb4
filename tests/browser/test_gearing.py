"""The rider's page in a real browser, through Voilà, with every other host blocked."""

import csv
import io
import re
from urllib.parse import quote, unquote

import pytest
from playwright.sync_api import expect

from explorer.records.bikes.bike_library import demo_bikes
from tests.browser.charts_in_page import wait_for_pair
from tests.browser.lids import TYPED, open_lid, open_lids, type_pair
from tests.browser.window_fit import fits_the_window


def slider(page, name):
    return page.get_by_role("slider", name=name, exact=True)


def move_to(page, front, rear):
    slider(page, "Front sprocket").fill(str(front))
    slider(page, "Rear sprocket").fill(str(rear))
    wait_for_pair(page, f"{front}/{rear}")
    expect(page.get_by_label("Link to this bench")).to_have_value(
        re.compile(f"front={front}&rear={rear}")
    )


@pytest.fixture(scope="module")
def opened(open_shared):
    page = open_shared("gearing")
    wait_for_pair(page, "12/50")  # a front tooth fewer is proposed
    return page


@pytest.fixture
def page(opened):
    """The fitted bike as the page opens, whatever pair the test before left in its slot."""
    move_to(opened, 12, 50)
    return opened


def test_one_tooth_changes_every_chart_and_readout(page):
    slider(page, "Front sprocket").press("ArrowRight")
    wait_for_pair(page, "13/50")
    expect(page.locator("#bench [data-verdict]")).to_have_text(re.compile("fitted gearing"))
    slider(page, "Front sprocket").press("ArrowLeft")
    wait_for_pair(page, "12/50")
    expect(page.get_by_text("+8.3 %", exact=True).first).to_be_visible()
    expect(page.get_by_text("−7.7 %", exact=True).first).to_be_visible()
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("front=12"))
    slider(page, "Rear sprocket").press("ArrowRight")
    wait_for_pair(page, "12/51")


@pytest.mark.long
def test_a_fast_drag_ends_on_the_last_value(page):
    rear = slider(page, "Rear sprocket")
    rear.focus()
    for _ in range(15):
        page.keyboard.press("ArrowRight")
    for _ in range(6):
        page.keyboard.press("ArrowLeft")
    wait_for_pair(page, "12/59")
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("rear=59"))


def test_typed_pair_is_said_back_in_words_and_nonsense_is_kept_and_answered(open_page):
    page = open_page("gearing")
    field = type_pair(page, "48:14")
    wait_for_pair(page, "14/48")
    open_lid(page, "Why? In words")
    expect(
        page.get_by_text("Front sprocket 14 teeth, rear sprocket 48 teeth").first
    ).to_be_visible()
    field.fill("<b>fast</b>")
    field.press("Enter")
    # Beside the field, in which it stays.
    answer = page.locator(".ge-answer").filter(has_text="<b>fast</b>")
    answer.wait_for()
    assert field.input_value() == "<b>fast</b>"
    assert page.locator(".ge-answer b").count() == 0
    wait_for_pair(page, "14/48")
    # A number too: asked back with its limits, kept on leaving the page, nothing else changed.
    link = page.get_by_label("Link to this bench").input_value()
    turn = page.get_by_role("spinbutton", name="Roll-out [mm]")
    for text in ("", "99999999"):
        turn.fill(text)
        turn.press("Enter")
        said = f'"{text}" is not taken' if text else "without one"
        below = page.locator(".ge-control", has=turn).locator(".ge-sentence")
        expect(below).to_have_text(re.compile(f"from 800 to 2800 mm: {said}.* mm stays"))
        expect(turn).to_have_value(text)
    page.wait_for_function("location.search.includes('rear=48')")  # written once the hand rests
    page.reload(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    open_lid(page, TYPED)
    expect(below).to_contain_text("99999999")
    expect(turn).to_have_value("99999999")
    assert page.get_by_label("Link to this bench").input_value() == link
    turn.fill("2050")
    turn.press("Enter")
    expect(below).to_have_count(0)
    expect(page.get_by_label("Link to this bench")).to_have_value(re.compile("rollout=2.05m"))


def test_the_first_tap_shows_a_pair_and_the_second_takes_it(page):
    place = page.evaluate(
        """() => {
            const { charts } = document.getElementById("bench").bench;
            const { left, top } = charts.tradeoff.place.getBoundingClientRect();
            const pair = charts.points.find(({ front, rear }) => front === 13 && rear === 52);
            return [left + charts.tradeoff.x(pair.x), top + charts.tradeoff.y(pair.y)];
        }"""
    )
    page.mouse.click(*place)
    card = page.get_by_role("dialog", name="Pair on the chart")
    card.wait_for()
    shown = card.locator("strong").inner_text()
    wait_for_pair(page, "12/50")
    page.mouse.click(*place)
    wait_for_pair(page, shown)
    page.get_by_role("button", name="Back to 12/50").click()
    wait_for_pair(page, "12/50")


_DRAGGED = """() => new Promise(resolve => {
    const input = document.querySelector("[data-slider=rear] input");
    const send = WebSocket.prototype.send;
    let [sent, step, longest, last] = [0, 0, 0, performance.now()];
    WebSocket.prototype.send = function (...said) {
        sent += 1;
        return send.apply(this, said);
    };
    const move = () => {
        longest = Math.max(longest, performance.now() - last);
        last = performance.now();
        input.value = 51 + (step += 1) % 5;
        input.dispatchEvent(new Event("input", { bubbles: true }));
        if (step < 30) return requestAnimationFrame(move);
        WebSocket.prototype.send = send;
        resolve([sent, longest]);
    };
    move();
})"""
"""Messages to the kernel during thirty moves, and the longest pause between two of them [ms]."""

RESTS_AFTER = 150
"""Pause after which the bench takes the hand for resting and tells the kernel [ms]."""


def kernel_is_done(page):
    """The kernel answers in turn: what the browser made of the last change has been dealt with."""
    page.evaluate("jupyterapp.widgetManagerPromise.promise.then(m => m.kernel.requestKernelInfo())")


def test_nothing_is_asked_of_the_kernel_while_the_hand_moves(page):
    for _ in range(40):
        move_to(page, 12, 60)
        kernel_is_done(page)
        sent, longest = page.evaluate(_DRAGGED)
        # On a busy machine a frame may take so long that the hand seems to rest.
        if longest < 0.8 * RESTS_AFTER:
            break
    else:
        pytest.fail("no thirty frames came without a long pause")
    assert sent == 0
    link = page.get_by_label("Link to this bench")
    expect(link).to_have_value(re.compile("rear=51"))


def test_a_link_reopens_exactly_this_set_up_and_each_other_is_a_slot_of_its_own(open_page):
    page = open_page(
        "gearing",
        "bike=marram-250&front=12&rear=48&tyre=120/90-18&surface=loose-sand&slope=5%25"
        "&units=imperial&show=steepest-slope&own.mass.bike=140+kg",
    )
    wait_for_pair(page, "12/48")
    page.get_by_role("radio", name=re.compile("Road")).click()
    move_to(page, 14, 47)
    link = page.get_by_label("Link to this bench")
    expect(link).to_have_value(re.compile("front=14&rear=47.*also.1=12/48&also.at=2"))
    query = link.input_value()
    assert "own.mass.bike=140%20kg" in query and "units=imperial" in query
    again = open_page("gearing", query.removeprefix("?"))
    wait_for_pair(again, "14/47")
    expect(again.get_by_role("radio", name=re.compile("Trail"))).to_contain_text("12/48")
    assert again.get_by_label("Link to this bench").input_value() == query


def test_a_bad_link_is_answered_in_sentences(open_page):
    script = "<script>alert(1)</script>"
    page = open_page(
        "gearing", f"front=99&rear={script}&units=../../etc/passwd&slope=steep&%00=%FF&own.x=1"
    )
    fault = page.locator(".ge-fault")
    fault.wait_for()
    # What the page asks for by itself, once all stands, leaves the sentences alone.
    expect(page.locator("[data-code] svg")).to_be_attached()
    assert fault.is_visible()
    for said in ('"99"', script, "../../etc/passwd", "steep", "cannot be read", "own.x"):
        expect(fault).to_contain_text(said)
    assert page.locator(".ge-fault script").count() == 0
    assert "Traceback" not in page.content()


@pytest.mark.long
def test_own_bike_by_form_and_by_file_and_what_is_wrong_is_answered(open_page, tmp_path):
    page = open_page("gearing", "rear=52")
    page.get_by_text("This bike", exact=True).click()
    fault = page.locator(".ge-fault:not(.ge-too-large)")
    file = tmp_path / "mine.toml"

    def choose(content):
        file.write_bytes(content)
        with page.expect_file_chooser() as chooser:
            page.get_by_text("Open a bike file").click()
        chooser.value.set_files(file)

    # A broken one is answered, and the page keeps its state.
    choose(b"\x00\xff\xfe not a bike")
    fault.wait_for()
    wait_for_pair(page, "13/52")
    # One that is too large for the line is refused before it is sent.
    choose(b"#" * 12_000_000)
    expect(page.get_by_text("The file has 12.0 MB; at most 1 MB is accepted.")).to_be_visible()
    slider(page, "Rear sprocket").press("ArrowRight")
    wait_for_pair(page, "13/53")

    page.get_by_role("button", name="Edit every field").click()
    primary, link = page.get_by_label("Primary reduction"), page.get_by_label("Link to this bench")
    primary.fill("3.9")
    page.get_by_role("button", name="Use this bike").click()
    expect(link).to_have_value(re.compile("own.gearbox.primary=3.9"))
    primary.fill("fast")
    page.get_by_role("button", name="Use this bike").click()
    expect(fault.filter(has_text="fast")).to_be_visible()
    assert primary.input_value() == "fast"
    assert "own.gearbox.primary=3.9" in link.input_value()

    other = demo_bikes()["fogbank-650"]
    choose(other.to_toml().encode())
    page.get_by_text(re.compile(rf"{other.name}\. Invented")).wait_for()
    download = page.get_by_text("Download this bike as a file")
    expect(download).to_have_attribute("href", re.compile(quote(other.name)))
    content = download.get_attribute("href").partition(",")[2]
    assert unquote(content) == other.to_toml()


@pytest.mark.long
def test_gear_table_downloads_as_csv(page):
    move_to(page, 13, 52)
    open_lids(page)
    download = page.get_by_text("Download as CSV")
    expect(download).to_have_attribute("href", re.compile("13%2C52%2C"))
    address = download.get_attribute("href")
    kind, _, content = address.partition(",")
    assert kind.startswith("data:text/csv")
    rows = list(csv.DictReader(io.StringIO(unquote(content))))
    assert [row["gear"] for row in rows] == ["1", "2", "3", "4", "5"] * 2
    assert {row["rear [teeth]"] for row in rows} == {"50", "52"}


PAIRS = "document.getElementById('bench').bench.table.rows.size"
"""All, or a part of them until the hand has moved on to another tyre and rests."""


@pytest.mark.long
def test_tyre_changes_speed_and_says_what_it_uses(page):
    link = page.get_by_label("Link to this bench")
    before = link.input_value()
    pairs = page.evaluate(PAIRS)
    slider(page, "Rear tyre").press("ArrowRight")
    expect(link).to_have_value(re.compile(r"tyre=(?!4\.10-18)"))
    open_lids(page)
    expect(page.get_by_text("computed from the size").first).to_be_visible()
    slider(page, "Rear tyre").press("ArrowLeft")
    expect(link).to_have_value(before)
    page.wait_for_function(f"pairs => {PAIRS} === pairs", arg=pairs)


def test_nothing_is_wider_than_a_large_window(page):
    """Smaller ones: test_serving.py."""
    fits_the_window(page, 1920, 1280)


def test_units_switch_everything_and_there_and_back_change_no_number(page):
    """The last: it leaves another bike."""
    open_lids(page)
    link = page.get_by_label("Link to this bench")
    numbers = "boxes => boxes.map(each => each.value)"
    expect(page.locator(".ge-control .widget-text input:not([type=number])")).to_have_count(0)
    before = link.input_value(), page.locator("input[type=number]").evaluate_all(numbers)
    for system, units, unit in (("imperial", "mph, in, lbf", "in"), ("", "km/h, mm, N", "mm")) * 2:
        page.get_by_role("button", name=units).click()
        page.get_by_role("slider", name=f"Roll-out [{unit}]").wait_for()
        if system:
            expect(page.locator("[data-tile=top] [data-value]")).to_contain_text("mph")
            expect(link).to_have_value(re.compile("units=imperial"))
            drawn = "Bokeh.documents.some(each => each.to_json_string().includes('lbf'))"
            page.wait_for_function(drawn)
        kernel_is_done(page)
    assert (link.input_value(), page.locator("input[type=number]").evaluate_all(numbers)) == before
    slider(page, "Rear sprocket").press("ArrowRight")
    expect(page.locator("[data-live]")).to_contain_text("12/51")
    page.get_by_role("button", name="mph, in, lbf").click()
    # What a screen reader is told too, of each chart and of the change; and of another bike then.
    texts = page.locator("#bench :is([data-summary], [data-live])")
    expect(texts).to_have_text([re.compile(r"^(?!.*km/h).*\d.* mph")] * 4)
    page.get_by_label("Bike", exact=True).select_option("Sleet 450")
    expect(page.locator("[data-bike]")).to_have_text(re.compile("Sleet"))
    pair = page.locator("[data-tile=ratio] [data-value]").inner_text()
    top = page.locator("[data-tile=top] [data-what]")
    for name in ("pull", "tradeoff"):
        said = page.locator(f"[data-chart={name}] [data-summary]")
        expect(said).to_contain_text(pair)
        expect(said).to_contain_text(top.inner_text())
    expect(page.locator("[data-live]")).to_contain_text(pair)

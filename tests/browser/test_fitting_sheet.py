"""The fitting sheet in a real browser, without a network: on paper, on a screen, on a phone."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.tasks.fit.fitting_sheet import render
from explorer.tasks.fit.sheet_facts import LONGEST, MOST_SPEEDS, FittingSheet, PredictedSpeed

pytestmark = pytest.mark.browser

ORDINARY = FittingSheet(
    "Tarn 650, dual-sport single",
    date(2026, 5, 1),
    SprocketChange(15, 45, 14, 47, "520", 110, 110, retainer="tab-washer", axle_lock="split-pin"),
    axle_movement=0.0021,
    wheelbase_change=0.002,
    axle_before=0.014,
    slack="35 to 45 mm",
    slack_place="lower run, middle",
    slack_state="on the stand",
    rear_brake="disc",
    query="?bike=tarn-650&front=14&rear=47&surface=forest-soil&slope=0%25&rider=92kg",
    address="http://192.168.1.20:8866/gearing",
)

# Everything unknown, so both kinds of each are described; all texts as long as accepted, of the
# widest letter; every part bought; a code as large as is printed.
FULLEST = replace(
    ORDINARY,
    bike="W" * LONGEST["bike"],
    slack="W" * LONGEST["slack"],
    slack_place="W" * LONGEST["slack_place"],
    slack_state="W" * LONGEST["slack_state"],
    change=SprocketChange(15, 45, 14, 47, "520", 110, 115, rear_nuts=12),
    axle_before=0.0115,
    axle_movement=-0.0121,
    uncertainty=0.001,
    rear_brake="unknown",
    invented=True,
    doubt="12/52 is close: 0.40 in of adjuster left, and your measure of it may be off by 1.25 mm.",
    predicted=tuple(
        PredictedSpeed(gear, 10000 * np.pi / 30, 60.0) for gear in range(1, MOST_SPEEDS + 1)
    ),
    query="?own.note=" + "a" * 900,
)

SHORTEST = FittingSheet(
    "Own bike",
    date(2026, 5, 1),
    SprocketChange(13, 50, 13, 48, "428", 120, 120, joining_link="rivet"),
)

RIVETED = replace(
    FULLEST,
    change=replace(FULLEST.change, joining_link="rivet", seal="sealed", retainer="tab-washer"),
)

SHEETS = [
    pytest.param(ORDINARY, id="ordinary"),
    pytest.param(FULLEST, id="fullest"),
    pytest.param(RIVETED, id="riveted"),
    pytest.param(SHORTEST, id="shortest"),
]

PAPER_WIDTH = {"A4": 210.0, "Letter": 215.9}
"""ISO 216 and ANSI Y14.1 [mm]."""

LONGEST_WAIT = 60_000
"""For a browser on two busy processors [ms]."""

SIDE_MARGINS = 2 * 9.0
"""Those of the sheet's own style [mm]."""

# Elements whose text is wider than the element, or that reach over the edge of the paper. A browser
# gives both widths in whole pixels, each rounded from where it begins and ends: with some fonts an
# empty blank is a pixel wider than itself.
CLIPPED = """
() => [...document.body.querySelectorAll("*:not(svg, svg *)")].filter((element) => {
  const box = element.getBoundingClientRect();
  if (!box.width) return false;
  return (element.clientWidth && element.scrollWidth > element.clientWidth + 1)
    || box.right > document.documentElement.clientWidth + 0.5 || box.left < -0.5;
}).map((element) => element.outerHTML.slice(0, 200))
"""


@pytest.fixture(scope="module")
def offline(chromium):
    context = chromium.new_context(offline=True)
    yield context
    context.close()


@pytest.fixture
def open_sheet(offline, tmp_path):
    """Open a sheet from a file, without a network; at the end nothing else was asked for."""
    pages, asked, errors = [], [], []

    def open_it(sheet, system="metric", width=1280):
        path = tmp_path / "sheet.html"
        path.write_text(render(sheet, system), encoding="utf-8")
        page = offline.new_page()
        pages.append(page)
        page.set_viewport_size({"width": width, "height": 900})
        page.set_default_timeout(LONGEST_WAIT)
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda message: errors.append(message.text))
        page.on("pageerror", lambda fault: errors.append(str(fault)))
        page.goto(path.as_uri())
        return page

    yield open_it
    for page in pages:
        page.close()
    assert {address.rpartition("/")[2] for address in asked} == {"sheet.html"}
    assert errors == []


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_two_pages_with_nothing_clipped_and_no_screen_is_scrolled_sideways(
    open_sheet, sheet, system
):
    page = open_sheet(sheet, system)
    for width in (390, 700, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(CLIPPED) == [], width
    page.emulate_media(media="print")
    for paper, width in PAPER_WIDTH.items():
        inner = int((width - SIDE_MARGINS) / 25.4 * 96)
        page.set_viewport_size({"width": inner, "height": 900})
        assert page.evaluate(CLIPPED) == [], paper
        assert pages_of(page.pdf(format=paper)) == 2
    # A stage of the work is not torn: its name would stand on the other page only.
    stages = page.locator(".stage").evaluate_all(
        "all => all.map(each => getComputedStyle(each).breakInside)"
    )
    assert set(stages) == {"avoid"}


def test_the_page_count_itself(open_sheet):
    """A longer sheet has more pages: the count above can fail."""
    page = open_sheet(ORDINARY)
    page.add_style_tag(content="body { padding-bottom: 2000px !important; }")
    assert pages_of(page.pdf(format="A4")) > 2


def test_the_clipping_check_itself(open_sheet):
    page = open_sheet(ORDINARY, width=700)
    page.emulate_media(media="print")
    page.add_style_tag(content="h1 { width: 40px; overflow: hidden; white-space: nowrap; }")
    assert any(found.startswith("<h1") for found in page.evaluate(CLIPPED))


def test_code_is_printed_large_enough_for_a_phone(open_sheet):
    """At least 0.3 mm a module; common practice, no source."""
    page = open_sheet(FULLEST, width=726)
    page.emulate_media(media="print")
    code = page.locator(".code svg")
    modules = int(code.get_attribute("viewBox").split()[2])
    millimetres = code.bounding_box()["width"] / 96 * 25.4
    assert millimetres / modules >= 0.3


def test_boxes_and_blanks_have_names_of_their_own_and_steps_are_ticked_by_their_words(open_sheet):
    page = open_sheet(ORDINARY)
    fields = page.get_by_role("checkbox").all() + page.get_by_role("textbox").all()
    named = page.evaluate(
        """() => [...document.querySelectorAll("input")].map((field) =>
             field.ariaLabel || [...field.labels].map((label) => label.innerText).join(" "))"""
    )
    assert len(named) == len(fields) > 40
    assert all(name.strip() for name in named)
    assert len(set(named)) == len(named)
    step = page.get_by_label("Make it safe.")
    page.get_by_text("Bike upright on a firm stand").click()
    assert step.is_checked()
    torque = page.get_by_label("Torque from the manual: Axle nut")
    assert torque.input_value() == ""
    torque.fill("as in")
    assert torque.input_value() == "as in"


def test_reasons_are_on_the_screen_and_the_paper_keeps_to_the_cautions(open_sheet):
    page = open_sheet(ORDINARY)
    reason = page.get_by_text("lets the front sprocket leave its shaft")
    caution = page.get_by_text("Fit a new retainer")
    assert reason.is_visible()
    assert caution.is_visible()
    page.emulate_media(media="print")
    assert reason.is_hidden()
    assert caution.is_visible()

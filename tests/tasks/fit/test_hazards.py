"""Every hazard has its caution at the place where it bites, on the page and on the sheet."""

import csv
from datetime import date
from pathlib import Path

import pytest
from markupsafe import escape

from explorer.records.fitting.hazards import hazards
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.tasks.fit import sheet_steps
from explorer.tasks.fit.fitting_sheet import render
from explorer.tasks.fit.page import FitPage, cautions
from explorer.tasks.fit.sheet_facts import FittingSheet

ROOT = Path(__file__).parents[3]

CHECKLIST = {
    "running-engine": "neutral",
    "chain-too-tight": "in line",
    "one-slack-for-all": "own manual",
    "tight-place": "tightest place",
    "mud": "mud",
    "axle-nut": "split pin",
    "wheel-cocked": "both sides",
    "swingarm-marks": "rough guide",
    "adjuster-contact": "against both adjusters",
    "front-retainer": "new retainer",
    "snap-ring": "seated",
    "clip-direction": "closed end",
    "chain-breaks": "spare joining link",
    "rear-bolts": "new lock nuts",
    "front-nut-last": "chain on",
    "other-bikes-torque": "own bike's manual",
    "small-front": "slider",
    "big-rear": "chain guide",
    "big-front": "before buying",
    "odd-links": "even numbers only",
    "wrong-part": "bolt circle",
    "reversed-sprocket": "outer side",
    "new-on-worn": "all three parts",
    "engine-note": "braking points",
    "too-tall": "lug",
    "too-short": "longest steady speed",
    "engine-braking": "clutch",
    "two-stroke-descent": "throttle",
    "drum-brake": "free play",
    "speedometer": "satellite",
    "approval": "where you live",
}
"""Each hazard of the trade that was collected for this work, and words that its caution cannot do
without (public threads, magazines and workshop manuals, restated; common practice, no source)."""


@pytest.fixture(scope="module")
def page_html():
    page = FitPage("bike=bracken-125&front=14&rear=44")
    found = []

    def walk(widget):
        if type(widget).__name__ == "HTML":
            found.append(str(widget.value))
        for child in getattr(widget, "children", ()):
            walk(child)

    walk(page.widget)
    return found


def sheet(change):
    return render(FittingSheet("Demo", date(2026, 5, 1), change, rear_brake="drum"), "metric")


TALLER = SprocketChange(13, 50, 14, 44, "428", 126, 124, retainer="ring", axle_lock="split-pin")
SHORTER = SprocketChange(13, 48, 12, 52, "520", 112, 114, retainer="tab-washer")


def test_every_hazard_of_the_checklist_is_in_the_table():
    assert [hazard.id for hazard in hazards()] == list(CHECKLIST)


@pytest.mark.parametrize("hazard", hazards(), ids=lambda hazard: hazard.id)
def test_every_caution_says_what_matters_and_where_it_comes_from(hazard):
    assert CHECKLIST[hazard.id] in hazard.caution.lower() or CHECKLIST[hazard.id] in hazard.caution
    assert "no source" in hazard.source
    assert hazard.hazard.endswith(".") and hazard.caution.endswith(".")


@pytest.mark.parametrize("hazard", hazards(), ids=lambda hazard: hazard.id)
def test_every_hazard_is_shown_in_its_section_of_the_page(page_html, hazard):
    assert hazard.page_sections
    for section in hazard.page_sections:
        box = cautions(section)
        assert str(escape(hazard.hazard)) in box and str(escape(hazard.caution)) in box
        assert page_html.count(box) == 1


@pytest.mark.parametrize("hazard", hazards(), ids=lambda hazard: hazard.id)
def test_every_hazard_has_a_step_of_the_sheet(hazard):
    stages = {stage.place for stage in sheet_steps.stages(TALLER, "drum", "the slack is right")}
    assert hazard.sheet_steps
    assert set(hazard.sheet_steps) <= stages | {"riding", "shake-down"}


def test_no_caution_supplies_a_torque_a_slack_or_a_wear_limit():
    """Such numbers belong to the bike's own manual."""
    with (ROOT / "data" / "hazards.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            text = row["hazard"] + row["caution"]
            assert not any(character.isdigit() for character in text.replace("428", ""))


def test_every_caution_stands_on_the_sheet_of_a_change_that_needs_it():
    html = sheet(TALLER) + sheet(SHORTER)
    missing = [hazard.id for hazard in hazards() if str(escape(hazard.caution)) not in html]
    assert not missing

"""The fitting sheet: what it says, what it leaves to the manual, and that it needs nothing else."""

import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import numpy as np
import pytest

from explorer.app.fit_notes import length
from explorer.records.errors import RecordError
from explorer.records.fitting.hazards import hazards
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.tasks.fit import sheet_steps
from explorer.tasks.fit.fitting_sheet import download_link, file_name, render
from explorer.tasks.fit.sheet_facts import LONGEST, MOST_SPEEDS, FittingSheet, PredictedSpeed
from explorer.tasks.fit.sheet_words import setup_rows

CHANGE = SprocketChange(15, 45, 14, 47, "520", 110, 110, axle_lock="split-pin")
SHEET = FittingSheet(
    "Tarn 650",
    date(2026, 5, 1),
    CHANGE,
    axle_movement=0.0021,
    wheelbase_change=0.002,
    axle_before=0.014,
    slack="35 to 45 mm",
    slack_place="lower run, middle",
    slack_state="on the stand",
    query="?bike=tarn-650&front=14&rear=47",
    address="https://club.example/gearing",
)
OTHER_WAY = replace(
    SHEET,
    change=SprocketChange(14, 47, 15, 49, "520", 110, 112, retainer="ring", joining_link="rivet"),
    rear_brake="drum",
)


class Reader(HTMLParser):
    """Tags with their attributes, and all text outside the style sheet."""

    def __init__(self, document: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self._style = False
        self.feed(document)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        self._style = tag == "style"

    def handle_endtag(self, tag):
        self._style = False

    def handle_data(self, data):
        if not self._style:
            self.texts.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())

    @property
    def hazards(self) -> set[str]:
        return {each["data-hazard"] for _, each in self.tags if "data-hazard" in each}


@pytest.mark.parametrize("sheet", [SHEET, OTHER_WAY])
def test_sheet_needs_nothing_from_elsewhere(sheet):
    document = render(sheet, "metric")
    reader = Reader(document)
    assert not {"script", "link", "img", "iframe", "object", "form"} & {t for t, _ in reader.tags}
    for _, attributes in reader.tags:
        assert not {"src", "href", "xlink:href", "srcset"} & set(attributes)
        assert not [name for name in attributes if name.startswith("on")]
    assert "url(" not in document
    assert "@import" not in document


def test_typed_text_is_escaped():
    trick = '"><script>alert(1)</script>'
    document = render(replace(SHEET, bike=trick, slack=trick, slack_place=trick), "metric")
    assert "<script" not in document
    assert document.count("&lt;script&gt;") == 4  # the bike stands in the title too


def test_set_up_is_said_in_words_and_numbers():
    text = Reader(render(SHEET, "metric")).text
    assert "Front sprocket 14 teeth, rear sprocket 47 teeth; final drive ratio 3.36." in text
    # 47/14 over 45/15 is 1.1190; its inverse 0.8936: pull and speed are never the same number.
    assert "Shorter gearing: pull in every gear +11.9 %, speed at the same rpm −10.6 %" in text
    assert "14 mm 16 mm 2 mm to the rear computed from the measured" in text
    assert "2 mm longer computed" in text
    assert "35 to 45 mm" in text
    assert "lower run, middle" in text
    assert "on the stand" in text


def test_reader_s_units():
    text = Reader(render(SHEET, "imperial")).text
    assert "0.55 in 0.63 in 0.08 in to the rear" in text
    assert "lbf·ft" in text
    assert "N·m" not in text
    assert "35 to 45 mm" in text, "the manual's value stays as it was typed"


@pytest.mark.parametrize("sheet", [SHEET, OTHER_WAY])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_no_torque_and_no_slack_of_our_own(sheet, system):
    """Truth of the house: these values belong to the bike's own manual."""
    reader = Reader(render(replace(sheet, slack="", slack_place="", slack_state=""), system))
    assert not re.search(r"\d[\d.,]*\s*(N·m|N\.m|Nm|lbf|ft)", reader.text)
    blanks = {
        each["aria-label"]: each
        for tag, each in reader.tags
        if tag == "input" and each["type"] == "text"
    }
    assert not [label for label, each in blanks.items() if "value" in each]
    for fastening in sheet_steps.torque_rows(sheet.change, sheet.rear_brake):
        assert f"Torque from the manual: {fastening}" in blanks
    for part in ("Value", "Measured at", "Bike stands"):
        assert f"{part} of the slack, from the manual" in blanks
    before_verify = reader.text.split("Verify ride")[0]
    for shown in re.findall(r"[\d.]+ (?:mm|in)\b", before_verify.split("Slack")[1]):
        # The only length left is how far the axle moves, which is computed and says so.
        assert re.search(
            rf"about {shown} (behind|in front of) its old mark \(computed\)", reader.text
        )


def test_missing_numbers_are_asked_for():
    bare = FittingSheet("Own bike", date(2026, 5, 1), CHANGE)
    text = Reader(render(bare, "metric")).text
    assert "not computed: measure" in text
    assert "until the slack is right" in text
    assert "<svg" not in render(bare, "metric")


def test_sequence_is_that_of_the_trade():
    """Common practice, no source."""
    text = Reader(render(replace(SHEET, rear_brake="drum"), "metric")).text
    order = [
        "Make it safe",
        "Photograph and mark",
        "Front sprocket's fastening.",
        "draw the chain away",
        "Swap to 14 teeth",
        "New retainer",
        "Swap to 47 teeth",
        "Close it",
        "Equal turns",
        "And measure",
        "Find the tightest place",
        "Set the slack there",
        "Axle against the adjusters",
        "To the manual's torques",
        "New split pin",
        "free play at the pedal",
        "Spin by hand",
        "after 5 min",
        "Verify ride",
        "Fitter",
        "Checker",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_every_hazard_of_the_sheet_is_on_it():
    shown = set().union(
        *(
            Reader(render(sheet, "metric")).hazards
            for sheet in (SHEET, OTHER_WAY, replace(SHEET, change=_taller()))
        )
    )
    assert shown == {hazard.id for hazard in hazards() if hazard.sheet_steps}


def _taller() -> SprocketChange:
    return SprocketChange(13, 50, 14, 50, "520", 112, 112)


@pytest.mark.parametrize(
    "change", [CHANGE, OTHER_WAY.change, _taller(), SprocketChange(13, 50, 13, 52, "428", 120, 120)]
)
def test_a_caution_stands_in_its_own_stage(change):
    """Or, for a side that must be noted, where the only sprocket that comes off is swapped."""
    at_home = {hazard.id: set(hazard.sheet_steps) for hazard in hazards()}
    at_home["reversed-sprocket"].add("rear-sprocket")
    for stage in sheet_steps.stages(change, "unknown", "the slack is right"):
        for step in stage.steps:
            for hazard in step.hazards:
                assert stage.place in at_home[hazard], (stage.place, hazard)


def sheet_hazards(step):
    return {hazard.id for hazard in hazards() if step in hazard.sheet_steps}


@pytest.mark.parametrize("place", ["before", "loosen", "chain-on", "alignment", "slack", "tighten"])
def test_stages_of_every_change_show_all_their_hazards(place):
    stages = {stage.place: stage for stage in sheet_steps.stages(CHANGE, "unknown", "…")}
    shown = {hazard for step in stages[place].steps for hazard in step.hazards}
    assert shown == sheet_hazards(place)


def test_words_of_riding_and_shake_down_cover_their_hazards():
    assert set(sheet_steps.RIDING) == sheet_hazards("riding")
    assert set(sheet_steps.SHAKE_DOWN["cautions"]) == sheet_hazards("shake-down")


def test_cautions_follow_the_change():
    shorter, taller = (
        Reader(render(s, "metric")).hazards for s in (SHEET, replace(SHEET, change=_taller()))
    )
    assert {"small-front", "big-rear", "too-short"} <= shorter
    assert not {"big-front", "too-tall"} & shorter
    assert {"big-front", "too-tall"} <= taller
    assert not {"small-front", "big-rear", "too-short", "rear-bolts"} & taller


def test_what_is_done_to_the_chain_follows_the_change():
    def text(links, **fields):
        change = SprocketChange(13, 50, 13, 52, "520", 112, links, **fields)
        return Reader(render(replace(SHEET, change=change), "metric")).text

    assert "The chain keeps its 112 links" in text(112)
    assert "Take 2 links out: 110 links" in text(110)
    assert "Put 4 links in (a piece of 3 and a second joining link): 116 links" in text(116)
    assert "Lengthen the chain with an offset link: 113 links" in text(113)
    assert "New chain: count 114 links" in text(114, new_chain=True)
    assert "The chain stays closed" in text(112, joining_link="rivet")
    assert "riveting tool" in text(114, joining_link="rivet")


def test_axle_movement_in_words():
    def text(movement):
        return Reader(render(replace(SHEET, axle_movement=movement), "metric")).text

    assert "about 9 mm in front of its old mark (computed)" in text(-0.0088)
    assert "about 9 mm behind its old mark (computed)" in text(0.0088)
    assert "the axle is at its old mark (computed)" in text(-0.0003)
    assert "−0" not in text(-0.0003)


@pytest.mark.parametrize("movement", [-0.0149, 0.0206])
def test_the_end_of_an_adjuster_is_not_forced(movement):
    sheet = replace(SHEET, axle_movement=movement, axle_room=0.020, uncertainty=0.001)
    text = Reader(render(sheet, "metric")).text
    assert "past the end: stop there, never force it. The slack decides." in text
    assert ("14 mm past its end 15 mm forward" in text) == (movement < 0)
    assert "never force it" not in Reader(render(replace(sheet, axle_movement=0.01), "metric")).text


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("movement", [-0.0088, -0.0033, 0.0017, 0.00449])
def test_the_axles_place_is_the_sum_of_what_is_printed(system, movement):
    *_, (_, before, after, moved, _) = setup_rows(
        replace(SHEET, axle_before=0.0126, axle_movement=movement, wheelbase_change=None), system
    )
    ends = [float(each.split(" ")[0]) for each in (before, after, moved)]
    sign = 1 if "rear" in moved else -1
    assert ends[0] + sign * ends[2] == pytest.approx(ends[1], abs=1e-9)


def test_a_front_sprocket_that_stays_is_looked_at():
    change = SprocketChange(15, 45, 15, 47, "520", 110, 110)
    text = Reader(render(replace(SHEET, change=change), "metric")).text
    assert "Look at its teeth and its retainer: nothing worn, loose or out of its seat" in text
    assert "Fit a new retainer" not in text and "turn its retainer by hand" not in text


def test_a_doubt_stands_on_the_sheet_and_nothing_where_there_is_none():
    doubt = "14/47 is close: <1 mm left."
    document = render(replace(SHEET, doubt=doubt), "metric")
    assert f"Settle this before you buy. {doubt}" in Reader(document).text
    assert "<1 mm" not in document
    assert "Settle this" not in render(SHEET, "metric")


def test_an_end_of_the_adjuster_missed_within_the_uncertainty_is_no_complaint():
    before, room = SHEET.axle_before, 0.020
    for movement in (-before - 0.0009, room + 0.0009):
        replace(SHEET, axle_movement=movement, axle_room=room, uncertainty=0.001)


def test_verify_ride_sets_computed_beside_blanks():
    speeds = (PredictedSpeed(3, 4000 * np.pi / 30, 44 / 3.6),)
    document = render(replace(SHEET, predicted=speeds), "metric")
    assert "3 4000 rpm 44 km/h" in Reader(document).text
    assert 'aria-label="Verify ride, row 1: measured there"' in document
    assert 'aria-label="Verify ride, row 3: engine speed"' in render(SHEET, "metric")


def test_code_without_an_address_says_so():
    text = Reader(render(replace(SHEET, address=""), "metric")).text
    assert "put it behind the address of the page" in text
    text = Reader(render(replace(SHEET, query="?own.note=" + "a" * 4000), "metric")).text
    assert "too long for a code" in text


def test_demo_bike_says_that_it_is_invented():
    assert "demo bike, invented" in render(replace(SHEET, invented=True), "metric")
    assert "demo bike" not in render(SHEET, "metric")


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"bike": "x" * (LONGEST["bike"] + 1)}, "at most 60 characters"),
        ({"slack": "35\n45"}, "in one line"),
        ({"slack_place": "x" * 500}, "slack place"),
        ({"rear_brake": "none"}, "drum, disc, unknown"),
        ({"axle_movement": 8.8}, "lengths below 0.5 m"),
        ({"axle_before": float("nan")}, "axle position"),
        ({"wheelbase_change": float("inf")}, "wheelbase change"),
        ({"axle_movement": -0.020}, "6 mm in front of the foremost end"),
        ({"axle_movement": 0.043, "axle_room": 0.023}, "20 mm behind the rearmost end"),
        ({"axle_room": float("nan")}, "axle room to the rear"),
        ({"predicted": (PredictedSpeed(1, 400.0, 10.0),) * (MOST_SPEEDS + 1)}, "give fewer"),
        ({"address": "javascript:alert(1)"}, "address of a page"),
        ({"change": SprocketChange(13, 50, 13, 50, "520", 112, 112)}, "choose a pair"),
    ],
)
def test_bad_input_gives_one_sentence(fields, said):
    with pytest.raises(RecordError, match=said) as caught:
        replace(SHEET, **fields)
    assert len(caught.value.sentences) == 1


def test_download_is_one_link_with_the_whole_sheet():
    html = download_link(SHEET, "metric")
    assert html.count("<a ") == 1
    assert f'download="{file_name(SHEET)}"' in html
    assert file_name(SHEET) == "fitting-sheet-14-47-2026-05-01.html"
    assert "%3C%21DOCTYPE%20html%3E" in html


def test_small_lengths_as_a_rule_shows_them():
    assert length(0.0254, "imperial") == "1.00 in"
    assert length(-0.0004, "metric") == "0 mm"

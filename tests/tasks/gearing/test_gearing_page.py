"""The page without a browser: controls, state and charts hang together, faults are said."""

import re

import numpy as np
import pytest

from explorer.app.bike_editor import BikeEditor
from explorer.app.faults import Faults
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.setups.setup import Setup
from explorer.study.study import Study
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.gearing.table import as_csv, as_html, gear_table
from explorer.tasks.ground.hill_words import hill_rows


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def named(page, name):
    found = [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


@pytest.fixture
def page():
    return GearingPage("")


def shown(page):
    return " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )


def test_a_typed_pair_that_no_link_would_bring_back_is_refused(page):
    field = named(page, "Both sprockets")
    before = page.state.setup
    field.value = "13/30"
    assert "A rear sprocket of 30 teeth is not among those given for this bike" in shown(page)
    assert page.state.setup == before and field.value == "13/30"
    field.value = "13/52"
    assert page.state.setup.rear == 52 and "is not among those" not in shown(page)


def test_the_table_as_a_file_has_no_powers_of_ten():
    for bike_id, bike in demo_bikes().items():
        setup = Setup.for_bike(bike_id, bike).changed(cruise_speed=120 / 3.6)
        text = as_csv(Study.of(bike, setup))
        assert not re.search(r"\de[+-]?\d", text), bike.name


def test_the_sliders_have_the_names_that_were_asked_for(page):
    for name in ("Front sprocket", "Rear sprocket", "Tyre"):
        assert named(page, name)


def test_every_control_has_a_line_of_help(page):
    for each in widgets_of(page.widget):
        if getattr(each, "description", "") and hasattr(each, "value"):
            helped = getattr(each, "tooltip", None) or each.description in ("Units",)
            assert helped, each.description


def test_a_slider_writes_the_state_and_everything_follows(page):
    named(page, "Front sprocket").value = 12
    assert page.state.setup.front == 12
    assert "12/50" in shown(page) and "+8.3 %" in shown(page)
    assert "front=12" in named(page, "Link to this bench").value


def test_one_computation_for_one_move(page, monkeypatch):

    calls = []
    monkeypatch.setattr(Study, "of", lambda *a, of=Study.of: calls.append(1) or of(*a))
    named(page, "Rear sprocket").value = 52
    assert len(calls) == 1


def test_another_bike_brings_its_own_gearing_and_keeps_the_ground(page):
    named(page, "Surface").value = "loose-sand"
    named(page, "Bike").value = "fogbank-650"
    bike = demo_bikes()["fogbank-650"]
    assert page.state.setup.front == bike.sprockets.front - 1
    assert page.state.setup.surface == "loose-sand"
    assert named(page, "Front sprocket").max == bike.sprockets.front_sold[1]


def test_every_bike_and_both_systems_can_be_shown(page):
    for bike_id in demo_bikes():
        for system in ("metric", "imperial"):
            page.state.pick_bike(bike_id)
            page.state.change(units=system)
            assert bike_id in named(page, "Link to this bench").value


def test_units_switch_leaves_the_si_state_alone(page):
    before = page.state.setup
    named(page, "Units").value = "imperial"
    named(page, "Units").value = "metric"
    assert page.state.setup == before


def test_reset_goes_back_to_the_fitted_gearing(page):
    page.state.change(front=11, surface="loose-sand", units="imperial", rollout=2.04)
    named(page, "Back to the fitted gearing").click()
    assert (page.state.setup.front, page.state.setup.units) == (13, "imperial")
    assert page.state.setup.surface != "loose-sand"
    # What the rider measured on the fitted tyre is still so; on another tyre it says nothing of it.
    assert page.state.setup.rollout == 2.04
    page.state.change(tyre="110/100-18", rollout=2.1)
    named(page, "Back to the fitted gearing").click()
    assert page.state.setup.rollout != 2.1


def test_a_fault_of_ours_is_said_with_a_number_and_the_last_state_stays(page, monkeypatch, caplog):

    def broken(*_):
        raise ZeroDivisionError("inside")

    monkeypatch.setattr(Study, "of", broken)
    named(page, "Front sprocket").value = 11
    text = shown(page)
    number = re.search(r"error ([0-9a-f]{6})", text)
    assert number and number[1] in caplog.text and "ZeroDivisionError" in caplog.text
    assert "ZeroDivision" not in text and "Traceback" not in text
    assert page.state.setup.front == 12 and named(page, "Front sprocket").value == 12
    monkeypatch.undo()
    named(page, "Front sprocket").value = 13
    assert "number" not in shown(page) or number[1] not in shown(page)


def test_what_a_person_typed_is_escaped(page):
    named(page, "Both sprockets").value = "<img src=x onerror=alert(1)>"
    assert "<img" not in shown(page) and "&lt;img" in shown(page)


def test_the_form_changes_the_bike_and_refuses_in_sentences(page):
    editor = BikeEditor(page.state, Faults())
    editor._apply_changes({**page.state.bike.flat(), "mass.bike": "125 kg"})
    assert page.state.bike.mass.bike.si == 125
    with pytest.raises(RecordError, match="unit"):
        page.state.bike.with_changes({"mass.bike": "125"})


def test_gear_table_holds_the_definition():
    """v = n U / i: speeds of the table against the definition, written out again."""
    bike = demo_bikes()["bracken-125"]
    result = Study.of(bike, Setup.for_bike("bracken-125", bike))
    table = gear_table(result)
    ratios = np.array([ratio.si for ratio in bike.gearbox.ratios])
    overall = bike.gearbox.primary.si * ratios * 50 / 13
    expected = 9500 * result.rollouts[1].value * 0.06 / overall
    np.testing.assert_allclose(table["at the rev limit [km/h]"], expected, rtol=1e-9)
    assert as_csv(result).count("\n") == 11
    assert set(table["limited by"]) <= {"rev limit", "power"} and "power" in set(
        table["limited by"]
    )


@pytest.mark.parametrize("bike_id", demo_bikes())
@pytest.mark.parametrize("surface", ["dry-asphalt", "forest-soil"])
def test_slope_and_speed_of_each_gear_are_those_of_the_ground_page(bike_id, surface):
    """To the last digit that is shown."""
    bike = demo_bikes()[bike_id]
    setup = Setup.for_bike(bike_id, bike).changed(rear=bike.sprockets.rear + 3, surface=surface)
    result = Study.of(bike, setup)
    rows = re.findall(r"<tr>(.*?)</tr>", as_html(result), re.S)
    cells = [re.findall(r"<t[hd]>(.*?)</t[hd]>", row) for row in rows]
    heads = [*gear_table(result).columns]
    for row, (*_, slope, _, speed, _) in zip(cells, hill_rows(result), strict=True):
        here = dict(zip(heads, row, strict=True))
        assert here["steepest slope [%]"] == slope.removesuffix(" %")
        assert speed == "–" or here["top speed [km/h]"] == speed.removesuffix(" km/h")


def test_a_bad_link_opens_the_page_with_sentences():
    page = GearingPage("?front=<script>&rear=500&nonsense=1")
    text = shown(page)
    assert "<script>" not in text and "nonsense" in text and page.state.setup.front == 13

"""A number's slider and box: what the rider set is kept, though it lies between two steps."""

import html

import pytest
from comm.base_comm import BaseComm

from explorer.panels.controls import NumberControl, Scale
from explorer.records.errors import RecordError


def control(value: float, scale: Scale) -> tuple[NumberControl, list[float]]:
    moves: list[float] = []
    return NumberControl("Speed", "How fast.", scale, value, moves.append), moves


def test_a_number_between_two_steps_stays_in_the_box_and_the_slider_stands_on_a_step():
    shown, moves = control(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (35, "37")
    assert moves == []


def test_another_scale_and_number_are_shown_without_being_reported():
    shown, moves = control(60, Scale(10, 200, 5, "km/h"))
    shown.show(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (35, "37")
    assert moves == []


class Line(BaseComm):
    """Writes down what a browser is told of a widget."""

    def __init__(self, said: list[dict]) -> None:
        self.said = said
        super().__init__(target_name="jupyter.widget")

    def publish_msg(self, msg_type, data=None, metadata=None, buffers=None, **keys) -> None:
        if msg_type == "comm_msg":
            self.said.append(data["state"])


def test_a_number_and_its_range_go_to_the_browser_in_one_message():
    # The widget library's browser side moves a number into the range that it knows, and reports it.
    shown, moves = control(13, Scale(11, 15, 1))
    said: list[dict] = []
    for part in shown.widget.children[:2]:
        part.comm = Line(said)
    shown.show(22, Scale(20, 25, 1))
    assert said == [{"min": 20, "max": 25, "value": 22}, {"value": "22"}]
    assert moves == []


def test_there_and_back_in_another_unit_the_number_is_the_same():
    shown, moves = control(2025, Scale(800, 2800, 5, "mm"))
    first = shown.widget.children[:2]
    for _ in range(3):
        shown.show(79.7, Scale(31.6, 110.2, 0.2, "in"))
        assert shown.widget.children[1].value == "79.7"
        shown.show(2025, Scale(800, 2800, 5, "mm"))
        assert shown.widget.children[:2] == first
        assert [part.value for part in first] == [2025, "2025"]
    assert moves == []


def test_what_a_browser_says_in_the_last_unit_is_not_taken():
    shown, moves = control(2025, Scale(800, 2800, 5, "mm"))
    before = shown.widget.children[:2]
    shown.show(79.7, Scale(31.6, 110.2, 0.2, "in"))
    for part, value in zip(before, (2200, "2200"), strict=True):
        part.set_state({"value": value})
    assert moves == []
    assert shown.widget.children[1].value == "79.7"
    shown.show(2025, Scale(800, 2800, 5, "mm"))
    assert [part.value for part in before] == [2025, "2025"]


def test_what_a_browser_says_on_the_last_range_is_not_moved_into_this_one():
    shown, moves = control(13, Scale(11, 15, 1))
    slider, box = shown.widget.children[:2]
    shown.show(22, Scale(20, 25, 1))
    said: list[dict] = []
    slider.comm = Line(said)
    slider.set_state({"value": 14})
    assert said == [{"value": 22}]  # for the browser to show again
    box.set_state({"value": "14"})
    assert moves == []
    slider.set_state({"value": 23})
    assert moves == [23]


@pytest.mark.parametrize("text", ["99999999", "31", "", "fast", "nan", "1e999", "-31.6", "31.6 mm"])
def test_what_is_not_taken_is_kept_with_the_limits_in_its_own_unit_until_it_is_mended(text):
    shown, moves = control(79.7, Scale(31.6, 110.2, 0.2, "in"))
    slider, box, below = shown.widget.children
    place = slider.value
    box.value = text
    what = f'"{text}" is not taken,' if text else "without one"
    said = f"Type a number from 31.6 to 110.2 in: {what} 79.7 in stays."
    assert said in html.unescape(below.value)
    shown.show(79.7)  # something else on the page has changed
    assert (box.value, slider.value, moves) == (text, place, [])
    box.value = "80"
    assert (box.value, below.value, moves) == ("80", "How fast.", [80])


def test_teeth_are_whole_and_another_number_puts_a_refused_one_away():
    shown, moves = control(13, Scale(11, 15, 1))
    slider, box, below = shown.widget.children
    box.value = "12.5"
    assert "Type a whole number from 11 to 15: " in below.value
    slider.value = 14
    assert (box.value, below.value, moves) == ("14", "How fast.", [14])
    box.value = "<b>"
    assert "<b>" not in below.value
    box.value = "14"  # as it is: nothing to report
    assert (below.value, moves) == ("How fast.", [14])


def test_a_number_that_another_one_forbids_is_kept_with_the_reason():
    def refuse(_):
        raise RecordError("Roll-on must start slower than it ends.")

    shown = NumberControl("Speed", "How fast.", Scale(10, 200, 5, "km/h"), 30, refuse)
    slider, box, below = shown.widget.children
    box.value = "90"
    assert (slider.value, box.value) == (30, "90")
    assert "Roll-on must start slower" in below.value


def test_what_the_rider_does_is_reported_once():
    shown, moves = control(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    slider.value = 40
    box.value = "42,5"
    assert (moves, box.value) == ([40, 42.5], "42.5")


def test_a_slider_of_fractions_stands_on_its_steps():
    shown, _ = control(71.3, Scale(31.6, 110.2, 0.2, "in"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) in ((71.4, "71.3"), (71.2, "71.3"))


def test_a_whole_number_may_have_fractions_in_the_readers_other_unit():
    shown, _ = control(2120, Scale(800, 2800, 5, "mm"))
    shown.show(83.4, Scale(31.6, 110.2, 0.2, "in"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (83.4, "83.4")


def test_the_browsers_arithmetic_is_no_move_of_the_riders():
    shown, moves = control(70, Scale(40, 160, 1, "kg"))
    slider = shown.widget.children[0]
    slider.value = 70.00000000000001
    assert moves == []
    slider.value = 71
    assert moves == [71]

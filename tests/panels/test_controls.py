"""A number's slider and box: what the rider set is kept, though it lies between two steps."""

from comm.base_comm import BaseComm

from explorer.panels.controls import NumberControl, Scale


def control(value: float, scale: Scale) -> tuple[NumberControl, list[float]]:
    moves: list[float] = []
    return NumberControl("Speed", "How fast.", scale, value, moves.append), moves


def test_a_number_between_two_steps_stays_in_the_box_and_the_slider_stands_on_a_step():
    shown, moves = control(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (35, 37)
    assert moves == []


def test_another_scale_and_number_are_shown_without_being_reported():
    shown, moves = control(60, Scale(10, 200, 5, "km/h"))
    shown.show(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (35, 37)
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
    assert said == [{"min": 20, "max": 25, "value": 22}] * 2
    assert moves == []


def test_there_and_back_in_another_unit_the_number_is_the_same():
    shown, moves = control(2025, Scale(800, 2800, 5, "mm"))
    first = shown.widget.children[:2]
    for _ in range(3):
        shown.show(79.7, Scale(31.6, 110.2, 0.2, "in"))
        assert shown.widget.children[1].value == 79.7
        shown.show(2025, Scale(800, 2800, 5, "mm"))
        assert shown.widget.children[:2] == first
        assert [part.value for part in first] == [2025, 2025]
    assert moves == []


def test_what_a_browser_says_in_the_last_unit_is_not_taken():
    shown, moves = control(2025, Scale(800, 2800, 5, "mm"))
    before = shown.widget.children[:2]
    shown.show(79.7, Scale(31.6, 110.2, 0.2, "in"))
    for part in before:
        part.set_state({"value": 2200})
    assert moves == []
    assert shown.widget.children[1].value == 79.7
    shown.show(2025, Scale(800, 2800, 5, "mm"))
    assert [part.value for part in before] == [2025, 2025]


def test_what_a_browser_says_on_the_last_range_is_not_moved_into_this_one():
    shown, moves = control(13, Scale(11, 15, 1))
    slider, box = shown.widget.children[:2]
    shown.show(22, Scale(20, 25, 1))
    for part in (slider, box):
        said: list[dict] = []
        part.comm = Line(said)
        part.set_state({"value": 14})
        assert said == [{"value": 22}]  # for the browser to show again
    assert moves == []
    slider.set_state({"value": 23})
    assert moves == [23]


def test_what_the_rider_does_is_reported_once():
    shown, moves = control(37, Scale(5, 125, 5, "mph"))
    slider, box = shown.widget.children[:2]
    slider.value = 40
    box.value = 42
    assert moves == [40, 42]


def test_a_slider_of_fractions_stands_on_its_steps():
    shown, _ = control(71.3, Scale(31.6, 110.2, 0.2, "in"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (71.4, 71.3) or (slider.value, box.value) == (71.2, 71.3)


def test_a_whole_number_may_have_fractions_in_the_readers_other_unit():
    shown, _ = control(2120, Scale(800, 2800, 5, "mm"))
    shown.show(83.4, Scale(31.6, 110.2, 0.2, "in"))
    slider, box = shown.widget.children[:2]
    assert (slider.value, box.value) == (83.4, 83.4)


def test_the_browsers_arithmetic_is_no_move_of_the_riders():
    shown, moves = control(70, Scale(40, 160, 1, "kg"))
    slider = shown.widget.children[0]
    slider.value = 70.00000000000001
    assert moves == []
    slider.value = 71
    assert moves == [71]

"""A number's slider and box: what the rider set is kept, though it lies between two steps."""

from explorer.panels.number_control import NumberControl, Scale


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
    slider, box = shown.widget.children[:2]
    shown.show(37, Scale(5, 125, 5, "mph"))
    assert (slider.value, box.value) == (35, 37)
    assert moves == []


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
    slider, box = shown.widget.children[:2]
    shown.show(83.4, Scale(31.6, 110.2, 0.2, "in"))
    assert (slider.value, box.value) == (83.4, 83.4)


def test_the_browsers_arithmetic_is_no_move_of_the_riders():
    shown, moves = control(70, Scale(40, 160, 1, "kg"))
    slider = shown.widget.children[0]
    slider.value = 70.00000000000001
    assert moves == []
    slider.value = 71
    assert moves == [71]

"""Axes that hold still under a slider. Our own rule, no source."""

import pytest
from bokeh.models import Range1d
from hypothesis import given
from hypothesis import strategies as st

from explorer.charts.drawing import HeldRange


# A span below a millionth of the numbers is no span: the axis then shows the one number.
@given(low=st.floats(-1e4, 1e4), span=st.floats(0.03, 1e4))
def test_a_new_axis_holds_the_data_and_is_filled_well(low, span):
    axis = Range1d()
    HeldRange(axis).show(low, low + span, "km/h")
    assert axis.start <= low
    assert axis.end >= low + span
    assert span >= 0.6 * (axis.end - axis.start)


@given(span=st.floats(1.0, 1e4), share=st.floats(0.72, 1.0))
def test_a_little_less_leaves_the_axis_alone(span, share):
    axis = Range1d()
    held = HeldRange(axis)
    held.show(0.0, span, "N")
    before = (axis.start, axis.end)
    held.show(0.0, span * max(share, 0.601 * axis.end / span), "N")
    assert (axis.start, axis.end) == before


def test_one_tooth_to_and_fro_never_moves_the_axis():
    """One tooth of a 13-tooth front sprocket changes speed by a thirteenth."""
    axis = Range1d()
    held = HeldRange(axis)
    held.show(0.0, 120.0, "km/h")
    seen = set()
    for speed in (120 * 14 / 13, 120.0, 120 * 12 / 13) * 3:
        held.show(0.0, speed, "km/h")
        seen.add((axis.start, axis.end))
    assert len(seen) == 1


@pytest.mark.parametrize(("low", "high"), [(0.0, 200.0), (0.0, 50.0), (-10.0, 90.0)])
def test_the_axis_moves_when_data_leave_it_or_shrink_in_it(low, high):
    axis = Range1d()
    held = HeldRange(axis)
    held.show(0.0, 100.0, "km/h")
    before = (axis.start, axis.end)
    held.show(low, high, "km/h")
    assert (axis.start, axis.end) != before
    assert (axis.reset_start, axis.reset_end) == (axis.start, axis.end)


def test_another_unit_gets_a_new_axis():
    axis = Range1d()
    held = HeldRange(axis)
    held.show(0.0, 100.0, "km/h")
    held.show(0.0, 70.0, "mph")
    assert axis.end < 80.0


def test_a_single_value_gets_an_axis_too():
    axis = Range1d()
    HeldRange(axis).show(5.0, 5.0, "s")
    assert axis.start < 5.0 < axis.end

"""A calibrated bike: what changed, what stayed, and that the file says from which ride."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.calibrated_bike import Fitted, calibrated
from explorer.records.errors import RecordError

TRAIL = demo_bikes()["bracken-125"]
ALL = {
    "drag_area": Fitted(0.5236, 0.0171),
    "power": Fitted(0.953, 0.011),
    "rolling_coefficient": Fitted(0.0312, 0.0021),
}


def made(fitted=ALL, ride="two coast-downs each way, typed", date="2026-05-01"):
    return calibrated(TRAIL, fitted, "hard-packed gravel", ride, date)


def test_drag_and_torque_are_changed_and_nothing_else():
    bike = made()
    assert bike.vehicle().drag_area == pytest.approx(0.524)
    # Three digits of torque.
    np.testing.assert_allclose(bike.vehicle().torques, TRAIL.vehicle().torques * 0.953, rtol=0.005)
    np.testing.assert_array_equal(bike.vehicle().torque_speeds, TRAIL.vehicle().torque_speeds)
    changed = {path for path, text in bike.flat().items() if TRAIL.flat().get(path) != text}
    assert changed == {
        "air.drag_area",
        "engine.torque_curve",
        "calibration.date",
        "calibration.ride",
        "calibration.values",
    }
    assert bike.provenance == TRAIL.provenance


@given(
    drag=st.floats(0.2, 1.5),
    power=st.floats(0.6, 1.4),
    sure=st.floats(1e-4, 0.2),
    ride=st.text(max_size=90).filter(lambda text: text.strip() and text.isprintable()),
)
def test_the_file_round_trips_with_its_provenance(drag, power, sure, ride):
    bike = made({"drag_area": Fitted(drag, sure), "power": Fitted(power, sure)}, ride)
    again = Bike.from_toml(bike.to_toml().encode())
    assert again == bike
    assert again.calibration.date == "2026-05-01"
    assert "drag area" in again.calibration.values
    assert again.calibration.ride.split() == (ride if len(ride) <= 60 else f"{ride[:59]}…").split()


def test_values_carry_no_more_digits_than_they_are_sure():
    assert Fitted(0.5236, 0.0171).text("m²") == "0.52 ± 0.03 m²"
    assert Fitted(0.5236, 0.0071).text("m²") == "0.524 ± 0.014 m²"
    assert Fitted(1.0, 0.6).text() == "1.0 ± 1.2"


@pytest.mark.parametrize(
    ("fitted", "words"),
    [
        ({}, "too little"),
        ({"rolling_coefficient": Fitted(0.03, 0.001)}, "too little"),
        ({"drag_area": Fitted(-0.2, 0.1)}, "drag area"),
        ({"power": Fitted(float("nan"), 0.1)}, "power"),
        ({"power": Fitted(3.0, 0.1)}, "outside 0.5 to 1.5"),
    ],
)
def test_an_absurd_fit_changes_no_file(fitted, words):
    with pytest.raises(RecordError, match=words):
        made(fitted)


def test_a_date_that_is_none_is_refused():
    with pytest.raises(RecordError, match="not a date"):
        made(date="last Sunday")

"""The speedometer after a change: which pickup sees what."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.drivetrain import speedometer
from explorer.calc.drivetrain.speedometer import Pickup
from explorer.calc.gearing import final_ratio, road_speed

RATIOS = st.floats(min_value=2.0, max_value=6.0)
ROLLOUTS = st.floats(min_value=1.2, max_value=2.4)


@given(RATIOS, RATIOS, ROLLOUTS, ROLLOUTS)
def test_gearbox_pickup_shows_the_speed_of_the_old_set_up(old, new, tyre, new_tyre):
    """An instrument on the output shaft turns its speed into the road speed it would be with the
    sprockets and tyre it was made for."""
    shaft = 200.0
    shown, true = road_speed(shaft, old, tyre), road_speed(shaft, new, new_tyre)
    factor = speedometer.indicated_over_true(Pickup.GEARBOX, old, new, tyre, new_tyre)
    assert speedometer.indicated_speed(true, factor) == pytest.approx(shown, rel=1e-12)
    assert speedometer.true_speed(shown, factor) == pytest.approx(true, rel=1e-12)
    assert shown * speedometer.correction_factor(factor) == pytest.approx(true, rel=1e-12)


@given(RATIOS, RATIOS, ROLLOUTS, ROLLOUTS)
def test_wheel_pickup_sees_the_tyre_only(old, new, tyre, new_tyre):
    for pickup in (Pickup.REAR_WHEEL, Pickup.FRONT_WHEEL):
        factor = speedometer.indicated_over_true(pickup, old, new, tyre, new_tyre)
        assert factor == pytest.approx(tyre / new_tyre, rel=1e-12)


@given(RATIOS, RATIOS, ROLLOUTS, ROLLOUTS)
def test_satellite_sees_neither(old, new, tyre, new_tyre):
    assert speedometer.indicated_over_true(Pickup.SATELLITE, old, new, tyre, new_tyre) == 1


def test_taller_gearing_under_reads_from_the_gearbox_only():
    taller = (final_ratio(13, 50), final_ratio(14, 50), 2.0, 2.0)
    gearbox = speedometer.indicated_over_true(Pickup.GEARBOX, *taller)
    assert gearbox == pytest.approx(13 / 14)
    assert speedometer.may_under_read(gearbox)
    assert not speedometer.may_under_read(
        speedometer.indicated_over_true(Pickup.FRONT_WHEEL, *taller)
    )


def test_no_change_is_no_under_reading_in_spite_of_rounding():
    teeth = np.arange(28, 60)
    ratio = final_ratio(13, teeth)
    factor = speedometer.indicated_over_true(Pickup.GEARBOX, ratio, ratio, 2.03, 2.03)
    assert not np.any(speedometer.may_under_read(factor))


def test_error_before_the_change_carries_over():
    factor = speedometer.indicated_over_true(
        Pickup.GEARBOX, 50 / 13, 50 / 14, 2.0, 2.0, before=1.08
    )
    assert factor == pytest.approx(1.08 * 13 / 14)
    assert not speedometer.may_under_read(factor)


def test_all_pairs_at_once_for_every_pickup():
    ratios = final_ratio(np.arange(12, 15)[:, np.newaxis], np.arange(44, 54))
    for pickup in Pickup:
        assert speedometer.indicated_over_true(pickup, 3.8, ratios, 2.0, 2.0).shape == (3, 10)


def test_unknown_pickup_is_asked_for():
    with pytest.raises(ValueError, match="Choose gearbox, rear wheel, front wheel or satellite"):
        speedometer.indicated_over_true("hub", 3.8, 3.6, 2.0, 2.0)

"""Propagation against closed forms and against a large sample, and the correlated difference."""

import dataclasses
from functools import partial

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import roll_on, time_over_distance, time_to_speed, walking_pull
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.statistics.spreads import (
    ROLLOUT,
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    surface_spreads,
)
from explorer.calc.statistics.uncertainty import difference, propagate
from tests.calc.simple_vehicles import constant_power

RATIOS = np.array([48 / 14, 50 / 14])
SPREADS = (
    *USUAL_SPREADS,
    *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)),
    *rollout_spreads(np.array([True, True]), np.array([0, 0])),
)
OVER_100 = partial(time_over_distance, distance=100.0)


def example(spreads=SPREADS, measure=OVER_100, ratios=RATIOS, **more):
    return propagate(example_vehicle(), example_conditions(), ratios, 2.0, spreads, measure, **more)


class TestPowerAgainstDrag:
    """0.5 rho CdA v³ = P: the derivative of v is v/3 for a share of P and -v/3 for one of CdA."""

    drive = constant_power(15e3, 200.0, drag=0.5 * 1.225 * 0.6)
    power = Spread("power_factor", 0.03, True, "")
    drag = Spread("drag_area", 0.03, True, "")

    def top(self, *spreads):
        conditions = self.drive.conditions
        return propagate(
            self.drive.vehicle,
            conditions,
            np.array([1.0]),
            2 * np.pi,
            spreads,
            lambda drive, shifts: shifts.exit_speed[:, 0],
        ).top_speed

    def test_power(self):
        # Over ±√3 × 3 % the mean slope is 0.05 % off; the bisection leaves 1e-5 of the speed.
        top = self.top(self.power)
        np.testing.assert_allclose(top.contributions / top.value, 0.03 / 3, rtol=2e-3)

    def test_curvature(self):
        """The second-order term |f''| u²/√2 of P^(1/3): 2/9 × 0.03²/√2 of the value."""
        top = self.top(self.power)
        expected = -2 / 9 * 0.03**2 / np.sqrt(2)
        np.testing.assert_allclose(top.curvatures / top.value, expected, rtol=0.03)

    def test_drag(self):
        top = self.top(self.drag)
        np.testing.assert_allclose(top.contributions / top.value, -0.03 / 3, rtol=2e-3)

    def test_both(self):
        top = self.top(self.power, self.drag)
        both = np.sqrt(2) * 0.01 * top.value
        np.testing.assert_allclose(top.standard_uncertainty, both, rtol=2e-3)


def test_rev_limited_top_speed_knows_only_the_rollout():
    """v = ω U/(2π i): its share is that of the roll-out."""
    sure = example(ratios=np.array([5.5, 5.4])).top_speed
    np.testing.assert_allclose(
        sure.standard_uncertainty / sure.value, 0.003 / np.sqrt(3), rtol=1e-6
    )


MEASURES = {
    "100 m": OVER_100,
    "60 km/h": partial(time_to_speed, speed=60 / 3.6),
    "roll-on": partial(roll_on, from_speed=8.0, to_speed=13.0, gear=2),
    "walking pull": lambda drive, shifts: walking_pull(drive, 1.4),
}


def sampled(measure, conditions, spreads, count=4000):
    """Monte Carlo: normal inputs, the same ones for every set-up (GUM Supplement 1's method)."""
    rng = np.random.default_rng(20)
    off = {spread.input: (spread, rng.standard_normal(count)) for spread in spreads}

    def drawn(name, value):
        spread, normal = off[name]
        amount = float(np.max(spread.amount)) * (value if spread.relative else 1.0)
        return value + amount * normal

    def draw(record):
        names = [field.name for field in dataclasses.fields(record) if field.name in off]
        return dataclasses.replace(
            record, **{name: drawn(name, getattr(record, name)) for name in names}
        )

    vehicle, conditions = draw(example_vehicle()), draw(conditions)
    tops, values = [], []
    for ratio in RATIOS:
        drive = Drive(vehicle, conditions, np.full(count, ratio), drawn(ROLLOUT, 2.0))
        top = top_speed(drive)
        tops.append(top.speed)
        values.append(measure(drive, shift_points(drive, top)))
    return np.array(tops), np.array(values)


@pytest.mark.parametrize("measure", MEASURES.values(), ids=MEASURES)
@pytest.mark.parametrize(
    ("grip", "within"),
    [
        # 4000 draws know a standard deviation to 1/√8000 = 1.1 %: three of these.
        (2.0, 0.035),
        # Grip binds in a part of the draws only, a kink that three points know less well.
        (0.6, 0.15),
    ],
)
def test_against_a_sample(measure, grip, within):
    conditions = dataclasses.replace(example_conditions(), grip=grip)
    tops, values = sampled(measure, conditions, SPREADS)
    sure = propagate(example_vehicle(), conditions, RATIOS, 2.0, SPREADS, measure)
    # A difference is small next to what both levels share, and shifts near the goal show in it.
    difference_within = max(within, 0.10)
    for sample, estimate in ((tops, sure.top_speed), (values, sure.value)):
        spread = sample.std(axis=1)
        np.testing.assert_allclose(estimate.standard_uncertainty, spread, rtol=within)
        change = difference(estimate, 0, 1)
        np.testing.assert_allclose(
            change.standard_uncertainty, (sample[1] - sample[0]).std(), rtol=difference_within
        )


def test_the_difference_is_surer_than_the_levels():
    sure = example().value
    change = difference(sure, 0, 1)
    independent = np.hypot(*sure.standard_uncertainty)
    assert change.standard_uncertainty < independent / 10
    np.testing.assert_allclose(change.value, sure.value[1] - sure.value[0])


def test_a_set_up_does_not_differ_from_itself():
    change = difference(example(ratios=np.array([3.4, 3.4])).value, 0, 1)
    assert change.value == 0.0
    assert change.standard_uncertainty == 0.0


def test_another_tyre_shares_no_error():
    """Rev-limited on two measured tyres: two independent errors of 0.3 %."""
    spreads = rollout_spreads(np.array([True, True]), np.array([0, 1]))
    sure = example(spreads, ratios=np.array([5.5, 5.5])).top_speed
    level = sure.standard_uncertainty[0]
    np.testing.assert_allclose(difference(sure, 0, 1).standard_uncertainty, np.sqrt(2) * level)


def test_a_speed_that_is_just_reached_may_not_be():
    top = top_speed(Drive(example_vehicle(), example_conditions(), RATIOS, 2.0)).speed.min()
    sure = example(measure=partial(time_to_speed, speed=0.995 * top)).value
    assert np.isfinite(sure.value).all()
    assert sure.may_fail.any()
    assert np.isfinite(sure.standard_uncertainty).all()


def test_a_speed_out_of_reach_has_no_value_and_no_band():
    sure = example(measure=partial(time_to_speed, speed=90.0)).value
    assert np.isnan(sure.value).all()
    assert np.isnan(sure.standard_uncertainty).all()
    assert not sure.may_fail.any()
    assert np.isnan(difference(sure, 0, 1).value)


def test_several_set_ups_as_one_by_one():
    together = example().value
    for index, ratio in enumerate(RATIOS):
        alone = example(
            [spread._replace(amount=np.max(spread.amount)) for spread in SPREADS],
            ratios=np.array([ratio]),
        ).value
        np.testing.assert_allclose(together.contributions[:, index], alone.contributions[:, 0])

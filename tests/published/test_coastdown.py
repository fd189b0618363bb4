"""Coast-down in closed form: against figures worked out from the formula, and scipy's integrator.

The tangent law is printed in G. D. Thompson, EPA, *The Vehicle Road Load Problem*; the figures of
the first test were evaluated from it once in double precision (g = 9.80665 m/s²).
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.calc.ride.coastdown import (
    coast_speed,
    coast_time,
    constant_deceleration,
    drag_deceleration,
)

A = float(constant_deceleration(0.03, 0.0, 200.0, 0.0))
B = float(drag_deceleration(0.5, 1.225, 200.0, 0.0))


def test_figures_of_the_formula():
    np.testing.assert_allclose(coast_time(20.0, 0.0, A, B), 45.453692, atol=5e-7)
    np.testing.assert_allclose(coast_time(20.0, 10.0, A, B), 16.008315, atol=5e-7)


@pytest.mark.parametrize("wind", [-3.0, 0.0, 4.0])
def test_against_the_equation_of_motion(wind):
    times = np.linspace(0.0, 20.0, 41)
    solution = solve_ivp(
        lambda _, v: -(A + B * (v + wind) * abs(v + wind)),
        (0.0, 20.0),
        [22.0],
        t_eval=times,
        rtol=1e-10,
        atol=1e-12,
    )
    np.testing.assert_allclose(coast_speed(times, 22.0, A, B, wind), solution.y[0], rtol=1e-7)
    np.testing.assert_allclose(
        coast_time(22.0, solution.y[0][1:], A, B, wind), times[1:], rtol=1e-7
    )


def test_it_stops_and_stays():
    assert coast_speed(np.array([46.0, 500.0]), 20.0, A, B).tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [((20.0, 10.0, -0.1, B), "slows down"), ((20.0, 2.0, A, B, -5.0), "tail wind")],
)
def test_what_cannot_coast(arguments, words):
    with pytest.raises(ValueError, match=words):
        coast_time(*arguments)

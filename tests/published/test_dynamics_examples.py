"""Worked textbook examples of vehicle dynamics.

The numbers were read in volunteer companions to the printed books (inputs and printed answers);
each tolerance is half of the last digit the book prints, unless said otherwise.
"""

import numpy as np
from scipy.optimize import minimize_scalar

from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.run import full_throttle
from explorer.calc.motion.shift_points import shift_points
from tests.calc.simple_vehicles import constant_force, one_gear


class TestKhurmiGuptaExample315:
    """Khurmi & Gupta, *Theory of Machines*, Ex. 3.15, p. 52: gear ratio for most acceleration.

    1500 kg, wheel radius 0.3 m, wheels and axle 8 kg·m², engine 1 kg·m², efficiency 0.85,
    resistance 300 N, engine torque 200 N·m, climbing sin = 0.25 (g = 9.81 in the book).
    """

    rollout = 2 * np.pi * 0.3
    resistance = 300.0 + 1500 * 9.81 * 0.25

    def acceleration(self, ratio):
        thrust = forces.pull(200.0, ratio, 0.85, self.rollout)
        mass = forces.effective_mass(1500.0, 8 / 0.3**2, 1.0, ratio, 0.85, self.rollout)
        return (thrust - self.resistance) / mass

    def best_ratio(self):
        found = minimize_scalar(
            lambda ratio: -self.acceleration(ratio), bounds=(5, 60), options={"xatol": 1e-10}
        )
        return found.x

    def test_best_ratio(self):
        # The book rounds its roots to 21.74; unrounded the optimum is 21.770.
        np.testing.assert_allclose(self.best_ratio(), 21.77, atol=0.05)

    def test_best_ratio_in_closed_form(self):
        """G* = R/k + sqrt((R/k)² + A/B), derived from the definition."""
        k, a, b = 0.85 * 200 / 0.3, 1500 + 8 / 0.09, 0.85 * 1 / 0.09
        closed = self.resistance / k + np.sqrt((self.resistance / k) ** 2 + a / b)
        np.testing.assert_allclose(closed, 21.770367, atol=1e-6)
        np.testing.assert_allclose(self.best_ratio(), closed, rtol=1e-6)

    def test_acceleration_and_power(self):
        np.testing.assert_allclose(self.acceleration(22.0), 1.38, atol=0.005)
        engine_speed = 22.0 * (24 / 3.6) / 0.3
        np.testing.assert_allclose(engine_speed, 489, atol=0.5)
        np.testing.assert_allclose(200 * engine_speed / 1e3, 97.8, atol=0.05)

    def test_the_efficiency_belongs_on_the_engine_inertia(self):
        """Without it the answer is 1.218 m/s², outside what the book prints."""
        thrust = forces.pull(200.0, 22.0, 0.85, self.rollout)
        without = forces.effective_mass(1500.0, 8 / 0.3**2, 1 / 0.85, 22.0, 0.85, self.rollout)
        assert abs((thrust - self.resistance) / without - 1.38) > 0.1


def test_khurmi_gupta_example_316():
    """*Theory of Machines*, Ex. 3.16, p. 54: dv/dt = (121.5² - v²)/2325 from 27.8 to 76.4 m/s.

    The book prints 9.6 s; the unrounded integral is 9.6925 s over 522.44 m.
    """
    drive = constant_force(121.5**2, 2325.0, drag=1.0)
    shifts = shift_points(drive, top_speed(drive))
    run = full_throttle(drive, shifts, start_speed=27.8, stop_speed=76.4)
    np.testing.assert_allclose(run.time[0, -1], 9.6, atol=0.1)
    np.testing.assert_allclose(run.time[0, -1], 9.6925, atol=1e-4)
    np.testing.assert_allclose(run.distance[0, -1], 522.44, atol=0.005)


def test_subramanya_example_96():
    """*1000 Solved Problems in Fluid Mechanics*, Ex. 9.6, p. 199: drag of a car at 60 km/h."""
    v = 60 / 3.6
    drag = forces.air_drag(v, 0.0, 1.2, 0.35 * 1.6)
    np.testing.assert_allclose(drag, 93.33, atol=0.005)
    np.testing.assert_allclose(drag * v / 1e3, 1.556, atol=0.0005)
    faster = v * (0.35 / 0.30) ** (1 / 3)
    np.testing.assert_allclose(faster * 3.6, 63.16, atol=0.01)
    power = forces.air_drag(faster, 0.0, 1.2, 0.30 * 1.6) * faster
    np.testing.assert_allclose(power, drag * v, rtol=1e-12)


def test_tayal_example_164():
    """*Engineering Mechanics*, Ex. 16.4: 500 t from rest to 90 km/h in 50 s against 15 kN."""
    v, mass, resistance = 90 / 3.6, 500e3, 15e3
    thrust = resistance + mass * v / 50
    np.testing.assert_allclose(thrust * v, 6.625e6, rtol=1e-12)
    np.testing.assert_allclose(resistance * v, 375e3, rtol=1e-12)
    rolling = resistance / (mass * 9.80665)
    drive = one_gear(
        engine_speeds=[1e-6, 100.0], torques=[thrust, thrust], mass=mass, rolling=rolling
    )
    run = full_throttle(drive, shift_points(drive, top_speed(drive)), stop_speed=v)
    np.testing.assert_allclose(run.time[0, -1], 50.0, rtol=1e-6)


def test_meriam_kraige_sample_problem_34():
    """*Engineering Mechanics: Dynamics*, Sample Problem 3/4, p. 128: 10 kg, drag 8 N at 2 m/s.

    From 2 to 1 m/s in t = 2.5 s over x = 3.47 m (5 ln 2).
    """
    drive = one_gear(engine_speeds=[1.0, 9.0], torques=[0.0, 0.0], mass=10.0, drag=8 / 2**2)
    speed, distance = np.full((1, 1, 1), 2.0), 0.0
    for _ in range(50):
        speed, covered = drive.coast_step(speed, 2.5 / 50)
        distance += covered.item()
    np.testing.assert_allclose(speed.item(), 1.0, atol=0.001)
    np.testing.assert_allclose(distance, 3.47, atol=0.01)


def test_bansal_example_1513():
    """*Engineering Mechanics*, Ex. 15.13, p. 546: a truck of 6000 N rolls steadily down 1 in 40.

    The resistance is then 25 N/kN; up the same grade at 20 m/s it takes 6.0 kW. For small grades
    the book takes the sine for the slope.
    """
    mass = 6000 / 9.80665
    grade = np.arcsin(1 / 40)
    resistance = -forces.slope_force(mass, -grade)
    np.testing.assert_allclose(resistance / 6.0, 25.0, rtol=1e-12)
    uphill = resistance + forces.slope_force(mass, grade)
    np.testing.assert_allclose(uphill * 20 / 1e3, 6.0, rtol=1e-12)


def test_giancoli_wheelie():
    """Giancoli, 4th ed., ch. 10, problem 101(c): inputs read, result computed with g = 9.80."""
    thrust = forces.wheelie_thrust(1.0, 0.35, 0.95, 0.0, 0.0)
    np.testing.assert_allclose(thrust, 3.61, atol=0.01)


def test_wheelie_limit_is_g_x_over_h():
    """Derived from the definition: 0.60 m ahead, 0.50 m up gives 1.2 g = 11.77 m/s²."""
    np.testing.assert_allclose(forces.wheelie_thrust(1.0, 0.60, 0.50, 0.0, 0.0), 11.77, atol=0.01)

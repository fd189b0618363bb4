"""Where to change up, against statements of textbooks and courses."""

import numpy as np

from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.shift_points import shift_points
from tests.calc.simple_vehicles import one_gear

RPM = np.pi / 30


def shift_engine_speed(drive):
    exits = shift_points(drive, top_speed(drive))
    assert exits.shifts_up[0, 0]
    return exits.exit_speed[0, 0] * drive.overall[0, 0, 0] / drive.radius.item()


def test_falling_torque_line():
    """Torque T0 (1 - n/n0): force curves cross at output speed n0/(i1 + i2).

    Derived from the definition; n0 = 12 000, i1 = 2.0, i2 = 1.5: the engine is at 6857.143 rpm
    and falls to 5142.857 rpm.
    """
    speeds = np.linspace(500, 11900, 200) * RPM
    drive = one_gear(
        engine_speeds=speeds, torques=100 * (1 - speeds / (12000 * RPM)), mass=1e3, gears=(2, 1.5)
    )
    before = shift_engine_speed(drive) / RPM
    np.testing.assert_allclose(before, 6857.143, rtol=2e-5)
    np.testing.assert_allclose(before * 1.5 / 2, 5142.857, rtol=2e-5)


def test_equal_power_on_both_sides_of_the_shift():
    """At one road speed equal power means equal thrust, so P(n1) = P(n1 i2/i1)."""
    speeds = np.linspace(1000, 10000, 19) * RPM
    torques = 12 - 3e-7 * (speeds / RPM - 6000) ** 2
    drive = one_gear(engine_speeds=speeds, torques=torques, mass=150.0, gears=(2.0, 1.4))
    before = shift_engine_speed(drive)
    after = before * 1.4 / 2.0
    np.testing.assert_allclose(
        drive.torque(before) * before, drive.torque(after) * after, rtol=1e-4
    )


def test_shift_at_the_rev_limit_where_the_curves_never_cross():
    """Follows from the same statement: flat torque always pulls harder in the lower gear."""
    drive = one_gear(
        engine_speeds=[100.0, 1000.0], torques=[10.0, 10.0], mass=150.0, gears=(2.0, 1.4)
    )
    np.testing.assert_allclose(shift_engine_speed(drive), 1000.0, rtol=1e-9)


def test_engine_inertia_moves_the_shift_to_a_lower_speed():
    """euromotor.org open course, pres7 slide 16: the mass factor moves the best shift earlier."""
    speeds = np.linspace(500, 11900, 200) * RPM
    torques = 100 * (1 - speeds / (12000 * RPM))
    light = one_gear(engine_speeds=speeds, torques=torques, mass=200.0, gears=(2, 1.5))
    heavy = one_gear(
        engine_speeds=speeds, torques=torques, mass=200.0, gears=(2, 1.5), engine_inertia=20.0
    )
    assert shift_engine_speed(heavy) < shift_engine_speed(light)

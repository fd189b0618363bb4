"""Part throttle: the share of the opening, found again, and what published behaviour asks of it."""

import numpy as np
import pytest

from explorer.calc.engine.part_throttle import intake_resistance, throttle_share, torque_share
from explorer.calc.engine.power_correction import REFERENCE_AIRS, correction_factor, power_factor


@pytest.mark.parametrize("resistance", [0.05, 0.25, 0.4])
def test_opening_found_again(resistance):
    opening = np.linspace(0.05, 1.0, 20)
    share = torque_share(opening, resistance)
    np.testing.assert_allclose(throttle_share(share, resistance), opening, rtol=1e-9)
    assert np.all(np.diff(share) > 0)


def test_at_low_revs_a_small_opening_gives_most_of_the_torque():
    """As every engine map shows (common practice, no source): a third of the opening is nearly
    full torque at a quarter of the revs, and clearly less at the power peak."""
    low, high = (float(torque_share(1 / 3, intake_resistance(n, 800.0))) for n in (200.0, 800.0))
    assert low > 0.85
    assert high < 0.7


def test_power_left_is_the_inverse_of_the_correction_near_reference_air_only():
    """Close to reference air friction held or shrinking makes no difference; on a mountain the
    rule turned round leaves too much."""
    near = 97_000.0, 298.15
    assert power_factor(*near) == pytest.approx(1 / correction_factor(*near), abs=2e-4)
    high = 70_108.5, 268.65
    assert power_factor(*high) < 1 / correction_factor(*high) - 0.005


@pytest.mark.parametrize("name", REFERENCE_AIRS)
def test_a_curve_keeps_its_power_in_its_own_air(name):
    air = REFERENCE_AIRS[name]
    assert power_factor(*air, air) == pytest.approx(1.0)

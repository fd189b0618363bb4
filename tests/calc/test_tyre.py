"""Tyre geometry: what is refused, and broadcasting."""

import numpy as np
import pytest

from explorer.calc import tyre


@pytest.mark.parametrize("aspect_ratio", [90, 100.0, np.array([0.9, 90.0])])
def test_per_cent_is_refused(aspect_ratio):
    with pytest.raises(ValueError, match=r"looks like per cent\. Give it as a plain ratio"):
        tyre.overall_diameter(0.120, aspect_ratio, 0.4572)


def test_many_sizes_at_once():
    diameters = tyre.overall_diameter(np.array([0.11, 0.12]), np.array([1.0, 0.9]), 0.4572)
    np.testing.assert_allclose(diameters, [0.6772, 0.6732], rtol=1e-12)


def test_rolling_factor_scales_the_circumference():
    assert tyre.circumference(0.65, 0.97) == pytest.approx(0.97 * tyre.circumference(0.65))

"""The standard atmosphere against two packages that implement the standards."""

import numpy as np
import pytest
from ambiance import Atmosphere

from explorer.calc.atmosphere import HIGHEST_ALTITUDE, LOWEST_ALTITUDE, standard_atmosphere

# Geopotential altitude [m]: temperature [K], pressure [Pa], density [kg/m3].
# Packages ambiance 1.3.1 (ICAO Doc 7488, 3rd ed. 1993) and fluids 1.3.1 (ISO 2533:1975), which
# agree to the digits shown.
TABLE = {
    0: (288.150, 101325.0, 1.22500),
    500: (284.900, 95460.8, 1.16727),
    1000: (281.650, 89874.6, 1.11164),
    1500: (278.400, 84556.0, 1.05807),
    2000: (275.150, 79495.2, 1.00649),
    3000: (268.650, 70108.5, 0.90912),
    4000: (262.150, 61640.2, 0.81913),
    5000: (255.650, 54019.9, 0.73612),
}


@pytest.mark.parametrize("altitude", TABLE)
def test_table_of_the_standard(altitude):
    temperature, pressure, density = TABLE[altitude]
    air = standard_atmosphere(altitude)
    # Half of the last digit shown.
    assert air.temperature == pytest.approx(temperature, abs=5e-4)
    assert air.pressure == pytest.approx(pressure, abs=0.051)
    assert air.density == pytest.approx(density, abs=5.1e-6)


@pytest.mark.parametrize(
    ("lowest", "highest", "tolerance"),
    [
        # Below sea level the package starts from a pressure that it tabulates in six digits.
        pytest.param(LOWEST_ALTITUDE, -1.0, 1e-6, id="below sea level"),
        pytest.param(0.0, HIGHEST_ALTITUDE, 1e-12, id="above sea level"),
    ],
)
def test_package_over_the_whole_range(lowest, highest, tolerance):
    """Package ambiance takes geometric height, so our geopotential altitude is converted first."""
    altitude = np.linspace(lowest, highest, 300)
    reference = Atmosphere(Atmosphere.geop2geom_height(altitude))
    air = standard_atmosphere(altitude)
    np.testing.assert_allclose(air.temperature, reference.temperature, rtol=tolerance)
    np.testing.assert_allclose(air.pressure, reference.pressure, rtol=tolerance)
    np.testing.assert_allclose(air.density, reference.density, rtol=tolerance)


def test_example_of_the_other_package():
    """fluids 1.3.1, docstring of ATMOSPHERE_1976: 54048.286 Pa and 0.736428 kg/m3 at 5000 m.

    That is a geometric height; its geopotential altitude is 4996.07 m.
    """
    air = standard_atmosphere(Atmosphere.geom2geop_height(np.array([5000.0])))
    assert air.pressure == pytest.approx(54048.286, rel=1e-6)
    assert air.density == pytest.approx(0.736428, abs=1e-6)


def test_map_heights_are_close_enough():
    """Geometric height taken as geopotential: the pressure at 3000 m is off by 0.02 %."""
    reference = float(Atmosphere(3000.0).pressure[0])
    assert standard_atmosphere(3000.0).pressure == pytest.approx(reference, rel=2e-4)

"""Tyre diameters against published examples and a derived table of off-road sizes."""

import numpy as np
import pytest

from explorer.calc import tyre

INCH = 25.4


def diameter_mm(width, aspect_per_cent, rim_code):
    return tyre.overall_diameter(width, aspect_per_cent / 100, rim_code * INCH)


@pytest.mark.parametrize(
    ("size", "diameter", "tolerance"),
    [
        # Tyre maker's technical page on sidewall markings (name withheld), one decimal printed.
        pytest.param((120, 100, 18), 697.2, 0.05, id="120/100-18"),
        pytest.param((120, 90, 18), 673.2, 0.05, id="120/90-18"),
        # A second maker's page (name withheld): "about 642", from a section height that it rounds
        # from 104.5 to 105; unrounded 640.8.
        pytest.param((190, 55, 17), 642, 2, id="190/55-17"),
        # Owners' club page (name withheld): section height 81, rim 533.4; the sum is derived.
        pytest.param((90, 90, 21), 695.4, 0.05, id="90/90-21"),
    ],
)
def test_published_examples(size, diameter, tolerance):
    assert diameter_mm(*size) == pytest.approx(diameter, abs=tolerance)


@pytest.mark.parametrize(
    ("width_in", "aspect_per_cent", "height_in"), [(3.50, 100, 3.50), (4.10, 90, 3.7)]
)
def test_inch_sizes(width_in, aspect_per_cent, height_in):
    """Same maker's page: a 3.50 is as tall as wide; a 4.10 is 3.7 in tall (one decimal printed)."""
    rim = 18 * INCH
    height = (diameter_mm(width_in * INCH, aspect_per_cent, 18) - rim) / 2
    assert height / INCH == pytest.approx(height_in, abs=0.05)


# Off-road sizes: diameter in mm, diameter with the rim rounded to whole mm, circumference in mm.
# Derived from the confirmed formula.
DERIVED_SIZES = {
    (80, 100, 21): (693.4, 693, 2178.4),
    (90, 90, 21): (695.4, 695, 2184.7),
    (60, 100, 14): (475.6, 476, 1494.1),
    (80, 100, 12): (464.8, 465, 1460.2),
    (90, 100, 14): (535.6, 536, 1682.6),
    (90, 100, 16): (586.4, 586, 1842.2),
    (70, 100, 17): (571.8, 572, 1796.4),
    (70, 100, 19): (622.6, 623, 1956.0),
    (100, 90, 19): (662.6, 663, 2081.6),
    (110, 90, 19): (680.6, 681, 2138.2),
    (120, 80, 19): (674.6, 675, 2119.3),
    (100, 100, 18): (657.2, 657, 2064.7),
    (110, 100, 18): (677.2, 677, 2127.5),
    (120, 90, 18): (673.2, 673, 2114.9),
    (120, 100, 18): (697.2, 697, 2190.3),
    (140, 80, 18): (681.2, 681, 2140.1),
    (110, 80, 18): (633.2, 633, 1989.3),
    (130, 80, 17): (639.8, 640, 2010.0),
}


@pytest.mark.parametrize("size", DERIVED_SIZES)
def test_common_sizes_derived_from_the_formula(size):
    exact, with_rounded_rim, circumference = DERIVED_SIZES[size]
    width, aspect_per_cent, rim_code = size
    diameter = diameter_mm(*size)
    assert diameter == pytest.approx(exact, abs=0.05)
    assert tyre.circumference(diameter) == pytest.approx(circumference, abs=0.05)
    rounded = tyre.overall_diameter(width, aspect_per_cent / 100, np.round(rim_code * INCH))
    assert rounded == pytest.approx(with_rounded_rim, abs=1e-9)


# Inch sizes: diameter in mm at 100 % and, where used, at 90 %. Derived from the formula.
@pytest.mark.parametrize(
    ("width_in", "aspect_per_cent", "rim_code", "diameter"),
    [
        (2.50, 100, 14, 482.6),
        (2.75, 100, 21, 673.1),
        (3.00, 100, 21, 685.8),
        (3.00, 100, 16, 558.8),
        (3.00, 100, 18, 609.6),
        (4.10, 100, 18, 665.5),
        (4.10, 90, 18, 644.7),
        (4.60, 100, 18, 690.9),
        (4.60, 90, 18, 667.5),
    ],
)
def test_inch_sizes_derived_from_the_formula(width_in, aspect_per_cent, rim_code, diameter):
    computed = diameter_mm(width_in * INCH, aspect_per_cent, rim_code)
    assert computed == pytest.approx(diameter, abs=0.051)


def test_rolling_factor():
    """mechguru.com, "Tire rolling circumference calculation": 215/65 R 15 at a factor of 0.96.

    A car tyre and a weak source, used for the arithmetic only. It takes 3.14 for pi and prints
    1991 mm; with pi it is 1992.05, hence 1.1 mm on top of half a printed digit.
    """
    diameter = diameter_mm(215, 65, 15)
    assert diameter / 2 == pytest.approx(330.25, abs=0.005)
    assert tyre.circumference(diameter, 0.96) == pytest.approx(1991, abs=1.6)

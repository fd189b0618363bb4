"""Tyre sizes against printed examples. Names of the makers are withheld."""

import pytest

from explorer.records.tyre import parse_size

MAKER = "tyre maker's technical page on sidewall markings and aspect ratio"
SECOND_MAKER = "second tyre maker's page, in Japanese"
CLUB = "owners' club page on tyre sizes"


@pytest.mark.parametrize(
    ("size", "diameter_mm", "tolerance_mm", "source"),
    [
        # Printed to 0.1 mm.
        ("120/100-18", 697.2, 0.05, MAKER),
        ("120/90-18", 673.2, 0.05, MAKER),
        # Printed "about 642", with the section height rounded up to 105 mm (exactly 104.5).
        ("190/55-17", 642.0, 2.0, SECOND_MAKER),
    ],
)
def test_overall_diameter_as_printed(size, diameter_mm, tolerance_mm, source):
    assert parse_size(size).overall_diameter * 1000 == pytest.approx(
        diameter_mm, abs=tolerance_mm
    ), source


def test_section_height_and_rim_as_printed():
    """90/90-21: section height 81 mm, rim 533.4 mm, as printed on the club's page."""
    size = parse_size("90/90-21")
    assert size.section_width * size.aspect_ratio * 1000 == pytest.approx(81, abs=0.05), CLUB
    assert size.rim_diameter * 1000 == pytest.approx(533.4, abs=0.05), CLUB
    assert size.overall_diameter * 1000 == pytest.approx(81 + 81 + 533.4, abs=0.05), CLUB


@pytest.mark.parametrize(
    ("size", "width_inch", "height_inch", "tolerance_inch"),
    [
        # The page prints 3.50 in wide and tall.
        ("3.50-18", 3.50, 3.50, 0.005),
        # The page prints 4.10 x 90 % = 3.7 in, one decimal.
        ("4.10-19", 4.10, 3.7, 0.05),
        # The page prints 4.25 x 85 % = 3.6 in, one decimal.
        ("4.25/85-18", 4.25, 3.6, 0.05),
    ],
)
def test_inch_code_section_as_printed(size, width_inch, height_inch, tolerance_inch):
    parsed = parse_size(size)
    width = parsed.section_width / 0.0254
    assert width == pytest.approx(width_inch, abs=0.005), MAKER
    assert width * parsed.aspect_ratio == pytest.approx(height_inch, abs=tolerance_inch), MAKER


# Worked out by hand from the maker's formula, D = d + 2 H and pi D, rounded to 0.1 mm.
WORKED = [
    ("80/100-21", 693.4, 2178.4),
    ("90/90-21", 695.4, 2184.7),
    ("60/100-14", 475.6, 1494.1),
    ("80/100-12", 464.8, 1460.2),
    ("90/100-14", 535.6, 1682.6),
    ("90/100-16", 586.4, 1842.2),
    ("70/100-17", 571.8, 1796.4),
    ("70/100-19", 622.6, 1956.0),
    ("100/90-19", 662.6, 2081.6),
    ("110/90-19", 680.6, 2138.2),
    ("120/80-19", 674.6, 2119.3),
    ("100/100-18", 657.2, 2064.7),
    ("110/100-18", 677.2, 2127.5),
    ("120/90-18", 673.2, 2114.9),
    ("120/100-18", 697.2, 2190.3),
    ("140/80-18", 681.2, 2140.1),
    ("110/80-18", 633.2, 1989.3),
    ("130/80-17", 639.8, 2010.0),
]


@pytest.mark.parametrize(("size", "diameter_mm", "circumference_mm"), WORKED)
def test_common_sizes(size, diameter_mm, circumference_mm):
    parsed = parse_size(size)
    assert parsed.overall_diameter * 1000 == pytest.approx(diameter_mm, abs=0.0501)
    assert parsed.circumference * 1000 == pytest.approx(circumference_mm, abs=0.0501)


@pytest.mark.parametrize(
    ("size", "diameter_mm"),
    [
        ("2.50-14", 482.6),
        ("2.75-21", 673.1),
        ("3.00-21", 685.8),
        ("3.00-16", 558.8),
        ("3.00-18", 609.6),
        # Low section, 90 %: printed for 4.10; for 4.60 common practice, no source.
        ("4.10-18", 644.7),
        ("4.60-18", 667.5),
    ],
)
def test_common_inch_code_sizes(size, diameter_mm):
    assert parse_size(size).overall_diameter * 1000 == pytest.approx(diameter_mm, abs=0.0501)

"""Chain sizes, sprocket diameters and chordal action against handbooks and standards."""

import csv
from pathlib import Path

import pytest

from explorer.calc import sprockets

CHAINS_FILE = Path(__file__).parents[2] / "data" / "chains.csv"

# The readable tables differ by up to 0.2 mm in inner width (7.75, 7.85 and 7.95 for one chain)
# and by 0.02 mm in roller diameter.
WIDTH_TOLERANCE = 0.25
ROLLER_TOLERANCE = 0.05


@pytest.fixture(scope="module")
def chains():
    with CHAINS_FILE.open(encoding="utf-8", newline="") as file:
        return {row["chain"]: row for row in csv.DictReader(file)}


def test_every_chain_names_its_source(chains):
    assert len(chains) == 9
    assert all(row["source"].strip() for row in chains.values())


def test_pitch_follows_from_the_number(chains):
    """First digit of the number = pitch in eighths of an inch.

    Source: encyclopedic article "Motorcycle chain". Exact, as an inch is 25.4 mm.
    """
    for chain, row in chains.items():
        assert float(row["pitch_mm"]) == pytest.approx(int(chain[0]) * 25.4 / 8, abs=1e-12)


@pytest.mark.parametrize("chain", ["415", "420", "520", "525", "530", "630"])
def test_inner_width_follows_from_the_number(chains, chain):
    """Last two digits = nominal inner width in eightieths of an inch.

    Source: encyclopedic article "Motorcycle chain"; 428, 532 and 632 don't follow the rule.
    """
    expected = int(chain[1:]) * 25.4 / 80
    assert float(chains[chain]["inner_width_mm"]) == pytest.approx(expected, abs=WIDTH_TOLERANCE)


@pytest.mark.parametrize(
    ("chain", "width"), [("420", 6.35), ("428", 7.95), ("520", 6.35), ("525", 7.95), ("530", 9.53)]
)
def test_inner_width_of_the_handbook(chains, chain, width):
    """*The Complete Guide to Chain*, Table 1.9 "Motorcycle Chains", p. 127.

    The number 428 is lost in the copy that was read and inferred from its place in the table.
    """
    assert float(chains[chain]["inner_width_mm"]) == pytest.approx(width, abs=WIDTH_TOLERANCE)


@pytest.mark.parametrize(
    ("chain", "width", "roller"),
    [
        ("415", 4.76, 7.77),
        ("420", 6.35, 7.77),
        ("428", 7.75, 8.51),
        ("520", 6.35, 10.16),
        ("525", 7.95, 10.16),
        ("530", 9.53, 10.16),
        ("532", 9.53, 11.10),
        ("630", 9.53, 11.91),
    ],
)
def test_second_trade_table(chains, chain, width, roller):
    """Another maker's table of motorcycle chains than the one in the file (names withheld)."""
    row = chains[chain]
    assert float(row["inner_width_mm"]) == pytest.approx(width, abs=WIDTH_TOLERANCE)
    assert float(row["roller_diameter_mm"]) == pytest.approx(roller, abs=ROLLER_TOLERANCE)


def test_530_has_the_roller_of_ansi_50(chains):
    """*The Complete Guide to Chain*, notes to Table 1.9; ANSI B29.1 table: 10.16 mm."""
    assert float(chains["530"]["roller_diameter_mm"]) == pytest.approx(10.16, abs=ROLLER_TOLERANCE)


@pytest.mark.parametrize(
    ("pitch", "teeth", "diameter", "tolerance"),
    [
        # "Equations for the Design of Standard Sprocket Teeth" (educational sheet), in pitches.
        pytest.param(1.0, 28, 8.9314, 5e-5, id="educational sheet"),
        # Sprocket maker's note of 2015 (name withheld). Its printed factor 7.9789 is 2e-4 above
        # the exact 7.97873, hence the tolerance.
        pytest.param(38.10, 25, 303.99, 0.02, id="maker's note, chain 120"),
        # Mott, Machine Elements in Mechanical Design, 4th ed., Example Problem 7-3, p. 295, inch.
        pytest.param(0.500, 17, 2.721, 5e-4, id="Mott 7-3"),
    ],
)
def test_pitch_diameter(pitch, teeth, diameter, tolerance):
    """Tolerance: half of the last printed digit unless said otherwise."""
    assert sprockets.pitch_diameter(pitch, teeth) == pytest.approx(diameter, abs=tolerance)


def test_outside_diameter():
    """Sprocket maker's note of 2015 (name withheld): chain 120 with 25 teeth, 324.46 mm.

    The note multiplies by a factor rounded to 8.516 (exact 8.51582), worth 0.007 mm.
    """
    assert sprockets.outside_diameter(38.10, 25) == pytest.approx(324.46, abs=0.01)


# Derived from the definitions, in mm: pitch 15.875, roller 10.16.
# teeth: pitch diameter, outside diameter, root diameter, caliper diameter
DERIVED_DIAMETERS = {
    12: (61.336, 68.771, 51.176, 51.176),
    13: (66.335, 73.932, 56.175, 55.691),
    14: (71.342, 79.078, 61.182, 61.182),
    15: (76.355, 84.211, 66.195, 65.776),
    45: (227.577, 236.548, 217.417, 217.279),
    48: (242.725, 251.731, 232.565, 232.565),
    50: (252.825, 261.851, 242.665, 242.665),
    52: (262.925, 271.970, 252.765, 252.765),
}


@pytest.mark.parametrize("teeth", DERIVED_DIAMETERS)
def test_diameters_derived_from_the_definitions(teeth):
    pitch, roller = 15.875, 10.16
    computed = (
        sprockets.pitch_diameter(pitch, teeth),
        sprockets.outside_diameter(pitch, teeth),
        sprockets.root_diameter(pitch, teeth, roller),
        sprockets.caliper_diameter(pitch, teeth, roller),
    )
    assert computed == pytest.approx(DERIVED_DIAMETERS[teeth], abs=5e-4)


@pytest.mark.parametrize(
    ("teeth", "diameter"), [(13, 53.068), (14, 57.073), (15, 61.084), (48, 194.180)]
)
def test_half_inch_pitch_derived_from_the_definition(teeth, diameter):
    assert sprockets.pitch_diameter(12.7, teeth) == pytest.approx(diameter, abs=5e-4)


@pytest.mark.parametrize(
    ("teeth", "variation", "tolerance"),
    [
        # German vocational engineering wiki bs-wiki.de, article on chain drives, "Polygoneffekt".
        pytest.param(16, 0.02, 0.001, id="bs-wiki"),
        # Text after Khurmi and Gupta, A Textbook of Machine Design, chain drives, "Number of
        # teeth on the smaller sprocket". Two of its figures are rounded more coarsely than
        # printed: 1.703 % appears as 1.6 %, 0.856 % as 1 %; hence 0.15 percentage points.
        pytest.param(11, 0.04, 0.001, id="Khurmi and Gupta 11"),
        pytest.param(17, 0.016, 0.0015, id="Khurmi and Gupta 17"),
        pytest.param(24, 0.01, 0.0015, id="Khurmi and Gupta 24"),
    ],
)
def test_chordal_speed_variation(teeth, variation, tolerance):
    assert sprockets.chordal_speed_variation(teeth) == pytest.approx(variation, abs=tolerance)


@pytest.mark.parametrize(
    ("teeth", "per_cent"),
    [(12, 3.4074), (13, 2.9058), (14, 2.5072), (15, 2.1852), (17, 1.7027), (50, 0.1973)],
)
def test_chordal_speed_variation_derived_from_the_definition(teeth, per_cent):
    assert 100 * sprockets.chordal_speed_variation(teeth) == pytest.approx(per_cent, abs=5e-5)

"""explorer.calc against data/references.toml: the rows that the method page shows.

Each row carries its source, and the reason of its tolerance, in the file.
"""

import math
import pkgutil

import pytest

import explorer.calc.drivetrain.drive
from explorer.data_folder import DATA
from explorer.records.references import Comparison, compare, in_si, references

ROWS = references()

SUBJECTS = {
    "Sprockets",
    "Chain length",
    "Slack, swingarm and wear",
    "Tyres",
    "Standard atmosphere",
    "Power correction",
    "Grip and losses",
    "Uncertainty",
    "Forces",
    "Worked examples of motion",
    "Closed forms of motion",
    "Gear steps and shift points",
    "Front and rear teeth",
    "Speedometer",
}

HALF_A_DIGIT = {"half of the last printed digit", "half of the last digit"}


def name(row):
    return f"{row.what} {row.case or ' '.join(map(str, row.inputs.values()))}"


each_row = pytest.mark.parametrize("row", ROWS, ids=name)


@each_row
def test_computed_agrees(row):
    found = compare(row)
    assert found.agrees, f"{found.computed} {row.unit} against {row.value}: {row.source}"


def test_rows_cover_every_subject():
    assert {row.subject for row in ROWS} == SUBJECTS
    assert len(ROWS) >= 100
    assert sum(row.origin == "published" for row in ROWS) >= 50


@each_row
def test_row_says_where_it_comes_from(row):
    assert row.origin in ("published", "derived")
    assert row.source.strip() and row.tolerance_from.strip()
    assert row.inputs


@each_row
def test_tolerance_is_no_wider_than_it_says(row):
    assert row.tolerance > 0
    if row.tolerance_from in HALF_A_DIGIT:
        assert row.tolerance == pytest.approx(0.5 * 10**-row.decimals, rel=1e-9)
    else:
        # Wider only where the source itself rounds by more than a tenth.
        assert row.tolerance <= 0.16 * float(row.value)


def test_most_rows_would_notice_half_a_per_cent():
    """So that a wrong formula can't hide behind the rows that their sources round coarsely."""
    coarse = [row.what for row in ROWS if row.tolerance > 0.005 * float(row.value)]
    assert set(coarse) <= {
        "Unevenness of the chain's speed (chordal action)",
        "Time from 27.8 to 76.4 m/s against quadratic drag",
        "Engine braking where a bike has no curve of its own, low end [g]",
        "95 % interval of an evenly spread input, below the value in use",
        "The same, above it",
    }


@each_row
def test_function_exists(row):
    assert callable(pkgutil.resolve_name(f"explorer.calc.{row.function}"))


@each_row
def test_a_wrong_value_does_not_agree(row):
    value = float(row.value)
    assert Comparison(row, value).agrees
    for wrong in (value + 1.01 * row.tolerance, value - 1.01 * row.tolerance, math.nan, math.inf):
        assert not Comparison(row, wrong).agrees


def test_a_broken_formula_is_noticed(monkeypatch):
    """The rows compute with explorer.calc itself: spoil a formula there and its rows fail."""
    drag = explorer.calc.drivetrain.forces.air_drag
    monkeypatch.setattr(
        explorer.calc.drivetrain.forces, "air_drag", lambda *a, **k: 1.01 * drag(*a, **k)
    )
    failed = {row.what for row in ROWS if not compare(row).agrees}
    assert {
        "Air drag of a car",
        "Power against air drag",
        "Distance against quadratic drag alone",
        "Top speed at constant power",
    } <= failed


def test_inputs_are_read_in_their_units():
    """Exact by the definitions of inch, minute and degree Fahrenheit."""
    assert in_si("0.5 in") == pytest.approx(0.0127, rel=1e-12)
    assert in_si("60 rpm") == pytest.approx(2 * math.pi, rel=1e-12)
    assert in_si("32 degF") == pytest.approx(273.15, rel=1e-12)
    assert in_si("180 deg") == pytest.approx(math.pi, rel=1e-12)
    assert in_si("104 links") == 104
    assert in_si(17) == 17


def test_file_names_no_host():
    assert "://" not in (DATA / "references.toml").read_text(encoding="utf-8")

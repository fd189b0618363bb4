"""Every coefficient of data/surfaces.csv lies within what its named source prints."""

import math

import pytest

from explorer.calc.drivetrain.wheel_slip import gross_traction
from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.setups.setup_fields import SETUP_FIELD

# As printed; "second-hand" where the text read quotes the book and the book itself was not seen.
CARVILL = "Carvill, Mechanical Engineer's Data Handbook (1993)"  # second-hand
TOOLBOX = "Engineering ToolBox, Rolling resistance"
MARKS = "Moyer in Marks' Standard Handbook"  # second-hand
LECTURE = "lecture Road loads"  # second-hand
NOON = "Noon, Engineering Analysis of Vehicular Accidents"  # second-hand
DISTRIBUTOR = "tyre distributor's technical note"
EDGE = "Engineers Edge"
SOURCES = (CARVILL, TOOLBOX, MARKS, LECTURE, NOON, DISTRIBUTOR, EDGE)

HARD = {CARVILL: (0.01, 0.02), TOOLBOX: (0.01, 0.02)}
SOIL = {CARVILL: (0.08, 0.08), TOOLBOX: (0.04, 0.08), LECTURE: (0.04, 0.08)}
ROLLING = {
    "dry-asphalt": HARD,
    "wet-asphalt": HARD,
    "hard-packed-gravel": {CARVILL: (0.01, 0.01), MARKS: (0.012, 0.012), TOOLBOX: (0.02, 0.02)},
    "loose-gravel": {CARVILL: (0.04, 0.04), MARKS: (0.06, 0.06), TOOLBOX: (0.04, 0.08)},
    "forest-soil": SOIL,
    "wet-dirt": {CARVILL: SOIL[CARVILL], TOOLBOX: SOIL[TOOLBOX]},
    "wet-grass": {TOOLBOX: SOIL[TOOLBOX], LECTURE: SOIL[LECTURE]},
    "firm-sand": {TOOLBOX: (0.04, 0.08)},
    "loose-sand": {CARVILL: (0.1, 0.2), TOOLBOX: (0.2, 0.4), LECTURE: (0.20, 0.30)},
}
# Soils of Wong's table: cohesion [kPa] and friction angle [°], as listed in a public vehicle
# simulation that names the book (second-hand); the load on a knobbly tyre at 0.9 bar.
SOILS = {
    "dry sand": (1.04, 28), "LETE sand": (1.3, 31.1), "upland sandy loam": (3.3, 33.7),
    "sandy loam 15 %": (1.72, 29), "sandy loam 23 %": (9.65, 35), "sandy loam 26 %": (13.79, 22),
    "clayey soil 55 %": (2.07, 10), "lean clay 22 %": (68.95, 20), "lean clay 32 %": (13.79, 11),
    "Grenville loam": (3.1, 29.8),
}  # fmt: skip
PRESSURE = 90.0


def shear(*names):
    values = [
        float(gross_traction(cohesion, math.radians(angle), PRESSURE))
        for cohesion, angle in (SOILS[name] for name in names)
    ]
    return min(values), max(values)


TRL = {"TRL report PPR496": (0.7, 1.2)}
UN117 = {"UN Regulation No. 117": (0.65, 0.90)}
LEA = {"Lea and Jones": (0.40, 0.85)}
WONG = "Wong, Theory of Ground Vehicles"
GRIP = {
    "dry-asphalt": TRL,
    "wet-asphalt": {NOON: (0.50, 0.50), **UN117},
    "hard-packed-gravel": {**LEA, DISTRIBUTOR: (0.60, 0.70)},
    "loose-gravel": {NOON: (0.35, 0.35), DISTRIBUTOR: (0.40, 0.70), **LEA},
    "forest-soil": {
        NOON: (0.35, 0.65),
        DISTRIBUTOR: (0.50, 0.60),
        WONG: shear("sandy loam 15 %", "sandy loam 23 %", "lean clay 22 %"),
    },
    "wet-dirt": {
        DISTRIBUTOR: (0.15, 0.25),
        WONG: shear("clayey soil 55 %", "lean clay 32 %", "sandy loam 26 %"),
    },
    "wet-grass": {NOON: (0.20, 0.20), DISTRIBUTOR: (0.15, 0.25), WONG: shear("Grenville loam")},
    "firm-sand": {EDGE: (0.5, 0.6), WONG: shear("LETE sand", "upland sandy loam")},
    "loose-sand": {EDGE: (0.5, 0.6), WONG: shear("dry sand", "LETE sand")},
}
OUR_CHOICE = {"trail": 0.06, "road": 0.11, "knobbly": 0.06}
"""How far a tyre kind for which the note says "our choice" may lie outside what is printed."""


def check(values, source_text, published):
    assert {name for name in SOURCES if name in source_text} == set(published)
    low, typical, high = values
    assert 0 < low <= typical <= high
    lowest = min(bounds[0] for bounds in published.values())
    highest = max(bounds[1] for bounds in published.values())
    assert lowest <= low
    assert high <= highest
    # The typical value lies inside one source's own range, or between two that are named.
    assert lowest <= typical <= highest


def test_table_and_published_ranges_name_the_same_surfaces():
    assert set(surfaces()) == set(ROLLING) == set(GRIP)
    assert SETUP_FIELD["surface"].default in surfaces()


@pytest.mark.parametrize("name", ROLLING)
def test_rolling_resistance_within_published_range(name):
    surface = surfaces()[name]
    values = (surface.rolling_low, surface.rolling_typical, surface.rolling_high)
    check(values, surface.source_rolling, ROLLING[name])


@pytest.mark.parametrize("kind", TYRE_KINDS)
@pytest.mark.parametrize("name", GRIP)
def test_grip_within_published_range_or_said_to_be_our_choice(name, kind):
    surface, published = surfaces(kind)[name], GRIP[name]
    assert {source for source in published if source in surface.source_grip} == set(published)
    low, typical, high = surface.grip_low, surface.grip_typical, surface.grip_high
    assert 0 < low < typical < high
    least = min(bounds[0] for bounds in published.values())
    most = max(bounds[1] for bounds in published.values())
    if low < least - 0.005 or high > most + 0.005:
        assert "our choice" in surface.note
    assert least - OUR_CHOICE[kind] <= low
    assert high <= most + OUR_CHOICE[kind]


def test_a_knobbly_tyre_has_the_shear_strength_of_the_soil():
    surface = surfaces("knobbly")["forest-soil"]
    loose, firm = shear("sandy loam 15 %"), shear("lean clay 22 %")
    assert surface.grip_low == pytest.approx(loose[0], abs=0.01)
    assert surface.grip_typical == pytest.approx(shear("sandy loam 23 %")[0], abs=0.015)
    assert surface.grip_high == pytest.approx(firm[0], abs=0.01)


def test_no_typical_value_is_an_end_of_its_range():
    for kind in TYRE_KINDS:
        for surface in surfaces(kind).values():
            assert surface.rolling_low < surface.rolling_typical < surface.rolling_high
            assert surface.grip_low < surface.grip_typical < surface.grip_high


def test_knobs_pay_on_soft_ground_and_cost_on_the_road():
    for name in ("forest-soil", "wet-dirt", "wet-grass", "loose-sand"):
        assert surfaces("knobbly")[name].grip_typical > surfaces("road")[name].grip_typical
    assert surfaces("knobbly")["dry-asphalt"].grip_typical < 1.0
    assert surfaces("road")["dry-asphalt"].grip_typical > 1.0


def test_table_cannot_be_changed():
    with pytest.raises(TypeError):
        surfaces()["ice"] = surfaces()["wet-grass"]

"""Every coefficient of data/surfaces.csv lies within what its named source prints."""

import pytest

from explorer.records.ground.surfaces import DEFAULT_SURFACE, surfaces

# As printed; "second-hand" where the text read quotes the book and the book itself was not seen.
CARVILL = "Carvill, Mechanical Engineer's Data Handbook (1993)"  # second-hand
TOOLBOX = "Engineering ToolBox, Rolling resistance"
MARKS = "Moyer in Marks' Standard Handbook"  # second-hand
LECTURE = "lecture Road loads"  # second-hand
NOON = "Noon, Engineering Analysis of Vehicular Accidents"  # second-hand
DISTRIBUTOR = "tyre distributor's technical note"
KENTUCKY = "Kentucky Transportation Center"
EDGE = "Engineers Edge"
SOURCES = (CARVILL, TOOLBOX, MARKS, LECTURE, NOON, DISTRIBUTOR, KENTUCKY, EDGE)

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
GRIP = {
    "dry-asphalt": {KENTUCKY: (0.6, 0.8), DISTRIBUTOR: (0.70, 0.80), EDGE: (0.8, 0.9)},
    "wet-asphalt": {NOON: (0.50, 0.50), DISTRIBUTOR: (0.45, 0.55), EDGE: (0.4, 0.7)},
    "hard-packed-gravel": {NOON: (0.35, 0.35), DISTRIBUTOR: (0.60, 0.70), EDGE: (0.4, 0.7)},
    # Crushed stone, wet to dry.
    "loose-gravel": {NOON: (0.35, 0.35), DISTRIBUTOR: (0.40, 0.70)},
    "forest-soil": {NOON: (0.35, 0.65), DISTRIBUTOR: (0.50, 0.60)},
    "wet-dirt": {DISTRIBUTOR: (0.15, 0.25)},
    "wet-grass": {NOON: (0.20, 0.20)},
    "firm-sand": {EDGE: (0.5, 0.6)},
    "loose-sand": {EDGE: (0.5, 0.6)},
}


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
    assert DEFAULT_SURFACE in surfaces()


@pytest.mark.parametrize("name", ROLLING)
def test_rolling_resistance_within_published_range(name):
    surface = surfaces()[name]
    values = (surface.rolling_low, surface.rolling_typical, surface.rolling_high)
    check(values, surface.source_rolling, ROLLING[name])


@pytest.mark.parametrize("name", GRIP)
def test_grip_within_published_range(name):
    surface = surfaces()[name]
    values = (surface.grip_low, surface.grip_typical, surface.grip_high)
    check(values, surface.source_grip, GRIP[name])


@pytest.mark.parametrize("name", ROLLING)
def test_notes_say_whose_tyres_were_measured(name):
    surface = surfaces()[name]
    assert "car tyres" in surface.note
    assert "knobbly" in surface.note or name == "hard-packed-gravel"
    if "Carvill" in surface.source_rolling:
        assert "second-hand" in surface.source_rolling


def test_table_cannot_be_changed():
    with pytest.raises(TypeError):
        surfaces()["ice"] = surfaces()["wet-grass"]

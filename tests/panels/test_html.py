"""Pieces of text: a number and its unit stay together where a tile is narrow. Our own rule."""

import pytest

from explorer.panels.html import tiles


@pytest.mark.parametrize(
    ("plain", "kept"),
    [
        ("70 %", "70\xa0%"),
        ("−0.2 ± 0.1 km/h", "−0.2 ± 0.1\xa0km/h"),
        ("21 °C", "21\xa0°C"),
        ("13/50", "13/50"),
    ],
)
def test_a_number_is_never_on_another_line_than_its_unit(plain, kept):
    assert f"<strong>{kept}</strong><span>steepest: {kept}</span>" in tiles(
        [(plain, f"steepest: {plain}")]
    )


def test_what_a_tile_says_is_escaped():
    assert "&lt;b&gt;" in tiles([("<b>", "a")]) and "<b>" not in tiles([("<b>", "a")])

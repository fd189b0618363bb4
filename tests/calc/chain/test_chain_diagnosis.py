"""Counted links against a measured distance: what each disagreement is taken for."""

import numpy as np
import pytest

from explorer.calc.chain import length as chain
from explorer.calc.chain.chain_diagnosis import Agreement, diagnose

PITCH = 0.015875
TAUT = float(chain.centre_distance_for(112, PITCH, 13, 50))


@pytest.mark.parametrize(
    ("links", "distance", "agreement"),
    [
        (112, TAUT + 0.0015, Agreement.AGREES),
        (112, TAUT - 0.0015, Agreement.AGREES),
        (111, TAUT, Agreement.ODD_COUNT),
        (112, TAUT * 1000, Agreement.UNIT_SLIP),
        (112, TAUT * 100, Agreement.UNIT_SLIP),
        (112, TAUT / 0.0254, Agreement.UNIT_SLIP),
        (112, TAUT + 0.016, Agreement.MISCOUNT),
        (112, TAUT - 0.016, Agreement.MISCOUNT),
        (112, TAUT * 1.012, Agreement.WEAR),
        (112, TAUT - 0.008, Agreement.UNEXPLAINED),
        (112, TAUT + 0.025, Agreement.UNEXPLAINED),
        (30, TAUT, Agreement.NO_CHAIN),
        (0, TAUT, Agreement.NO_CHAIN),
        (np.nan, TAUT, Agreement.ONE_MISSING),
        (112, np.nan, Agreement.ONE_MISSING),
        (112, -TAUT, Agreement.UNEXPLAINED),
    ],
)
def test_agreement(links, distance, agreement):
    assert diagnose(links, distance, 0.002, PITCH, 13, 50).agreement == agreement


def test_515_typed_where_metres_are_wanted():
    """With the links known and with them unknown."""
    result = diagnose(np.array([98, np.nan]), 515.0, 0.002, PITCH, 13, 50)
    assert list(result.agreement) == [Agreement.UNIT_SLIP, Agreement.UNIT_SLIP]
    assert list(result.slip) == [1000, 1000]
    assert list(result.even_links) == [98, 98]


def test_the_one_number_known_gives_the_other():
    without_links = diagnose(np.nan, TAUT, 0.002, PITCH, 13, 50)
    assert without_links.even_links == 112
    without_distance = diagnose(112, np.nan, 0.002, PITCH, 13, 50)
    assert without_distance.implied_distance == pytest.approx(TAUT)


def test_miscount_names_the_other_count():
    assert diagnose(112, TAUT + 0.016, 0.002, PITCH, 13, 50).even_links == 114


def test_wear_is_the_share_by_which_the_distance_grew():
    worn = chain.centre_distance_for(112, PITCH * 1.012, 13, 50)
    assert diagnose(112, worn, 0.002, PITCH, 13, 50).as_wear == pytest.approx(0.012)

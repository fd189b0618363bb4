"""The verdict sentence against teeth counted by hand, and the same facts on every page."""

import re

import numpy as np
import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.study.fit_chain import fit_map, sold
from explorer.study.study import Study
from explorer.study.verdict import verdicts_of
from tests.records.bikes.test_own_bike import MEADOW


def all_pairs(bike_id):
    bike = demo_bikes()[bike_id]
    fitted = Fitment.fitted_to(bike)
    fronts, rears = sold(bike)
    pairs = [Fitment(int(f), int(r), fitted.tyre, fitted.rollout) for f in fronts for r in rears]
    setup, measured = Setup.for_bike(bike_id, bike), Measurements.for_bike(bike)
    found = verdicts_of(Study(bike, setup, (fitted, *pairs)), measured)[1:]
    return bike, measured, found


@pytest.mark.parametrize("bike_id", list(demo_bikes()))
def test_percentages_are_those_of_the_teeth(bike_id):
    bike, _, found = all_pairs(bike_id)
    before = bike.sprockets.rear / bike.sprockets.front
    for each in found:
        said = each.sentence("metric")
        numbers = [float(number) for number in re.findall(r"(\d+\.\d) %", said)]
        now = each.rear / each.front
        pull, speed = 100 * abs(now / before - 1), 100 * abs(before / now - 1)
        expected = [pull, speed] if now > before else [speed, pull]
        assert numbers in ([], [round(number, 1) for number in expected]) or np.allclose(
            numbers, expected, atol=0.051
        )


@pytest.mark.parametrize("bike_id", list(demo_bikes()))
def test_what_is_said_of_your_chain_is_the_map_of_the_fit_page(bike_id):
    bike, measured, found = all_pairs(bike_id)
    on_the_map = fit_map(bike, measured).verdict.ravel()
    for each, code in zip(found, on_the_map, strict=True):
        if not each.same_pair and not each.keep:
            assert ("Your chain fits." in each.sentence("metric")) == (code == 0)


def test_nothing_is_bought_for_what_nobody_feels_or_what_does_not_fit():
    for bike_id in demo_bikes():
        for each in all_pairs(bike_id)[2]:
            said = each.sentence("metric")
            if each.keep or "does not fit" in said:
                assert "To buy" not in said


def test_what_is_assumed_is_named_where_it_decides_and_what_is_missing_is_asked_for():
    """A bike of one's own has no torque curve, and nobody measured its adjuster."""
    bike = read_own_bike(MEADOW).bike
    setup, measured = Setup.for_bike("mine", bike), Measurements.for_bike(bike)
    fitted = Fitment.fitted_to(bike)
    shorter = Fitment(fitted.front - 1, fitted.rear, fitted.tyre, fitted.rollout)
    _, found = verdicts_of(Study(bike, setup, (fitted, shorter)), measured)
    said = found.sentence("metric")
    assert re.search(r"Top speed: [^.;]+(\.\d.*)?; assumes a torque curve from 11 kW\.", said)
    # Its links are counted: only what is missing is asked for.
    assert "Fit? Measure the adjuster." in said
    demo, _, others = all_pairs("bracken-125")
    assert not any("assumes" in each.sentence("metric") for each in others), demo.name

"""The trade-off's bands and the check page's predictions hold in about 95 of 100 draws.

Drawn as in tests/study/test_bands_hold.py, which has the other kinds of number: figures, measures,
times over a course and the differences of all of them; tests/study/test_each_input_alone.py has the
sensitivity chart and the short list. Nothing of explorer.calc.statistics is used.
"""

from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from explorer.calc.motion.measures import roll_on, steepest_slope_by_gear
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.rides.typed_runs import HillRun, TimedRuns
from explorer.study.check.compare_result import Predictions
from explorer.study.driven import Driven
from explorer.study.goals import measure_of
from explorer.study.study import CHOSEN, FITTED
from tests.study.test_bands_hold import draws_of, hold, inside_each_gear, question, share

GROUNDS = ("dry-asphalt", "forest-soil", "loose-sand")
SIDES = ("front", "rear")


@pytest.mark.parametrize("measure", ["clutch_out", "roll_on", "slope_in_gear"])
def test_bands_of_all_pairs(measure):
    """At the tallest, the shortest and three pairs between them, most of them between two nodes."""
    found = {"speed": [], "measure": []}
    for seed, (name, ground) in enumerate(product(demo_bikes(), GROUNDS)):
        pairs = question(name, ground, measure).pairs
        order = np.argsort(pairs.ratios, axis=None)
        for at in order[np.linspace(0, order.size - 1, 5).astype(int)]:
            teeth = {side: int(getattr(pairs.tradeoff, side).ravel()[at]) for side in SIDES}
            asked = question(name, ground, measure, **teeth)
            driven = Driven(draws_of(asked, seed)[CHOSEN])
            geared = driven.limiter_speeds[:, -1]
            speed = geared if pairs.tradeoff.ground_sets_top else driven.top.speed
            value = measure_of(asked.setup)(driven.drive, driven.shifts)
            drawn = (speed, pairs.tradeoff.speed), (value, pairs.tradeoff.value)
            for kind, (draws, values), band in zip(found, drawn, pairs.bands, strict=True):
                about = float(values.ravel()[at])
                if np.isfinite(about) and np.isfinite(draws).all():
                    found[kind].append(share(draws, about, band.at(int(at))))
    assert min(map(len, found.values())) >= 30
    hold(found)


def test_each_gear_and_the_heat_in_the_clutch():
    """The ground page's tables of steepest slope, speed held and slowest speed."""
    found = {}
    for seed, (name, ground) in enumerate(product(demo_bikes(), GROUNDS)):
        for kind, parts in inside_each_gear(question(name, ground, "clutch_out"), seed).items():
            found.setdefault(kind, []).extend(parts)
    assert len(found) == 7 and min(map(len, found.values())) >= 10, found.keys()
    hold(found)


def test_predictions_of_the_check_page():
    """Times of a roll-on and their difference, and the steepest slope, on level ground."""
    found = {"time": [], "difference of time": [], "slope": []}
    for seed, (name, ground) in enumerate(product(demo_bikes(), GROUNDS)):
        study = question(name, ground, "clutch_out", slope=0.0, head_wind=0.0)
        gear = min(2, study.drive.gears - 1)
        runs = TimedRuns(gear + 1, 30 / 3.6, 45 / 3.6, (3.0, 3.1), (3.0, 3.1), 0.1)
        alone, changes = Predictions(study).roll_ons([(FITTED, runs), (CHOSEN, runs)])
        [hill] = Predictions(study).hills([(CHOSEN, HillRun(gear + 1, 0.1, True))])
        drives = [Driven(each) for each in draws_of(study, seed)]
        fitted, chosen = (roll_on(d.drive, d.shifts, 30 / 3.6, 45 / 3.6, gear) for d in drives)
        slope = np.tan(steepest_slope_by_gear(drives[CHOSEN].drive)[:, gear])
        shown = [(slope, hill.steepest)]
        if np.isfinite(chosen - fitted).all():
            shown += [(chosen, alone[CHOSEN].predicted)]
            shown += [(chosen - fitted, each.predicted) for each in changes]
        for kind, (draws, mean) in zip(
            ("slope", "time", "difference of time"), shown, strict=False
        ):
            alike = SimpleNamespace(below=mean.expanded, above=mean.expanded)
            found[kind].append(share(draws, mean.value, alike))
    assert min(map(len, found.values())) >= 10
    hold(found)

"""The trade-off's bands and the check page's predictions hold in about 95 of 100 draws.

Drawn as in tests/study/test_bands_hold.py, which has the other kinds of number: figures, measures,
times over a course and the differences of all of them; tests/study/test_each_input_alone.py has the
sensitivity chart and the short list. Nothing of explorer.calc.statistics is used.
"""

import math
from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from explorer.calc.motion.measures import roll_on, steepest_slope_by_gear
from explorer.calc.ride.speedometer_fit import fit_line, reading_at, true_speed_at
from explorer.calc.statistics.repeated_runs import coverage_factor, mean_both_ways
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.rides.typed_runs import HillRun, MarkedSpeed, TimedRuns
from explorer.study.check.compare_result import Predictions
from explorer.study.driven import Driven
from explorer.study.goals import BY_SHIFTING, measure_of
from explorer.study.study import CHOSEN, FITTED
from tests.study.test_bands_hold import (
    DRAWS,
    bikes_on,
    draws_of,
    fewest,
    hold,
    inside_each_gear,
    question,
    share,
)

GROUNDS = ("dry-asphalt", "forest-soil", "loose-sand")
SIDES = ("front", "rear")


@pytest.mark.parametrize("measure", ["clutch_out", "roll_on", "slope_in_gear"])
def test_bands_of_all_pairs(measure, long_run):
    """At the tallest, the shortest and three pairs between them, most of them between two nodes."""
    found = {"speed": [], "measure": []}
    for seed, name, ground in bikes_on(GROUNDS, long_run):
        pairs = question(name, ground, measure).pairs
        order = np.argsort(pairs.ratios, axis=None)
        for at in order[np.linspace(0, order.size - 1, 5).astype(int)]:
            teeth = {side: int(getattr(pairs.tradeoff, side).ravel()[at]) for side in SIDES}
            asked = question(name, ground, measure, **teeth)
            driven = Driven(draws_of(asked, seed)[CHOSEN])
            geared = driven.limiter_speeds[:, -1]
            speed = geared if pairs.tradeoff.ground_sets_top else driven.top.speed
            shifts = driven.shifts if measure in BY_SHIFTING else None
            value = measure_of(asked.setup)(driven.drive, shifts)
            drawn = (speed, pairs.tradeoff.speed), (value, pairs.tradeoff.value)
            for kind, (draws, values), band in zip(found, drawn, pairs.bands, strict=True):
                about = float(values.ravel()[at])
                if np.isfinite(about) and np.isfinite(draws).all():
                    found[kind].append(share(draws, about, band.at(int(at))))
    assert min(map(len, found.values())) >= fewest(30, long_run)
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
    """Times of a roll-on and their difference, and the steepest slope, on level ground; the speed
    at a marked engine speed, read to ±2 %, on a tyre measured and not."""
    found = {"time": [], "difference of time": [], "slope": [], "speed": []}
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
        for rollout, half in ((2.0, 0.003), (None, 0.03)):
            asked = question(name, ground, "clutch_out", rollout=rollout)
            marked = MarkedSpeed(gear + 1, 400.0, None, 10.0)
            [said] = Predictions(asked).marked_speeds([(CHOSEN, marked)])
            random = np.random.default_rng(seed)
            off = (random.uniform(-each, each, DRAWS) for each in (half, 0.02))
            speed = said.predicted.value * math.prod(1 + each for each in off)
            alike = SimpleNamespace(below=said.predicted.expanded, above=said.predicted.expanded)
            found["speed"].append(share(speed, said.predicted.value, alike))
    assert min(map(len, found.values())) >= 10
    hold(found)


@pytest.mark.parametrize("count", [2, 3, 6])
def test_means_and_lines_of_what_a_rider_measured(count):
    """Runs of normal scatter read to 0.1 s; a speedometer line through one reading more."""
    random, true = np.random.default_rng(count), np.linspace(30.0, 90.0, count + 1)
    found = {name: [] for name in ("mean", "slope", "offset", "reading", "true speed")}
    for _ in range(DRAWS):
        wind = random.uniform(-0.3, 0.3)
        ways = [np.round(random.normal(6.0 + sign * wind, 0.2, count), 1) for sign in (1, -1)]
        mean = mean_both_ways(*ways, 0.1)
        fit = fit_line(true, 2.0 + 1.04 * true + random.normal(0, 0.5, true.size))
        one = 2.0 + 1.04 * 60.0 + random.normal(0, 0.5)
        errors = np.sqrt(np.diag(fit.covariance)) * coverage_factor(fit.degrees_of_freedom)
        there, back = reading_at(fit, 60.0), true_speed_at(fit, one)
        found["mean"].append(abs(mean.value - 6.0) <= mean.expanded)
        found["offset"].append(abs(fit.offset - 2.0) <= errors[0])
        found["slope"].append(abs(fit.slope - 1.04) <= errors[1])
        found["reading"].append(abs(one - there.value) <= there.prediction)
        found["true speed"].append(abs(back.value - 60.0) <= back.prediction)
    hold(found)

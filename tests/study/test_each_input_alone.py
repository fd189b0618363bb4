"""The sensitivity chart's bars and the short list's "no real change" hold in about 95 of 100 draws.

Drawn as in tests/study/test_bands_hold.py, by NumPy's generator from the bounds that the method
page states; nothing of explorer.calc.statistics is used.
"""

from dataclasses import replace
from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.power_correction import power_factor
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.records.tyre import rollout
from explorer.study.driven import Driven
from explorer.study.engine_figures import engine_figures
from explorer.study.question import conditions_of, vehicle_of
from explorer.study.study import CHOSEN, FIGURES, FITTED
from explorer.study.wants.kinds import read_want
from explorer.study.wants.scene import Scene
from explorer.study.wants.want import GroundWant
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_placed import ground_of
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import short_list
from tests.study.test_bands_hold import (
    AMOUNTS,
    DRAWS,
    SHARES,
    bikes_on,
    draws_of,
    fewest,
    hold,
    question,
    share,
)

GROUNDS = ("dry-asphalt", "forest-soil", "loose-sand")
NOT_SEEN = 1e-4
"""A bar that is shorter than this share of the level has no length on the chart."""

WIND, ALTITUDE = 10 / 3.6, 300.0
"""As the short list's trials have them (our choice)."""


def alone(study, seed, name):
    """The drives of `draws_of` with one input drawn, all others as given."""
    vehicle, conditions, ratios, turns = study._cases
    drives = []
    for index, every in enumerate(draws_of(study, seed)):
        own = replace(
            vehicle,
            **{
                each: getattr(vehicle, each)[index]
                for each in ("chain_efficiency", "chain_front", "chain_rear")
                if np.size(getattr(vehicle, each)) > 1
            },
        )
        here, turn = conditions, np.full(DRAWS, turns[index])
        if name == "rollout":
            turn = every.rollout.ravel()
        elif name in SHARES | AMOUNTS:
            own = replace(own, **{name: getattr(every.vehicle, name)})
        else:
            here = replace(here, **{name: getattr(every.conditions, name)})
        drives.append(Driven(Drive(own, here, np.full(DRAWS, ratios[index]), turn)))
    return drives


@pytest.mark.parametrize("figure", ["goal", "top"])
def test_what_one_input_alone_does(figure, long_run):
    """An input that does nothing has no bar, and then does nothing in any draw."""
    found = {"level": [], "difference": []}
    for seed, bike, ground in bikes_on(GROUNDS, long_run):
        study = question(bike, ground, "time_to_speed")
        level = study.estimate(figure).value
        if not np.isfinite(level).all():
            continue
        bands = study.sensitivity(figure)
        for row, spread in enumerate(study.spreads):
            fitted, chosen = (
                FIGURES[figure](each, study.setup)[:DRAWS]
                for each in alone(study, seed, spread.input)
            )
            shown = (chosen, level[CHOSEN]), (chosen - fitted, level[CHOSEN] - level[FITTED])
            for kind, (draws, about), band in zip(found, shown, bands, strict=True):
                one = SimpleNamespace(below=band.below[row, CHOSEN], above=band.above[row, CHOSEN])
                if np.isnan(draws).any():  # the page says that the goal may not be reached
                    continue
                part = share(draws, about, one)
                if one.below + one.above > NOT_SEEN * level[CHOSEN]:
                    found[kind].append(part)
                else:
                    seen = abs(draws - about) > 2 * NOT_SEEN * level[CHOSEN]
                    assert np.mean(seen) < 0.05, (bike, ground, spread.input)
    assert all(len(each) >= fewest(30, long_run) for each in found.values())
    hold(found)


def margins(want, bike, setup, ratios, seed):
    """Margin of a want in each draw, for some final ratios."""
    random = np.random.default_rng(seed)
    conditions, _ = conditions_of(setup)
    air = standard_atmosphere(setup.altitude + random.uniform(-ALTITUDE, ALTITUDE, DRAWS))
    conditions = replace(
        conditions,
        head_wind=setup.head_wind + random.uniform(-WIND, WIND, DRAWS),
        air_density=air_density(air.pressure, air.temperature),
        power_factor=power_factor(air.pressure, air.temperature),
    )
    turn = rollout(setup.tyre, setup.rollout).value
    cases = vehicle_of(bike, setup), conditions, np.array(ratios), np.full(len(ratios), turn)
    asked = SimpleNamespace(_cases=cases, setup=setup, count=len(ratios))
    scenes = (Scene(each, engine_figures(bike)) for each in draws_of(asked, seed))
    return [np.broadcast_to(want.measure(each).margin, DRAWS) for each in scenes]


def test_changes_of_the_short_list():
    """Gains and losses of each pair listed, on the grounds of two terrains and of the rider."""
    found = {}
    wants = [read_want(kind) for kind in ("clutch-out", "cruise", "slope", "top-speed")]
    for seed, (name, ground) in enumerate(product(demo_bikes(), GROUNDS)):
        bike = demo_bikes()[name]
        setup = Setup.for_bike(name, bike).changed(surface=ground)
        wishes = Wishes(tuple(wants), (("woods", 1.0), ("road", 1.0)))
        result = compute(bike, setup, Measurements.for_bike(bike), wishes)
        for entry in short_list(result).entries:
            for change in (*entry.gains, *entry.losses):
                placed = result.judged[change.want].placed
                apart = change.after - change.before
                if not isinstance(placed.want, GroundWant) or not np.isfinite(apart):
                    continue
                ratios = [result.ratio[each] for each in (result.now, entry.index)]
                now, then = margins(placed.want, bike, ground_of(placed, setup), ratios, seed)
                both = np.isfinite(then - now)
                if both.all() and change.band.below + change.band.above > 0:
                    part = share(then - now, apart, change.band)
                    found.setdefault(placed.want.kind, []).append(part)
    assert len(found) >= 3
    hold({"changes": [part for each in found.values() for part in each]})

"""The bench's table in the browser's form: rows, what the reader's units are, and every text."""

import base64
import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, product
from typing import Any

import numpy as np

from explorer import units
from explorer.app.controls import tyre_sizes
from explorer.app.gearing_views import SHORT_LIMITS, measure_name, measure_scale
from explorer.calc import gearing
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.begun_bike import TORQUE, asks
from explorer.records.bikes.own_bike import curve_said
from explorer.records.tyre import parse_size
from explorer.study.goals import MEASURES
from explorer.study.pairs import pairs_of
from explorer.study.table import RUN_TIMES, Rows, arrays_of, packed, sold_pairs
from explorer.study.verdict import verdicts_of
from explorer.study.wants.wants_chain import pair_chains
from explorer.tasks.bench.offers import offers_of
from explorer.tasks.bench.state import BenchChoice
from explorer.tasks.bench.words import TILES, RowWords
from explorer.tasks.ground.words import where_sentence
from explorer.units import RPM

_HANGS_ON = {"shift": "speeds", "pull": "pull", "tradeoff": "pull"}
"""What of `asks` each chart needs."""
_WAYS = {
    "clutch_out": "slower walk",
    "walking_revs": "more revs in hand",
    "throttle_to_hold": "less throttle",
    "roll_on": "quicker",
    "time_to_speed": "quicker",
    "time_over_distance": "quicker",
}
"""What the better way of a measure is called on its axis."""


@dataclass(frozen=True, eq=False)
class BenchTable:
    """A table as it travels, in base64, with a mark that tells two tables apart, and its header."""

    text: str
    mark: str
    meta: Mapping[str, Any]


def tyres_of(choice: BenchChoice) -> list[str]:
    """The tyres of the slider: the same for as long as the bike is, and what set-ups had on it."""
    others = frozenset((*choice.sizes, *(each.tyre for each in choice.others)))
    return list(_tyres(choice.bike.tyre.rear, others))


@lru_cache(maxsize=16)
def _tyres(fitted: str, others: frozenset[str]) -> tuple[str, ...]:
    sizes = (tyre_sizes(each, fitted) for each in (fitted, *sorted(others)))
    found = dict.fromkeys(size for size, _ in chain.from_iterable(sizes))
    return tuple(sorted(found, key=lambda size: parse_size(size).circumference))


def near(choice: BenchChoice) -> list[tuple[int, int]]:
    """Pairs to answer with at once while a tyre is dragged: a tooth or two from the set-ups."""
    steps = product(choice.others, (-1, 0, 1), (-2, -1, 0, 1, 2))
    wanted = {(each.front + front, each.rear + rear) for each, front, rear in steps}
    return [pair for pair in sold_pairs(choice.bike) if pair in wanted]


@lru_cache(maxsize=4)
def table_of(choice: BenchChoice, serial: int = 0, at_once: bool = False) -> BenchTable:
    """The table for a choice.

    Args:
        serial: Of what the browser said last: it keeps its own teeth if it has said more since.
        at_once: Only the rows near the set-ups, without runs and the map of all pairs.
    """
    pairs = near(choice) if at_once else None
    rows = Rows.of(choice.bike, choice.setup, choice.others, pairs)
    begun = asks(choice.bike.missing)
    arrays = arrays_of(rows, runs=not at_once and not begun)
    if not at_once:
        arrays |= _map(choice)
    said = _texts(choice, rows, at_once)
    arrays["chain"] = np.array(said.pop("chain"), np.int8)
    arrays["same_rear"] = _same_rear(rows)
    meta = _meta(choice, rows, serial) | said
    content = packed(meta, arrays)
    text = base64.b64encode(content).decode()
    return BenchTable(text, hashlib.sha256(content).hexdigest()[:12], meta)


def _texts(choice: BenchChoice, rows: Rows, at_once: bool) -> dict[str, Any]:
    study, words = rows.study, RowWords(rows.study)
    found, every = verdicts_of(study, choice.measured), range(study.count)
    return {
        "texts": [words.tiles(row, found[row]) for row in every],
        "verdicts": [each.sentence(study.setup.units) for each in found],
        "said": [words.shifting(row) for row in every],
        "chain": [each.fits for each in found],
        "offers": None if at_once else offers_of(rows, found, choice.measured),
    }


def _map(choice: BenchChoice) -> dict[str, np.ndarray]:
    """Every pair on the trade-off, whichever have rows."""
    pairs = pairs_of(choice.bike, choice.setup).tradeoff
    chains = pair_chains(choice.bike, choice.measured, pairs.front.ravel(), pairs.rear.ravel())
    return {
        "map_front": pairs.front.ravel().astype(np.uint8),
        "map_rear": pairs.rear.ravel().astype(np.uint8),
        "map_speed": pairs.speed.ravel(),
        "map_geared": np.array([pairs.ground_sets_top], np.uint8),
        "map_measure": pairs.value.ravel(),
        "map_best": pairs.best_compromise.ravel().astype(np.uint8),
        "map_chain": chains.reach.astype(np.int8),
    }


def _same_rear(rows: Rows) -> FloatArray:
    """Rear sprocket that gears about as one front tooth fewer, and one more, does; 0 for none."""
    found = np.zeros((rows.study.count, 2), np.uint8)
    low, high = rows.study.bike.sprockets.rear_sold
    for row, each in enumerate(rows.study.fitments):
        teeth = gearing.rear_teeth_per_front_tooth(each.front, each.rear)
        fewer, more = round(float(teeth.for_one_fewer)), round(float(teeth.for_one_more))
        for column, rear in enumerate((each.rear + fewer, each.rear - more)):
            found[row, column] = rear if low <= rear <= high else 0
    return found


def _meta(choice: BenchChoice, rows: Rows, serial: int) -> dict[str, Any]:
    study, setup, bike = rows.study, choice.setup, choice.bike
    drive, lacking = study.drive, asks(bike.missing)
    factor, unit, _ = measure_scale(setup)
    speeds = np.linspace(0.0, study.road_speed.max() * 1.02, 41)
    thrusts = (float(np.ravel(each)[0]) for each in (drive.grip_thrust, drive.wheelie_thrust))
    grip, lift = (each if math.isfinite(each) else None for each in thrusts)
    slots = [("Fitted", study.fitments[0]), *zip(choice.names, choice.others, strict=False)]
    return {
        "version": 1,
        "serial": serial,
        "bike": bike.name,
        "whose": bike.said_name,
        "where": where_sentence(study),
        "assumes": curve_said(bike),
        "named": rows.named,
        "gears": drive.gears,
        **{kind: units.display(1.0, kind, setup.units) for kind in ("speed", "force", "distance")},
        "idle": drive.idle_speed.item() / RPM,
        "firings": bike.engine.firings,
        "launch": drive.launch_speed.item() / RPM,
        "limiter": drive.limiter_speed.item() / RPM,
        # In place of a chart, where the bike is only begun.
        "asks": {name: lacking[of] for name, of in _HANGS_ON.items() if of in lacking},
        "tyre_known": "tyre.rear" not in bike.missing,
        "band": None
        if TORQUE in bike.missing
        else (study.power_band.low / RPM, study.power_band.high / RPM),
        "resistance": {
            "speed": [round(each, 4) for each in speeds.tolist()],
            "pull": [round(each, 2) for each in drive.resistance(speeds)[0].ravel().tolist()],
        },
        "grip": grip,
        "lift": lift,
        "measure": {
            "name": measure_name(setup),
            "factor": factor,
            "unit": unit,
            "better": "higher" if MEASURES[setup.measure].larger_is_better else "lower",
            "way": _WAYS.get(setup.measure, "more pull"),
        },
        "sold": {name: getattr(bike.sprockets, f"{name}_sold") for name in ("front", "rear")},
        "slots": [
            {
                "name": name,
                "front": each.front,
                "rear": each.rear,
                "tyre": each.tyre,
                "other": (each.tyre, each.rollout) != (setup.tyre, setup.rollout),
            }
            for name, each in slots
        ],
        "picked": choice.at + 1,
        "tyres": tyres_of(choice),
        "tyre": setup.tyre,
        "limits": [SHORT_LIMITS[limit] for limit in Limit],
        "tiles": TILES,
        "run_times": RUN_TIMES.tolist(),
    }

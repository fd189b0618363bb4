"""Every pair of sprockets as one row of a table: the browser picks a row, and computes nothing.

The rows are cases of one study, so a row and a study of that pair alone are the same computation.
The first rows are the set-ups with names, the fitted one first, each on its own tyre; then comes
every pair sold for the bike, on the tyre under the sliders. Everything is SI, but engine speeds
[rpm]; curves, which are only drawn, are steps of their largest value.

The binary form is one header and the arrays behind it, deflated: four bytes of the header's length
(little-endian), the header (JSON, filled up with spaces to a multiple of four), and each array at
its offset from the header's end. The steps of a curve are kept as differences (`_differences`).
"""

import json
import struct
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from explorer.calc.motion.run import full_throttle
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.begun_bike import TORQUE
from explorer.records.bikes.bike import Bike
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.study.study import Study
from explorer.units import RPM

_STEPS = 2047
"""Of the largest value of a curve: finer than a pixel, and short on the line."""
_STEPS_OF_DISTANCE = 8191
"""What a run's distances are told in, in figures."""
_ALONG_A_ROW = ("run_speed", "run_distance")
"""Arrays whose neighbours in a row are more alike than those in a column."""

RUN_TIMES = np.linspace(0.0, 24.0, 97)
"""When a full-throttle run is looked at [s]."""


@dataclass(frozen=True, eq=False)
class Rows:
    """Which set-ups a table holds.

    Attributes:
        study: Its cases are the rows.
        named: How many of the first rows are set-ups with names [count].
    """

    study: Study
    named: int

    @classmethod
    def of(
        cls,
        bike: Bike,
        setup: Setup,
        others: tuple[Fitment, ...],
        pairs: Iterable[tuple[int, int]] | None = None,
    ) -> "Rows":
        """The rows for what is fitted, other set-ups, and pairs on the tyre of `setup`.

        Args:
            bike: The motorcycle.
            setup: Ground, air, rider, measure, and the tyre under the sliders.
            others: The set-ups beside the fitted one.
            pairs (iterable of (front, rear) or None): Which pairs; None for all that are sold
                [teeth].
        """
        fitted = Fitment.fitted_to(bike, Fitment.chosen_in(setup), *others)
        named = (fitted, *others)
        pairs = sold_pairs(bike) if pairs is None else pairs
        rest = (Fitment(front, rear, setup.tyre, setup.rollout) for front, rear in pairs)
        return cls(Study(bike, setup, (*named, *rest)), len(named))

    @property
    def pairs(self) -> tuple[Fitment, ...]:
        """The set-ups without names."""
        return self.study.fitments[self.named :]


def sold_pairs(bike: Bike) -> list[tuple[int, int]]:
    """Every pair of the sprockets sold for a bike, front by front [teeth]."""
    (front_low, front_high), (low, high) = bike.sprockets.front_sold, bike.sprockets.rear_sold
    fronts, rears = range(front_low, front_high + 1), range(low, high + 1)
    return [(front, rear) for front in fronts for rear in rears]


def arrays_of(rows: Rows, runs: bool) -> dict[str, np.ndarray]:
    """What the browser draws of each row.

    Args:
        rows: The rows.
        runs: Whether to give the full-throttle runs as well, which take longest.
    """
    study = rows.study
    top, fitments = study.top, study.fitments
    path_speed, path_rpm = shift_path(study)
    found = {
        "front": np.array([each.front for each in fitments], np.uint8),
        "rear": np.array([each.rear for each in fitments], np.uint8),
        "idle_speed": study.road_speed[..., 0].astype(np.float32),
        "limiter_speed": study.limiter_speeds.astype(np.float32),
        "path_speed": path_speed.astype(np.float32),
        "path_rpm": path_rpm.astype(np.float32),
        "top_speed": top.speed.astype(np.float32),
        "top_gear": top.gear.astype(np.uint8),
        "top_limit": top.limit.astype(np.uint8),
        "measure": study.measure.astype(np.float32),
        "pull": study.pull,
        "held_back": study.engine_pull - study.pull,
    }
    if runs:
        found |= run_arrays(study)
    return found


def shift_path(study: Study) -> tuple[FloatArray, FloatArray]:
    """Road speed [m/s] and engine speed [rpm] from rest through the gears, clutch slip included.

    Three corners for each gear: where it is taken, where the clutch has locked, where it is left.
    A gear that is not used repeats the last corner. Shape (cases, 3 × gears).
    """
    launch = study.drive.launch_speed.item() / RPM
    per_speed = (study.drive.overall / study.drive.radius)[:, :, 0] / RPM
    leave = np.maximum.accumulate(study.shifts.exit_speed, axis=1)
    pays = study.shifts.shifts_up[:, :-1].astype(bool)
    if TORQUE in study.bike.missing:  # where a shift pays is not known: each gear to its end
        leave, pays = study.limiter_speeds, np.ones_like(pays)
    take = np.pad(leave[:, :-1], ((0, 0), (1, 0)))
    locked = np.clip(launch / per_speed, take, leave)
    speed = np.stack([take, locked, leave], axis=-1)
    rpm = np.maximum(per_speed[..., np.newaxis] * speed, launch)
    used = np.logical_and.accumulate(pays, axis=1).sum(axis=1)
    gears = np.minimum(np.arange(leave.shape[1]), used[:, np.newaxis])
    shape = (study.count, -1)
    # The corners of the last gear in use for those that follow, and of them the last one only.
    index = np.repeat(gears, 3, axis=1) * 3 + np.where(
        np.repeat(np.arange(leave.shape[1])[np.newaxis] > used[:, np.newaxis], 3, axis=1),
        2,
        np.tile(np.arange(3), leave.shape[1]),
    )
    return (
        np.take_along_axis(speed.reshape(shape), index, axis=1),
        np.take_along_axis(rpm.reshape(shape), index, axis=1),
    )


def run_arrays(study: Study) -> dict[str, np.ndarray]:
    """A full-throttle run from rest for each case, at `RUN_TIMES`: speed, distance, gear."""
    run = full_throttle(study.drive, study.shifts)
    speed, distance, gear = (np.empty((study.count, RUN_TIMES.size)) for _ in range(3))
    for case in range(study.count):
        known = np.isfinite(run.time[case])
        time = run.time[case][known]
        last = np.searchsorted(time, RUN_TIMES, side="right").clip(1) - 1
        speed[case] = np.interp(RUN_TIMES, time, run.road_speed[case][known])
        beyond = np.maximum(RUN_TIMES - time[-1], 0.0) * run.road_speed[case][known][-1]
        distance[case] = np.interp(RUN_TIMES, time, run.distance[case][known]) + beyond
        gear[case] = run.gear[known][last]
    return {"run_speed": speed, "run_distance": distance, "run_gear": gear.astype(np.uint8)}


def packed(meta: Mapping[str, Any], arrays: Mapping[str, np.ndarray]) -> bytes:
    """The binary form; arrays of 64 bits become steps of their largest value."""
    described, parts, offset = [], [], 0
    for name, array in arrays.items():
        scale, back = None, 0
        if array.dtype == np.float64:
            steps = _STEPS_OF_DISTANCE if name == "run_distance" else _STEPS
            scale = float(np.max(array, initial=0.0)) / steps or 1.0
            array = np.rint(array / scale).astype("<u2")
            back = 1 if name in _ALONG_A_ROW else array[0].size
        part = _differences(array, back) if back else np.ascontiguousarray(array).tobytes()
        described.append(
            {
                "name": name,
                "type": array.dtype.newbyteorder("<").str.lstrip("<|"),
                "shape": array.shape,
                "offset": offset,
                "scale": scale,
                "back": back,
            }
        )
        part += bytes(-len(part) % 4)
        parts.append(part)
        offset += len(part)
    header = json.dumps({**meta, "arrays": described}, ensure_ascii=False, allow_nan=False)
    head = header.encode()
    head += b" " * (-len(head) % 4)
    return zlib.compress(struct.pack("<I", len(head)) + head + b"".join(parts), 6)


def _differences(array: np.ndarray, back: int) -> bytes:
    """Each 16-bit step less the one so many places before, all low bytes before all high ones.

    Neighbours differ by little, so this takes a third of the room when it is deflated.
    """
    steps = array.ravel()
    before = np.concatenate([np.zeros(back, steps.dtype), steps[:-back]])
    return np.ascontiguousarray((steps - before).view(np.uint8).reshape(-1, 2).T).tobytes()


def unpacked(content: bytes) -> tuple[dict[str, Any], dict[str, np.ndarray]]:
    """Header and arrays of the binary form, as a browser reads it; scaled curves are floats."""
    plain = zlib.decompress(content)
    (size,) = struct.unpack_from("<I", plain)
    meta = json.loads(plain[4 : 4 + size])
    found = {}
    for each in meta.pop("arrays"):
        count = int(np.prod(each["shape"]))
        at = 4 + size + each["offset"]
        array = np.frombuffer(plain, np.dtype(each["type"]).newbyteorder("<"), count, at)
        if back := each["back"]:
            low, high = np.frombuffer(plain, np.uint8, 2 * count, at).reshape(2, count)
            array = low.astype("<u2") + (high.astype("<u2") << 8)
            array = np.cumsum(array.reshape(-1, back), axis=0, dtype="<u2")
        array = array.reshape(each["shape"])
        found[each["name"]] = array if each["scale"] is None else array * each["scale"]
    return meta, found

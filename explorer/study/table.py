"""Every pair of sprockets as one row of a table: the browser picks a row, and computes nothing.

The rows are cases of one study, so a row and a study of that pair alone are the same computation.
The first rows are the set-ups with names, the fitted one first, each on its own tyre; then comes
every pair sold for the bike, on the tyre under the sliders. Everything is SI, but engine speeds
[rpm]; curves, which are only drawn, are steps of their largest value.

The binary form is one header and the arrays behind it, deflated: four bytes of the header's length
(little-endian), the header (JSON, filled up with spaces to a multiple of four), and each array at
its offset from the header's end. Steps are kept as what neighbours do not tell (`_coded`): most
are noughts and ones, which deflates to a sixth.
"""

import json
import struct
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
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

_STEPS = {"pull": 2047, "run_speed": 2047, "run_distance": 8191}
"""Of the largest value of an array, of a curve for `pull`: finer than a pixel, and short on the
line; a run's distances are told in figures."""
_OTHER_STEPS = 32767
_LIKE = {"idle_speed": ("limiter_speed", False), "run_distance": ("run_speed", True)}
"""Arrays that are near a multiple of another one, or of its running sum along each row."""

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
    """Every pair of the sprockets sold for a bike, tallest first: neighbours are alike [teeth]."""
    (front_low, front_high), (low, high) = bike.sprockets.front_sold, bike.sprockets.rear_sold
    fronts, rears = range(front_low, front_high + 1), range(low, high + 1)
    pairs = ((front, rear) for front in fronts for rear in rears)
    return sorted(pairs, key=lambda pair: pair[1] / pair[0])


def arrays_of(rows: Rows, runs: bool) -> dict[str, np.ndarray]:
    """What the browser draws of each row.

    Args:
        runs: Whether to give the full-throttle runs as well, which take longest.
    """
    study = rows.study
    top, fitments = study.top, study.fitments
    path_speed, path_rpm = shift_path(study)
    found = {
        "front": np.array([each.front for each in fitments], np.uint8),
        "rear": np.array([each.rear for each in fitments], np.uint8),
        "limiter_speed": study.limiter_speeds,
        "idle_speed": study.road_speed[..., 0],
        "path_speed": path_speed,
        "path_rpm": path_rpm,
        "top_speed": top.speed,
        "top_gear": top.gear.astype(np.uint8),
        "top_limit": top.limit.astype(np.uint8),
        "measure": study.measure,
        "pull": study.pull,
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
    """The binary form; arrays of 64 bits become steps of their largest value.

    Where there are several curves a row, each becomes steps of its own largest value: curves of
    one shape are then told once. Texts are told tile by tile.
    """
    described: list[dict[str, Any]] = []
    parts, offset, kept = [], 0, {}
    for name, array in _with_largest(arrays):
        told: dict[str, Any] = {"scale": None, "backs": [], "like": None, "most": None}
        if array.dtype == np.float64:
            count = _STEPS.get(name, _OTHER_STEPS)
            told["scale"] = scale = float(np.max(array, initial=0.0)) / count or 1.0
            kept[name] = steps = array = np.rint(array / scale).astype("<u2")
            if f"{name}_most" in kept:
                told["most"] = f"{name}_most"
            if name in _LIKE:
                other, summed = _LIKE[name]
                expected = _sums(kept[other]) if summed else kept[other]
                factor = float(steps.sum() / max(expected.sum(), 1.0))
                told["like"] = other, factor, summed
                steps = steps - _expected(kept, *told["like"])
            else:
                told["backs"] = [array[0].size, 1] if array.ndim > 1 else [1]
            part = _coded(steps, told["backs"])
        else:
            part = np.ascontiguousarray(array).tobytes()
        kind = array.dtype.newbyteorder("<").str.lstrip("<|")
        described.append(
            {"name": name, "type": kind, "shape": array.shape, "offset": offset, **told}
        )
        part += bytes(-len(part) % 4)
        parts.append(part)
        offset += len(part)
    head = json.dumps(
        {**meta, "texts": _turned(meta["texts"], 1, 2, 0), "arrays": described},
        ensure_ascii=False,
        allow_nan=False,
        separators=(",", ":"),
    ).encode()
    head += b" " * (-len(head) % 4)
    return zlib.compress(struct.pack("<I", len(head)) + head + b"".join(parts), 6)


def _turned(texts: Sequence, *axes: int) -> list:
    return np.array(texts, object).transpose(axes).tolist()


def _with_largest(arrays: Mapping[str, np.ndarray]) -> Iterator[tuple[str, np.ndarray]]:
    for name, array in arrays.items():
        if array.ndim > 2:
            most = array.max(axis=-1)
            yield f"{name}_most", most
            array = array / np.where(most > 0, most, 1.0)[..., np.newaxis]
        if array.dtype == np.float64 and not (np.isfinite(array) & (array >= 0)).all():
            array = array.astype(np.float32)  # steps hold no such values
        yield name, array


def _sums(steps: np.ndarray) -> np.ndarray:
    """Along each row, of each two neighbours."""
    sums = np.zeros(steps.shape, np.int64)
    np.cumsum(steps[:, 1:].astype(np.int64) + steps[:, :-1], axis=1, out=sums[:, 1:])
    return sums


def _expected(
    kept: Mapping[str, np.ndarray], other: str, factor: float, summed: bool
) -> np.ndarray:
    base = _sums(kept[other]) if summed else kept[other]
    return np.floor(base * factor + 0.5).astype("<u2")


def _coded(array: np.ndarray, backs: Sequence[int]) -> bytes:
    """Each 16-bit step less the one so many places before, for each of `backs` in turn.

    Then 0, -1, 1, -2 … become 0, 1, 2, 3 …, and all low bytes come before all high ones.
    """
    steps = array.ravel()
    for back in backs:
        steps = steps - np.concatenate([np.zeros(back, steps.dtype), steps[:-back]])
    signed = steps.view("<i2")
    folded = np.left_shift(signed, 1) ^ np.right_shift(signed, 15)
    return np.ascontiguousarray(folded.view(np.uint8).reshape(-1, 2).T).tobytes()


def _decoded(plain: bytes, at: int, count: int, backs: Sequence[int]) -> np.ndarray:
    low, high = np.frombuffer(plain, np.uint8, 2 * count, at).reshape(2, count)
    folded = low.astype("<u2") + (high.astype("<u2") << 8)
    steps = (folded >> 1) ^ (-(folded & 1).astype("<i2")).view("<u2")
    for back in reversed(backs):
        steps = np.cumsum(steps.reshape(-1, back), axis=0, dtype="<u2").ravel()
    return steps


def unpacked(content: bytes) -> tuple[dict[str, Any], dict[str, np.ndarray]]:
    """Header and arrays of the binary form, as a browser reads it; scaled curves are floats."""
    plain = zlib.decompress(content)
    (size,) = struct.unpack_from("<I", plain)
    meta = json.loads(plain[4 : 4 + size])
    meta["texts"] = _turned(meta["texts"], 2, 0, 1)
    found: dict[str, np.ndarray] = {}
    kept: dict[str, np.ndarray] = {}
    for each in meta.pop("arrays"):
        name, shape, at = each["name"], each["shape"], 4 + size + each["offset"]
        count = int(np.prod(shape))
        if each["scale"] is None:
            kind = np.dtype(each["type"]).newbyteorder("<")
            found[name] = np.frombuffer(plain, kind, count, at).reshape(shape)
            continue
        steps = _decoded(plain, at, count, each["backs"]).reshape(shape)
        if each["like"]:
            steps = steps + _expected(kept, *each["like"])
        kept[name] = steps
        found[name] = steps * each["scale"]
        if each["most"]:
            found[name] = found[name] * found[each["most"]][..., np.newaxis]
    return meta, found

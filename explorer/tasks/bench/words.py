"""What the bench says about each row of its table, in the reader's units, written once here.

The browser shows these texts as they are. They are made by the functions that every other page
uses for the same figures, so a row and a page say the same digits.
"""

import math
from collections.abc import Callable

import numpy as np

from explorer import units
from explorer.app.gearing_views import SHORT_LIMITS, measure_name, measure_scale
from explorer.calc import gearing
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict as Fits
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.statistics.sampling import Band, Change
from explorer.records.bikes.begun_bike import TORQUE, asks
from explorer.study.certainty import change_with_band, level_alone, signed_percent, with_band
from explorer.study.compared import SAME
from explorer.study.fit_chain import UNKNOWN
from explorer.study.study import FITTED, Study
from explorer.study.verdict import Verdict
from explorer.study.wording import listed, more_changes, ordinal

TILES = ("ratio", "pull", "speed", "top", "measure", "chain")
"""The deciding numbers, in the order in which they stand."""


class RowWords:
    """Texts about the cases of a study, against its first one, which is fitted."""

    def __init__(self, study: Study) -> None:
        self._study = study
        self._system = study.setup.units
        speed = units.display(1.0, "speed", self._system)
        self._scales = {"top": speed, "measure": measure_scale(study.setup)[:2]}
        self._measure_name = measure_name(study.setup)
        short = study.ratios / np.array([each.value for each in study.rollouts])
        self._change = gearing.pull_change(short[FITTED], short)
        self._slower = gearing.speed_change(short[FITTED], short)
        self._asks = asks(study.bike.missing)
        self._holds = study.top.limit != Limit.CANNOT_HOLD
        self._levels = {name: study.estimate(name) for name in ("top", "measure")}
        self._sure = {name: each.band for name, each in self._levels.items()}
        self._sure_change = {name: each.change_bands(FITTED) for name, each in self._levels.items()}

    def same(self, row: int) -> bool:
        """Whether a row is geared as fitted."""
        return abs(self._change[row]) < SAME

    def tiles(self, row: int, verdict: Verdict) -> list[tuple[str, str]]:
        """Value, and what it is, of each of `TILES`."""
        change = float(self._change[row])
        way = f"{signed_percent(abs(change))[1:]} {'shorter' if change > 0 else 'taller'}"
        final = f"ratio {self._study.ratios[row]:.2f}"
        return [
            (self._study.fitments[row].pair, f"{final}, {'as fitted' if self.same(row) else way}"),
            (signed_percent(change), "pull, every gear"),
            (signed_percent(float(self._slower[row])), "speed at the same rpm"),
            *(self._begun(row) if self._asks else self._levels_of(row)),
            chain_tile(verdict),
        ]

    def _levels_of(self, row: int) -> tuple[tuple[str, str], tuple[str, str]]:
        return (
            self._tile("top", row, self.top(row), self._top_name(row)),
            self._tile("measure", row, self.measure(row), self._measure_name),
        )

    def _begun(self, row: int) -> tuple[tuple[str, str], tuple[str, str]]:
        """What the gearing alone says of speed, or what to give first."""
        later = ("–", "top speed: needs power and weight")
        if "speeds" in self._asks:
            return ("–", "speeds: need tyre and gears"), later
        speed = float(self._study.limiter_speeds[row, -1])
        return (units.text(speed, "speed", self._system), "top gear at the rev limit"), later

    def top(self, row: int) -> str:
        """Top speed with its band."""
        if not self._holds[row]:
            return SHORT_LIMITS[Limit.CANNOT_HOLD]
        return self._level("top", row, with_band)

    def measure(self, row: int) -> str:
        """The picked measure with its band."""
        if math.isnan(self._levels["measure"].value[row]):
            return "not reached"
        return self._level("measure", row, with_band)

    def difference(self, name: str, row: int) -> str:
        """Top speed or measure less that of the fitted one, with its own band; empty if equal."""
        if row == FITTED or self.same(row):
            return ""
        if name == "top" and not (self._holds[row] and self._holds[FITTED]):
            return ""
        value = float(self._levels[name].value[row] - self._levels[name].value[FITTED])
        change = Change(value, self._sure_change[name].at(row))
        return change_with_band(change, *self._scales[name])

    def shifting(self, row: int) -> str:
        """The shift chart in words."""
        if "speeds" in self._asks:
            return ""
        shifts = self._study.shifts
        ways = zip(shifts.exit_speed[row], shifts.shifts_up[row], strict=True)
        ends = [float(speed) for speed, up in ways if up]
        if TORQUE in self._study.bike.missing:
            ends = self._study.limiter_speeds[row, :-1].tolist()
        speeds = [units.text(speed, "speed", self._system) for speed in ends]
        return f"Change up at {listed(speeds)}." if speeds else "No change up."

    def _top_name(self, row: int) -> str:
        gear = int(self._study.top.gear[row]) + 1
        return f"top speed, {ordinal(gear)}" if self._holds[row] else "top speed"

    def _level(self, name: str, row: int, said: Callable[[float, Band, str], str]) -> str:
        factor, unit = self._scales[name]
        value = float(self._levels[name].value[row]) * factor
        return said(value, self._sure[name].at(row, factor), unit)

    def _tile(self, name: str, row: int, level: str, what: str) -> tuple[str, str]:
        """The difference first, with its own band; the level alone where there is none."""
        difference = self.difference(name, row)
        if not difference:
            return level, what
        if name == "measure" and self._study.setup.measure == "time_to_speed":
            what = ", ".join(filter(None, (what, more_changes(self._study.more_changes[row]))))
        return difference, f"{what}: {self._level(name, row, level_alone)}"


def chain_tile(verdict: Verdict) -> tuple[str, str]:
    """Whether the pair fits, and with which chain."""
    match verdict.fits:
        case Fits.FITS if verdict.choice == Choice.KEEP_CHAIN:
            return "fits", "your chain"
        case Fits.FITS:
            return "fits", f"with a chain of {verdict.links:.0f} links"
        case Fits.CLOSE:
            return "close", "chain: measure the adjuster again"
        case _ if verdict.fits == UNKNOWN:
            return "not known", f"chain: {verdict.missing}"
    return "does not fit", "chain: not within your adjuster"

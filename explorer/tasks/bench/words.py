"""What the bench says about each row of its table, in the reader's units, written once here.

The browser shows these texts as they are. They are made by the functions that every other page
uses for the same figures, so a row and a page say the same digits.
"""

import math

import numpy as np

from explorer import units
from explorer.app.fit_notes import SHORT_VERDICTS
from explorer.app.gearing_views import SHORT_LIMITS, measure_name, measure_scale
from explorer.calc import gearing
from explorer.calc.chain.chain_fit import Verdict
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.statistics.uncertainty import combined, distinguishable
from explorer.charts.wording import listed, ordinal
from explorer.study.certainty import is_nothing, signed_band, signed_percent, with_band
from explorer.study.fit_chain import UNKNOWN
from explorer.study.study import FITTED, Study

TILES = ("ratio", "pull", "speed", "top", "measure", "chain")
"""The deciding numbers, in the order in which they stand."""

_SAME = 0.0005
"""Two ratios closer than this read as equal: 0.05 %."""


class RowWords:
    """Texts about the cases of a study, against its fitted one.

    Parameters
    ----------
    study : Study
        Any number of set-ups, the fitted one first.
    """

    def __init__(self, study: Study) -> None:
        self._study = study
        self._system = study.setup.units
        self._speed = units.display(1.0, "speed", self._system)
        self._measure = measure_scale(study.setup)[:2]
        self._measure_name = measure_name(study.setup)
        turns = np.array([each.value for each in study.rollouts])
        short = study.ratios / turns
        self._change = gearing.pull_change(short[FITTED], short)
        self._slower = gearing.speed_change(short[FITTED], short)
        self._holds = study.top.limit != Limit.CANNOT_HOLD
        self._levels = {name: study.estimate(name) for name in ("top", "measure")}
        self._sure = {name: each.standard_uncertainty for name, each in self._levels.items()}
        self._sure_change = {}
        for name, each in self._levels.items():
            parts = (
                part - part[:, FITTED : FITTED + 1] for part in (each.contributions, each.curvatures)
            )
            self._sure_change[name] = combined(*parts, each.correlation)

    def same(self, row: int) -> bool:
        """Whether a row is geared as fitted."""
        return abs(self._change[row]) < _SAME

    def tiles(self, row: int, verdict: int = UNKNOWN, note: str = "") -> list[list[str]]:
        """Value, and what it is, of each of `TILES`."""
        fitment = self._study.fitments[row]
        change = float(self._change[row])
        way = f"{signed_percent(abs(change))[1:]} {'shorter' if change > 0 else 'taller'}"
        final = f"final drive {self._study.ratios[row]:.2f}"
        return [
            [fitment.pair, f"{final}, {'as fitted' if self.same(row) else way}"],
            [signed_percent(change), "pull of the engine, every gear"],
            [signed_percent(float(self._slower[row])), "speed at the same rpm"],
            [self.top(row), self._beside(self._top_name(row), self.difference("top", row))],
            [self.measure(row), self._beside(self._measure_name, self.difference("measure", row))],
            [_chain(verdict), note.partition("; ")[2] or "chain and axle"],
        ]

    def top(self, row: int) -> str:
        """Top speed with its band."""
        if not self._holds[row]:
            return SHORT_LIMITS[Limit.CANNOT_HOLD]
        return self._level("top", row, *self._speed)

    def measure(self, row: int) -> str:
        """The picked measure with its band."""
        if math.isnan(self._levels["measure"].value[row]):
            return "not reached"
        return self._level("measure", row, *self._measure)

    def difference(self, name: str, row: int) -> str:
        """Top speed or measure less that of the fitted one, with its own band; empty if equal."""
        factor, unit = self._speed if name == "top" else self._measure
        if row == FITTED or self.same(row):
            return ""
        if name == "top" and not (self._holds[row] and self._holds[FITTED]):
            return ""
        value = float(self._levels[name].value[row] - self._levels[name].value[FITTED]) * factor
        sure = float(self._sure_change[name][row]) * factor
        if not math.isfinite(value):
            return ""
        if is_nothing(value, sure):
            return "no difference"
        said = signed_band(value, sure, unit)
        return said if distinguishable(value, sure) else f"{said}, not sure to differ"

    def verdict(self, row: int, verdict: int = UNKNOWN) -> str:
        """One sentence, and a second one where the chain does not allow the pair."""
        if self.same(row):
            said = "Geared as fitted."
        else:
            shorter = self._change[row] > 0
            top = self.difference("top", row)
            said = (
                f"{'Shorter' if shorter else 'Taller'} than fitted: "
                f"{signed_percent(float(self._change[row]))} pull in every gear"
            )
            if not self._holds[row]:
                said += "; no gear holds a steady speed here."
            else:
                said += f"; top speed {top}." if top else "."
        if verdict in (Verdict.TOO_SHORT, Verdict.TOO_LONG, Verdict.NO_CHAIN):
            said += f" It {_chain(verdict)}."
        return said

    def shifting(self, row: int) -> str:
        """The shift chart in words."""
        shifts = self._study.shifts
        speeds = [
            units.text(float(speed), "speed", self._system)
            for speed, up in zip(shifts.exit_speed[row], shifts.shifts_up[row], strict=True)
            if up
        ]
        return f"Change up at {listed(speeds)}." if speeds else "No change up."

    def _top_name(self, row: int) -> str:
        if not self._holds[row]:
            return "top speed"
        top = self._study.top
        gear, limit = ordinal(int(top.gear[row]) + 1), SHORT_LIMITS[Limit(int(top.limit[row]))]
        return f"top speed in {gear}, {limit}"

    def _level(self, name: str, row: int, factor: float, unit: str) -> str:
        value = float(self._levels[name].value[row]) * factor
        return with_band(value, float(self._sure[name][row]) * factor, unit)

    @staticmethod
    def _beside(name: str, difference: str) -> str:
        return f"{name}: {difference}" if difference else name


def _chain(verdict: int) -> str:
    """The chain's verdict, before any colon's reason but where it does not fit."""
    said = SHORT_VERDICTS[verdict]
    return said if said.startswith("does not") else said.partition(":")[0]

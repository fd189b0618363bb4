"""What stands in the way of a want that no pair meets: what its kind asks to find it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants import want_measures
from explorer.records.setups.setup import Setup
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.scene import Scene, scene_on

_BEYOND = 5.0
"""How far beyond the shortest and the tallest pair sold a ratio is looked for that would do [-]."""

_RATIO_STEP = 0.01
"""Step between the ratios looked at: finer than one rear tooth [-]."""

_OF_GROUND = {Limit.GRIP: Reason.GRIP, Limit.FRONT_WHEEL_LIFT: Reason.BALANCE}


@dataclass(frozen=True, eq=False)
class Unmet:
    """All pairs with a want that none meets.

    Attributes:
        ground: What the rider chose, with the ground of the want.
        margin (array (pairs,)): Of the want, NaN where it is not reached [SI unit of the want].
        best: Index of the pair that comes nearest, whether its chain goes on or not.
    """

    every: EveryPair
    ground: Setup
    margin: FloatArray
    best: int

    @property
    def shortest(self) -> bool:
        """Whether the best pair is the shortest sold."""
        return bool(self.every.ratio[self.best] >= self.every.ratio.max())

    @property
    def _at_best(self) -> Scene:
        front, rear = (teeth[[self.best]] for teeth in self.every.teeth)
        return scene_on(self.every.bike, self.ground, front, rear)

    def slope_limit(self, gear: int | None = None) -> Limit:
        """What ends the steepest slope of the best pair: power, grip or balance."""
        return Limit(int(want_measures.slope_limit(self._at_best.drive, gear)[0]))

    def beyond_sold(self) -> Why:
        """A ratio beyond those sold would do, or one between two of them."""
        tallest = self.every.ratio[self.best] <= self.every.ratio.min()
        reason = Reason.NOT_SOLD if self.shortest or tallest else Reason.BETWEEN
        return Why(reason, self.shortest)

    def of_speed(self, margin: Callable[[Scene], FloatArray], held: Why | None = None) -> Why:
        """Why a wanted speed is missed; `held` is the answer where the best pair does hold it.

        Neither the limit that binds nor the end of the range sold says by itself what another
        ratio would do: beyond the rev limit may wait too little power, and past the power peak
        more of it. So ratios, sold or not, are tried on the best pair's front sprocket: of several
        the nearest to the best counts.
        """
        bike, sold, front = self.every.bike, self.every.ratio, self.every.front[self.best]
        low, high = sold.min() / _BEYOND, sold.max() * _BEYOND
        tried = np.geomspace(low, high, int(np.log(high / low) / _RATIO_STEP) + 2)
        meets = tried[margin(scene_on(bike, self.ground, front, tried * front)) >= 0]
        if not meets.size:
            return held or self._too_slow()
        would = meets[np.argmin(np.abs(np.log(meets / sold[self.best])))]
        if sold.min() <= would <= sold.max():
            return Why(Reason.BETWEEN)
        return Why(Reason.NOT_SOLD, bool(would > sold.max()))

    def _too_slow(self) -> Why:
        """What keeps every ratio, sold or not, from a wanted speed: the power or the ground."""
        limit = Limit(int(self._at_best.top.limit[0]))
        if limit is Limit.CANNOT_HOLD:
            limit = self.slope_limit()
        return Why(_OF_GROUND.get(limit, Reason.POWER))

"""A want that no pair meets, with what its kind asks to find what stands in the way."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants import want_measures
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup
from explorer.study.wants.judged import Judged
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.scene import Scene, scene_on
from explorer.study.wants.wants_placed import ground_of

_BEYOND = 5.0
"""How far beyond the shortest and the tallest pair sold a ratio is looked for that would do [-]."""

_RATIO_STEP = 0.01
"""Step between the ratios looked at: finer than one rear tooth [-]."""

_OF_GROUND = {Limit.GRIP: Reason.GRIP, Limit.FRONT_WHEEL_LIFT: Reason.BALANCE}


@dataclass(frozen=True, eq=False)
class Unmet:
    """A want of the rider, and all pairs.

    Attributes:
        bike, setup (Bike, Setup): The motorcycle, and what the rider chose.
        judged: The want.
        ratio (array (pairs,)): Final drive ratios [-].
    """

    bike: Bike
    setup: Setup
    judged: Judged
    ratio: FloatArray

    def nearest(self, among: FloatArray) -> int:
        """Index of the pair that comes nearest, of those marked in `among`."""
        margin = self.judged.margin
        known = among & ~np.isnan(margin)
        if known.any():
            return int(np.argmax(np.where(known, margin, -np.inf)))
        return int(np.argmax(np.where(among, self.judged.want.nearness(self), -np.inf)))

    @cached_property
    def best(self) -> int:
        """Index of the nearest of all pairs, whether its chain goes on or not."""
        return self.nearest(np.ones(self.ratio.size, bool))

    @property
    def shortest(self) -> bool:
        """Whether the best pair is the shortest sold."""
        return bool(self.ratio[self.best] >= self.ratio.max())

    def scene(self, ratio: FloatArray) -> Scene:
        """Any ratios, sold or not, on the ground of the want."""
        return scene_on(self.bike, ground_of(self.judged.placed, self.setup), ratio)

    def slope_limit(self, gear: int | None = None) -> Limit:
        """What ends the steepest slope of the best pair: power, grip or balance."""
        drive = self.scene(self.ratio[[self.best]]).drive
        return Limit(int(want_measures.slope_limit(drive, gear)[0]))

    def beyond_sold(self) -> Why:
        """A ratio beyond those sold would do, or one between two of them."""
        tallest = self.ratio[self.best] <= self.ratio.min()
        reason = Reason.NOT_SOLD if self.shortest or tallest else Reason.BETWEEN
        return Why(reason, self.shortest)

    def of_speed(self, held: Why | None = None) -> Why:
        """Why a wanted speed is missed; `held` is the answer where the best pair does hold it.

        Neither the limit that binds nor the end of the range sold says by itself what another
        ratio would do: beyond the rev limit may wait too little power, and past the power peak
        more of it. So ratios, sold or not, are tried: of several the nearest to the best counts.
        """
        sold = self.ratio
        low, high = sold.min() / _BEYOND, sold.max() * _BEYOND
        tried = np.geomspace(low, high, int(np.log(high / low) / _RATIO_STEP) + 2)
        meets = tried[self.judged.want.measure(self.scene(tried)).margin >= 0]
        if not meets.size:
            return held or self._too_slow()
        would = meets[np.argmin(np.abs(np.log(meets / sold[self.best])))]
        if sold.min() <= would <= sold.max():
            return Why(Reason.BETWEEN)
        return Why(Reason.NOT_SOLD, bool(would > sold.max()))

    def _too_slow(self) -> Why:
        """What keeps every ratio, sold or not, from a wanted speed: the power or the ground."""
        limit = Limit(int(self.scene(self.ratio[[self.best]]).top.limit[0]))
        if limit is Limit.CANNOT_HOLD:
            limit = self.slope_limit()
        return Why(_OF_GROUND.get(limit, Reason.POWER))

"""What each measure tells apart on the demo bikes: `python -m tests.bench.measures_tell_apart`.

For each measure, bike and ground: distinct values over all pairs sold, pairs on the front against
the speed on the trade-off that can be built, and the rank correlation of the measure with the
final drive ratio.
"""

from typing import NamedTuple

import numpy as np
from scipy.stats import spearmanr

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import Setup
from explorer.study.goals import MEASURES
from explorer.study.study import Study
from explorer.study.wants.wants_chain import pair_chains


class ToldApart(NamedTuple):
    """Distinct values, buildable pairs on the front, rank correlation with the ratio."""

    distinct: int
    front: int
    rank: float


def told_apart(name, measure, surface, **changes) -> ToldApart:
    """Of one measure on one bike and ground."""
    bike = demo_bikes()[name]
    setup = Setup.for_bike(name, bike).changed(measure=measure, surface=surface, **changes)
    pairs = Study.of(bike, setup).pairs.tradeoff
    known = np.isfinite(pairs.value)
    distinct = np.unique(np.round(pairs.value[known], 6)).size
    ratio = pairs.rear / pairs.front
    rank = spearmanr(pairs.value[known], ratio[known]).statistic if distinct > 1 else np.nan
    chains = pair_chains(bike, Measurements.for_bike(bike), pairs.front.ravel(), pairs.rear.ravel())
    front = pairs.best_compromise.ravel() & chains.can_be_built
    return ToldApart(distinct, int(front.sum()), float(rank))


def main():
    for measure, of in MEASURES.items():
        print(f"\n{of.label} ({measure}): distinct values / buildable front / rank correlation")
        for name in demo_bikes():
            parts = [told_apart(name, measure, surface) for surface in surfaces()]
            print(f"  {name:12s}", *(f"{d:4d}/{f:3d}/{r:+.2f}" for d, f, r in parts))
    print("\ngrounds:", *surfaces())


if __name__ == "__main__":
    main()

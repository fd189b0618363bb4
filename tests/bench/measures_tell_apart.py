"""What each measure tells apart on the demo bikes: `python -m tests.bench.measures_tell_apart`.

For each measure, bike and ground: distinct values over all pairs sold, pairs on the front against
top speed, and the rank correlation of the measure with the final drive ratio.
"""

import numpy as np
from scipy.stats import spearmanr

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import Setup
from explorer.study.goals import MEASURES
from explorer.study.study import Study


def told_apart(name, measure, surface):
    """Distinct values, size of the front, rank correlation with ratio, and loss of top speed of
    the shortest pair against the fastest."""
    bike = demo_bikes()[name]
    setup = Setup.for_bike(name, bike).changed(measure=measure, surface=surface)
    pairs = Study.of(bike, setup).pairs.tradeoff
    known = np.isfinite(pairs.value)
    distinct = np.unique(np.round(pairs.value[known], 6)).size
    ratio = pairs.rear / pairs.front
    rank = spearmanr(pairs.value[known], ratio[known]).statistic if distinct > 1 else np.nan
    fastest = pairs.top_speed.max()
    loss = 1 - pairs.top_speed.ravel()[np.argmax(ratio)] / fastest if fastest else 0.0
    return distinct, int(pairs.best_compromise.sum()), rank, loss


def main():
    for measure, of in MEASURES.items():
        print(f"\n{of.label} ({measure}): distinct values / front / rank correlation")
        for name in demo_bikes():
            parts = [told_apart(name, measure, surface) for surface in surfaces()]
            print(f"  {name:12s}", *(f"{d:4d}/{f:3d}/{r:+.2f}" for d, f, r, _ in parts))
    print("\ngrounds:", *surfaces())


if __name__ == "__main__":
    main()

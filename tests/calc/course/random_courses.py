"""Random but rideable courses, reproducible from a generator."""

import numpy as np

from explorer.calc.course.fastest import Course

# Rolling resistance and grip of hard gravel, dry dirt and loose gravel, hardest first.
_SURFACES = np.array([[0.02, 0.7], [0.05, 0.55], [0.08, 0.4]])


def random_course(rng, segments, longest=150.0, with_corner=0.7):
    """Segments of 20 m and more, most of them ended by a corner of 10 to 60 km/h."""
    corner = rng.uniform(10, 60, segments) / 3.6
    rolling, grip = _SURFACES[rng.integers(0, 3, segments)].T
    return Course(
        length=rng.uniform(20, longest, segments),
        corner_speed=np.where(rng.random(segments) < with_corner, corner, np.inf),
        slope=np.arctan(rng.uniform(-0.12, 0.15, segments)),
        rolling_coefficient=rolling,
        grip=grip,
    )

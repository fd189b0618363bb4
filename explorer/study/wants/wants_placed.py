"""Where each want of a rider is judged: on which ground, and with which weight.

A want of a mix is judged on its terrain's surface and course, level and with the air of the
set-up; the rider's own wants on the ground of the set-up; the legal road speed on dry asphalt.
"""

from dataclasses import dataclass, replace

from explorer.records.setups.setup import Setup
from explorer.study.pairs import NOT_IN_THE_PAIRS
from explorer.study.wants.mixes import terrains
from explorer.study.wants.want import Want
from explorer.study.wants.wants_link import Wishes

ROAD = "dry-asphalt"
"""Surface of wants that are judged on a road."""


@dataclass(frozen=True)
class Placed:
    """A want on its ground.

    Attributes:
        terrain: Terrain of the mix that it comes from; None for the rider's own.
        weight: Its own weight, times the share of its terrain [-].
    """

    want: Want
    terrain: str | None
    weight: float


def placed_wants(wishes: Wishes, setup: Setup) -> tuple[Placed, ...]:
    """The rider's own wants, then those of each terrain of the mix. What a terrain wants as the
    rider does, on the same ground, stands once, as the rider's own, with both weights."""
    own = [Placed(want, None, want.weight) for want in wishes.wants]
    places = {(each.want.said, ground_of(each, setup)): n for n, each in enumerate(own)}
    mixed = []
    for name, share in wishes.mix.items():
        for want in terrains()[name].wants:
            each = Placed(want, name, want.weight * share)
            place = places.get((want.said, ground_of(each, setup)))
            if place is None:
                mixed.append(each)
            else:
                own[place] = replace(own[place], weight=own[place].weight + each.weight)
    return (*own, *mixed)


def ground_of(placed: Placed, setup: Setup) -> Setup:
    """A set-up, with the ground of the rider's own wants, on the ground on which a want is judged.
    A course brings its own, so that all courses share one."""
    if placed.want.on_road:
        return setup.changed(surface=ROAD, slope=0.0)
    if placed.terrain is None:
        return setup
    return setup.changed(surface=terrains()[placed.terrain].surface, slope=0.0)


def usual_ground(ground: Setup) -> Setup:
    """The set-up with everything replaced that a scene does not depend on, to find it again: only
    ground, air, tyre and rider are left."""
    speeds = {"target_speed": 15.0, "roll_from": 10.0, "roll_to": 15.0}
    measure = {"roll_gear": 1, "distance": 100.0, "measure": "time_to_speed"}
    return ground.model_copy(update=NOT_IN_THE_PAIRS | speeds | measure)

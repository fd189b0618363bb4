"""Two from real parts: for each of two wishes the two most natural changes of what is fitted.

One tooth at the front, or about as much at the rear. What the browser shows of them is written
here, from the rows of the table.
"""

import math
from collections.abc import Sequence
from typing import Any

from explorer import units
from explorer.calc import gearing
from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.bikes.begun_bike import asks
from explorer.records.fitting.fit import Measurements
from explorer.records.fitting.parts import PartsList
from explorer.records.fitting.prices import cost, money
from explorer.study.certainty import signed_percent
from explorer.study.study import FITTED, Study
from explorer.study.table import Rows
from explorer.study.verdict import Verdict
from explorer.study.wants.wants_chain import parts_of_pair
from explorer.study.wording import grouped
from explorer.units import RPM

WISHES = (("more-pull", "More pull?", -1), ("calmer-road", "Calmer road?", 1))
"""Short name, what the bench asks, and the step of the front sprocket that answers [teeth]."""


def offers_of(
    rows: Rows, verdicts: Sequence[Verdict], measured: Measurements
) -> dict[str, list[dict[str, Any]]]:
    """By the wish: two cards, or fewer where such a pair is not sold; rows of the whole table."""
    study, place = rows.study, {}
    for row, each in enumerate(rows.pairs, rows.named):
        place[each.front, each.rear] = row
    return {
        wish: [
            _card(study, place[pair], verdicts[place[pair]], measured)
            for pair in _natural(study, step)
            if pair in place
        ]
        for wish, _, step in WISHES
    }


def _natural(study: Study, step: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """One tooth at the front, and the rear sprocket that gears about as it does."""
    fitted, (low, high) = study.fitments[FITTED], study.bike.sprockets.rear_sold
    teeth = gearing.rear_teeth_per_front_tooth(fitted.front, fitted.rear)
    by = round(float(teeth.for_one_fewer)) if step < 0 else -round(float(teeth.for_one_more))
    rear = min(max(fitted.rear + by, low), high)
    return (fitted.front + step, fitted.rear), (fitted.front, rear)


def _price(study: Study, verdict: Verdict, measured: Measurements) -> str:
    """What the rider typed for the parts needed, and what has no price yet; empty for none."""
    if not verdict.parts:
        return ""
    needed = verdict.front, verdict.rear, verdict.choice, verdict.links
    parts = parts_of_pair(study.bike, measured, *needed)
    needed_only = PartsList(tuple(part for part in parts.buy if not part.optional), parts.keep)
    priced = cost(needed_only, *measured.prices)
    if len(priced.unpriced) == len(priced.lines):
        return ""
    count = len(priced.unpriced)
    missing = f" + {count} part{'s' if count > 1 else ''} without a price" if count else ""
    return f"{money(priced.total, priced.currency)}{missing}"


def _card(study: Study, row: int, verdict: Verdict, measured: Measurements) -> dict[str, Any]:
    setup, here, fitted = study.setup, study.fitments[row], study.fitments[FITTED]
    front, rear = here.front - fitted.front, here.rear - fitted.rear
    where, by = ("front", front) if front else ("rear", rear)
    teeth = f"{units.signed(by, 0)} {'tooth' if abs(by) == 1 else 'teeth'}"
    per_speed, unit = units.display(1.0, "speed", setup.units)
    walks = study.clutch_out[:, 0] * per_speed
    revs = cruise_engine_speed(study.drive, setup.cruise_speed).value / RPM
    price = _price(study, verdict, measured)
    cruise = units.text(setup.cruise_speed, "speed", setup.units)
    speeds = [
        ("Slowest walk", f"{walks[row]:.1f} {unit}, fitted {walks[FITTED]:.1f}"),
        (f"At {cruise}", f"{_revs(revs[row])}, fitted {_revs(revs[FITTED])} rpm"),
    ]
    return {
        "front": here.front,
        "rear": here.rear,
        "title": f"{here.pair}: {teeth} at the {where}",
        "lines": [
            ("Pull", signed_percent(verdict.change)),
            *([] if "speeds" in asks(study.bike.missing) else speeds),
            ("Fit", verdict.chain.rstrip(".").removeprefix("Fit? ")),
            ("To buy", verdict.parts),
            ("Price", price),
            ("Axle", _axle(verdict.movement, setup.units)),
        ],
    }


def _revs(value: float) -> str:
    return "not held" if math.isnan(value) else grouped(round(value, -1))


def _axle(movement: float, system: str) -> str:
    if not math.isfinite(movement):
        return ""
    moved = units.text(abs(movement), "length", system, 1)
    return f"{moved} {'back' if movement > 0 else 'forward'}"

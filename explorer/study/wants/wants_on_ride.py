"""Whether each gearing of a ride meets what the rider wants.

What the speeds of a ride decide is judged by the ride; what a ride does not show is computed, as
on the page on which it was said, and said to be.
"""

from collections.abc import Sequence

from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import fitted_rollout
from explorer.study.check.result import RideResult
from explorer.study.wants.want import Want, verdict
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import WantsResult, compute

COMPUTED = (
    "Computed: a ride does not show these. They are judged as on “Describe your riding”, for the "
    "surface, slope, air and rider chosen here, each pair with its own tyre."
)

NOT_SOLD = "not judged: this pair is not among those sold for the bike"

Row = tuple[str, str, str]
"""A want, and what the fitted and the chosen gearing make of it."""


def ridden_rows(wants: Sequence[Want], result: RideResult) -> list[Row]:
    """One row for each want that a ride speaks of."""
    return [row for want in wants if (row := want.on_ride(result)) is not None]


def computed_rows(
    wants: Sequence[Want], result: RideResult, measured: Measurements
) -> tuple[list[Row], list[str]]:
    """One row for each want that is computed, for the bike of a ride with what is fitted and with
    what is chosen, and the sentences below: what is computed, what is missing to judge a want, and
    which want has no place here."""
    said = [
        f"{want.label}: not judged here, as prices are typed on “Describe your riding”."
        for want in wants
        if want.needs_prices
    ]
    others = tuple(want for want in wants if want.on_ride(result) is None and not want.needs_prices)
    if not others:
        return [], said
    bike, setup = result.bike, result.setup
    fitted_tyre = setup.changed(tyre=bike.tyre.rear, rollout=fitted_rollout(bike, setup))
    chosen = compute(bike, setup, measured, Wishes(others))
    same = fitted_tyre == setup
    fitted = chosen if same else compute(bike, fitted_tyre, measured, Wishes(others))
    rows, missing = [], []
    for number, judged in enumerate(fitted.judged):
        cells = (
            _cell(fitted, number, fitted.now),
            _cell(chosen, number, chosen.index(setup.front, setup.rear)),
        )
        rows.append((f"{judged.name} (computed, not ridden)", *cells))
        if judged.unknown:
            start = "" if judged.unknown.startswith(judged.want.label) else f"{judged.want.label}: "
            missing.append(start + judged.unknown)
    return rows, [COMPUTED, *dict.fromkeys(missing), *said]


def _cell(result: WantsResult, number: int, index: int) -> str:
    judged = result.judged[number]
    if index < 0:
        return NOT_SOLD
    if judged.unknown:
        return "not judged"
    return verdict(bool(judged.met[index]), judged.value_words(index, result.system))

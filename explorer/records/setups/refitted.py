"""A bike on which the pair that was tried is the fitted one from now on."""

from collections.abc import Mapping
from typing import Literal

from explorer.records.bikes.bike import Bike
from explorer.records.setups.link import decode, encode


def refitted(
    query: str,
    pair: tuple[int, int],
    library: Mapping[str, Bike],
    units: Literal["metric", "imperial"],
    links: str = "",
) -> str:
    """The link to the bike and ground of a link with another pair fitted, and chosen.

    What was counted or measured with the pair before goes: the links of the chain, if nothing else
    is known of them, and the distance of its shafts.

    Args:
        query: Of a set-up.
        pair: Front and rear teeth.
        library: Bikes by id.
        units: Of a link that says nothing of them.
        links: Links of the chain with that pair [count]; empty for not known.

    Returns: Empty where that pair is the fitted one.

    Raises: RecordError where the pair is not sold for the bike, or the bike too much for a link.
    """
    bikes, (front, rear) = dict(library), pair
    setup, bike, _ = decode(query, bikes, units)
    if pair == (bike.sprockets.front, bike.sprockets.rear):
        return ""
    other_pair = {"chain.links": links, "fit.centre_distance": ""}
    teeth = {"sprockets.front": str(front), "sprockets.rear": str(rear)}
    fitted = bike.with_changes(teeth | other_pair)
    return encode(setup.changed(front=front, rear=rear), bikes[setup.bike_id], fitted)

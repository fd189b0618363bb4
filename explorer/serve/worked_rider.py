"""One worked example of a rider for the front page, on the first bike that the site offers."""

from collections.abc import Mapping
from typing import NamedTuple
from urllib.parse import urlencode

from explorer.calc.gearing import final_ratio, pull_change, speed_change
from explorer.records.bikes.bike import Bike


class WorkedRider(NamedTuple):
    """An invented rider's question and its answer in plain sentences, which the template escapes.

    The query opens the set-up on any page.
    """

    story: str
    answer: str
    query: str


def worked_rider(bikes: Mapping[str, Bike]) -> WorkedRider:
    """A rider who finds first gear too tall, and one tooth fewer at the front.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> worked_rider(demo_bikes()).answer
    'With 12/50 each gear pulls 8.3 % harder at the same rpm and runs 7.7 % slower.'
    """
    bike_id, bike = next(iter(bikes.items()))
    front, rear = bike.sprockets.front, bike.sprockets.rear
    fitted, shorter = final_ratio(front, rear), final_ratio(front - 1, rear)
    more, less = 100 * pull_change(fitted, shorter), -100 * speed_change(fitted, shorter)
    return WorkedRider(
        f"Ines (invented) rides a {bike.name} with {front}/{rear} on tight trails. First gear is "
        "too tall for walking pace, so she slips the clutch. What would one tooth fewer at the "
        "front do?",
        f"With {front - 1}/{rear} each gear pulls {more:.1f} % harder at the same rpm and runs "
        f"{less:.1f} % slower.",
        urlencode({"bike": bike_id, "front": front - 1, "rear": rear}),
    )

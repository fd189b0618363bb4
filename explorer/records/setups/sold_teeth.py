"""Which sprockets can be had for a bike."""

from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError


def check_sold(bike: Bike, front: int, rear: int) -> None:
    """Refuse teeth that are neither fitted nor sold: a link would not bring them back.

    Args:
        front, rear: Teeth [count].

    Raises:
        RecordError: One sentence for each sprocket.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> check_sold(demo_bikes()["bracken-125"], 13, 52)
    """
    refused = []
    for name, teeth in (("front", front), ("rear", rear)):
        low, high = getattr(bike.sprockets, f"{name}_sold")
        if not low <= teeth <= high and teeth != getattr(bike.sprockets, name):
            refused.append(
                f"A {name} sprocket of {teeth} teeth is not among those given for this bike, "
                f"{low} to {high} teeth; choose one of them, or give the range under “This bike” "
                "on the gearing page."
            )
    if refused:
        raise RecordError(*refused)

"""What a page says of a bike that lacks numbers it needs, and the ways on from there."""

from markupsafe import Markup

from explorer.records.bikes.begun_bike import in_words
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import is_served

# page.js takes the bike along to the bench.
_ADD = Markup('<a href="gearing" data-carry>Add them on the bench</a>, under “This bike”.')
_OTHER_BIKE = Markup('<a href="?units={}">Open this page with another bike</a>.')


def lacking_sentences(bike: Bike, units: str) -> list[str]:
    """What is missing, where to add it, and how to look at another bike."""
    wanted = f"This page needs more numbers of {bike.name}: {in_words(bike.missing)}."
    return [wanted, *([_ADD] if is_served("gearing") else []), _OTHER_BIKE.format(units)]

"""What of an entry is possible but unlikely, so that it is asked back before it is kept."""

from datetime import date

import numpy as np

from explorer.calc.chain.length import centre_distance_for
from explorer.records.logbook.entry import LogEntry

_PITCHES = {"1/2 in": 12.7, "5/8 in": 15.875}
"""Pitches of motorcycle chains (ISO 606, from memory) [mm]."""
_SHORTEST, _LONGEST = 400.0, 800.0
"""Centre distances of any motorcycle that is ridden off road (common practice, no source) [mm]."""


def doubts(entry: LogEntry, today: date) -> list[str]:
    """One question for each thing that is unlikely; none for most entries.

    Args:
        today: The day where the rider is.

    >>> odd = {"date": "2026-05-01", "bike": "B", "front": "16", "rear": "70", "links": "62"}
    >>> doubts(LogEntry.of(odd), date(2026, 5, 2))
    ['62 links are too few for 16/70: the sprockets would touch. Count them again?']
    """
    found = []
    if date.fromisoformat(entry["date"]) > today:
        found.append(f"{entry['date']} has not come yet. Is the date right?")
    if not entry["links"]:
        return found
    links, pair = int(entry["links"]), (int(entry["front"]), int(entry["rear"]))
    pitches = float(centre_distance_for(links, 1.0, *pair))
    named = f"{links} links"
    if not np.isfinite(pitches):
        found.append(
            f"{named} are too few for {pair[0]}/{pair[1]}: the sprockets would touch. Count them "
            "again?"
        )
        return found
    apart = {name: pitches * each for name, each in _PITCHES.items()}
    if not any(_SHORTEST <= each <= _LONGEST for each in apart.values()):
        named_apart = " or ".join(f"{each:.0f} mm ({name})" for name, each in apart.items())
        found.append(
            f"With {named} and {pair[0]}/{pair[1]} the axle and the front sprocket would be "
            f"{named_apart} apart. Count them again?"
        )
    if links % 2:
        found.append(f"{links} is an odd number, which needs a cranked link. Count them again?")
    return found

"""What the calculation leaves out, and what that does to the numbers."""

from typing import NamedTuple

from explorer.records.prose import read_prose


class Assumption(NamedTuple):
    """Something left out or taken as simpler than it is.

    Attributes:
        what: What is assumed.
    """

    what: str
    effect: str


ASSUMPTIONS = tuple(Assumption(**row) for row in read_prose("assumptions")["assumption"])

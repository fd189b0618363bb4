"""The number by which a visitor can name a fault to the person who runs the site."""

import secrets

FAULT_TYPE = "application/vnd.gearing-explorer.fault+json"
"""What a page that could not be made puts out instead of itself: the number of the fault."""


def fault_number() -> str:
    """A number that stands on the page and, beside the traceback, in the server's log.

    >>> len(fault_number())
    6
    """
    return secrets.token_hex(3)


def with_number(sentence: str, number: str) -> str:
    """The sentence about a fault with its number.

    >>> with_number("That did not work.", "0a1b2c")
    "That did not work. The number of this fault in the server's log is 0a1b2c."
    """
    return f"{sentence} The number of this fault in the server's log is {number}."

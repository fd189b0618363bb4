"""What all pages share."""

import secrets

FIRST_TYPE = "application/vnd.gearing-explorer.first+json"
"""What stands in a page before its scripts have come, as an output of its notebook."""

FAULT_TYPE = "application/vnd.gearing-explorer.fault+json"
"""What a page that could not be made puts out instead of itself: the number of the fault."""

VIEW_TYPE = "application/vnd.jupyter.widget-view+json"
"""Type of an output that shows a widget."""


def fault_number() -> str:
    """A number that stands on the page and, beside the traceback, in the server's log."""
    return secrets.token_hex(3)

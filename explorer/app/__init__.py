"""What all pages share."""

FIRST_TYPE = "application/vnd.gearing-explorer.first+json"
"""What stands in a page before its scripts have come, as an output of its notebook."""

VIEW_TYPE = "application/vnd.jupyter.widget-view+json"
"""Type of an output that shows a widget."""

"""The wants page."""

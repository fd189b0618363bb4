"""The logbook page."""

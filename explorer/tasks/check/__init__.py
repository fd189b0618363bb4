"""The check page."""

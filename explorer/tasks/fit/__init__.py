"""The fit page."""

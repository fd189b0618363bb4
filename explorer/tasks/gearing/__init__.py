"""The gearing page."""

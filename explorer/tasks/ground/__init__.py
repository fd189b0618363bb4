"""The ground page."""

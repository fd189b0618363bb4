"""The method page."""

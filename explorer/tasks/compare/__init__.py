"""The compare page."""

"""The members page."""

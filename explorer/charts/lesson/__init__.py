"""Charts for the back row."""

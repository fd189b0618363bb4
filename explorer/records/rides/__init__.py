"""A logged ride and its files, and what a rider timed."""

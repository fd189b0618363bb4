"""The logbook: one entry, its store, its files."""

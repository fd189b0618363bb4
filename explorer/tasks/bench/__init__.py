"""The bench: one instrument of sliders, charts and deciding numbers."""

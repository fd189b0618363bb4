"""What a rider chose, and the links that carry it."""

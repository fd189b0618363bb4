"""What a rider wants, measured and scored for every pair."""

"""A rider's wants judged for every pair."""

"""A course ridden as fast as the motorcycle allows."""

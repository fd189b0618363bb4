"""Surfaces and courses."""

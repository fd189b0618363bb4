"""Gearing, engine, motion, chain, tyre, course and ride: pure functions on SI floats and arrays.

Args:
    drive: Vehicle, conditions and final drive ratios [SI].
"""

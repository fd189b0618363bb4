"""A course ridden as fast as the motorcycle allows.

Args:
    grounds: Grounds of the course [N].
    pieces: The course cut into pieces [m, m/s].
    limit (BrakingLimit): The fastest that allows braking to every corner ahead [m²/s², m/s²].
    tables: Of all cases, gears and grounds [SI].
    start_speed (float, non-negative): Speed at the start [m/s].
"""

"""What a logged ride says: speeds, gears, coast-downs, calibration, replay.

Args:
    time (array (n,), increasing): Moments of one stretch [s].
    speed (array (n,)): Road speeds at these moments [m/s].
    quotient (array (gears,), decreasing): Engine over road speed in each gear, first gear first
        [rad/m].
    shift_up (float, positive): Engine speed at which the rider changes up [rad/s].
    limiter (float, positive): Rev limit [rad/s].
"""

r"""A course ridden as fast as motorcycle and rider allow: time, shifts, time in each gear.

The speed profile comes from two passes over the course, as in quasi-steady lap simulation:

1. Backward, from the end to the start: how fast may the motorcycle be at each place, so that it
   can still brake to the next corner's speed? (:mod:`explorer.calc.course.course_braking`)
2. Forward, from the start: throttle open in the gear the rider chose, until that speed is met;
   then braking along it to the corner. (:mod:`explorer.calc.course.course_ride`)

Both passes march in distance with the energy per mass :math:`E = v^2/2`, since
:math:`dE/dx = a`: under a constant acceleration one step is exact, from rest as well. The line
and the corner speeds are given, not sought; a corner bounds the speed at one place, the end of
its segment. Tyres, suspension and rider are in balance at every moment.

How the rider behaves is an assumption of this model (common practice, no source):

- A rider may use a share of the acceleration and braking that is there, count a change of gear as
  dearer than the time it takes, and let the clutch out at fewer revolutions
  (:mod:`explorer.calc.course.course_rider`); flat out otherwise.
- Changing up happens at the best engine speed on that ground, or at the one asked for; without
  drive for the shift time; not at all where the next gear would not pull, or where staying in
  the gear covers more ground before the brakes go on.
- While braking the rider changes down without loss and leaves the corner in the gear that pulls
  hardest, the tallest of several equal ones, clutch locked; below first gear's clutch-out speed
  first gear is used and the clutch slips.
- Where the motorcycle slows down at full throttle the rider changes down, again with the shift
  time, if a lower gear pulls harder and that covers more ground before the next brakes or the
  next change of ground.
- At the rev limit the speed is held, also downhill.

References:
    D. L. Brayshaw and M. F. Harrison, "A quasi steady state approach to race car lap simulation in
    order to understand the effects of racing line and centre of gravity location", Proc. IMechE
    Part D 219 (2005), pp. 383-394 (method; authors, year and pages seen in reference lists, full
    title from memory). B. Lenzo and V. Rossi, Applied Sciences 10 (2020) 1498, introduction,
    describes the forward and backward integration from corner to corner.
"""

from dataclasses import dataclass

from explorer.calc.course.course_braking import fastest_to_brake
from explorer.calc.course.course_ground import course_grounds, cut_course
from explorer.calc.course.course_ride import CourseRide, full_throttle_between_brakes
from explorer.calc.course.course_rider import FLAT_OUT, CourseRider
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray, Scalar

BRAKING_SHARE = 0.7
"""Share of the ground's grip that a rider uses for braking on loose ground [-]. Our choice."""


@dataclass(frozen=True, eq=False)
class Course:
    """A course as a row of segments, each with one slope and one surface.

    Attributes:
        length (array (segments,), positive): Length along the ground [m].
        corner_speed (array (segments,), non-negative): Greatest speed at the END of the segment;
            infinite where there is no corner, 0 for a stop [m/s].
        slope (array (segments,)): Angle of the ground, uphill positive [rad].
        rolling_coefficient (array (segments,), non-negative): Rolling resistance over normal load
            [-].
        grip (array (segments,), positive): Greatest force along the ground over normal load [-].
    """

    length: FloatArray
    corner_speed: FloatArray
    slope: FloatArray
    rolling_coefficient: FloatArray
    grip: FloatArray


def ride_course(
    drive: Drive,
    course: Course,
    at_engine_speed: Scalar | None = None,
    start_speed: float = 0.0,
    braking_share: float = BRAKING_SHARE,
    rider: CourseRider = FLAT_OUT,
) -> CourseRide:
    """Ride a course as fast as the rider likes, for all cases at once.

    Args:
        drive: Vehicle, air and final drive ratios; the ground of its conditions is left aside for
            that of the course [SI].
        course: Segments to ride [SI].
        at_engine_speed: Change up at this engine speed instead of at the best one on each ground
            [rad/s].
        start_speed (float, non-negative): Speed at the start; less where that would be too fast to
            brake for a corner [m/s].
        braking_share (float, positive): Share of the ground's grip used for braking flat out [-].
        rider: How hard it is ridden, how dear a shift is, where the clutch slips [-, s, -].

    Returns: Time [s], shifts, time in each gear [s] and the speed [m/s] along the course.

    From rest over 100 m to a corner at 20 km/h, then 60 m more:

    >>> import numpy as np
    >>> course = Course(np.array([100.0, 60.0]), np.array([20 / 3.6, np.inf]), np.zeros(2),
    ...                 np.full(2, 0.03), np.full(2, 0.6))
    >>> ride = ride_course(example_drive()[0], course)
    >>> print(ride.time.round(1), ride.upshifts, ride.downshifts)
    [14.5] [4] [2]
    """
    drive = drive.launched_at(
        rider.clutch_speed(drive.vehicle.idle_speed, drive.vehicle.launch_speed)
    )
    pieces = cut_course(course.length, course.corner_speed)
    grounds = course_grounds(drive, course.slope, course.rolling_coefficient, course.grip)
    limit = fastest_to_brake(drive, grounds, pieces, braking_share * rider.effort)
    return full_throttle_between_brakes(
        drive, grounds, pieces, limit, at_engine_speed, start_speed, rider
    )

"""From one comparison to what each of its charts shows, in the reader's units."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import measure_name, measure_scale, speed_units
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.statistics.uncertainty import COVERAGE
from explorer.charts.compare.compare_course_chart import CompareCourseView
from explorer.charts.compare.compare_pull_chart import ComparePullView
from explorer.charts.compare.compare_shift_chart import CompareShiftView
from explorer.charts.compare.compare_tradeoff_chart import CompareTradeoffView, Place
from explorer.charts.gearing.pull_chart import PullSetup
from explorer.charts.gearing.shift_chart import ShiftSetup
from explorer.records.ground.course import courses
from explorer.study.course import CourseResult
from explorer.study.goals import MEASURES
from explorer.study.study import FITTED, Study
from explorer.study.wording import SHORT_LIMITS
from explorer.tasks.compare.words import WITHIN, course_time
from explorer.units import RPM


def shift_view(result: Study) -> CompareShiftView:
    """Each set-up's path through the gears."""
    drive = result.drive
    per_speed, _ = units.display(1.0, "speed", result.setup.units)
    per_metre = (drive.overall / drive.radius)[..., 0] / RPM / per_speed
    return CompareShiftView(
        tuple(
            ShiftSetup(
                pair=each.pair,
                rpm_per_speed=per_metre[index],
                exit_speed=result.shifts.exit_speed[index] * per_speed,
                shifts_up=result.shifts.shifts_up[index],
            )
            for index, each in enumerate(result.fitments)
        ),
        drive.idle_speed.item() / RPM,
        drive.launch_speed.item() / RPM,
        drive.limiter_speed.item() / RPM,
        (result.power_band.low / RPM, result.power_band.high / RPM),
        speed_units(result.setup),
    )


def pull_view(result: Study) -> ComparePullView:
    """Pull of each set-up in every gear, with what the ground allows."""
    drive, system = result.drive, result.setup.units
    per_speed, _ = units.display(1.0, "speed", system)
    per_force, force_unit = units.display(1.0, "force", system)
    sure = result.estimate("top").standard_uncertainty

    def setup(index: int, pair: str) -> PullSetup:
        limit = Limit(int(result.top.limit[index]))
        holds = limit is not Limit.CANNOT_HOLD
        return PullSetup(
            pair=pair,
            speed=result.road_speed[index] * per_speed,
            pull=result.pull[index] * per_force,
            engine_pull=result.engine_pull[index] * per_force,
            top_speed=float(result.top.speed[index]) * per_speed if holds else None,
            top_gear=int(result.top.gear[index]) + 1,
            top_limit=SHORT_LIMITS[limit],
            top_speed_band=COVERAGE * float(sure[index]) * per_speed,
        )

    speeds = np.linspace(0.0, result.road_speed.max() * 1.02, 41)
    # The first case is the fitted set-up as given; the ground is the same for all.
    grip, lift = (
        float(each[0, 0, 0]) * per_force for each in (drive.grip_thrust, drive.wheelie_thrust)
    )
    return ComparePullView(
        setups=tuple(setup(index, each.pair) for index, each in enumerate(result.fitments)),
        resistance_speed=speeds * per_speed,
        resistance=drive.resistance(speeds)[FITTED].ravel() * per_force,
        grip_limit=grip if np.isfinite(grip) else None,
        wheel_lift_limit=lift if np.isfinite(lift) else None,
        speed_units=speed_units(result.setup),
        force_unit=force_unit,
    )


def tradeoff_view(result: Study) -> CompareTradeoffView:
    """Each set-up among all pairs, with the bands of its differences to the fitted one.

    What is unsure about all of them alike would hide what tells them apart.
    """
    setup, pairs = result.setup, result.pairs.tradeoff
    per_speed, _ = units.display(1.0, "speed", setup.units)
    factor, unit, decimals = measure_scale(setup)
    top, measure = result.estimate("top"), result.estimate("measure")
    return CompareTradeoffView(
        places=tuple(
            Place(
                each.pair,
                float(top.value[index]) * per_speed if top.value[index] > 0 else np.nan,
                COVERAGE * result.change("top", index).standard_uncertainty * per_speed,
                float(measure.value[index]) * factor,
                COVERAGE * result.change("measure", index).standard_uncertainty * factor,
            )
            for index, each in enumerate(result.fitments)
        ),
        top_speed=np.where(pairs.top_speed > 0, pairs.top_speed * per_speed, np.nan).ravel(),
        measure=(pairs.value * factor).ravel(),
        measure_name=measure_name(setup),
        measure_unit=unit,
        better="higher" if MEASURES[setup.measure].larger_is_better else "lower",
        decimals=decimals,
        speed_units=speed_units(setup),
    )


def course_view(result: Study, course: CourseResult) -> CompareCourseView:
    """A bar for each set-up, cut up into its gears."""
    return CompareCourseView(
        course=courses()[result.setup.course].label,
        pairs=tuple(each.pair for each in result.fitments),
        time_in_gear=course.ride.time_in_gear[: result.count],
        # Short: the bars are narrow on a phone, and the table below says it in full.
        labels=tuple(
            course_time(course, index).replace(f": {WITHIN}", "") for index in range(result.count)
        ),
    )

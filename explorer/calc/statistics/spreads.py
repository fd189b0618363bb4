"""How sure each input is: standard uncertainties, where they come from, and varied inputs.

An input is a field of Vehicle or Conditions by its name, or "rollout". Its standard uncertainty is
one standard deviation of what its true value may be.
"""

from collections.abc import Iterator
from dataclasses import fields, replace
from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

ROLLOUT = "rollout"

_CURVES = {"torque_speeds", "torques", "gears"}
_OF_VEHICLE = {field.name for field in fields(Vehicle)} - _CURVES
_OF_CONDITIONS = {field.name for field in fields(Conditions)}
_MAY_BE_NEGATIVE = {"slope", "head_wind"}

STEP = np.sqrt(3.0)
"""Of bounds: how far they lie off, in standard uncertainties (GUM 4.3.7)."""


class Spread(NamedTuple):
    """Standard uncertainty of one input.

    Attributes:
        input: Field of Vehicle or Conditions, or "rollout" [name].
        amount (float or array (set_ups,), non-negative): Standard uncertainty [unit of the input],
            or its share of the input if relative [-].
        relative (bool): Whether the amount is a share of the input's value.
        reason: Where the figure comes from, in words for the page [name].
        below_above (tuple of two floats or None): Distance of the value in use from its lower and
            its upper bound, where it does not sit in the middle; else √3 times the amount each
            [unit of the input].
    """

    input: str
    amount: Scalar
    relative: bool
    reason: str
    below_above: tuple[float, float] | None = None

    def bounds(self, given: dict[str, Scalar], count: int) -> tuple[Scalar, Scalar, float]:
        """Distance to the lower and the upper bound, and the lowest value that there can be, of a
        number of set-ups with every input given by its name [SI].

        Raises:
            ValueError: If there is no such input, or its amount is negative, not a number, or a
                share of 1/√3 or more.
        """
        _check(self, given)
        base = np.broadcast_to(np.asarray(given[self.input], float), count)
        step = STEP * self.amount * (np.abs(base) if self.relative else 1.0)
        below, above = self.below_above or (step, step)
        return below, above, -np.inf if self.input in _MAY_BE_NEGATIVE else 0.0


def standard_uncertainty(low: Scalar, high: Scalar) -> Scalar:
    r"""Standard uncertainty of an input of which only the bounds are known.

    .. math:: u = (b - a)/\sqrt{12}

    Args:
        low: Lower bound [any unit].
        high (float or array, not below low): Upper bound [unit of low].

    Returns: Standard uncertainty [unit of low].

    References:
        JCGM 100:2008 (GUM), 4.3.7 rectangular distribution; 4.3.8 for bounds not symmetric about
        the value in use (section numbers from memory).

    >>> print(round(standard_uncertainty(-0.003, 0.003), 5))
    0.00173
    """
    return (high - low) / np.sqrt(12.0)


MEASURED_ROLLOUT = standard_uncertainty(-0.003, 0.003)
"""Chalk mark, rider seated, three turns: ±0.3 % (common practice, no source)."""

COMPUTED_ROLLOUT = standard_uncertainty(-0.03, 0.03)
"""From the tyre's size: ±3 %, a loaded tyre of another make (common practice, no source)."""


_OURS, _PRACTICE = "our choice", "common practice"


def _even(name: str, half: float, why: str, source: str, relative: bool = True) -> Spread:
    """Evenly spread to both sides of the value in use."""
    return Spread(name, standard_uncertainty(-half, half), relative, f"{why} ({source}, no source)")


USUAL_SPREADS = (
    _even("mass", 2.0, "weighed on a bathroom scale, wheel by wheel: ±2 kg", _PRACTICE, False),
    _even("drag_area", 0.15, "not measured, and posture changes it: ±15 %", _PRACTICE),
    _even("power_factor", 0.05, "this engine against the torque curve given: ±5 %", _PRACTICE),
)
"""Spreads of what does not depend on the surface or on the tyre."""

DRIVE_SPREADS = (
    _even("gearbox_efficiency", 0.02, "losses from crankshaft to wheel: ±2 % of the power", _OURS),
    _even("engine_inertia", 0.3, "crankshaft and flywheel, hardly ever published: ±30 %", _OURS),
    _even("cg_ahead", 0.04, "a rider moves on the seat: ±40 mm", _OURS, False),
    _even("cg_height", 0.04, "a rider moves on the pegs: ±40 mm", _OURS, False),
    _even("shift_time", 0.4, "riders shift more and less quickly: ±40 %", _OURS),
    _even("launch_speed", 0.15, "engine speed while the clutch slips: ±15 %", _OURS),
)
"""Spreads of what drives the difference of two set-ups."""


def surface_spreads(
    rolling: tuple[float, float, float], grip: tuple[float, float, float]
) -> tuple[Spread, ...]:
    """Spreads of rolling resistance and grip from the range printed for a surface.

    Args:
        rolling: Lower end, value in use and upper end of the rolling resistance coefficient [-].
        grip: The same of the grip coefficient [-].

    Returns: Of the rolling coefficient and of grip [-].

    >>> rolling, grip = surface_spreads((0.04, 0.05, 0.08), (0.35, 0.5, 0.65))
    >>> round(float(rolling.amount), 4), round(float(grip.amount), 4)
    (0.0115, 0.0866)
    """
    reason = "range printed for this surface"
    return tuple(
        Spread(name, standard_uncertainty(low, high), False, reason, (value - low, high - value))
        for name, (low, value, high) in (("rolling_coefficient", rolling), ("grip", grip))
    )


def rollout_spreads(measured: FloatArray, tyre: FloatArray) -> tuple[Spread, ...]:
    """Spreads of the roll-out of several set-ups, one for each tyre.

    Set-ups on the same tyre share its error, so that it hardly touches their difference; two
    different tyres err independently.

    Args:
        measured (array of bool (set_ups,)): Whether measured, or computed from the size [-].
        tyre (array of int (set_ups,)): The same number for the same tyre [-].

    Returns: One for each different tyre, its amount 0 for set-ups on another [-].

    >>> [spread.amount.round(4).tolist() for spread in rollout_spreads([True, False], [0, 1])]
    [[0.0017, 0.0], [0.0, 0.0173]]
    """
    tyre = np.asarray(tyre)
    amount = np.where(measured, MEASURED_ROLLOUT, COMPUTED_ROLLOUT)
    return tuple(
        Spread(
            ROLLOUT,
            np.where(tyre == each, amount, 0.0),
            True,
            "measured roll-out: ±0.3 % (common practice, no source)"
            if np.all(np.asarray(measured)[tyre == each])
            else "roll-out computed from the tyre size: ±3 % (common practice, no source)",
        )
        for each in np.unique(tyre)
    )


class Varied(NamedTuple):
    """Every set-up as it is, then with its inputs varied: what a Drive is made of [SI]."""

    vehicle: Vehicle
    conditions: Conditions
    final_ratio: FloatArray
    rollout: Scalar

    def in_parts(self, most: int) -> Iterator["Varied"]:
        """The same cases, so many at a time and in their order: what is worked out of ten thousand
        at once takes hundreds of megabytes on the way.

        Args:
            most (int, positive): Largest number of cases of a part [count].

        >>> mass = replace(example_vehicle(), mass=np.linspace(183.0, 187.0, 65))
        >>> cases = Varied(mass, example_conditions(), np.full(65, 3.4), 2.0)
        >>> [each.vehicle.mass.size for each in cases.in_parts(40)]
        [40, 25]
        """
        inputs = inputs_of(self.vehicle, self.conditions, self.rollout)
        each_case = {name: np.ravel(value) for name, value in inputs.items() if np.size(value) > 1}
        for first in range(0, self.final_ratio.size, most):
            here = slice(first, first + most)
            some = {name: value[here] for name, value in each_case.items()}
            yield replaced(
                self.vehicle, self.conditions, self.final_ratio[here], self.rollout, some
            )


def inputs_of(vehicle: Vehicle, conditions: Conditions, rollout: Scalar) -> dict[str, Scalar]:
    """Every input that can be uncertain, by its name.

    Returns: The inputs [SI].

    >>> inputs_of(example_vehicle(), example_conditions(), 2.0)["rollout"]
    2.0
    """
    given = {name: getattr(vehicle, name) for name in _OF_VEHICLE}
    given |= {name: getattr(conditions, name) for name in _OF_CONDITIONS}
    return given | {ROLLOUT: rollout}


def replaced(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: FloatArray,
    rollout: Scalar,
    cases: dict[str, FloatArray],
) -> Varied:
    """The cases with some inputs replaced.

    Args:
        cases: Arrays (cases,) by the name of the input they replace [SI].

    Returns: The cases [SI].

    >>> bike = example_vehicle(), example_conditions(), np.array([3.4]), 2.0
    >>> replaced(*bike, {"mass": np.array([190.0])}).vehicle.mass
    array([190.])
    """
    return Varied(
        replace(vehicle, **{name: cases[name] for name in _OF_VEHICLE & cases.keys()}),
        replace(conditions, **{name: cases[name] for name in _OF_CONDITIONS & cases.keys()}),
        final_ratio,
        cases.get(ROLLOUT, rollout),
    )


def _check(spread: Spread, given: dict[str, Scalar]) -> None:
    if spread.input not in given:
        raise ValueError(
            f"There is no input called {spread.input!r} that could be uncertain; choose one of "
            f"{', '.join(sorted(given))}."
        )
    amount = np.asarray(spread.amount, float)
    if not np.all(np.isfinite(amount) & (amount >= 0)):
        raise ValueError(
            f"The uncertainty of {spread.input} must be a number of zero or more; give one."
        )
    if spread.relative and np.any(amount * STEP >= 1):
        raise ValueError(
            f"The uncertainty of {spread.input} would take it to zero; give a share below 0.57."
        )

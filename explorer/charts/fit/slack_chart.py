"""Slack of the chain over the wheel travel, for the fitted and for the chosen pair."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, add_setup_legend, set_if_changed
from explorer.charts.rows import Curves, HoverPlaces, Points

_HOVER_PLACES = 13


@dataclass(frozen=True, eq=False)
class SlackView:
    """All that the chart shows.

    Attributes:
        travel (array (points,)): Wheel travel used, 0 with the wheel hanging [unit].
        fitted, chosen (array (points,)): Slack of both pairs; NaN where the chain is taut [unit].
        rest: Wheel travel at which slack is measured [unit].
        tightest: Wheel travel at which the chain is tightest [unit].
        now: Wheel travel under the slider [unit].
        basis: What the curves start from, in a few words.
        decimals: Decimals with which slack is written.
        measured (bool): Whether anybody measured or gave slack; else only the shape is known.
    """

    travel: FloatArray
    fitted: FloatArray
    chosen: FloatArray
    rest: float
    tightest: float
    now: float
    basis: str
    unit: str = "mm"
    decimals: int = 0
    measured: bool = True

    def at(self, travel: float) -> float:
        """Slack of the chosen pair at a wheel travel; NaN where the chain is taut [unit]."""
        return float(np.interp(travel, self.travel, self.chosen))

    @property
    def tightest_label(self) -> str:
        """Why the chain is tightest there: at an end of the travel nothing is in line."""
        # Both come from the same angle, but not by the same sum.
        last = float(self.travel[-1])
        if self.tightest <= 1e-9 * last:
            return "tightest: wheel hanging"
        if self.tightest >= (1 - 1e-9) * last:
            return "tightest: fully compressed"
        return "tightest: in line"

    def said(self, slack: float) -> str:
        """Slack with its unit."""
        return "taut" if np.isnan(slack) else f"{slack:.{self.decimals}f} {self.unit}"


class SlackChart(Chart):
    """The figure and its update."""

    def build(self, view: SlackView) -> None:
        add_setup_legend(self.figure)
        self.draw_with(Curves, Points, HoverPlaces)

    def paint(self, view: SlackView) -> None:
        alike = np.array_equal(view.fitted, view.chosen, equal_nan=True)
        set_if_changed(self.figure.legend[0], visible=not alike)
        known = np.concatenate([view.fitted, view.chosen])
        known = known[np.isfinite(known)]
        top = float(known.max()) if known.size else 1.0
        self._x.show(0.0, float(view.travel.max()), view.unit)
        self._y.show(0.0, top, view.unit)
        across = f"Wheel travel used, {view.unit} (0 = hanging)"
        self.caption(f"Slack, {view.unit}: {view.basis}", across)
        curves, points, places = Curves(), Points(), HoverPlaces()
        top = self._y.end
        curves.add([view.tightest] * 2, [0.0, top], palette.LIMIT, palette.WHEEL_LIFT_DASH, 1.5)
        for slack, colour, dash, width in (
            (view.fitted, palette.FITTED, palette.FITTED_DASH, 2.0),
            (view.chosen, palette.CHOSEN, palette.SOLID, 3.5),
        ):
            there = np.isfinite(slack)
            curves.add(view.travel[there], slack[there], colour, dash, width)
        right = view.tightest > 0.6 * self._x.end
        points.add(
            view.tightest, top, text=view.tightest_label, dy=14,
            dx=-6 if right else 6, align="right" if right else "left", colour=palette.LIMIT,
            ground=palette.VEIL,
        )  # fmt: skip
        for travel, marker, text in (
            (view.rest, "square", "measure here" if view.measured else ""),
            (view.now, "circle", ""),
        ):
            slack = view.at(travel)
            if np.isfinite(slack):
                left = travel < 0.5 * self._x.end
                points.add(
                    travel, slack, marker=marker, size=12, fill=palette.CHOSEN,
                    line=palette.PAPER, text=text, dx=12 if left else -12,
                    align="left" if left else "right", colour=palette.CHOSEN,
                    ground=palette.VEIL,
                )  # fmt: skip
        for travel in np.linspace(view.travel[0], view.travel[-1], _HOVER_PLACES):
            slack = view.at(travel)
            fitted = float(np.interp(travel, view.travel, view.fitted))
            if np.isfinite(slack):
                both = f"chosen {view.said(slack)}", f"fitted {view.said(fitted)}"
                title = f"travel {travel:.{view.decimals}f} {view.unit}"
                places.add(travel, slack, title, *both)
        self.show(curves, points, places)


def describe(view: SlackView) -> str:
    """Slack where the slider stands, where it is measured, at the tightest position, at the end."""
    return (
        f"Computed, {view.basis}: {view.said(view.at(view.now))} where the slider stands "
        f"({view.now:.{view.decimals}f} {view.unit} of travel), "
        f"{view.said(view.at(view.rest))} where it is {'' if view.measured else 'to be '}measured, "
        f"{view.said(view.at(view.tightest))} at the tightest position "
        f"({view.tightest:.{view.decimals}f} {view.unit} of travel), "
        f"{view.said(view.at(float(view.travel[-1])))} fully compressed."
    )

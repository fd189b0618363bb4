"""The wheel's place on the fit page: the rider moves it, chain and swingarm follow."""

from functools import partial

import numpy as np

from explorer import units
from explorer.app.layout import columns
from explorer.app.page import OpenPage
from explorer.app.parts import Charts, Figure
from explorer.charts.fit import side_view, slack_chart
from explorer.charts.fit.side_view import SideSetup, SideView
from explorer.charts.fit.slack_chart import SlackView
from explorer.panels import widgets
from explorer.panels.controls import NumberControl, Scale
from explorer.study.fit_result import RIDDEN_SHARE, FitResult
from explorer.tasks.fit import views

_ALONE = SideSetup(13, 48, 1.0, 1.0, (1.0, 0.0), [0.0, 1.0], [0.0, 0.0])
_NO_SIDE_VIEW = SideView((0.0, 0.0), _ALONE, _ALONE, (0.0, 1.0, 0.0, 1.0))
_NOTHING = np.array([0.0, 1.0])
_BASIS = {
    "manual": "set to your manual's value",
    "tightest": "set to your slack at the tightest",
    "taut": "taut, no setting",
}
_NO_SLACK = SlackView(_NOTHING, _NOTHING, _NOTHING, 0.0, 0.0, 0.0, "nothing known")
"""These stand in until the swingarm has been measured; they are not shown."""

_LEAST_MOVE = 0.04
"""Less than half the finest step of the wheel travel's slider [mm or in]."""


class Travel:
    """Chain and swingarm at one place of the wheel, which the rider moves."""

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._known: tuple | None = None
        self._travel, self._shown, self._per_unit = 0.0, 0.0, 0.001
        self._control = NumberControl(
            "Wheel travel",
            "From hanging to fully compressed.",
            Scale(0.0, 300.0, 1.0, "mm"),
            0.0,
            self._moved,
            partial(page.faults.guard, clears=False),
        )
        figures = (
            Figure(side_view.SideViewChart, self._describe_side, self._side),
            Figure(slack_chart.SlackChart, self._describe_slack, self._slack),
        )
        self._charts = [Charts(page, [figure]) for figure in figures]
        self._move = page.faults.guard(self._take)
        both = columns(*(each.widgets for each in self._charts))(page)
        self.widget = widgets.VBox([self._control.widget, both])

    def work(self, result: FitResult) -> SlackView:
        """The slack at the wheel's place, as its curve shows it."""
        return self._slack(result)

    def put(self, curve: SlackView) -> None:
        """Show the wheel's place on its slider, if anything is known of it."""
        widgets.show_if(curve is not _NO_SLACK, self.widget)
        if curve is not _NO_SLACK:
            step = 1.0 if curve.unit == "mm" else 0.1
            self._per_unit = 1 / units.display(1.0, "length", self._page.state.setup.units)[0]
            self._shown = round(curve.now, 1)
            scale = Scale(0.0, round(float(curve.travel[-1]), 1), step, curve.unit)
            self._control.show(self._shown, scale)

    def _at(self, result: FitResult) -> float:
        """The wheel starts where the bike is ridden, and again where another swingarm is known."""
        whole = None if result.slack is None else float(result.slack.heights[-1])
        if self._known is None or self._known[0] is not result.bike or self._known[1] != whole:
            self._known = result.bike, whole
            self._travel = RIDDEN_SHARE * (whole or 0.0)
        return self._travel

    def _side(self, result: FitResult) -> SideView:
        return views.side_view(result, self._at(result)) or _NO_SIDE_VIEW

    def _slack(self, result: FitResult) -> SlackView:
        system = result.setup.units
        return views.slack_view(result.slack, self._at(result), _BASIS, system) or _NO_SLACK

    @staticmethod
    def _describe_side(view: SideView) -> str:
        return "" if view is _NO_SIDE_VIEW else side_view.describe(view)

    @staticmethod
    def _describe_slack(view: SlackView) -> str:
        return "" if view is _NO_SLACK else slack_chart.describe(view)

    def _moved(self, travel: float) -> None:
        # As it is first shown the browser reports the slider's place, put on a whole step: that is
        # no move of the rider's, and must not take away what is being said.
        if abs(travel - self._shown) > _LEAST_MOVE:
            self._move(travel * self._per_unit)

    def _take(self, travel: float) -> None:
        self._travel = travel
        self._page.repaint(*self._charts[0].parts, *self._charts[1].parts, self)

"""The card in which a rider makes the model their own, from typed runs or from a logged ride."""

import math
from collections.abc import Callable
from datetime import date

from explorer import units
from explorer.app.chart_widget import ChartWidget
from explorer.app.faults import Faults
from explorer.app.printed import save_link
from explorer.app.state import State
from explorer.calc import gearing
from explorer.calc.ride.calibration_model import Observation
from explorer.calc.ride.ride_summary import TopSpeed
from explorer.charts.ride import residual_chart
from explorer.panels import widgets
from explorer.panels.card import card, heading
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import bullet_list, help_line, sentences, table
from explorer.records.errors import RecordError
from explorer.records.rides.ride import Ride
from explorer.records.rides.typed_runs import (
    MOST_ROWS,
    read_marked_speed,
    read_rows,
    read_timed_runs,
)
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.records.tyre import rollout
from explorer.study.check.calibrate_result import (
    STATED,
    Calibrated,
    fit_runs,
    held_speed,
    observations_of,
)
from explorer.study.check.result import HELD_FOR
from explorer.study.check.runs import RideRun, gear_between, ridden_back, ride_runs, traces_of
from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.check import calibrate_words as words
from explorer.tasks.check.typed_table import columns_of, typed_table


class CalibrateCards:
    """Runs in, fitted values out, with the residuals, the words and the bike file.

    Args:
        on_said: Called after a fit.

    Attributes:
        widget: What the page places; made last, since a chart handed to its widget misses every
            change made before it is shown.
    """

    def __init__(self, state: State, on_said: Callable[[], None] = lambda: None) -> None:
        self._state = state
        self._on_said = on_said
        self._faults = Faults()
        self._ride: Ride | None = None
        self._top: TopSpeed | None = None
        self._with = ChoiceControl(
            "Runs ridden with",
            "Which gearing was on the bike; the one for all runs of a fit.",
            self._gearings(),
            CHOSEN,
            self._faults.guard(lambda _: self.show()),
        )
        self._looked_with = self._key()
        self._runs: list[RideRun] = []
        self.result: Calibrated | None = None
        self._tables = {
            name: typed_table(name, columns_of(name), state, self._faults)
            for name in ("coasts", "pulls", "tops")
        }
        self._from_ride = self._ride_widgets()
        self._take_top = self._faults.button(
            "Take over from the ride",
            self._use_top,
            "The speed held both ways; only if the throttle was fully open all the while",
        )
        self._top_gear: int | None = None
        self._values = widgets.HTML().add_class("ge-table")
        self._said = widgets.HTML()
        self._summary = widgets.HTML().add_class("ge-help")
        self._download = widgets.HTML()
        self._use = self._faults.button(
            "Use the calibrated bike",
            self._take,
            "Every number of the page then comes from it",
            disabled=True,
        )
        self._chart = residual_chart.ResidualChart(words.residual_view(None, state.setup.units))
        self._chart_widget = ChartWidget(self._chart.figure)
        self._results = widgets.VBox(
            [
                self._values,
                self._said,
                self._chart_widget,
                self._summary,
                self._download,
                self._use,
                help_line("The file says from which ride and day these values come."),
            ]
        )
        self.widget = self._assemble()
        self._show_ride()
        self._show_result()

    def _ride_widgets(self) -> widgets.Widget:
        """What is picked and marked of the runs in a ride."""
        several, labels = "Ctrl or ⌘ picks several", {"coasts": "Coast-downs", "pulls": "Pulls"}
        self._picks = {
            name: widgets.SelectMultiple(
                options=(), rows=5, description=f"{label} in the ride", tooltip=several
            )
            for name, label in labels.items()
        }
        self._back = widgets.SelectMultiple(
            options=(),
            rows=5,
            description="Of these, ridden back",
            tooltip="Set by the compass where the log has one; Ctrl or ⌘ picks several",
        )
        self._weight = ChoiceControl(
            "Weight with rider",
            "Drag and power come out in proportion to it, so its uncertainty is theirs too.",
            words.WEIGHTS,
            STATED,
            self._faults.guard(lambda _: None),
        )
        self._gear = ChoiceControl(
            "Gear of the pulls",
            "Used where the log does not tell the gear.",
            self._gears(),
            min(3, len(self._state.bike.gearbox.ratios)),
            self._faults.guard(lambda _: None),
        )
        return widgets.VBox(
            [
                help_line(words.SAY["pick-runs"]),
                *self._picks.values(),
                self._back,
                self._gear.widget,
            ]
        )

    def show(self) -> None:
        """Follow the state: a fit of another bike or set-up is no longer shown."""
        self._gear.show(min(self._gear.value, len(self._gears())), self._gears())
        self._with.show(self._with.value, self._gearings())
        if self._key() != self._looked_with:
            self.use_ride(self._ride, self._with.value, self._top)
        result = self.result
        if result is None:
            return
        setup = self._run_setup()
        if (result.bike, result.setup.changed(units=setup.units)) != (self._state.bike, setup):
            self.result = None
        self._show_result()

    def use_ride(
        self, ride: Ride | None, ridden: int = CHOSEN, top: TopSpeed | None = None
    ) -> None:
        """Look for coast-downs and pulls in a ride without glitches; None takes it away.

        Args:
            ridden ({FITTED, CHOSEN}): Which gearing was on the bike.
            top: The top speed that the ride held.
        """
        self._ride, self._top = ride, top
        self._with.show(ridden)
        self._looked_with = self._key()
        self._runs = []
        self._top_gear = None
        if ride is not None:
            setup, vehicle = self._run_setup(), self._state.bike.vehicle()
            overall = gearing.overall_ratio(vehicle.primary, vehicle.gears, setup.front, setup.rear)
            turn = rollout(setup.tyre, setup.rollout).value
            self._runs = ride_runs(ride, overall.tolist(), turn)
            if top is not None:
                self._top_gear = gear_between(
                    ride, top.start, top.start + HELD_FOR, overall.tolist(), turn
                )
        self._show_ride()

    def _run_setup(self) -> Setup:
        """The set-up with the gearing, tyre and roll-out that the runs were ridden with."""
        bike, setup = self._state.bike, self._state.setup
        if self._with.value == CHOSEN:
            return setup
        return setup.changed(
            front=bike.sprockets.front,
            rear=bike.sprockets.rear,
            tyre=bike.tyre.rear,
            rollout=fitted_rollout(bike, setup),
        )

    def _gearings(self) -> list[tuple[str, int]]:
        fitted, chosen = self._state.bike.sprockets, self._state.setup
        return [
            (f"chosen {chosen.front}/{chosen.rear}", CHOSEN),
            (f"fitted {fitted.front}/{fitted.rear}", FITTED),
        ]

    def _key(self) -> tuple:
        """What the labels and gears of a ride's runs depend on."""
        setup = self._run_setup()
        return self._state.bike, setup.front, setup.rear, setup.tyre, setup.rollout, setup.units

    def _gears(self) -> list[tuple[str, int]]:
        return [(str(gear), gear) for gear in range(1, len(self._state.bike.gearbox.ratios) + 1)]

    def _show_ride(self) -> None:
        system = self._state.setup.units
        for name, pick in self._picks.items():
            places = [
                (words.run_label(run, system), place)
                for place, run in enumerate(self._runs)
                if run.coasting == (name == "coasts")
            ]
            _offer(pick, places)
        _offer(self._back, [(words.run_label(run, system), n) for n, run in enumerate(self._runs)])
        self._back.value = [n for n, back in enumerate(ridden_back(self._runs)) if back]
        widgets.show_if(bool(self._runs), self._from_ride)
        both_ways = self._top is not None and math.isfinite(self._top.both_ways)
        widgets.show_if(both_ways, self._take_top)

    def _use_top(self) -> None:
        """Put the top speed of the ride behind the typed ones; typed rows stay."""
        factor, unit = units.display(1.0, "speed", self._state.setup.units)
        gear = "" if self._top_gear is None else str(self._top_gear)
        entry = self._tables["tops"]
        typed = [row for row in entry.rows if any(text.strip() for text in row.values())]
        if len(typed) >= MOST_ROWS:
            raise RecordError("The table of top speeds is full; take a row away first.")
        new = {"gear": gear, "gps": f"{self._top.both_ways * factor:.1f} {unit}"}
        if new not in typed:
            entry.show([*typed, new])

    def _observations(self) -> list[Observation]:
        """Everything typed and picked; typed rows that cannot be read are answered beside them."""
        gears = len(self._state.bike.gearbox.ratios)
        readers = {
            "coasts": lambda row: read_timed_runs(row, gears, coasting=True),
            "pulls": lambda row: read_timed_runs(row, gears),
            "tops": lambda row: read_marked_speed(row, gears),
        }
        found: dict[str, list] = {}
        wrong = False
        for name, read in readers.items():
            entry = self._tables[name]
            try:
                found[name] = read_rows(entry.rows, read)
                if name == "tops" and any(row.gear is None for row in found[name]):
                    raise RecordError("A top speed needs its gear; write 1 for first.")
                entry.answer()
            except RecordError as error:
                entry.answer(*error.sentences)
                wrong = True
        if wrong:
            raise RecordError("Some rows cannot be read; the answers stand below their tables.")
        picked = [place for pick in self._picks.values() for place in sorted(pick.value)]
        back = [place in self._back.value for place in picked]
        return [
            *traces_of([self._runs[place] for place in picked], self._gear.value, back),
            *observations_of([*found["coasts"], *found["pulls"]]),
            *(held_speed(row.gps, row.gear) for row in found["tops"]),
        ]

    def _fit(self) -> None:
        self.result = None
        try:
            self.result = fit_runs(
                self._state.bike, self._run_setup(), self._observations(), self._weight.value
            )
        finally:
            self._show_result()
            self._on_said()

    def _calibrated(self):
        ride = self._ride
        day = ride.start.date() if ride is not None and ride.start is not None else date.today()
        label = ride.label if ride is not None else ""
        return self.result.bike_file(words.ride_words(self.result.observations, label), day)

    def _show_result(self) -> None:
        result, system = self.result, self._state.setup.units
        widgets.show_if(result is not None, self._results)
        self._use.disabled = True
        self._download.value = ""
        view = words.residual_view(result, system)
        self._chart.update(view)
        self._summary.value = sentences([residual_chart.describe(view)], "ge-summary")
        if result is not None:
            self._values.value = table(words.HEADS, words.value_rows(result, system))
            texts = words.said(result, system)
            try:
                bike = self._calibrated()
            except RecordError as error:
                texts += error.sentences
            else:
                self._use.disabled = False
                self._download.value = save_link(
                    bike.to_toml(),
                    "Download the calibrated bike as a file",
                    "calibrated-bike.toml",
                    "application/toml",
                )
            self._said.value = sentences(texts, "ge-said")
        self._chart_widget.flush()

    def _take(self) -> None:
        if self.result is not None:
            self._state.use_bike(self._calibrated())

    def _assemble(self) -> widgets.Widget:
        fit = self._faults.button(
            "Fit drag, rolling resistance and power", self._fit, button_style="primary"
        )
        tables = [
            part
            for name, each in self._tables.items()
            for part in (heading(words.SAY["tables"][name]["title"]), each.widget)
        ]
        return card(
            "Make the model yours: calibrate the bike",
            widgets.HTML(sentences([words.SAY["calibrate"]], "ge-said")),
            widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
            self._with.widget,
            self._weight.widget,
            self._from_ride,
            *tables,
            self._take_top,
            self._faults.widget,
            fit,
            self._results,
        )


def _offer(pick: widgets.SelectMultiple, options: list[tuple[str, int]]) -> None:
    """Other options to pick from, with nothing picked: first of all, as the browser marks what was
    picked among the new options before it hears that nothing is."""
    pick.value = ()
    pick.options = options

"""Making a bike one's own: every field in a form, a bike file in, a bike file out."""

from urllib.parse import quote

from markupsafe import escape

from explorer.app.controls import upload
from explorer.app.faults import Faults
from explorer.app.page import OpenPage
from explorer.app.state import State
from explorer.panels import widgets
from explorer.panels.forms import BikeForm, OwnBikeForm
from explorer.panels.html import help_line, link
from explorer.records.bikes.begun_bike import in_words
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_fields import FIELDS
from explorer.records.bikes.own_bike import (
    OWN_FIELDS,
    OWN_GROUPS,
    curve_said,
    own_texts,
    read_own_bike,
)
from explorer.records.errors import RecordError
from explorer.records.setups.link import MINE


class BikeEditor:
    """The form, the upload and the download of the bike in use."""

    def __init__(self, state: State, faults: Faults, begun: bool = False) -> None:
        self._state, self._begun = state, begun
        self._shown: Bike | None = None
        self._form: BikeForm | None = None
        self._form_faults = Faults()  # beside its button, far below the page's own
        self._own: OwnBikeForm | None = None
        self._guard = faults.guard
        self._note, self._download = widgets.HTML(), widgets.HTML()
        self._place, self._own_place = widgets.VBox(), widgets.VBox()
        enter = faults.button(
            "Enter your own bike",
            self._open_own,
            "Begin with the teeth; add the other numbers when you know them"
            if begun
            else "Ten numbers that you know; the rest is assumed and said so",
            button_style="primary",
        ).add_class("ge-enter-own")
        self._again = faults.button(
            "", lambda: state.pick_bike(MINE), "The bike of your own that you entered last"
        )
        edit = faults.button(
            "Edit every field", self._open, "Opens a form with all fields of the bike"
        )
        tooltip = "A .toml file, with its torque curve as .csv if the file names one"
        opened = upload("Open a bike file", tooltip, ".toml,.csv", self._opened, multiple=True)
        kept = help_line("At most 1 MB. The file stays in this visit: nothing is stored here.")
        buttons = widgets.HBox([enter, self._again])
        parts = [self._note, buttons, self._own_place, edit, self._place, opened, kept]
        self.widget = widgets.VBox([*parts, self._download]).add_class("ge-bike-editor")
        self.show()

    def show(self) -> None:
        """Show the bike in use."""
        bike = self._state.bike
        last = self._state.library.get(MINE)
        offered = last is not None and self._state.setup.bike_id != MINE
        widgets.show_if(offered, self._again)
        if last is not None:
            self._again.description = f"Use {last.name} again"
        if bike is self._shown:
            return
        self._shown = bike
        provenance = "Said to be measured on a real bike."
        if bike.provenance == "invented":
            provenance = "Invented for the demo: no maker's data."
        elif self._state.setup.bike_id == MINE:
            provenance = "Your own bike."
        if (by := bike.calibration).values:
            ridden = f"{by.ride or 'a ride'}, {by.date or 'date not given'}"
            provenance += f" Calibrated from {ridden}: {by.values}"
        self._note.value = help_line(f"{bike.name}. {provenance}").value
        self._download.value = link(
            f"data:application/toml;charset=utf-8,{quote(bike.to_toml())}",
            "Download this bike as a file",
            "bike.toml",
        )
        if self._form is not None:
            self._form.show(bike.flat())

    def _open_own(self) -> None:
        if self._own is None:
            self._own = OwnBikeForm(OWN_FIELDS, OWN_GROUPS, self._use_own, self._guard)
            texts = own_texts(self._state.bike)
            if self._state.setup.bike_id == MINE:
                self._own.show(texts)
            elif texts["pair"] != own_texts(self._state.base_bike)["pair"]:
                # The lesson sends a pupil here with the teeth alone.
                self._own.show({"pair": texts["pair"]})
            self._own_place.children = [self._own.widget]
        self._own.focus()

    def _use_own(self) -> None:
        read, done = read_own_bike(self._own.texts, self._begun), ""
        if read.bike is not None:
            self._state.use_own(read.bike)
            done = _done(read.bike)
            if self._begun:
                done = escape(f"{done} ") + link("#bench", "See it on the bench")
        self._own.answer(read.said, read.problems, done)

    def _open(self) -> None:
        if self._form is None:
            texts, guard = self._state.bike.flat(), self._form_faults.guard
            self._form = BikeForm(FIELDS, texts, self._apply_changes, guard)
            self._place.children = [self._form.widget, self._form_faults.widget]

    def _apply_changes(self, typed: dict[str, str]) -> None:
        now = self._state.bike.flat()
        changes = {path: text for path, text in typed.items() if text.strip() != now.get(path, "")}
        if changes:
            self._state.use_bike(self._state.bike.with_changes(changes))

    def _opened(self, files: dict[str, bytes]) -> str:
        bikes = [name for name in files if name.lower().endswith(".toml")]
        if len(bikes) != 1:
            raise RecordError(
                "Choose exactly one bike file ending in .toml, and with it the .csv file of its "
                "torque curve if it names one."
            )

        def read_beside(name: str) -> bytes:
            if name not in files:
                raise RecordError(
                    "The bike file names a torque curve in a second file; choose both files "
                    "together, or write the points into the bike file."
                )
            return files[name]

        bike = Bike.from_toml(files[bikes[0]], read_beside)
        self._state.use_own(bike)
        return f"{bike.name} is on the page."


def _done(bike: Bike) -> str:
    """What is said of a bike that was taken."""
    curve, missing = curve_said(bike), in_words(bike.missing)
    if missing:
        return f"{bike.name} is on the page. Still missing: {missing}."
    curve = f"{bike.name} is on the page; it {curve}." if curve else ""
    return f"{curve} The rest is listed under “Why? What is assumed”."


def own_bike(page: OpenPage) -> BikeEditor:
    """The editor as an item of a page."""
    return BikeEditor(page.state, page.faults, page.plan.takes_begun())

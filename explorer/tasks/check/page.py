"""The check page: bring a ride, see what it says, compare it with what was computed."""

from IPython.display import display

from explorer.app.bike_editor import BikeEditor
from explorer.app.chart_script import bring_chart_script
from explorer.app.debounce import at_once
from explorer.app.faults import Faults, roll_back
from explorer.app.gearing_controls import GearingControls
from explorer.app.page_links import page_links
from explorer.app.state import State
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.html import bullet_list, help_line
from explorer.records.clubs.club import bikes_offered
from explorer.records.logbook.logbook_link import encode_outing
from explorer.records.setups.link import LONGEST
from explorer.study.wants.wants_link import decode_wants, encode_wants
from explorer.tasks.check import words
from explorer.tasks.check.calibrate import CalibrateCards
from explorer.tasks.check.compare import CompareCards
from explorer.tasks.check.outing import outing
from explorer.tasks.check.ride import RideCards


class CheckPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : State
        The one state, the same as that of the gearing page.
    rides : RideCards
        The ride and what it says; has its own time.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = State.from_link(query, dict(bikes_offered()))
        self._wishes, unread = decode_wants(query)
        complaints += unread
        self._faults = Faults()
        self._controls = GearingControls(self.state, self._faults)
        self._editor = BikeEditor(self.state, self._faults)
        self._link = widgets.Text(
            description="Link to this set-up", tooltip="Copy it to come back to exactly this"
        )
        self._pages = widgets.HTML()
        self._compare = CompareCards(self.state, self._show_link)
        self._calibrate = CalibrateCards(self.state, self._show_link)
        self.rides = RideCards(
            self.state, self._calibrate.use_ride, self._wishes.wants, self._show_link
        )
        self._show_link()
        self.widget = self._assemble()
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = State.from_link(query, self.state.library)
        self._wishes, unread = decode_wants(query)
        self.rides.wants = self._wishes.wants
        with at_once():
            self.state.choice = given.choice
            self.rides.show()
        self._show_link()
        if complaints + unread:
            self._faults.say(*complaints, *unread)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        try:
            self._compare.show()
            self._calibrate.show()
            self.rides.show()
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._controls.show()
            raise
        self._controls.show()
        self._editor.show()
        self._show_link()

    def _show_link(self) -> None:
        bike, setup = self.state.bike, self.state.setup
        address = self.state.link + encode_wants(self._wishes)
        self._link.value = address
        gave = outing(
            self.rides.result, self._compare.found, self._calibrate.result, bike, setup.units
        )
        # Only the logbook has a use for what the ride gave.
        logbook = address + encode_outing(gave, LONGEST - len(address))
        pages = page_links(
            ("check", address, "Open this in a new page"),
            ("wants", address, "Say your riding: what you want"),
            ("gearing", address, "Gearing: every pair with this set-up"),
            ("logbook", logbook, "Logbook: keep what came of it"),
            ("ground", address, "On the ground: what was computed"),
            ("fit", address, "Does it fit?"),
        )
        if self._pages.value != pages:
            self._pages.value = pages

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Ride it and check</h1><p>A prediction that nobody checks is an opinion. Bring the "
            "log of a ride, or type what a stopwatch and a speedometer said, and see whether the "
            "change did what was computed.</p>"
        ).add_class("ge-header")
        controls = widgets.VBox(
            [
                card("", self._controls.reader),
                card("", self._controls.gearing),
                card("Ground, air and rider", self._controls.ground),
                widgets.Accordion([self._editor.widget], titles=("This bike",)),
            ]
        ).add_class("ge-controls")
        main = widgets.VBox(
            [
                self._faults.widget,
                self.rides.widget,
                self._compare.widget,
                self._calibrate.widget,
                card(
                    "Keep or share this set-up",
                    self._link,
                    self._pages,
                    help_line(
                        "The link to the logbook takes along what was measured and the verdict; a "
                        "new entry there is filled in with it. The ride itself stays here."
                    ),
                ),
                widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
                card("What a log does not know", widgets.HTML(bullet_list(words.UNKNOWN))),
            ]
        ).add_class("ge-main")
        return (
            widgets.VBox([header, controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )

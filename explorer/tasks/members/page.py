"""The members page: what others of the club ride, where, and what came of it."""

from dataclasses import dataclass, replace

from IPython.display import display
from traitlets import HasTraits, Instance

from explorer.app.faults import Faults, roll_back
from explorer.app.page_links import page_links
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.html import bullet_list, help_line, sentences, table
from explorer.records.clubs.club import bikes_offered, club_here, is_served, units_offered
from explorer.records.setups.link import decode
from explorer.records.setups.setup import Units
from explorer.tasks.members import rows

MEANING = (
    "Reported is what somebody wrote down. Nobody has verified it.",
    "Checked by GPS means that a recorded ride agreed with the teeth. It does not say that the "
    "gearing is right, for them or for you.",
    "The verdict is the rider's own, on that bike, with that tyre and that weight.",
    "Final drive ratios are computed from the teeth; everything else is as the club wrote it.",
)

CAUTIONS = (
    "That it is on somebody's bike does not mean that it fits yours: check chain, adjusters and "
    "clearances before you buy.",
    "After a change the same engine note means another speed: learn jumps, corners and braking "
    "points again.",
)


@dataclass(frozen=True)
class MembersChoice:
    """What is picked on the page.

    Attributes:
        bike_class, terrain: What the rows must be about; `members_rows.ALL` for anything.
        units ({"metric", "imperial"}): Of the reader.
    """

    bike_class: str = rows.ALL
    terrain: str = rows.ALL
    units: Units = "metric"


class MembersState(HasTraits):
    """Holds one choice and tells who listens when it is replaced."""

    choice = Instance(MembersChoice)

    def change(self, **fields: str) -> None:
        """Change some fields of the choice."""
        self.choice = replace(self.choice, **fields)


class MembersPage:
    """The page, built from the query string of its address.

    Args:
        query: What a link carried, unchecked. Only its units are used here; the set-up goes along
            to other pages.

    Attributes:
        state: The one state.
        widget: The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self._bikes = bikes_offered()
        club = club_here()
        self._setups = () if club is None or club.members is None else club.members
        setup, _, _ = decode(query, self._bikes, units_offered())
        self.state = MembersState(choice=MembersChoice(units=setup.units))
        self._faults = Faults()
        guard = self._faults.guard
        classes = dict.fromkeys(setup.bike_class for setup in self._setups)
        self._class = ChoiceControl(
            "Bike or class",
            "Whose set-ups are shown.",
            [("All", rows.ALL), *((rows.class_name(each, self._bikes), each) for each in classes)],
            rows.ALL,
            guard(lambda value: self.state.change(bike_class=value)),
        )
        self._terrain = ChoiceControl(
            "Terrain",
            "Woods finds steep woods, too.",
            [("All", rows.ALL), *((each, each) for each in rows.terrain_words(self._setups))],
            rows.ALL,
            guard(lambda value: self.state.change(terrain=value)),
        )
        self._units = ChoiceControl(
            "Units",
            "",
            [("mm", "metric"), ("in", "imperial")],
            setup.units,
            guard(lambda value: self.state.change(units=value)),
            widgets.ToggleButtons,
        )
        self._count = widgets.HTML()
        self._table = widgets.HTML().add_class("ge-table").add_class("ge-members")
        self._spread = widgets.HTML().add_class("ge-table").add_class("ge-members")
        self._paint()
        self.widget = self._assemble()
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries."""
        setup, _, _ = decode(query, self._bikes, units_offered())
        self.state.change(units=setup.units)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        display(self.widget)

    def _changed(self, change: dict) -> None:
        try:
            self._paint()
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._show_choice()
            raise
        self._show_choice()

    def _show_choice(self) -> None:
        choice = self.state.choice
        self._class.show(choice.bike_class)
        self._terrain.show(choice.terrain)
        self._units.show(choice.units)

    def _paint(self) -> None:
        choice = self.state.choice
        of_class = rows.picked(self._setups, choice.bike_class)
        shown = rows.picked(of_class, terrain=choice.terrain)
        self._count.value = sentences([rows.count_sentence(shown)], "ge-said")
        self._table.value = (
            table(rows.HEADS, rows.table_rows(shown, self._bikes, choice.units)) if shown else ""
        )
        self._spread.value = (
            sentences(
                ["Pick a bike or class: ratios of different bikes do not compare."], "ge-line"
            )
            if choice.bike_class == rows.ALL
            else table(
                ("Terrain", "Set-ups", "Final drive ratio", "Of those found right"),
                rows.spread_rows(of_class),
            )
        )

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>What members ride</h1><p>Set-ups that members of the club told or measured: no "
            "names, and no advice. A place to start from, not a proof.</p>"
        ).add_class("ge-header")
        choices = widgets.VBox(
            [self._class.widget, self._terrain.widget, self._units.widget]
        ).add_class("ge-row")
        main = widgets.VBox(
            [
                self._faults.widget,
                card("", choices, self._count),
                card("Set-ups, the newest first", self._table, *_how_to_open()),
                card("Spread of the final drive ratios by terrain", self._spread),
                card("What the words mean", widgets.HTML(bullet_list(MEANING))),
                widgets.HTML(bullet_list(CAUTIONS)).add_class("ge-caution"),
                card("Other pages", widgets.HTML(_others())),
            ]
        ).add_class("ge-main")
        return widgets.VBox([header, main]).add_class("ge-page")


def _how_to_open() -> list[widgets.Widget]:
    if not is_served("gearing"):
        return []
    return [help_line("Tap the teeth, where they are a link, to open them on the gearing page.")]


def _others() -> str:
    return page_links(
        ("gearing", "", "Gearing: what a pair does on your bike"),
        ("fit", "", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
        ("check", "", "Ride it and check"),
    )

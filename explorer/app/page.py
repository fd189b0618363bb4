"""A page, declared: its title, what it asks of which state, and what stands where.

Whatever all pages do is here, once: read a link and follow another, work out one result for each
change and show all of it, wait with the words until the hand rests, roll back when something cannot
be worked out, say faults, bring the charts' script.

What stands on a page is made of items (explorer/app/layout.py, parts.py, controls.py): functions of
the open page that give a widget, or a part. A part is any object with a `widget` (or `widgets`) and
as many of these methods as it needs:

- ``show()``: show the state, whoever changed it, as controls do;
- ``work(result)``: whatever it takes to show a result, but not touching a widget;
- ``put(made)``: show what `work` returned, or the result where there is no ``work``;
- ``flush()``: send what has piled up, when all parts are painted.

A part with ``late = True`` shows the result when the hand rests.
"""

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from IPython.display import display
from traitlets import HasTraits

from explorer.app import FIRST_TYPE, elsewhere
from explorer.app.chart_widget import charts_in
from explorer.app.debounce import Debounce, at_once
from explorer.app.faults import Faults
from explorer.app.lacking import lacking_sentences
from explorer.charts.drawing import axes_anew
from explorer.panels import widgets
from explorer.records.clubs.club import bikes_offered
from explorer.records.setups.link import without_lost_bike

Item = Callable[["OpenPage"], Any] | widgets.Widget


def stacked(page: "OpenPage") -> widgets.Widget:
    """The usual layout: header, controls at the side if there are any, everything else."""
    plan = page.plan
    intro = plan.intro if isinstance(plan.intro, str) else plan.intro()
    parts = [widgets.HTML(f"<h1>{plan.title}</h1><p>{intro}</p>").add_class("ge-header")]
    parts += page.make(*plan.above)
    if plan.controls:
        parts.append(widgets.VBox(page.make(*plan.controls)).add_class("ge-controls"))
    main = [page.faults.widget, *page.make(*plan.main)]
    whole = widgets.VBox([*parts, widgets.VBox(main).add_class("ge-main")])
    at_the_side = "ge-with-controls" if plan.controls else ""
    return widgets.dressed(whole, f"ge-page {at_the_side} {plan.css}")


@dataclass(frozen=True, eq=False)
class Page:
    """What a notebook opens; called with a link's query, it makes the page.

    Attributes:
        title, intro: Heading, and what the page is for; our own words, HTML. The intro may be a
            function of nothing, where it depends on which pages are served.
        main, controls, above: What stands in the page, at its side, and over both.
        state: Its trait ``choice`` is what the page is about; its class method ``from_link(query,
            library)`` gives a state, and a sentence for each thing that the link got wrong.
        ask: From a choice to the result that the parts show; it may be lazy, for what a part shows
            is worked out before anything is painted.
        first: HTML that stands in the page before its scripts have come; empty for none. Only our
            own server's pages have it.
        takes_begun: Whether it shows what can be known of a bike that is only begun; else it asks
            for the rest.
        lazy: Whether what is under a closed lid comes to the browser only once it opens, and late
            parts among it are worked out only then.
        assemble: Lays the page out; it makes the items by `OpenPage.make` and places
            ``faults.widget``.
    """

    title: str
    intro: str | Callable[[], str]
    main: tuple[Item, ...]
    state: type[HasTraits]
    ask: Callable[[Any], Any] = lambda choice: choice
    controls: tuple[Item, ...] = ()
    above: tuple[Item, ...] = ()
    charts: bool = True
    css: str = ""
    first: Callable[["OpenPage"], str] = lambda page: ""
    takes_begun: Callable[[], bool] = lambda: False
    lazy: Callable[[], bool] = lambda: False
    assemble: Callable[["OpenPage"], widgets.Widget] = stacked

    def __call__(self, query: str = "") -> "OpenPage":
        """Make the page with what a link carried, unchecked; empty for the first bike."""
        return OpenPage(self, query)


class OpenPage:
    """A page as one visitor has it.

    Attributes:
        faults: Where faults are said; `Faults.guard` is around every callback.
        lost: Where it is said that the link's own bike is not the one shown, above all the rest.
    """

    def __init__(self, plan: Page, query: str) -> None:
        self.plan = plan
        self.faults, self.lost = Faults(), Faults()
        self.state, complaints, lost = self._read(query, dict(bikes_offered()))
        self.result = plan.ask(self.state.choice)
        self._parts: list[Any] = []
        self._hidden: list[Any] = []  # parts under a closed lid
        self._made: dict[Item, Any] = {}
        self._rest = Debounce(self.faults.guard(self._paint_rest, clears=False))
        self.widget = plan.assemble(self)
        # The last choice that was painted, and the last one that was shown with all its words.
        self._painted = self._settled = self.state.choice, self.result
        for late in (False, True):
            self._put(self._work(late))
        self._complain(complaints, lost)
        self.state.observe(self._changed, "choice")

    def make(self, *items: Item) -> list[widgets.Widget]:
        """The widgets of some items; parts among them are told what becomes of the state."""
        placed: list[widgets.Widget] = []
        for item in items:
            made = item if isinstance(item, widgets.Widget) else self.part(item)
            if isinstance(made, widgets.Widget):
                placed.append(made)
            else:
                placed += made.widgets if hasattr(made, "widgets") else [made.widget]
        return placed

    def part(self, item: Callable[["OpenPage"], Any]) -> Any:
        """What an item is on this page: one thing, made when it is first needed."""
        if item not in self._made:
            made = self._made[item] = item(self)
            if not isinstance(made, widgets.Widget):
                self.add(made)
        return self._made[item]

    def make_under_lid(self, title: str, *items: Item) -> widgets.Accordion:
        """Items under one lid that is closed at first."""
        known = len(self._parts)
        inside = self.make(*items)
        box = widgets.VBox([] if self.plan.lazy() else inside)
        lid = widgets.Accordion([box], titles=(title,))
        if self.plan.lazy():
            under = [part for part in self._parts[known:] if getattr(part, "late", False)]
            self._hidden += under
            moved = functools.partial(self._lid_moved, lid, box, inside, under)
            lid.observe(self.faults.guard(moved, clears=False), "selected_index")
        return lid

    def _lid_moved(
        self,
        lid: widgets.Accordion,
        box: widgets.VBox,
        inside: list[widgets.Widget],
        under: list[Any],
        change: dict,
    ) -> None:
        """Show the result under a lid that opens; it closes again if that cannot be worked out."""
        if change["new"] is None:
            self._hidden += [part for part in under if part not in self._hidden]
            return
        try:
            with axes_anew():
                self.repaint(*under)
        except Exception:
            lid.selected_index = None
            raise
        self._hidden = [part for part in self._hidden if part not in under]
        if not box.children:
            for chart in charts_in(*inside):
                chart.send_whole()
            box.children = inside

    def add(self, part: Any) -> Any:
        """Tell a part from now on what becomes of the state; the part."""
        if part not in self._parts:
            self._parts.append(part)
        return part

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        library = dict(bikes_offered())
        given, complaints, lost = self._read(query, library)
        known: dict = getattr(self.state, "library", {})
        more = library.keys() - known.keys()
        known.update(library)  # the link may carry a bike, or a rider's last one is offered

        def take() -> None:
            with at_once(), axes_anew():
                self.state.choice = given.choice

        self.faults.guard(take)()
        if more:
            self._show_state()
        self._complain(complaints, lost)

    def _read(self, query: str, library: dict) -> tuple[HasTraits, list[str], list[str]]:
        """State that a link describes, what it got wrong, and that its own bike is lost."""
        self.lost.clear()
        query, lost = without_lost_bike(query, library)
        state, complaints = self.plan.state.from_link(query, library)
        if state.choice is None:  # a page that takes nothing from a link
            return state, complaints, []
        if not elsewhere.served_by_us():  # there is no place above the page
            return state, lost + complaints, []
        return state, complaints, lost

    def _complain(self, complaints: list[str], lost: Sequence[str] = ()) -> None:
        """Say what a link got wrong, and what its bike lacks for this page, which is then empty."""
        bike = getattr(self.state, "bike", None)
        if bike is not None and bike.missing and not self.plan.takes_begun():
            self.widget.add_class("ge-lacking")
            complaints = [*lacking_sentences(bike, self.state.setup.units), *complaints]
        if complaints:
            self.faults.say(*complaints)
        if lost:
            self.lost.say(*lost)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        if self.lost.widget.value:
            elsewhere.display_widget(self.lost.widget, "Not accepted")
        if first := self.plan.first(self):
            display({FIRST_TYPE: {"html": first}}, raw=True)
        if self.plan.charts:
            elsewhere.bring_chart_script()
        elsewhere.display_widget(elsewhere.as_shown_here(self.widget), self.plan.title)

    def again(self) -> None:
        """Show the choice anew, words and all, for what stands beside it has changed."""
        with at_once():
            self._changed({"new": self.state.choice})

    def repaint(self, *parts: Any) -> None:
        """Show the result in some parts anew: they show more than follows from the choice."""
        self._put([(part, self._worked(part)) for part in parts])

    def _changed(self, change: dict) -> None:
        """Work out everything that answers the hand, then paint it; the words follow."""
        try:
            self.result = self.plan.ask(change["new"])
            self._put(self._work(late=False))
            self._show_state()
        except Exception:
            # The guard of the callback says the rest.
            self._roll_back(self._painted)
            raise
        if getattr(change["new"], "bike", None) is not getattr(self._painted[0], "bike", None):
            self.lost.clear()
        self._painted = change["new"], self.result
        self._complain([])
        # Nobody reads while dragging: the browser has the charts to draw.
        self._rest.ask()

    def _paint_rest(self) -> None:
        try:
            self._put(self._work(late=True))
        except Exception:
            self._roll_back(self._settled)
            raise
        self._settled = self._painted

    def _work(self, late: bool) -> list[tuple[Any, Any]]:
        """Parts with all that they need to show the result: nothing is painted yet."""
        return [
            (part, self._worked(part))
            for part in self._parts
            if hasattr(part, "put")
            and getattr(part, "late", False) == late
            and part not in self._hidden
        ]

    def _worked(self, part: Any) -> Any:
        return part.work(self.result) if hasattr(part, "work") else self.result

    def _put(self, work: list[tuple[Any, Any]]) -> None:
        for part, made in work:
            part.put(made)
        # Last, so that the browser draws the charts when every text stands.
        for part, _ in work:
            if hasattr(part, "flush"):
                part.flush()

    def _show_state(self) -> None:
        for part in self._parts:
            if hasattr(part, "show"):
                part.show()

    def _roll_back(self, good: tuple[Any, Any]) -> None:
        """Return to a choice that could be shown, without calling who failed at the new one."""
        self.state.unobserve(self._changed, "choice")
        self.state.choice, self.result = good
        self.state.observe(self._changed, "choice")
        self._painted = good
        self._put(self._work(late=False))
        self._show_state()

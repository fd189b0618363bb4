"""The method page: how everything is computed, what is left out, and how well it agrees."""

from itertools import groupby

from IPython.display import display
from markupsafe import Markup

from explorer.app.page_links import page_links
from explorer.panels import widgets
from explorer.panels.html import sentences, tiles
from explorer.records.references import Comparison, compare, references
from explorer.tasks.method import chain as method_chain
from explorer.tasks.method import forces as method_forces
from explorer.tasks.method import gearing as method_gearing
from explorer.tasks.method import html as method_html
from explorer.tasks.method import measuring as method_measuring
from explorer.tasks.method import motion as method_motion
from explorer.tasks.method import uncertainty as method_uncertainty
from explorer.tasks.method.assumptions import ASSUMPTIONS

GROUPS = (
    method_chain.SPROCKETS,
    method_gearing.GEARING,
    method_gearing.TYRE,
    method_forces.AIR,
    method_forces.FORCES,
    method_forces.LIMITS,
    method_forces.MASS,
    method_motion.MOTION,
    method_motion.SHIFTS,
    method_motion.TOP_SPEED,
    method_gearing.TRADE_OFF,
    method_uncertainty.UNCERTAINTY,
    method_motion.COURSE,
    method_gearing.SPEEDOMETER,
    method_chain.CHAIN_LENGTH,
    method_chain.SLACK,
    method_chain.CLEARANCE,
    method_measuring.WANTS,
    method_measuring.RIDES,
    method_measuring.MEASURED,
)
"""All formulas, in the order of the page."""

LEFT_OUT = "What is left out"
AGAINST = "Predicted against reference"
FORMULAS = "Formulas"


class MethodPage:
    """The page. It has no controls and takes nothing from its address.

    Attributes:
        comparisons: Every reference value with what was computed for it when the page was made.
        widget: The whole page.
    """

    def __init__(self) -> None:
        self.comparisons = tuple(map(compare, references()))
        self.widget = self._assemble()

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        display(self.widget)

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Method</h1><p>How every number of these pages is computed, what is left out, and "
            f"how well it agrees with published values. {_others()}</p>"
        ).add_class("ge-header")
        main = widgets.VBox(
            [
                _card(method_html.contents((LEFT_OUT, AGAINST, FORMULAS))),
                _card(_heading(LEFT_OUT), method_html.assumptions(ASSUMPTIONS)),
                _card(
                    _heading(AGAINST),
                    *_summary(self.comparisons),
                    *(
                        method_html.comparisons(subject, [*rows])
                        for subject, rows in groupby(
                            self.comparisons, key=lambda row: row.reference.subject
                        )
                    ),
                ),
                _card(
                    _heading(FORMULAS),
                    sentences(
                        [
                            "All quantities are in SI inside the calculation; the pages convert "
                            "on the way in and out. Texts, ranges and sources below are those "
                            "of the functions that compute."
                        ],
                        "ge-said",
                    ),
                    method_html.contents(group.title for group in GROUPS),
                    *map(method_html.group, GROUPS),
                ),
            ]
        ).add_class("ge-main")
        return widgets.VBox([header, main]).add_class("ge-page").add_class("ge-method")


def _card(*parts: str) -> widgets.Widget:
    return widgets.HTML(Markup("").join(parts)).add_class("ge-card")


def _heading(title: str) -> Markup:
    return Markup('<h2 id="{}">{}</h2>').format(method_html.anchor(title), title)


def _others() -> str:
    """Links to pages whose numbers these are."""
    others = page_links(
        ("gearing", "", "gearing"),
        ("ground", "", "on the ground"),
        ("fit", "", "does it fit?"),
        between=", ",
    )
    return f"The other pages: {others}" if others else ""


def _summary(rows: tuple[Comparison, ...]) -> tuple[str, str]:
    agreeing = sum(row.agrees for row in rows)
    published = sum(row.reference.origin == "published" for row in rows)
    figures = tiles(
        [
            (f"{agreeing} of {len(rows)}", "values agree within their tolerance"),
            (f"{published}", "of them are printed in the source named"),
            (
                f"{len(rows) - published}",
                "are worked out from the definition, outside this project",
            ),
        ]
    )
    said = sentences(
        [
            "Computed just now, when this page was opened, by the functions that the other pages "
            "use; the project's tests hold them to the same rows. A value computed from a formula "
            "shows that the formula is done right, not that your motorcycle follows it: ride and "
            "measure."
        ],
        "ge-said",
    )
    return figures, said

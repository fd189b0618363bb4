"""The members page: what others of the club ride, where, and what came of it."""

from explorer.app.controls import Choice
from explorer.app.layout import card, cautions, group, listed
from explorer.app.page import Item, OpenPage, Page
from explorer.app.parts import Words, other_pages
from explorer.panels import widgets
from explorer.panels.html import help_line, sentences, table
from explorer.records.clubs.club import is_served
from explorer.records.prose import read_prose
from explorer.tasks.members import rows
from explorer.tasks.members.state import MembersState


def _pick(field: str, label: str, help_text: str, options, kind: type = widgets.Dropdown) -> Item:
    return lambda page: Choice(
        page,
        (label, help_text),
        options,
        lambda state: getattr(state.choice, field),
        lambda state, value: state.change(**{field: value}),
        kind,
    )


def _classes(state: MembersState) -> list[tuple[str, str]]:
    classes = dict.fromkeys(setup.bike_class for setup in state.setups)
    return [("All", rows.ALL), *((rows.class_name(each, state.bikes), each) for each in classes)]


def _terrains(state: MembersState) -> list[tuple[str, str]]:
    return [("All", rows.ALL), *((each, each) for each in rows.terrain_words(state.setups))]


def count(page: OpenPage) -> Words:
    """How many set-ups are shown."""
    return Words(lambda _: sentences([rows.count_sentence(page.state.shown)], "ge-said"), now=True)


def setups(page: OpenPage) -> Words:
    """The table of the set-ups picked."""

    def html(choice) -> str:
        shown = page.state.shown
        if not shown:
            return ""
        return table(rows.HEADS, rows.table_rows(shown, page.state.bikes, choice.units))

    return Words(html, "ge-table ge-members", now=True)


def spread(page: OpenPage) -> Words:
    """How the ratios spread by terrain."""

    def html(choice) -> str:
        if choice.bike_class == rows.ALL:
            return sentences([rows.SAY["pick-one"]], "ge-line")
        heads = ("Terrain", "Set-ups", "Final drive ratio", "Of those found right")
        return table(heads, rows.spread_rows(page.state.of_class))

    return Words(html, "ge-table ge-members", now=True)


def _how_to_open(_: OpenPage) -> widgets.Widget:
    return help_line(rows.SAY["open-teeth"]) if is_served("gearing") else widgets.HTML()


UNITS = (("mm", "metric"), ("in", "imperial"))

bike_class = _pick("bike_class", "Bike or class", "Whose set-ups are shown.", _classes)
terrain = _pick("terrain", "Terrain", "Woods finds steep woods, too.", _terrains)
units = _pick("units", "Units", "", lambda _: UNITS, widgets.ToggleButtons)

MembersPage = Page(
    title="What members ride",
    intro="Set-ups that members of the club told or measured: no names, and no advice. A place to "
    "start from, not a proof.",
    state=MembersState,
    charts=False,
    main=(
        card("", group(bike_class, terrain, units, css="ge-row"), count),
        card("Set-ups, the newest first", setups, _how_to_open),
        card("Spread of the final drive ratios by terrain", spread),
        card("What the words mean", listed(rows.SAY["meaning"])),
        cautions(read_prose("cautions")["members"]),
        card(
            "Other pages",
            other_pages(
                ("gearing", "Gearing: what a pair does on your bike"),
                ("fit", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("check", "Ride it and check"),
            ),
        ),
    ),
)

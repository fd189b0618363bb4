"""The wants page: from what hurts and where you ride to two or three set-ups worth buying."""

from collections.abc import Callable

from markupsafe import Markup

from explorer.app import controls
from explorer.app.bike_editor import own_bike
from explorer.app.layout import card, fold, help_text, html
from explorer.app.page import Item, OpenPage, Page
from explorer.app.parts import Words, share_link, words
from explorer.app.printed import save_link
from explorer.panels import widgets
from explorer.panels.html import bullet_list, sentences, verdict
from explorer.records.errors import RecordError
from explorer.study.wants.wants_link import read_wants, write_wants
from explorer.study.wants.wants_short_list import ShortList
from explorer.tasks.wants import views
from explorer.tasks.wants.answer import Answer, WhyNot
from explorer.tasks.wants.controls import Complaints, MixShares, WantList
from explorer.tasks.wants.honest import FRONT_OR_REAR, front_or_rear_words, honest_words, list_words
from explorer.tasks.wants.prices import Prices
from explorer.tasks.wants.state import WantsChoice, WantsState
from explorer.tasks.wants.words import FEWEST_FRONT, SAY, recommendation

_SIDES = "".join(f"<h3>{side.name}</h3>{bullet_list(side.arguments)}" for side in FRONT_OR_REAR)


def _of_list(says: Callable[[ShortList], str], css: str = "") -> Item:
    """A text of the short list."""
    return lambda page: Words(lambda choice: says(page.part(Answer).of(choice)), css)


def _honest(listing: ShortList) -> str:
    if honest := honest_words(listing.result):
        return bullet_list(honest)
    met = "Each of your wants is met by some pair sold for this bike."
    return sentences([met if listing.result.judged else "Nothing is wanted yet."])


def _in_short(listing: ShortList) -> str:
    """The recommendation: the verdict on the first of the list, or to keep what there is."""
    what, why = recommendation(listing)
    if listing.wanted and len(listing.entries) > 1:
        if what.startswith("Try ") and listing.best.front < min(
            FEWEST_FRONT, listing.result.bike.sprockets.front
        ):
            why += f" {SAY['few-teeth']}"
        why += f" Short list: {', '.join(f'{each.front}/{each.rear}' for each in listing.entries)}."
    return verdict(listing.result.bike.said_name if listing.wanted else "", what, why)


def _careful(listing: ShortList) -> str:
    if not listing.wanted:
        return ""
    return Markup('<div class="ge-caution">{}</div>').format(
        Markup(sentences([SAY["careful"], SAY["before-buying"]], "ge-said"))
    )


def _entries(page: OpenPage) -> Words:
    state: WantsState = page.state

    def html_of(choice: WantsChoice) -> str:
        listing = page.part(Answer).of(choice)
        best = tuple((each.front, each.rear) for each in listing.entries)
        return views.entries_html(
            listing, state.link_of, lambda front, rear: state.link_of(front, rear, beside=best)
        )

    return Words(html_of)


def _file(choice: WantsChoice) -> str:
    said = "Download these wants as a file"
    return save_link(write_wants(choice.wishes), said, "wants.txt", "text/plain")


def _upload(page: OpenPage) -> widgets.Widget:
    def take(files: dict[str, bytes]) -> str:
        wishes, unread = read_wants(*files.values())
        page.state.wish(wishes)
        if unread:
            raise RecordError(*unread)
        return "The wants of the file are on the page."

    return controls.upload("Open a file of wants", "As the download makes it", ".txt", take)


WantsPage = Page(
    title="Describe your riding",
    intro="Tick what hurts, say where you ride: two or three pairs remain that are worth buying.",
    state=WantsState,
    # Above the controls, so that it stays in sight while wants are moved.
    above=(_of_list(_in_short, "ge-answer-first"),),
    controls=(
        card("", controls.BIKE_AND_UNITS),
        fold("Ground, air and rider", controls.GROUND),
        fold("This bike", own_bike),
    ),
    main=(
        card("1 · What hurts?", Complaints),
        card("2 · Where do you ride?", MixShares),
        card("3 · What you want", WantList),
        card(
            "The short list",
            Answer,
            _of_list(lambda listing: sentences(list_words(listing)) if listing.wanted else ""),
            _of_list(views.list_table, "ge-table ge-short-list"),
            _entries,
            Prices,
            _of_list(_careful),
        ),
        fold("Why not the one next to it?", WhyNot),
        fold("What no gearing does, and what would", _of_list(_honest)),
        fold(
            "Front or rear? The trade's arguments",
            words(lambda choice: sentences([front_or_rear_words(choice.bike)], "ge-said")),
            html(f"{_SIDES}{sentences([SAY['axle-place']], 'ge-said')}"),
        ),
        fold("What the score is", help_text(SAY["score"])),
        card(
            "Keep or share these wants",
            share_link("Link to these wants", ("wants", "Open this in a new page")),
            words(_file, now=True),
            _upload,
            help_text("The file stays in this visit: nothing is stored here."),
        ),
    ),
)

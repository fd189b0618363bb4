"""The check page: bring a ride, see what it says, compare it with what was computed."""

from explorer.app import controls
from explorer.app.bike_editor import own_bike
from explorer.app.layout import card, cautions, fold, help_text, listed
from explorer.app.page import OpenPage, Page
from explorer.app.parts import ShareLink
from explorer.records.logbook.logbook_link import encode_outing
from explorer.records.setups.link import LONGEST
from explorer.tasks.check import words
from explorer.tasks.check.calibrate import CalibrateCards
from explorer.tasks.check.compare import CompareCards
from explorer.tasks.check.outing import outing
from explorer.tasks.check.ride import RideCards
from explorer.tasks.check.state import CheckState


def rides(page: OpenPage) -> RideCards:
    """The ride and what it says; the runs in it can be fitted to."""
    return RideCards(
        page.state,
        lambda *ride: page.part(calibrate).use_ride(*ride),
        lambda: page.part(links).show(),
    )


def typed(page: OpenPage) -> CompareCards:
    """What was typed, beside its prediction."""
    return CompareCards(page.state, lambda: page.part(links).show())


def calibrate(page: OpenPage) -> CalibrateCards:
    """The model made one's own."""
    return CalibrateCards(page.state, lambda: page.part(links).show())


def links(page: OpenPage) -> ShareLink:
    """The link, and those to other pages."""

    def address_on(name: str, address: str) -> str:
        if name != "logbook":
            return address
        # Only the logbook has a use for what the ride gave.
        bike, system = page.state.bike, page.state.setup.units
        ride, fit = page.part(rides).result, page.part(calibrate).result
        gave = outing(ride, page.part(typed).found, fit, bike, system)
        return address + encode_outing(gave, LONGEST - len(address))

    return ShareLink(
        page,
        "Link to this set-up",
        (
            ("check", "Open this in a new page"),
            ("wants", "Describe your riding: what you want"),
            ("gearing", "Gearing: every pair with this set-up"),
            ("logbook", "Logbook: keep what came of it"),
            ("ground", "On the ground: what was computed"),
            ("fit", "Does it fit?"),
        ),
        address_on,
    )


CheckPage = Page(
    title="Ride it and check",
    intro="Bring the log of a ride, or type what a stopwatch said: did the change do what it "
    "should?",
    state=CheckState,
    controls=(
        card("", controls.BIKE_AND_UNITS),
        card("", controls.GEARING),
        fold("Ground, air and rider", controls.GROUND),
        fold("This bike", own_bike),
    ),
    main=(
        rides,
        fold("Type what you measured: marked engine speeds, roll-ons, hills", typed),
        fold("Make the bike's drag and power your own", calibrate),
        card(
            "Keep or share this set-up",
            links,
            help_text(
                "The link to the logbook takes along what was measured; the ride itself stays here."
            ),
        ),
        cautions(words.CAUTIONS),
        fold("What a log does not know", listed(words.UNKNOWN)),
    ),
)

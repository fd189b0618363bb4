"""The pages that the server offers: one line each, in the order of the front page."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PageEntry:
    """One page: a notebook of a few lines and what the front page says of it."""

    name: str
    """Name of the notebook without its ending; also the page's address."""
    title: str
    description: str
    shows_members: bool = False
    """Whether it shows members' set-ups, so that it is served only where a club has some."""

    @property
    def notebook(self) -> str:
        return f"{self.name}.ipynb"


PAGES = (
    PageEntry(
        "gearing",
        "Gearing",
        "Change the front sprocket, the rear sprocket and the tyre, and see what becomes of the "
        "pull, the shift points and the top speed.",
    ),
    PageEntry(
        "wants",
        "Say your riding",
        "Tell in a rider's words what hurts and where you ride, and get a short list of sprockets "
        "with what each gains and costs.",
    ),
    PageEntry(
        "compare",
        "Compare",
        "Put up to four set-ups side by side on every chart, with their differences and how sure "
        "they are.",
    ),
    PageEntry(
        "ground",
        "On the ground",
        "See what a gearing does where you ride: pulling away, hills, changing up, grip, a whole "
        "course, and how sure it is.",
    ),
    PageEntry(
        "fit",
        "Does it fit?",
        "See whether the chain reaches, where the axle goes, what to measure, what to buy, and "
        "print the sheet for fitting it.",
    ),
    PageEntry(
        "lesson",
        "Lesson",
        "Teach gearing in ten steps: guess, look, answer; with class experiments, a quiz and a "
        "worksheet.",
    ),
    PageEntry(
        "check",
        "Ride it and check",
        "Bring the log of a ride and see what it says, whether the gears are those of the bike, "
        "and whether the change did what was computed.",
    ),
    PageEntry(
        "logbook",
        "Logbook",
        "Keep a record of each change: date, teeth, chain, axle, slack, rides, verdict; before "
        "and after to print.",
    ),
    PageEntry(
        "members",
        "What members ride",
        "See which gearing members of the club ride, where, how it went, and what is checked.",
        shows_members=True,
    ),
    PageEntry(
        "method",
        "Method",
        "Read how every number is computed, what is left out, and how well it agrees with "
        "published values.",
    ),
)

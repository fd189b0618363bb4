"""The pages that the server offers: one line each, in the order of the front page."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PageEntry:
    """One page: a notebook of a few lines and what the front page says of it."""

    name: str
    """Name of the notebook without its ending; also the page's address."""
    title: str
    description: str
    asks: str = ""
    """The rider's own question that it answers; the front page begins with these."""
    shows_members: bool = False
    """Whether it shows members' set-ups, so that it is served only where a club has some."""

    @property
    def notebook(self) -> str:
        return f"{self.name}.ipynb"


PAGES = (
    PageEntry(
        "gearing",
        "Gearing",
        "Drag the front sprocket, the rear sprocket and the tyre, and see what happens to pull, "
        "shift points and top speed.",
        asks="Try a sprocket",
    ),
    PageEntry(
        "wants",
        "Say your riding",
        "Say in your own words what bothers you and where you ride, and get a short list of "
        "sprockets, with what each gains you and costs you.",
        asks="What bothers you?",
    ),
    PageEntry(
        "compare",
        "Compare",
        "Put up to four set-ups side by side on every chart, with their differences.",
    ),
    PageEntry(
        "ground",
        "On the ground",
        "See what a gearing does where you ride: pulling away, hills, changing up, grip, a whole "
        "course.",
    ),
    PageEntry(
        "fit",
        "Does it fit?",
        "See whether the chain reaches, where the axle goes, what to measure and what to buy, and "
        "print the sheet for fitting it.",
        asks="Does it fit?",
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
        "Bring the log of a ride and see whether the change did what was predicted.",
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

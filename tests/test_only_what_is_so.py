"""Nothing that was found false or too strong is said again, on any page, sheet, help or README.

Like the trade's wrong rules, these are the project's own list: each pattern finds the statement it
stands for, and no text that a reader sees may match.
"""

import html
import os
import re
import subprocess
from pathlib import Path

import pytest

from explorer.app.page import Page
from explorer.records.clubs.club import CLUB_VARIABLE, club_here
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.check.page import CheckPage
from explorer.tasks.fit.page import FitPage
from explorer.tasks.ground.page import GroundPage
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.logbook.page import LogbookPage
from explorer.tasks.members.rows import class_name
from explorer.tasks.method.page import MethodPage
from explorer.tasks.wants.page import WantsPage

ROOT = Path(__file__).parents[1]

# Pattern, and a sentence that it must find. Why each is not so stands beside it.
NOT_SO = [
    # Fewer teeth bend each link further: they wear faster.
    (r"another size wears no differently", "a sprocket of another size wears no differently"),
    # The next gear pulls less there; what is equal is acceleration (rotating mass).
    (
        r"(?:next|following|higher) gear (?:would )?pulls? (?:harder|as hard)",
        "change up where the next gear pulls as hard",
    ),
    # Only at a given rpm: a top speed that power limits hardly moves.
    (
        r"one per cent of roll-?out is one per cent of (?:every |all )?speeds?(?! at a given rpm)",
        "One per cent of roll-out is one per cent of every speed",
    ),
    # Of pull or of speed, and by how much?
    (r"wrong by exactly the change", "it reads wrong by exactly the change"),
    (r"(?:shorter|fewer)[^.;]{0,30}, more pull(?! at the same)", "fewer is shorter, more pull"),
    (r"wins for sure|sure to win", "this set-up wins for sure"),
    (r"(?:gusts|wind) (?:and side wind )?changes? a top speed", "gusts change a top speed more"),
    (r"towards the rev limit torque falls", "Towards the rev limit torque falls"),
    (r"larger front sprocket rubs", "A larger front sprocket rubs on the cover"),
]  # fmt: skip


def texts():
    """Every source of words: pages, templates, scripts, data, notebooks and README."""
    kinds = (".py", ".j2", ".js", ".toml", ".csv", ".ipynb", "README.md")
    listed = subprocess.run(
        ["git", "ls-files", "explorer", "data", "notebooks", "README.md"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.split()  # fmt: skip
    return [each for each in listed if each.endswith(kinds)]


@pytest.mark.parametrize(("pattern", "said"), NOT_SO)
def test_what_is_not_so_is_found_and_is_said_nowhere(pattern, said):
    assert re.search(pattern, said, re.IGNORECASE)
    for name in texts():
        # Sentences are broken over lines and quotes in the source.
        source = (ROOT / name).read_text(encoding="utf-8")
        joined = re.sub(r'"\s*\n\s*f?"', "", source)
        found = re.search(pattern, re.sub(r"\s+", " ", joined), re.IGNORECASE)
        assert not found, (name, found[0])


@pytest.mark.parametrize(
    "page", [GearingPage, CheckPage, FitPage, GroundPage, LessonPage, MethodPage, WantsPage]
)
@pytest.mark.parametrize("query", ["bike=marram-250&front=12&rear=51", "bike=fogbank-650&rear=44"])
def test_nor_does_any_page_say_it_once_its_sentences_are_put_together(page: Page, query: str):
    """Sentences with numbers and names in them stand in no source as a reader sees them."""
    text = re.sub("<[^>]+>", " ", html.unescape(" ".join(words(page(query).widget))))
    for pattern, _ in NOT_SO:
        found = re.search(pattern, re.sub(r"\s+", " ", text), re.IGNORECASE)
        assert not found, (query, found[0])


def test_nothing_wanted_lists_no_purchase():
    page = WantsPage("")
    text = " ".join(words(page.widget))
    fitted = page.state.bike.sprockets
    assert "Nothing wanted yet" in text
    # No pair is named but the one that is on the bike, and no way into the fitting page.
    assert set(re.findall(r"\b\d\d/\d\d\b", text)) <= {f"{fitted.front}/{fitted.rear}"}


def words(root):
    """What stands on a page, hidden parts left out."""
    if root.layout is not None and root.layout.display == "none":
        return
    if isinstance(getattr(root, "value", None), str):
        yield root.value
    for child in getattr(root, "children", ()):
        yield from words(child)


@pytest.fixture
def club_with_demo_bikes(tmp_path, monkeypatch):
    (tmp_path / "club.toml").write_text('title = "A club"\n', encoding="utf-8")
    monkeypatch.setenv(CLUB_VARIABLE, str(tmp_path))
    club_here.cache_clear()
    yield club_here()
    os.environ.pop(CLUB_VARIABLE)
    club_here.cache_clear()


@pytest.mark.parametrize(
    "page",
    [
        GearingPage,
        CheckPage,
        FitPage,
        GroundPage,
        LessonPage,
        LogbookPage,
        MethodPage,
        WantsPage,
    ],
    ids=lambda page: page.title,
)
def test_every_page_of_a_club_with_demo_bikes_says_that_they_are_invented(
    page: Page, club_with_demo_bikes
):
    assert not club_with_demo_bikes.own_bikes
    assert "nvented" in " ".join(words(page("").widget))


def test_members_rows_and_the_logbooks_prefill_say_that_a_bike_is_invented(club_with_demo_bikes):
    bikes = club_with_demo_bikes.bikes
    assert class_name("bracken-125", bikes) == "Bracken 125, invented"
    assert class_name("250 enduro", bikes) == "250 enduro"
    assert "Bracken 125, invented" in list(words(LogbookPage("").widget))

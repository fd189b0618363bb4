"""What the documents name is there: files by their path or name, measurements by their address."""

import html
import re
import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest

from explorer.app.bike_editor import BikeEditor
from explorer.app.faults import Faults
from explorer.app.state import State
from explorer.records.bikes.bike import Bike
from explorer.serve.command import parser
from tests.test_floors import ROOT

DOCUMENTS = sorted(
    file
    for place in ("*.md", "data/*.md", "explorer/**/*.md", "tests/**/*.md")
    for file in ROOT.glob(place)
)
MADE = {"bench_whole.js"}
"""Files that are made when they are asked for."""

_FILE = re.compile(r"(?<![>\w./-])[\w./-]*\w\.(?:py|js|css|toml|j2|ipynb)\b")
_MODULE = re.compile(r"python -m (tests\.[\w.]+\w)(?![.\w])")


def missing(text: str, there: set[str]) -> set[str]:
    """Files and modules that a text names, without those of these paths from the root."""
    names = {name for path in there for name in (path, path.rpartition("/")[2])}
    files = {name for name in _FILE.findall(text) if "/" not in name.lstrip("/")}
    paths = set(_FILE.findall(text)) - files
    modules = {f"{name.replace('.', '/')}.py" for name in _MODULE.findall(text)}
    ends = {path for path in paths if any(f"/{each}".endswith(f"/{path}") for each in there)}
    return {name for name in files | paths - ends | modules if name not in names}


def paths_of(root: Path) -> set[str]:
    folders = ("explorer", "tests", "data", "notebooks")
    files = (file for folder in folders for file in (root / folder).rglob("*.*"))
    return {file.relative_to(root).as_posix() for file in files} | {"pyproject.toml"}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda file: str(file.relative_to(ROOT)))
def test_what_a_document_names_is_there(document):
    found = missing(document.read_text(encoding="utf-8"), paths_of(ROOT))
    assert {name for name in found if name.rpartition("/")[2] not in MADE} == set()


def test_what_is_missing_is_found():
    text = "See app/page.py, gone.py and `python -m tests.bench.gone`."
    assert missing(text, {"explorer/app/page.py"}) == {"gone.py", "tests/bench/gone.py"}


def said_in(path: str, heading: str = "") -> str:
    """A document, or what stands there below a heading until the next of its kind."""
    text = (ROOT / path).read_text(encoding="utf-8")
    return text.partition(heading)[2].partition(f"\n{heading.split()[0]} ")[0] if heading else text


@pytest.mark.parametrize(
    ("document", "heading", "wheels"),
    [
        ("README.md", "## Other ways to install", 3),
        ("explorer/serve/publish/README.md", "## One small machine", 1),
    ],
)
def test_a_command_that_installs_names_files_from_the_checkout(document, heading, wheels):
    """The wheel as `uv build` names and places it; there is no other folder to be in."""
    text = said_in(document, heading)
    made = f"dist/gearing_explorer-{version('gearing-explorer')}-py3-none-any.whl"
    assert re.findall(r"[\w./*]*gearing_explorer-\S*whl", text) == [made] * wheels
    assert "in the folder of" in text.lower() and "uv build" in text
    files = re.findall(r"--constraints? ([\w/.]+)", text)
    assert files and all((ROOT / file).is_file() for file in files)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda file: str(file.relative_to(ROOT)))
def test_what_runs_a_program_of_the_tests_brings_what_they_need(document):
    text = document.read_text(encoding="utf-8")
    assert not re.search(r"(?<!uv run --group test )python -m tests\.", text)


def test_the_table_of_options_has_every_option():
    options = {action.option_strings[-1] for action in parser()._actions} - {"--help"}
    table = re.findall(r"^\| `(--[\w-]+)", said_in("README.md", "## The command"), re.M)
    assert set(table) == options and len(table) == len(options)


def test_a_club_s_folder_is_one_in_all_documents():
    publish = "explorer/serve/publish"
    for name in ("README.md", f"{publish}/README.md", f"{publish}/explorer@.service"):
        assert set(re.findall(r"--club (/\S+?)(?=[`\s])", said_in(name))) == {"/srv/club"}, name


def test_what_a_bike_file_says_of_its_numbers_is_what_pages_then_say(repository):
    section = said_in("data/README.md", "### A bike file of your own")
    field = tomllib.loads(said_in("data/fields/bike.toml"))["provenance"]
    rows = re.findall(r'^\| `"(\w+)"`(, or no such line)? \|.*\| (.+) \|$', section, re.M)
    assert {name for name, _, _ in rows} == set(field["choices"])
    assert [name for name, without, _ in rows if without] == [field["default"]]
    peak = re.search(r'`(peak = "[^"]+")` below `(\[engine\])`', section)
    file = (repository / "data/bikes/sleet-450.toml").read_text("utf-8")
    file = re.sub(r"torque_curve_file = .*", peak[1], file)
    for name, _, said in rows:
        bike = Bike.from_toml(file.replace('"invented"', f'"{name}"').encode())
        note = BikeEditor(State.from_link("", {"real": bike})[0], Faults())._note.value
        assert any(each in html.unescape(note) for each in re.findall(r'"([^"]+\.)"', said))
        assert (", invented" in bike.said_name) == ('", invented"' in said)

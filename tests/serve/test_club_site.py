"""A club's own pages: what the server then shows, serves and allows; and what a check says."""

import asyncio
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from http.client import HTTPMessage
from importlib.metadata import version
from pathlib import Path

import psutil
import pytest
from markupsafe import escape

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import CLUB_VARIABLE, read_club
from explorer.records.errors import RecordError
from explorer.serve.command import main
from explorer.serve.contents import PAGES
from explorer.serve.site import Site, site_of
from tests.conftest import PLACES, RunningServer, start_server, write_notebook
from tests.serve.visitor import Visit, ask

NAMES = [page.name for page in PAGES]
ALLOWED = ["gearing", "fit", "ground", "members", "method"]
"""Pages of the club that comes with the project, in the order of its file."""
VERSION = f"Gearing explorer {version('gearing-explorer')}"
SCRIPT = "<script>alert(1)</script>"
HOSTS = "https://club.example http://localhost:8080"

FRAMED = {"Sec-Fetch-Dest": "iframe", "Sec-Fetch-Site": "cross-site"}
"""What a browser says of a frame on a page of another site (W3C, Fetch Metadata)."""

# What a page of a club knows, for a test to read: the club's bikes and units.
PAGE = """
import ipywidgets
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import bikes_offered, units_offered
ipywidgets.HTML(f"offered: {' '.join(bikes_offered())}, {units_offered()}.")
"""

# The shipped command with a page of this test by the name of each.
ALL_PAGES = """
import sys
from pathlib import Path
from explorer.serve.command import parser, serve
from explorer.serve.contents import PAGES

folder = Path(sys.argv.pop(1))
sys.exit(serve(parser().parse_args(), PAGES, folder))
"""


@pytest.fixture
def folder(tmp_path: Path, repository: Path) -> Path:
    """A copy of the club that comes with the project, to be changed."""
    return Path(shutil.copytree(repository / "data" / "club", tmp_path / "club"))


@pytest.fixture(scope="module")
def club_server(serve_pages: Callable[..., RunningServer], repository: Path) -> RunningServer:
    """For the club that comes with the project, with a page of this test by each page's name."""
    folder = str(repository / "data" / "club")
    return serve_pages(dict.fromkeys(NAMES, PAGE), "--pool", "0", "--club", folder)


@pytest.fixture(scope="module")
def other_club(serve_pages, repository, tmp_path_factory) -> RunningServer:
    """For a club that lets two hosts frame its pages, and whose texts would be scripts."""
    folder = tmp_path_factory.mktemp("other") / "club"
    shutil.copytree(repository / "data" / "club", folder)
    hosts = ", ".join(f'"{host}"' for host in HOSTS.split())
    (folder / "club.toml").write_text(
        f'title = "{SCRIPT}"\ntext = "{SCRIPT}"\ncontact = "{SCRIPT}"\n'
        f'units = "imperial"\nbike = "club-youth-80"\nframe_hosts = [{hosts}]'
    )
    return serve_pages({"page": PAGE}, "--pool", "0", "--club", str(folder))


@pytest.fixture(scope="module")
def no_club(repository, tmp_path_factory) -> Iterator[RunningServer]:
    """Without one, where the environment of the command names a club's folder."""
    folder = tmp_path_factory.mktemp("none")
    for page in PAGES:
        write_notebook(folder / page.notebook, PAGE)
    command = [sys.executable, "-c", ALL_PAGES, str(folder), "--no-browser", "--port", "0"]
    environment = os.environ | {CLUB_VARIABLE: str(repository / "data" / "club")}
    running = start_server(
        [*command, "--pool", "0", *PLACES], folder / "errors.txt", env=environment
    )
    yield running
    running.stop()


# --- what is shown and served


def test_front_page_is_the_clubs(club_server):
    answer = ask(club_server.url, "/")
    assert answer.status == 200
    assert "<title>Puddle Lane Trail Club</title>" in answer.text
    assert "Gearing of our club bikes, and what our members found." in answer.text
    assert linked_pages(answer.text) == ALLOWED
    footer = answer.text.partition("<footer")[2]
    assert "Ask at the clubhouse, Thursdays from seven." in footer
    assert VERSION in footer


def test_a_page_is_dressed_as_the_clubs_and_leads_to_its_pages(club_server):
    answer = ask(club_server.url, "/members")
    assert answer.status == 200
    assert "<title>members · Puddle Lane Trail Club</title>" in answer.text
    assert linked_pages(answer.text) == ALLOWED
    footer = answer.text.partition("<footer")[2]
    assert "Puddle Lane Trail Club" in footer
    assert "Ask at the clubhouse, Thursdays from seven." in footer
    assert VERSION in footer


@pytest.mark.parametrize("name", ["lesson", "logbook", "wants"])
def test_a_page_that_is_not_allowed_is_not_there(club_server, name):
    answer = ask(club_server.url, f"/{name}")
    assert answer.status == 404
    assert "There is nothing at this address." in answer.text
    assert "Puddle Lane Trail Club" in answer.text


def test_nobody_may_frame_the_pages_unless_named(club_server):
    for path in ("/", "/members", "/lesson"):
        headers = ask(club_server.url, path, headers=FRAMED).headers
        assert policy_of(headers)["frame-ancestors"] == "'none'"
    assert "samesite=strict" in cookie_of(club_server, "/members", FRAMED).lower()


@pytest.mark.long
def test_without_a_club_there_is_no_page_of_members(no_club):
    answer = ask(no_club.url, "/")
    assert sorted(linked_pages(answer.text)) == sorted(set(NAMES) - {"members", "compare"})
    assert ask(no_club.url, "/members").status == 404
    assert VERSION in answer.text.partition("<footer")[2]


def texts(running: RunningServer, page: str) -> list[str]:
    """What stands on a page of this test."""

    async def read() -> list[str]:
        async with Visit.begin(running.url, page).websocket() as websocket:
            return [state.get("value", "") for state in (await websocket.states()).values()]

    return asyncio.run(read())


def test_texts_of_a_club_are_no_markup_and_kernels_know_its_bikes_and_units(other_club):
    for path in ("/", "/page", "/none"):
        html = ask(other_club.url, path).text
        assert str(escape(SCRIPT)) in html
        assert SCRIPT not in html
    assert "offered: club-youth-80 club-trail-200, imperial." in texts(other_club, "/page")
    # The process in which pages are rehearsed, too: what it has read its forks keep.
    for process in psutil.Process(other_club.process.pid).children():
        assert process.environ()[CLUB_VARIABLE].endswith("/club")


@pytest.mark.long
def test_a_folder_in_the_servers_own_environment_is_no_club(no_club):
    assert f"offered: {' '.join(demo_bikes())}, metric." in texts(no_club, "/method")


def test_frames_are_allowed_to_the_named_hosts_only(other_club):
    running = other_club
    for path in ("/", "/page", "/none"):
        headers = ask(running.url, path).headers
        assert policy_of(headers)["frame-ancestors"] == HOSTS
        assert "X-Frame-Options" not in headers
    assert "samesite=strict" in cookie_of(running, "/page", {}).lower()
    cookies = ask(running.url, "/page", headers=FRAMED).headers.get_all("Set-Cookie")
    # The one that a browser keeps in a frame of another site, and no second token.
    [cookie] = [text for text in cookies if text.endswith("SameSite=None; Secure; Partitioned")]
    assert {text.split(";")[0] for text in cookies} == {cookie.split(";")[0]}
    # A frame on a page of our own site keeps the usual cookie.
    same = FRAMED | {"Sec-Fetch-Site": "same-site"}
    assert "samesite=strict" in cookie_of(running, "/page", same).lower()
    # With its cookie the closing page lets its kernel go.
    visit = Visit.begin(running.url, "/page", FRAMED)
    assert visit.end().status == 204
    assert ask(running.url, visit.kernel).status == 404


def linked_pages(html: str) -> list[str]:
    """Pages that a page leads to, in its order."""
    return re.findall(r'<a (?:class="ge-door" )?href="/([a-z]+)"', html)


def policy_of(headers: HTTPMessage) -> dict[str, str]:
    [policy] = headers.get_all("Content-Security-Policy")
    return dict(part.split(" ", 1) for part in policy.split("; "))


def cookie_of(running: RunningServer, path: str, headers: dict[str, str]) -> str:
    """The one cookie that a page sets."""
    [cookie] = ask(running.url, path, headers=headers).headers.get_all("Set-Cookie")
    return cookie


# --- checking


@pytest.fixture
def run_command(capsys):
    """The command's exit code, and what it said and complained; loaded once for all tests."""

    def run(*options: str) -> tuple[int, str, str]:
        code = main(options)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def test_a_check_says_what_is_there(repository):
    """As a process of its own."""
    command = [sys.executable, "-m", "explorer.serve.command", "--check", "--club"]
    folder = str(repository / "data" / "club")
    done = subprocess.run([*command, folder], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == (
        "Puddle Lane Trail Club: 2 bikes, first club-trail-200; 10 members' set-ups "
        "(classes that name no bike file: 125 trail, 250 enduro); "
        "pages: gearing fit ground members method; metric units; frames on no host; all sound.\n"
        "All libraries fit.\n"
    )


def test_a_check_tells_what_may_be_a_slip_in_a_bikes_name(folder, run_command):
    table = (folder / "members.csv").read_text().replace("club-youth-80,", "club-yuoth-80,")
    (folder / "members.csv").write_text(table)
    _, said, _ = run_command("--check", "--club", str(folder))
    assert "(classes that name no bike file: " in said and "club-yuoth-80" in said


@pytest.mark.parametrize("options", [("--check",), ("--no-browser", "--port", "0")])
def test_every_problem_of_a_club_is_a_line_and_nothing_starts(folder, options, run_command):
    (folder / "club.toml").write_text('title = "Ours"\ncolour = "red"\npages = ["secret"]')
    (folder / "members.csv").write_text("name,plate\n")
    (folder / "bikes" / "club-youth-80.toml").write_bytes(b"name = 7")
    code, said, complained = run_command(*options, "--club", str(folder))
    assert (code, said) == (2, "")
    lines = complained.splitlines()
    assert {line.split(": ")[0] for line in lines} == {
        "club.toml",
        "members.csv",
        "bikes/club-youth-80.toml",
    }
    with pytest.raises(RecordError) as caught:
        read_club(folder, NAMES)
    assert tuple(lines) == caught.value.sentences


def test_a_folder_that_is_not_there(run_command):
    code, said, complained = run_command("--club", "/nowhere", "--no-browser", "--port", "0")
    assert (code, said) == (2, "")
    assert complained == '"/nowhere" is not a folder; give the folder that holds club.toml.\n'


def test_the_version_is_told(run_command, capsys):
    with pytest.raises(SystemExit) as end:
        run_command("--version")
    assert end.value.code == 0
    assert capsys.readouterr().out == f"gearing explorer {version('gearing-explorer')}\n"


# --- the site


def test_a_site_has_the_pages_that_the_club_allows(folder):
    site = site_of(read_club(folder, NAMES), PAGES)
    assert [page.name for page in site.pages] == ["gearing", "fit", "ground", "members", "method"]
    (folder / "club.toml").write_text('title = "Ours"')
    site = site_of(read_club(folder, NAMES), PAGES)
    assert [page.name for page in site.pages] == NAMES
    assert site.text == Site.text
    (folder / "members.csv").unlink()
    site = site_of(read_club(folder, NAMES), PAGES)
    assert [page.name for page in site.pages] == [name for name in NAMES if name != "members"]
    assert site_of(None, PAGES).pages == site.pages

"""The built package: the same from checkout and source archive, and whole elsewhere."""

import email
import re
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from explorer.serve.contents import PAGES
from tests.conftest import RunningServer, start_server
from tests.serve.visitor import Visit


def run(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(repository, tmp_path_factory) -> Path:
    """Folder with the source archive and the wheel that was made from it."""
    folder = tmp_path_factory.mktemp("built")
    run("uv", "build", "--out-dir", folder, repository, cwd=folder)
    return folder


@pytest.fixture(scope="module")
def wheel(built) -> Path:
    return next(built.glob("*.whl"))


@pytest.fixture(scope="module")
def elsewhere(repository, wheel, tmp_path_factory, long_run) -> Path:
    """A folder outside the checkout with an environment that has the wheel and nothing else."""
    if not long_run:
        pytest.skip("installs into an empty environment: --long")
    folder = tmp_path_factory.mktemp("elsewhere")
    pins = repository / "explorer" / "serve" / "publish" / "constraints.txt"
    run("uv", "venv", "environment", cwd=folder)
    python = folder / "environment" / "bin" / "python"
    run("uv", "pip", "install", "--python", python, "--constraint", pins, wheel, cwd=folder)
    return folder


def test_the_source_archive_and_the_checkout_make_the_same_wheel(repository, wheel, tmp_path):
    run("uv", "build", "--wheel", "--out-dir", tmp_path, repository, cwd=tmp_path)
    assert next(tmp_path.glob("*.whl")).read_bytes() == wheel.read_bytes()


def test_the_wheel_has_all_of_the_package_the_pages_and_the_data(repository, wheel):
    listed = run("git", "ls-files", "explorer", "data", "notebooks", cwd=repository).splitlines()
    there = [name for name in listed if (repository / name).is_file()]
    inside = {name if name.startswith("explorer/") else f"explorer/{name}" for name in there}
    assert inside <= set(zipfile.ZipFile(wheel).namelist())


def test_nothing_but_the_package_is_at_the_top_of_the_wheel(wheel):
    tops = {name.partition("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top.partition("-")[0] for top in tops} == {"explorer", "gearing_explorer"}


@pytest.mark.parametrize(
    "given", ["", "Homepage https://club.example/ Issues https://club.example/new"]
)
def test_the_links_are_those_that_the_publisher_gives(given, repository, tmp_path, monkeypatch):
    monkeypatch.setenv("PROJECT_LINKS", given)
    run("uv", "build", "--wheel", "--out-dir", tmp_path, repository, cwd=tmp_path)
    with zipfile.ZipFile(next(tmp_path.glob("*.whl"))) as contents:
        [name] = [each for each in contents.namelist() if each.endswith("/METADATA")]
        said = email.message_from_bytes(contents.read(name)).get_all("Project-URL", [])
    assert [each.replace(", ", " ") for each in said] == re.findall(r"\w+ https:\S+", given)


@pytest.mark.parametrize(
    "given", ["Homepage", "Homepage http://club.example", "Shop https://a.example"]
)
def test_links_that_are_none_are_refused(given, repository, tmp_path, monkeypatch):
    monkeypatch.setenv("PROJECT_LINKS", given)
    command = ("uv", "build", "--wheel", "--out-dir", tmp_path, repository)
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=600)
    assert done.returncode != 0 and "PROJECT_LINKS is not understood" in done.stderr


@pytest.fixture(scope="module")
def installed(elsewhere, wheel) -> Iterator[RunningServer]:
    """The installed command, started as by somebody who has no checkout, with a copied club."""
    with zipfile.ZipFile(wheel) as contents:
        inside = [name for name in contents.namelist() if name.startswith("explorer/data/club/")]
        contents.extractall(elsewhere, inside)
    club = shutil.move(elsewhere / "explorer", elsewhere / "mine") / Path("data/club")
    settings = club / "club.toml"
    settings.write_text(re.sub(r"(?ms)^pages = .*?\]\n", "", settings.read_text("utf-8")), "utf-8")
    command = [str(elsewhere / "environment" / "bin" / "explorer"), "--club", str(club)]
    command += ["--port", "0", "--no-browser"]
    running = start_server(command, elsewhere / "log.txt", cwd=elsewhere)
    yield running
    running.stop()


@pytest.mark.long
@pytest.mark.parametrize("page", [page.name for page in PAGES])
def test_every_page_opens_where_there_is_no_checkout(installed, page):
    visit = Visit.begin(installed.url, f"/{page}")
    assert "data-view" in visit.html
    assert "ge-broken" not in visit.html
    visit.end()


def test_the_installed_package_is_used_and_the_log_is_empty(installed, elsewhere, repository):
    where = run(
        elsewhere / "environment" / "bin" / "python",
        "-c",
        "from explorer.data_folder import DATA; print(DATA)",
        cwd=elsewhere,
    )
    assert Path(where.strip()).is_relative_to(elsewhere / "environment")
    assert installed.log.read_text() == ""


def test_the_checks_of_a_club_and_of_the_demo_run_from_the_wheel(elsewhere):
    command = elsewhere / "environment" / "bin" / "gearing-explorer"
    assert "5 bikes, all sound" in run(command, "--check", cwd=elsewhere)

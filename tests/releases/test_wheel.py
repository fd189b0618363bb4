"""The built package: the same from checkout and source archive, whole, and a tool by itself.

That each page opens where only the package is installed: test_container.py.
"""

import email
import re
import subprocess
import zipfile
from importlib.metadata import version

import pytest

from tests.releases.conftest import PUBLISH, run


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


@pytest.mark.long
def test_it_is_installed_as_a_tool(repository, wheel, tmp_path, monkeypatch):
    monkeypatch.setenv("UV_TOOL_DIR", str(tmp_path / "tools"))
    monkeypatch.setenv("UV_TOOL_BIN_DIR", str(tmp_path / "bin"))
    pins = repository / PUBLISH / "constraints.txt"
    run("uv", "tool", "install", "--constraints", pins, wheel, cwd=tmp_path)
    assert {each.name for each in (tmp_path / "bin").iterdir()} == {"explorer", "gearing-explorer"}
    said = run(tmp_path / "bin" / "explorer", "--version", cwd=tmp_path)
    assert said == f"gearing explorer {version('gearing-explorer')}\n"

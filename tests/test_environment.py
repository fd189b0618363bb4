"""The lists of dependencies agree, and README's commands are the ones that are tested."""

import re
import tomllib
from importlib.metadata import distributions

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version


def pip_section(text: str) -> list[str]:
    """The entries below ``- pip:``, which are the only ones indented by six spaces."""
    return re.findall(r"^ {6}- (.+)$", text, flags=re.MULTILINE)


@pytest.fixture
def project(repository) -> dict:
    return tomllib.loads((repository / "pyproject.toml").read_text())


@pytest.fixture
def pins(project) -> dict[str, Version]:
    """What the two commands install."""
    listed = map(Requirement, project["tool"]["uv"]["constraint-dependencies"])
    return {
        canonicalize_name(each.name): Version(next(iter(each.specifier)).version) for each in listed
    }


def next_breaking(version: Version) -> str:
    """Of the next version that may break: the next major one, or minor one before the first."""
    return f"0.{version.minor + 1}" if version.major == 0 else f"{version.major + 1}"


def test_environment_installs_what_the_command_installs(repository, project):
    file = "explorer/serve/publish/constraints.txt"
    entries = pip_section((repository / "environment.yml").read_text())
    assert entries == [f"--constraint {file}", "--editable ."]
    listed = [pin.replace("'", '"') for pin in project["tool"]["uv"]["constraint-dependencies"]]
    written = [line.replace("'", '"') for line in (repository / file).read_text().splitlines()]
    assert written == listed


def test_environment_has_a_python_that_the_project_accepts(repository, project):
    text = (repository / "environment.yml").read_text()
    python = re.search(r"^  - python=(\d+)\.(\d+)$", text, flags=re.MULTILINE)
    least = re.fullmatch(r">=(\d+)\.(\d+)", project["project"]["requires-python"])
    assert tuple(map(int, python.groups())) >= tuple(map(int, least.groups()))


def test_ranges_end_before_the_next_major_version_and_hold_what_is_installed(project, pins):
    for asked in map(Requirement, project["project"]["dependencies"]):
        ends = {each.operator: each.version for each in asked.specifier}
        assert ends.keys() == {">=", "<"}, asked
        tested = pins[canonicalize_name(asked.name)]
        assert ends["<"] == next_breaking(tested) and tested in asked.specifier, asked


def test_every_package_that_is_installed_here_is_pinned(pins):
    here = {canonicalize_name(each.name) for each in distributions()}
    assert here - {"gearing-explorer", "pip", "setuptools", "wheel", "uv"} <= pins.keys()


def test_no_list_names_a_registry(repository):
    files = ("pyproject.toml", "environment.yml", "explorer/serve/publish/constraints.txt")
    for name in files:
        text = (repository / name).read_text()
        assert not re.search(r"index-url|\[\[tool\.uv\.index|--find-links|@ https?:", text), name


def test_ci_runs_the_test_command_of_the_readme(repository):
    readme = (repository / "README.md").read_text()
    command = "uv run --group test python -m pytest"
    assert f"\n    {command}\n" in readme
    ran = re.findall(r"^ *(uv run .* pytest)\b", (repository / ".ci" / "run").read_text(), re.M)
    assert ran == [command]


def test_each_dependency_has_its_licence_and_each_version_its_changes(repository, project):
    folder = repository / "explorer" / "serve" / "publish"
    named = re.findall(r"^\| ([\w-]+) \|", (folder / "licences.md").read_text("utf-8"), re.M)[1:]
    assert named == [Requirement(each).name for each in project["project"]["dependencies"]]
    changes = (folder / "CHANGELOG.md").read_text("utf-8")
    assert f"\n## [{project['project']['version']}] - 20" in changes

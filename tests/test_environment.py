"""The two lists of dependencies agree, and README's commands are the ones that are tested."""

import re
import tomllib

import pytest


def pip_section(text: str) -> list[str]:
    """The entries below ``- pip:``, which are the only ones indented by six spaces."""
    return re.findall(r"^ {6}- (.+)$", text, flags=re.MULTILINE)


@pytest.fixture
def project(repository) -> dict:
    return tomllib.loads((repository / "pyproject.toml").read_text())


def test_environment_has_the_pins_of_the_project(repository, project):
    entries = pip_section((repository / "environment.yml").read_text())
    assert entries.pop() == "--editable ."
    assert entries == project["project"]["dependencies"]


def test_environment_has_a_python_that_the_project_accepts(repository, project):
    text = (repository / "environment.yml").read_text()
    python = re.search(r"^  - python=(\d+)\.(\d+)$", text, flags=re.MULTILINE)
    least = re.fullmatch(r">=(\d+)\.(\d+)", project["project"]["requires-python"])
    assert tuple(map(int, python.groups())) >= tuple(map(int, least.groups()))


def test_every_direct_dependency_is_pinned(project):
    listed = project["project"]["dependencies"] + project["dependency-groups"]["test"]
    loose = [entry for entry in listed if not re.fullmatch(r"[\w-]+==[\w.]+", entry)]
    assert loose == []


def test_ci_runs_the_test_command_of_the_readme(repository):
    readme = (repository / "README.md").read_text()
    command = "uv run --group test python -m pytest"
    assert f"\n    {command}\n" in readme
    ran = re.findall(r"^ *(uv run .* pytest)\b", (repository / ".ci" / "run").read_text(), re.M)
    assert ran == [command]

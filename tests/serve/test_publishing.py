"""What explorer/serve/publish says holds: its options, addresses, files and numbers exist."""

import configparser
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from explorer.serve.command import main as explorer_main
from explorer.serve.command import parser
from explorer.serve.visitor_kernel import LARGEST_GROWTH
from explorer.serve.visitor_limit import FORKED_KERNEL, SERVER, SHORT, visitors_for

MIB = 2**20
UNIT = "explorer@.service"


@pytest.fixture
def folder(repository) -> Path:
    return repository / "explorer" / "serve" / "publish"


@pytest.fixture
def readme(folder) -> str:
    return (folder / "README.md").read_text("utf-8")


@pytest.fixture
def unit(folder) -> configparser.ConfigParser:
    # A unit file may give a key twice, and its keys are case-sensitive.
    read = configparser.ConfigParser(strict=False, interpolation=None)
    read.optionxform = str
    read.read_string((folder / UNIT).read_text("utf-8"))
    return read


def commands_of(text: str) -> list[list[str]]:
    """The arguments of every command line `explorer …` in a text."""
    return [
        shlex.split(found)
        for found in re.findall(r"`(?:\.venv/bin/)?explorer ((?:--|%)[^`]*)`", text)
    ]


def test_every_command_line_is_understood(readme, unit):
    lines = commands_of(readme)
    assert len(lines) >= 4
    program, *arguments = shlex.split(unit["Service"]["ExecStart"].replace("%i", "8871"))
    assert Path(program).name == "explorer"
    for line in (*lines, arguments):
        parser().parse_args(line)


def test_every_option_named_exists(readme, folder):
    known = {name for action in parser()._actions for name in action.option_strings}
    for text in (readme, (folder / UNIT).read_text("utf-8")):
        named = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", text)) - {
            *("--now", "--on-calendar"),  # systemd's own
            *("--constraint", "--python", "--compile-bytecode"),  # pip's and uv's
        }
        assert named
        assert named <= known


def test_unit_and_web_server_and_readme_name_the_same_path_and_ports(readme, unit, folder):
    nginx = (folder / "nginx.conf").read_text("utf-8")
    options = parser().parse_args(
        shlex.split(unit["Service"]["ExecStart"].replace("%i", "8871"))[1:]
    )
    assert options.base_path == "/gearing/"
    assert options.address == "127.0.0.1"
    assert "location /gearing/ {" in nginx
    # Each worker once by itself and once in the place of the other, and where its answer is told.
    for port in ("8871", "8872"):
        assert nginx.count(port) == 3
        assert f"explorer@{port}" in (folder / UNIT).read_text("utf-8")
    for path in re.findall(r"127\.0\.0\.1:\d+(/[^\s`']*)", readme):
        assert path == "/gearing/health"
    assert "location = /gearing/health {" in nginx


def test_files_named_are_there(readme, folder):
    for name in re.findall(r"^\| `([^`]+)` \|", readme, re.MULTILINE):
        if name.endswith((".conf", ".service")):
            assert (folder / name).is_file()
    for address in re.findall(r"\]\(([^)#]+)", readme):
        assert (folder / address).exists()
    for path in re.findall(r"`((?:tests|explorer)/[\w/.]+)`", readme):
        assert (folder.parents[2] / path).is_file()


def test_places_are_those_that_a_worker_counts(readme, unit):
    assert FORKED_KERNEL == 60 * MIB
    assert SERVER == 500 * MIB
    assert SHORT == 100 * MIB
    assert LARGEST_GROWTH == 256 * MIB
    pool = parser().parse_args([]).pool
    rows = re.findall(r"^\| \d+ GiB, [^|]*\| (\d) \| (\d+)M \| (\d+) \|$", readme, re.MULTILINE)
    assert len(rows) == 4
    for workers, limit, visitors in rows:
        places = visitors_for(int(limit) * MIB, FORKED_KERNEL)
        assert int(workers) * (places - pool) == int(visitors)
    assert unit["Service"]["MemoryMax"] == "1500M"
    assert "1500 MiB are 16 places, one of which is the pool's: 15 visitors." in readme
    assert (visitors_for(1500 * MIB, FORKED_KERNEL), pool) == (16, 1)


def test_a_worker_at_its_limit_is_not_slowed_down_but_keeps_to_it(unit):
    service = unit["Service"]
    assert "MemoryHigh" not in service
    assert service["MemorySwapMax"] == "0"
    assert service["OOMPolicy"] == "continue"
    assert service["Restart"] == "on-failure"


def test_a_broken_folder_is_not_tried_for_ever_and_many_connections_have_files(unit, tmp_path):
    """The command's own code for what is wrong with a folder is the one that ends the service."""
    service = unit["Service"]
    broken = explorer_main(["--check", "--club", str(tmp_path / "nowhere")])
    assert broken == int(service["RestartPreventExitStatus"])
    assert int(service["LimitNOFILE"]) >= 65536


def test_systemd_finds_no_fault_with_the_unit(folder, tmp_path):
    analyze = shutil.which("systemd-analyze")
    if analyze is None:
        pytest.skip("no systemd here")
    program = tmp_path / "explorer"
    program.symlink_to(sys.executable)
    text = (folder / UNIT).read_text("utf-8")
    text = text.replace("/opt/gearing-explorer/.venv/bin/explorer", str(program))
    (tmp_path / "explorer@8871.service").write_text(text)
    done = subprocess.run(
        [analyze, "verify", str(tmp_path / "explorer@8871.service")],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    about_ours = [line for line in done.stderr.splitlines() if "explorer@" in line]
    assert about_ours == []

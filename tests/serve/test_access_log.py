"""The access log as a file: one that can't be written, one that is rotated, and a full disk."""

import subprocess
import sys
from pathlib import Path

import pytest
from tornado.httputil import HTTPHeaders, HTTPServerRequest, RequestStartLine
from tornado.web import Application, RequestHandler

from explorer.serve.access_log import AccessLog


class _Connection:
    """In the place of a connection, of which a log must want nothing."""

    def set_close_callback(self, _callback) -> None:
        """Never closed."""


def answered(path: str) -> RequestHandler:
    request = HTTPServerRequest(
        start_line=RequestStartLine("GET", path, "HTTP/1.1"),
        headers=HTTPHeaders({"Host": "h"}),
        connection=_Connection(),
    )
    return RequestHandler(Application(), request)


@pytest.mark.long
def test_a_log_that_can_not_be_written_is_one_sentence(tmp_path):
    file = tmp_path / "no" / "such" / "folder.log"
    done = subprocess.run(
        [sys.executable, "-m", "explorer.serve.command", "--access-log", str(file)],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"The access log {file} can't be written: ")
    assert done.stderr.count("\n") == 1


def test_a_log_may_be_copied_and_emptied_while_it_is_written(tmp_path):
    """As logrotate does with "copytruncate" (its manual, logrotate(8))."""
    file = tmp_path / "access.log"
    log = AccessLog(str(file))
    log.note(answered("/before"))
    copied = file.read_text()
    file.write_text("")
    log.note(answered("/after"))
    assert " /before " in copied
    # At the beginning: not behind a hole where the first line was.
    assert file.read_text().startswith("20")
    assert " /after " in file.read_text()


def test_a_log_is_added_to(tmp_path):
    file = tmp_path / "access.log"
    for path in ("/one", "/two"):
        AccessLog(str(file)).note(answered(path))
    assert len(file.read_text().splitlines()) == 2


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="/dev/full is Linux's")
def test_a_full_disk_is_said_once_and_the_pages_go_on(caplog):
    log = AccessLog("/dev/full")  # says of itself that it is full: full(4)
    for _ in range(3):
        log.note(answered("/"))
    assert [record.message for record in caplog.records] == [
        "The access log can't be written: No space left on device"
    ]


def test_no_line_can_be_forged(tmp_path):
    file = tmp_path / "access.log"
    AccessLog(str(file)).note(
        answered("/a\n2026-11-25T00:00:00+00:00 GET /b\x1b[31m é" + "x" * 500)
    )
    [line] = file.read_text().splitlines()
    assert line.isascii() and "\x1b" not in line
    assert len(line) < 300

"""Private names of other libraries: listed, looked for, and done without where they are gone."""

import ast
import asyncio
import re
import subprocess
import sys
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from types import SimpleNamespace

import jupyter_server as jupyter_server_package
import pytest

from explorer.serve.adapters import fit, jupyter_server
from explorer.serve.adapters.browser import NAMES, missing_in
from explorer.serve.adapters.ipykernel import OWN_KERNELS, WIDGETS
from explorer.serve.adapters.jupyter_client import ANSWERS
from explorer.serve.adapters.names import Use, misfits
from explorer.serve.adapters.voila import POOL
from explorer.serve.assets import voila_script
from explorer.serve.command import main
from tests.conftest import PLACES, start_server, write_notebook
from tests.serve.visitor import Visit

ROOT = Path(__file__).parents[2]
ALL = (*fit.USES, *OWN_KERNELS)
PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"


def test_every_name_is_here_in_the_versions_that_are_installed():
    assert misfits(*ALL) == []
    assert fit.what_does_not_fit() == []
    assert fit.can_serve()
    assert missing_in(voila_script()) == []


@pytest.mark.parametrize("use", ALL, ids=lambda use: f"{use.library}: {use.without[:20]}")
def test_a_name_was_seen_in_the_version_that_is_installed(use):
    """Here the newest that is allowed; with tests.releases.ends the oldest, too."""
    assert version(use.library) in use.seen.split(" and ")


def test_a_missing_name_is_said_in_a_sentence_with_what_is_done_instead():
    use = Use("voila", "0.5.13", ("voila.app:Voila._gone", "voila.gone:x"), "pages open slower")
    assert misfits(use) == [
        f"voila {version('voila')} has no voila.app:Voila._gone, voila.gone:x (seen in 0.5.13): "
        "pages open slower."
    ]


def test_names_of_scripts_that_are_gone_are_said():
    assert len(missing_in(b"")) == len(NAMES)
    page_script = (ROOT / "explorer/serve/template/static/page.js").read_text("utf-8")
    assert all(name in page_script for name in NAMES)


def private_imports(tree: ast.AST) -> list[str]:
    """Private names that a file imports from another library."""
    return [
        f"{node.module}.{alias.name}"
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("explorer")
        for alias in node.names
        if alias.name.startswith("_") and node.module != "__future__"
    ]


def test_no_private_name_is_imported_elsewhere():
    found = {
        str(file.relative_to(ROOT)): names
        for file in (ROOT / "explorer").rglob("*.py")
        if (names := private_imports(ast.parse(file.read_text("utf-8"))))
    }
    assert found == {}
    assert "ipywidgets.widgets.widget:_instances" in WIDGETS.names


# The shipped command with one adapter that does not fit.
SERVER = """
import sys
from pathlib import Path
from explorer.serve.adapters.names import Use
from explorer.serve.command import parser, serve
from explorer.serve.contents import PageEntry

{change}
folder = Path(sys.argv.pop(1))
sys.exit(serve(parser().parse_args(), [PageEntry("page", "Page", "A page of a test.")], folder))
"""


def gone(module: str, name: str) -> str:
    """The text that makes an adapter's use look for a name that no version has."""
    return (
        f"from explorer.serve.adapters import fit, {module} as adapter\n"
        f"before = adapter.{name}\n"
        f"adapter.{name} = Use(before.library, 'x', ('voila.app:Voila._gone',), before.without)\n"
        f"fit.USES = [adapter.{name} if use is before else use for use in fit.USES]\n"
    )


def served(tmp_path, change: str):
    write_notebook(tmp_path / "page.ipynb", PAGE)
    program = SERVER.format(change=change)
    command = [sys.executable, "-c", program, str(tmp_path), "--port", "0", "--no-browser"]
    return start_server([*command, *PLACES], tmp_path / "errors.txt")


@pytest.mark.long
def test_where_libraries_do_not_fit_a_page_opens_and_answers_all_the_same(tmp_path):
    lacking = (
        *(("voila", "POOL"), ("jupyter_client", "ANSWERS")),
        *(("jupyter_server", "WEBSOCKET"), ("jupyter_server", "KERNELS")),
    )
    running = served(tmp_path, "".join(gone(*each) for each in lacking))

    async def talk(visit: Visit) -> None:
        async with visit.websocket() as websocket:
            texts = [state.get("value", "") for state in (await websocket.states()).values()]
            assert "<p>A page of a test.</p>" in texts

    try:
        asyncio.run(talk(Visit.begin(running.url, "/page")))
        said = running.log.read_text().splitlines()
        assert len(said) == len(lacking)
        for use in (POOL, ANSWERS, jupyter_server.WEBSOCKET, jupyter_server.KERNELS):
            assert any(line.endswith(f"(seen in x): {use.without}.") for line in said)
    finally:
        running.stop()


def lacks(monkeypatch, use: Use) -> Use:
    """The same use of a library, looking for a name that no version has."""
    missing = replace(use, names=("voila.app:Voila._gone",))
    monkeypatch.setattr(fit, "USES", [missing if each is use else each for each in fit.USES])
    return missing


def test_the_check_says_which_library_does_not_fit_and_what_is_done_instead(monkeypatch, capsys):
    assert main(["--check"]) == 0
    assert capsys.readouterr().out.splitlines()[1:] == ["All libraries fit."]
    lacks(monkeypatch, ANSWERS)
    assert main(["--check"]) == 0
    sound, said = capsys.readouterr().out.splitlines()
    assert sound.endswith("all sound.")
    assert "has no voila.app:Voila._gone" in said and said.endswith(": a page opens 0.2 s later.")


def test_where_messages_can_not_be_checked_nothing_is_served(monkeypatch, capsys):
    missing = lacks(monkeypatch, jupyter_server.MESSAGES)
    monkeypatch.setattr(jupyter_server, "MESSAGES", missing)
    assert main(["--check"]) == 2
    assert capsys.readouterr().out.rstrip().endswith("so nothing is served.")
    assert not fit.can_serve()  # asked by the command before it serves


def test_where_our_kernels_do_not_fit_stock_ones_are_used_and_it_is_said(tmp_path, monkeypatch):
    # The process that kernels are forked from reads the adapter anew: it finds another one first.
    own = (ROOT / "explorer/serve/adapters/ipykernel.py").read_text("utf-8")
    change = (
        "import explorer.serve.forked_kernel as forked, subprocess\n"
        "real = subprocess.Popen\n"
        "def popen(command, **settings):\n"
        "    text = 'import sys; sys.exit(\"ipykernel 9 has no such name.\")'\n"
        "    return real([command[0], '-c', text], **settings)\n"
        "forked.subprocess = type('', (), {'Popen': staticmethod(popen), 'DEVNULL': -3})\n"
    )
    assert re.search(r"OWN_KERNELS", own)
    running = served(tmp_path, change)
    try:
        assert "data-view" in Visit.begin(running.url, "/page").html
        said = running.log.read_text()
        assert "ipykernel 9 has no such name." in said
        assert "stock ones are used" in said
    finally:
        running.stop()


def test_the_websocket_is_checked_in_either_case(monkeypatch):
    from explorer.serve import visitor_websocket

    assert visitor_websocket.websocket_class() is visitor_websocket.VisitorWebsocket
    monkeypatch.setattr(visitor_websocket, "misfits", lambda *_: ["gone"])
    fallback = visitor_websocket.websocket_class()
    assert fallback is visitor_websocket.CheckedWebsocket
    assert "handle_incoming_message" in vars(fallback)
    assert "handle_outgoing_message" in vars(fallback)


def test_the_server_loads_no_grammar_of_addresses_and_other_formats_are_checked():
    program = """
import sys
from explorer.serve.adapters.jsonschema import ADDRESSES, leave_addresses_out

leave_addresses_out()
import explorer.serve.server
import jsonschema

assert sys.modules[ADDRESSES] is None and "lark" not in sys.modules
formats = jsonschema.Draft7Validator.FORMAT_CHECKER
print(formats.conforms("no address", "uri"), "uri" in formats.checkers, "iri" in formats.checkers)
"""
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert said.stdout.split() == ["False", "True", "False"], said.stderr
    schemas = [*Path(jupyter_server_package.__file__).parent.rglob("*.yaml")]
    assert schemas and not any(re.search(r"format: iri", each.read_text()) for each in schemas)


def test_no_answer_of_a_kernel_waits_until_the_last_is_acknowledged(monkeypatch):
    # Nagle's algorithm (RFC 896) with delayed acknowledgements holds a small message for 40 ms.
    from explorer.serve import visitor_websocket

    done = []
    stock = visitor_websocket.ZMQChannelsWebsocketConnection
    monkeypatch.setattr(stock, "connect", lambda self: done.append("connected"))
    for kind in (visitor_websocket.CheckedWebsocket, visitor_websocket.VisitorWebsocket):
        websocket = kind.__new__(kind)
        handler = SimpleNamespace(set_nodelay=done.append)
        monkeypatch.setattr(kind, "websocket_handler", handler)
        websocket.connect()
    assert done == [True, "connected"] * 2

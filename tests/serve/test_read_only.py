"""What a visitor can't do, tried for real: anything may be sent to the real server.

One server for all tests here: a page with one of every kind of control, once without a pool and
once with a kernel standing ready.
"""

import asyncio
import contextlib
import json
import random
import re
import socket
import time
import uuid
from urllib.parse import urlsplit

import psutil
import pytest
from tornado.websocket import WebSocketClosedError

from explorer.serve.bounded_log import MOST_CHARACTERS
from explorer.serve.forked_kernel import can_fork
from explorer.serve.messages import HEARD_BY_A_PAGE
from explorer.serve.visitor_websocket import (
    LARGEST_MESSAGE,
    MESSAGE_BURST,
    POLICY_VIOLATION,
    WEBSOCKETS_PER_KERNEL,
)
from tests.serve.visitor import FORMS, KernelWebsocket, Visit, ask, frame, upgrade

PAGE = """
import json, os
import ipywidgets as w
from bokeh.events import Tap
from bokeh.models import CustomAction
from bokeh.plotting import figure
from explorer.app.address import query_string
from explorer.app.chart_widget import ChartWidget

query = query_string()
chart = figure(height=300, tools="pan,tap")
chart.add_tools(CustomAction(icon="data:image/png;base64,AAAA", name="own"))
chart.line([0, 1, 2], [0, 1, 4])
tapped = w.HTML()
tapped.add_class("tapped")
chart.on_event(Tap, lambda tap: setattr(tapped, "value", f"tapped at {tap.x:g}"))
slider = w.IntSlider(value=13, min=9, max=17, description="Front sprocket")
said = w.HTML()
said.add_class("said")
slider.observe(lambda _: setattr(said, "value", f"{slider.value} teeth"), "value")
button = w.Button(description="More")
button.on_click(lambda _: setattr(said, "value", "clicked"))
about = w.HTML(json.dumps({"process": os.getpid(), "query": query, "told": dict(os.environ)}))
about.add_class("about")
w.VBox([
    about, slider, said, tapped, button,
    w.Text(description="Name"), w.Dropdown(options=["a", "b"], description="Tyre"),
    w.FloatSlider(description="Slope"), w.FileUpload(), w.Accordion(children=[w.HTML("x")]),
    w.SelectMultiple(options=["a", "b"]), w.Checkbox(), w.FloatText(),
    w.HTML("x" * 1_000_000), ChartWidget(chart),
])
"""

SLIDER, SAID, TEXT, UPLOAD, BUTTON = (
    "IntSliderModel",
    "said",
    "TextModel",
    "FileUploadModel",
    "Button",
)


@pytest.fixture(scope="module")
def log(tmp_path_factory):
    return tmp_path_factory.mktemp("log") / "access.log"


@pytest.fixture(scope="module")
def server(serve_pages, log):
    """Two pages, the same; kernels stand ready for one of them. The logbook is the rider's own."""
    options = ("--pool", "1", "--visitors", "12", "--access-log", str(log), "--logbook", "home")
    return serve_pages({"one": PAGE, "other": PAGE}, *options)


@pytest.fixture(scope="module")
def visit(server):
    """An open page, shared by the tests that leave its kernel as it is."""
    visit = Visit.begin(server.url, "/one")
    yield visit
    visit.end()


class Widgets:
    """Where the widgets of the test page are found."""

    def __init__(self, states: dict[str, dict]) -> None:
        self.states = states

    def id(self, what: str) -> str:
        """Id of the only widget of a model, or with a class of ours."""
        [number] = [
            number
            for number, state in self.states.items()
            if state["_model_name"] == what or what in state.get("_dom_classes", ())
        ]
        return number

    def value(self, what: str):
        return self.states[self.id(what)]["value"]

    def about(self) -> dict:
        return json.loads(self.value("about"))


async def widgets_of(visit: Visit) -> Widgets:
    async with visit.websocket() as websocket:
        return Widgets(await websocket.states())


async def still_works(visit: Visit, process: int | None = None) -> None:
    """The page's kernel is the one it was, and answers its controls."""
    widgets = await widgets_of(visit)
    assert process is None or widgets.about()["process"] == process
    async with visit.websocket() as websocket:
        before = widgets.value(SLIDER)
        after = before + 1 if before < 17 else 9
        await websocket.update(widgets.id(SLIDER), value=after)
        await websocket.settle()
        assert Widgets(await websocket.states()).value(SAID) == f"{after} teeth"


# --- Messages -------------------------------------------------------------------------------------

# All types of the protocol, whichever way they are meant to go ("Messaging in Jupyter",
# jupyter-client.readthedocs.io, version 5.5 of the protocol), and one that ipykernel adds
# (usage_request). Left out: the five that a page needs.
RUN = {
    "silent": False,
    "store_history": False,
    "user_expressions": {"x": "page"},
    "allow_stdin": True,
    "stop_on_error": True,
}
DEBUG = {"seq": 1, "type": "request", "command": "initialize", "arguments": {}}
OF_THE_PROTOCOL = {
    "execute_request": RUN,
    "execute_reply": {},
    "inspect_request": {"code": "page", "cursor_pos": 4, "detail_level": 1},
    "inspect_reply": {},
    "complete_request": {"code": "page.", "cursor_pos": 5},
    "complete_reply": {},
    "history_request": {"output": False, "raw": True, "hist_access_type": "tail", "n": 10},
    "history_reply": {},
    "is_complete_request": {"code": "page"},
    "is_complete_reply": {},
    "connect_request": {},
    "connect_reply": {},
    "comm_info_reply": {},
    "kernel_info_reply": {},
    "shutdown_request": {"restart": False},
    "shutdown_reply": {},
    "interrupt_request": {},
    "interrupt_reply": {},
    "debug_request": DEBUG,
    "debug_reply": {},
    "debug_event": {},
    "create_subshell_request": {},
    "create_subshell_reply": {},
    "delete_subshell_request": {"subshell_id": "1"},
    "delete_subshell_reply": {},
    "list_subshell_request": {},
    "list_subshell_reply": {},
    "usage_request": {},
    "input_request": {"prompt": "?", "password": False},
    "input_reply": {"value": "page"},
    "stream": {"name": "stdout", "text": "x"},
    "display_data": {"data": {"text/html": "x"}, "metadata": {}},
    "update_display_data": {"data": {}, "metadata": {}},
    "execute_input": {"code": "page", "execution_count": 1},
    "execute_result": {"data": {}, "metadata": {}, "execution_count": 1},
    "error": {"ename": "x", "evalue": "x", "traceback": []},
    "status": {"execution_state": "dead"},
    "clear_output": {"wait": False},
    "no_such_type": {},
}
NEEDED = ("kernel_info_request", "comm_info_request", "comm_open", "comm_msg", "comm_close")
CHANNELS = ("shell", "control", "stdin", "iopub", "hb", "")


@pytest.mark.parametrize("form", FORMS)
def test_no_other_message_of_the_protocol_reaches_the_kernel(visit, form, tmp_path):
    trace = tmp_path / "trace"
    code = f"open({str(trace)!r}, 'w').close()"

    async def try_all():
        process = (await widgets_of(visit)).about()["process"]
        async with visit.websocket(form) as websocket:
            refused = set()
            for channel in CHANNELS:
                for kind, content in OF_THE_PROTOCOL.items():
                    more = {"code": code} if kind == "execute_request" else {}
                    refused.add(await websocket.say(kind, content | more, channel=channel))
                if channel != "shell":
                    for kind in NEEDED:
                        refused.add(await websocket.say(kind, {}, channel=channel))
            # Two rounds: the first one's answer may overtake another channel's.
            await websocket.settle()
            allowed = await websocket.say("comm_info_request", {})
            await websocket.settle()
            assert websocket.answered(refused) == []
            # So an answer would have been noticed.
            assert "comm_info_reply" in websocket.answered({allowed})
            assert {message["header"]["msg_type"] for message in websocket.heard} <= HEARD_BY_A_PAGE
        await still_works(visit, process)

    asyncio.run(try_all())
    assert not trace.exists()


def test_a_message_of_one_form_is_not_read_as_another(visit, tmp_path):
    trace = tmp_path / "trace"
    run = RUN | {"code": f"open({str(trace)!r}, 'w').close()"}

    async def try_all():
        for form in FORMS:
            async with visit.websocket(form) as websocket:
                for other in FORMS:
                    websocket.form = other
                    _, message = websocket.packed("execute_request", run)
                    await websocket.write(message)
                    # Text as bytes, and bytes as text.
                    if isinstance(message, str):
                        await websocket.write(message.encode())
                websocket.form = form
                await websocket.settle()
                assert "execute_reply" not in {m["header"]["msg_type"] for m in websocket.heard}

    asyncio.run(try_all())
    assert not trace.exists()


def test_malformed_messages_do_no_harm(visit, server):
    """Above all those few bytes that claim to be very many parts."""
    many = (2**62).to_bytes(8, "little")
    handmade = [
        *("", "[]", "null", "{}", "0", '"', "[" * 100_000, '{"a":' * 50_000, "\x00", "NaN"),
        *(b"", b"\x00", b"\xff" * 8, b"\xff" * 4096, many, many + b"\x00" * 800),
        (2**31 - 1).to_bytes(4, "big"),
        (2**31 - 1).to_bytes(4, "big") + b"\x00" * 800,
        # Parts that overlap: each of a hundred thousand would be a copy of the whole message.
        (100_000).to_bytes(8, "little") + (b"\x00" * 8 + (800_008).to_bytes(8, "little")) * 50_000,
        (100_000).to_bytes(4, "big") + (b"\x00" * 4 + (400_004).to_bytes(4, "big")) * 50_000,
        '{"header": {"msg_type": "comm_msg"}}',
        '{"header": [], "channel": "shell"}',
        '{"channel": "shell", "header": {"msg_id": 1, "msg_type": {}, "session": []}}',
    ]
    chance = random.Random(7)
    resident = psutil.Process(server.process.pid).memory_info().rss

    async def try_all():
        process = (await widgets_of(visit)).about()["process"]
        for form in FORMS:
            async with visit.websocket(form) as websocket:
                for message in handmade:
                    await websocket.write(message)
                _, whole = websocket.packed("comm_info_request", {})
                text = isinstance(whole, str)
                whole = whole.encode() if text else whole
                for _ in range(60):
                    cut = whole[: chance.randrange(len(whole))]
                    await websocket.write(cut.decode() if text else cut)
                    wrong = bytearray(whole)
                    wrong[chance.randrange(len(whole))] = chance.randrange(128)
                    await websocket.write(wrong.decode() if text else bytes(wrong))
                await websocket.settle()
        await still_works(visit, process)

    asyncio.run(try_all())
    assert psutil.Process(server.process.pid).memory_info().rss < resident + 100 * 2**20


# --- Messages that a page may send, with anything in them -------------------------------------


def test_a_visitor_can_make_no_widget(visit):
    def made_by(module, model, view, **state) -> dict:
        own = {"_model_module": module, "_model_name": model, "_view_module": module}
        own |= {"_view_name": view, "_model_module_version": "*", "_view_module_version": "*"}
        return {"state": own | state, "buffer_paths": []}

    controls = "@jupyter-widgets/controls"
    wishes = [
        made_by(controls, "IntSliderModel", "IntSliderView"),
        made_by(controls, "FileUploadModel", "FileUploadView"),
        made_by("@jupyter-widgets/output", "OutputModel", "OutputView", msg_id="x"),
        made_by("@bokeh/jupyter_bokeh", "BokehModel", "BokehView"),
        made_by("os", "system", "system"),
    ]

    async def try_all():
        before = (await widgets_of(visit)).states.keys()
        async with visit.websocket() as websocket:
            refused = {
                await websocket.say(
                    "comm_open",
                    {"comm_id": uuid.uuid4().hex, "target_name": target, "data": data} | more,
                    metadata={"version": "2.1.0"},
                )
                for data in wishes
                for target in ("jupyter.widget", "jupyter.widget.version", "os.system", "", None)
                for more in ({}, {"target_module": "os"})
            }
            await websocket.settle()
            assert websocket.answered(refused) == []
        assert (await widgets_of(visit)).states.keys() == before

    asyncio.run(try_all())


def test_only_what_a_control_changes_can_be_changed(visit):
    async def try_all():
        before = await widgets_of(visit)
        refused = set()
        async with visit.websocket() as websocket:
            one_of_each = {state["_model_name"]: number for number, state in before.states.items()}
            for number in one_of_each.values():
                own = {"value", "index", "selected_index", "error"}
                for name in before.states[number].keys() - own:
                    for wrong in ("<script>", 1):
                        refused.add(await websocket.update(number, **{name: wrong}))
                # By way of a buffer that is put into the state.
                data = {"method": "update", "state": {}, "buffer_paths": [["children"]]}
                content = {"comm_id": number, "data": data}
                refused.add(await websocket.say("comm_msg", content, buffers=(b"x",)))
            await websocket.settle()
            assert len(refused) > 500
            assert websocket.answered(refused) == []
        after = await widgets_of(visit)
        assert after.states == before.states

    asyncio.run(try_all())


HUGE = "9" * 200_000
WRONG_VALUES = [
    *(None, 1e308, "<img src=x onerror=alert(1)>", HUGE, [None]),
    [{"name": "a", "type": "", "size": 1, "last_modified": 1e300, "content": "x"}],
]


def test_wrong_values_are_no_more_than_wrong(server):
    """In a kernel of its own, whose controls may be out of shape afterwards."""
    visit = Visit.begin(server.url, "/other")
    logged = server.log.stat().st_size

    async def try_all():
        widgets = await widgets_of(visit)
        async with visit.websocket() as websocket:
            one_of_each = {state["_model_name"]: number for number, state in widgets.states.items()}
            del one_of_each["HTMLModel"]  # what it says is the page's own
            for number in one_of_each.values():
                state = widgets.states[number]
                for name in state.keys() & {"value", "index", "selected_index", "error"}:
                    for wrong in WRONG_VALUES:
                        await websocket.update(number, **{name: wrong})
                    await websocket.settle()
            assert {message["header"]["msg_type"] for message in websocket.heard} <= HEARD_BY_A_PAGE
            assert not any(b"Traceback" in raw for raw in websocket.raw)
        await still_works(visit, widgets.about()["process"])

    asyncio.run(try_all())
    assert visit.end().status == 204
    # The faults are in the log, and can't fill it.
    assert "TraitError" in server.log.read_text()
    assert server.log.stat().st_size < logged + 2 * MOST_CHARACTERS


def test_a_chart_says_where_it_was_tapped_and_nothing_else(visit, tmp_path):
    """Bokeh reads an image that a property names from the disk, so no such name may come."""
    picture = tmp_path / "picture.svg"
    picture.write_text("<svg>a secret word</svg>")

    async def try_all():
        widgets = await widgets_of(visit)
        chart = widgets.id("BokehModel")
        models = json.loads(widgets.states[chart]["render_bundle"])["docs_json"]
        [document] = models.values()
        figure = document["roots"][0]
        x_range = figure["attributes"]["x_range"]["id"]
        tools = figure["attributes"]["toolbar"]["attributes"]["tools"]
        [action] = [tool["id"] for tool in tools if tool["name"] == "CustomAction"]

        def changed(model, name, new, kind="ModelChanged") -> dict:
            return {
                **{"event": "jsevent", "kind": kind},
                **{"model": {"id": model}, "attr": name, "new": new},
            }

        def made(name, **attributes) -> dict:
            return {"type": "object", "name": name, "id": "own", "attributes": attributes}

        def tap(name="tap", x: object = 3) -> dict:
            values = [["model", {"id": figure["id"]}], ["x", x], ["y", 1], ["sx", 5], ["sy", 5]]
            values += [["modifiers", {"type": "map", "entries": [["shift", False]]}]]
            event = {"type": "event", "name": name}
            event["values"] = {"type": "map", "entries": values}
            return {
                **{"event": "jsevent", "kind": "MessageSent"},
                **{"msg_type": "bokeh_event", "msg_data": event},
            }

        bad = [
            changed(action, "icon", str(picture)),
            changed(x_range, "start", made("CustomAction", icon=str(picture))),
            changed(x_range, "start", {"type": "number", "value": "nan"}),
            changed(x_range, "bounds", [0, 1]),
            changed(figure["id"], "title", "x"),
            changed(x_range, "start", 1, kind="ColumnsStreamed"),
            changed(x_range, "start", 1, kind="RootAdded"),
            changed(x_range, "start", 1) | {"cols": ["x"]},
            tap(name="button_click"),
            tap(x=made("CustomAction", icon=str(picture))),
            tap() | {"msg_type": "other"},
            *({"event": "jsevent"}, {"event": "other"}, {}, [], None, "click"),
        ]
        good = [changed(x_range, "start", -1), changed(x_range, "end", 5.5), tap()]

        async def say(content) -> str:
            data = {"method": "custom", "content": content}
            return await websocket.say("comm_msg", {"comm_id": chart, "data": data})

        async with visit.websocket() as websocket:
            refused = {await say(content) for content in bad}
            await websocket.settle()
            assert websocket.answered(refused) == []
            for content in good:
                number = await say(content)
                await websocket.settle()
                assert "status" in websocket.answered({number})
        assert (await widgets_of(visit)).value("tapped") == "tapped at 3"

    asyncio.run(try_all())


# --- Too much -------------------------------------------------------------------------------------


def test_an_oversized_message_closes_its_line_only(visit):
    async def try_it():
        async with visit.websocket(session="second") as neighbour:
            async with visit.websocket() as websocket:
                with contextlib.suppress(WebSocketClosedError):
                    await websocket.say("comm_info_request", {"target_name": "x" * LARGEST_MESSAGE})
                await websocket.closing_code()
            await neighbour.settle()
        await still_works(visit)

    asyncio.run(try_it())


def test_a_flood_of_messages_closes_its_line_only(visit):
    async def try_it():
        async with visit.websocket(session="second") as neighbour:
            async with visit.websocket() as websocket:
                for _ in range(int(MESSAGE_BURST) + 2000):
                    with contextlib.suppress(WebSocketClosedError):  # at the other end already
                        await websocket.say("no_such_type", {})
                assert await websocket.closing_code() == POLICY_VIOLATION
            await neighbour.settle()

    asyncio.run(try_it())


def test_who_asks_and_never_reads_is_dropped(visit, server):
    parts = urlsplit(server.url)
    websocket = KernelWebsocket(None, "JSON", None)
    opening = {"comm_id": "c", "target_name": "jupyter.widget.control", "data": {}}
    asking = {"comm_id": "c", "data": {"method": "request_states"}}
    said = [websocket.packed("comm_open", opening, metadata={"version": "1.0.0"})]
    said += [websocket.packed("comm_msg", asking) for _ in range(80)]

    def held() -> int:
        return json.loads(ask(server.url, visit.kernel).text)["connections"]

    with socket.create_connection((parts.hostname, parts.port), timeout=30) as connection:
        connection.sendall(upgrade(server.url, f"{visit.kernel}/channels?session_id=deaf"))
        assert connection.recv(12) == b"HTTP/1.1 101"
        # Each answer has more than a megabyte: the widgets' states.
        connection.sendall(b"".join(frame(message) for _, message in said))
        until = time.monotonic() + 60
        while held():
            assert time.monotonic() < until, "the websocket is kept"
    asyncio.run(still_works(visit))


def test_a_kernel_has_so_many_lines_and_no_more(visit):
    async def try_it():
        async with contextlib.AsyncExitStack() as websockets:
            for number in range(WEBSOCKETS_PER_KERNEL):
                websocket = await websockets.enter_async_context(
                    visit.websocket(session=str(number))
                )
                await websocket.settle()
            with pytest.raises(Exception, match="429"):
                await websockets.enter_async_context(visit.websocket(session="more"))
        await still_works(visit)

    asyncio.run(try_it())


def raw_answer(url: str, request: bytes) -> bytes:
    """What comes back for bytes sent as they are; nothing if the connection is closed."""
    parts = urlsplit(url)
    with socket.create_connection((parts.hostname, parts.port), timeout=30) as connection:
        with contextlib.suppress(ConnectionError):
            connection.sendall(request)
        received = b""
        with contextlib.suppress(ConnectionError):
            while part := connection.recv(65536):
                received += part
        return received


@pytest.mark.parametrize(
    "request_text",
    [
        b"GET /one?" + b"x" * 100_000 + b" HTTP/1.1\r\nHost: h\r\n\r\n",
        b"GET /one HTTP/1.1\r\nHost: h\r\nX: " + b"x" * 100_000 + b"\r\n\r\n",
        b"POST /voila/api/shutdown/0 HTTP/1.1\r\nHost: h\r\nContent-Length: 9999999\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: chunked\r\n\r\nffffff\r\n"
        + b"x" * 100_000,
        b"GET /one?\x00\xff HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"GET /one?template=%ff HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"GET one HTTP/1.1\r\nHost: h\r\nConnection: close\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: h\r\nContent-Length: -1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
    ],
    ids=lambda text: text[:24].decode("latin-1"),
)
def test_an_oversized_or_malformed_request_gets_no_more_than_a_refusal(server, request_text):
    before = server.log.read_text()
    received = raw_answer(server.url, request_text)
    assert received == b"" or received.startswith(b"HTTP/1.1 4")
    assert ask(server.url, "/health").status == 200
    assert server.log.read_text() == before


# --- Addresses ------------------------------------------------------------------------------------


METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE")


def api_paths(own: str, foreign: str) -> list[str]:
    return [
        *("/api", "/api/", "/api/kernels", "/api/kernels/", "/api/kernelspecs", "/api/sessions"),
        *("/api/terminals", "/api/contents", "/api/contents/one.ipynb", "/api/config/notebook"),
        *("/api/status", "/api/me", "/api/spec.yaml", "/api/security/csp-report", "/api/shutdown"),
        *(f"/api/kernels/{number}/{what}" for number in (own, foreign) for what in ACTIONS),
        *(f"/api/sessions/{own}", "/voila/api/contents", "/voila/execution/" + own),
        *(
            "/voila/files/one.ipynb",
            "/voila/render/one.ipynb",
            "/one.ipynb",
            "/notebooks/one.ipynb",
        ),
        *("/files/one.ipynb", "/view/one.ipynb", "/nbconvert/html/one.ipynb", "/tree", "/lab"),
        *("/explorer/serve/command.py", "/../one.ipynb", "/one/../../one.ipynb", "/.git/config"),
        *("/%2e%2e/one.ipynb", "/..%2fone.ipynb", "/one%00.ipynb", "//one.ipynb", "/\\one.ipynb"),
    ]


ACTIONS = ("interrupt", "restart", "shutdown", "")


def test_no_other_address_answers_whatever_the_method(server, visit):
    stranger = str(uuid.uuid4())
    own = {"Cookie": f"_xsrf={visit.token}", "X-XSRFToken": visit.token}
    for path in api_paths(visit.kernel_id, stranger):
        for method in METHODS:
            answer = ask(server.url, path, method, headers=own)
            assert answer.status in (404, 405), (method, path, answer.status)
            assert "cells" not in answer.text and visit.kernel_id not in answer.text
    for method in METHODS[1:]:
        # Even its own kernel it can only ask after; it ends it by the closing message.
        assert ask(server.url, visit.kernel, method, headers=own).status in (403, 404, 405)
    asyncio.run(still_works(visit))


def test_a_page_can_be_asked_for_in_one_way_only(server, visit):
    for method in METHODS[1:]:
        for path in ("/one", "/", "/health"):
            assert ask(server.url, path, method).status in (403, 405)
    with_template = ask(server.url, "/?template=../../etc&theme=../../etc")
    assert with_template.status == 200


# --- Other visitors ---------------------------------------------------------------------------


def test_nothing_of_one_visitor_reaches_another(server, visit):
    marker = "marker-of-the-first"
    second = Visit.begin(server.url, "/one", headers={"User-Agent": "the-second"})

    async def try_it():
        mine, theirs = await widgets_of(visit), await widgets_of(second)
        assert mine.about()["process"] != theirs.about()["process"]
        assert mine.states.keys().isdisjoint(theirs.states.keys())
        # Both websockets have the same name: it must not matter.
        async with visit.websocket() as websocket, second.websocket() as other:
            await websocket.update(mine.id(TEXT), value=marker)
            await websocket.settle()
            # Nor can a visitor talk to another's widgets by his own websocket.
            stray = await other.update(mine.id(TEXT), value="from the second")
            await other.settle()
            await other.states()
            assert not any(marker.encode() in raw for raw in other.raw)
            assert set(other.answered({stray})) == {"status"}
            assert Widgets(await websocket.states()).value(TEXT) == marker
        third = Visit.begin(server.url, "/other")
        assert marker not in third.html
        assert marker not in json.dumps((await widgets_of(third)).states)
        assert third.end().status == 204

    asyncio.run(try_it())
    assert second.end().status == 204


@pytest.mark.parametrize("page", ["/one", "/other"])
def test_a_kernel_is_told_nothing_of_the_request_before(server, page):
    """With kernels that stand ready, for one of the pages, and without."""
    words = ["first-word", "second-word"]
    for number, word in enumerate(words):
        headers = {name: f"{name}-{word}" for name in ("User-Agent", "Referer", "X-Forwarded-For")}
        headers["Cookie"] = f"own={word}"
        visit = Visit.begin(server.url, f"{page}?note={word}", headers=headers)
        about = asyncio.run(widgets_of(visit)).about()
        assert about["query"] == f"note={word}"
        told = json.dumps(about["told"])
        for earlier in words[:number]:
            assert earlier not in told
        for name in ("User-Agent", "Referer", "X-Forwarded-For"):
            assert f"{name}-{word}" not in told
        assert visit.end().status == 204


def test_a_waiting_kernels_link_is_told_to_nobody_else(server, visit):
    """The address where a kernel of the pool asks for its visitor's link."""
    parts = urlsplit(server.url)
    for number, origin, status in [
        (visit.kernel_id, EVIL, b"403"),
        # Its own it may ask for: it is in the page's address.
        (visit.kernel_id, f"http://{parts.netloc}", b"101"),
        (str(uuid.uuid4()), f"http://{parts.netloc}", b"404"),
    ]:
        with socket.create_connection((parts.hostname, parts.port), timeout=30) as connection:
            connection.sendall(upgrade(server.url, f"/voila/query/{number}", f"Origin: {origin}"))
            assert connection.recv(12) == b"HTTP/1.1 " + status


# --- Other hosts' pages -----------------------------------------------------------------------

EVIL = "http://evil.example"


def test_a_line_is_for_pages_of_ours(visit):
    async def try_it():
        for origin in (EVIL, "null", "http://127.0.0.1:1", f"{visit.url.rstrip('/')}.evil.example"):
            with pytest.raises(Exception, match="403"):
                async with visit.websocket(origin=origin):
                    pass
        async with visit.websocket(origin=visit.url.rstrip("/")) as websocket:
            await websocket.settle()

    asyncio.run(try_it())


def test_a_kernel_is_ended_by_its_own_page_only(server):
    visit = Visit.begin(server.url, "/one")
    path = f"/voila/api/shutdown/{visit.kernel_id}"
    assert ask(server.url, path, "POST").status == 403
    assert visit.end(**{"X-XSRFToken": "wrong"}).status == 403
    assert visit.end(Cookie="_xsrf=wrong").status == 403
    assert visit.end(Origin=EVIL).status == 404
    assert ask(server.url, visit.kernel).status == 200
    unknown = Visit(server.url, "", str(uuid.uuid4()), visit.token)
    assert unknown.end().status == 404
    assert visit.end().status == 204
    assert visit.end().status == 404
    assert ask(server.url, visit.kernel).status == 404


def test_no_other_hosts_page_may_read_or_frame_ours(server, visit):
    for path in ("/", "/health", "/nothing", visit.kernel, "/api/kernels"):
        for method in ("GET", "OPTIONS"):
            headers = {"Origin": EVIL, "Access-Control-Request-Method": "GET"}
            answer = ask(server.url, path, method, headers)
            assert not [name for name in answer.headers if "access-control" in name.lower()]
            policy = answer.headers["Content-Security-Policy"]
            assert "frame-ancestors 'none'" in policy


def test_a_riders_own_pages_are_for_names_of_this_machine(server, visit):
    """A stranger's name may lead to this machine ("DNS rebinding"); the logbook is here."""
    port = urlsplit(server.url).port
    for host in ("evil.example", f"evil.example:{port}", "192.0.2.1", "localhost.evil.example"):
        for path in ("/one", "/other", visit.kernel, f"{visit.kernel}/channels"):
            answer = ask(server.url, path, headers={"Host": host})
            assert answer.status == 403
            assert "kernelId" not in answer.text
        assert visit.end(Host=host).status == 403
    assert ask(server.url, visit.kernel, headers={"Host": f"localhost:{port}"}).status == 200


# --- What is written down -------------------------------------------------------------------------


def test_the_access_log_says_nothing_of_who_asked(server, visit, log):
    word = "marker-of-a-person"
    headers = {
        **{"User-Agent": word, "Referer": f"http://x/{word}", "Cookie": f"a={word}"},
        **{"X-Forwarded-For": word, "X-Real-IP": word, "Forwarded": f"for={word}", "From": word},
    }
    asked = Visit.begin(server.url, f"/other?rider={word}", headers=headers)

    async def say_it():
        widgets = await widgets_of(asked)
        async with asked.websocket(session=word) as websocket:
            await websocket.update(widgets.id(TEXT), value=word)
            await websocket.settle()

    asyncio.run(say_it())
    for path in ("/", "/health", "/nothing", asked.kernel, "/api/kernels", "/other/x"):
        for method in METHODS:
            ask(server.url, f"{path}?rider={word}", method, headers)
    ask(server.url, f"/?rider={word}", f"X{word}", headers)
    assert asked.end(**headers | {"Cookie": f"_xsrf={asked.token}"}).status == 204

    lines = log.read_text().splitlines()
    assert len(lines) > 40
    shape = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00 ([A-Z]+|\?) \S+ \d{3} \d+ ms \d+ B"
    assert not [line for line in lines if not re.fullmatch(shape, line)]
    written = log.read_text() + server.log.read_text()
    for secret in (word, "127.0.0.1", asked.kernel_id, visit.kernel_id, asked.token):
        assert secret not in written


def test_the_health_address_takes_no_place(server, visit):
    def told() -> dict:
        answer = ask(server.url, "/health?x=1")
        assert answer.status == 200
        assert answer.headers["Cache-Control"] == "no-store"
        return json.loads(answer.text)

    before = told()
    assert before.keys() == {"status", "version", "places", "taken", "free"}
    assert before["status"] == "ok"
    assert before["taken"] + before["free"] == before["places"]
    assert before["taken"] >= 1  # the page that is open all the time
    for _ in range(20):
        # One, because a kernel for the pool may just be on its way.
        assert told()["taken"] <= before["taken"] + 1
    second = Visit.begin(server.url, "/other")
    assert told()["taken"] >= 2
    assert second.end().status == 204


def test_the_health_address_tells_that_no_kernel_can_be_had(server):
    """The last test of this server: the process that its kernels are forked from is killed."""
    if not can_fork():
        pytest.skip("kernels are forked on Linux only")
    [warm] = psutil.Process(server.process.pid).children()
    warm.kill()
    until = time.monotonic() + 30
    while (answer := ask(server.url, "/health")).status == 200:
        assert time.monotonic() < until, "its death is not noticed"
    assert answer.status == 503
    assert json.loads(answer.text)["status"] == "no kernels can be started"
    # Another has been started, and the next visitor is served.
    assert ask(server.url, "/health").status == 200
    assert Visit.begin(server.url, "/other").end().status == 204

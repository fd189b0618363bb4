"""What a visitor can't do, tried for real: anything may be sent to the real server."""

import asyncio
import contextlib
import json
import random
import socket
import time
import uuid
from urllib.parse import urlsplit

import psutil
import pytest
from tornado.websocket import WebSocketClosedError

from explorer.serve.messages import HEARD_BY_A_PAGE
from explorer.serve.visitor_kernel import MOST_CHARACTERS
from explorer.serve.visitor_websocket import (
    LARGEST_MESSAGE,
    MESSAGE_BURST,
    MESSAGES_PER_SECOND,
    POLICY_VIOLATION,
    WEBSOCKETS_PER_KERNEL,
)
from tests.serve.read_only.every_control import still_works, widgets_of
from tests.serve.visitor import FORMS, KernelWebsocket, Visit, ask, frame, upgrade

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


def test_an_oversized_message_closes_its_websocket_only(visit):
    async def try_it():
        async with visit.websocket(session="second") as neighbour:
            async with visit.websocket() as websocket:
                with contextlib.suppress(WebSocketClosedError):
                    await websocket.say("comm_info_request", {"target_name": "x" * LARGEST_MESSAGE})
                await websocket.closing_code()
            await neighbour.settle()
        await still_works(visit)

    asyncio.run(try_it())


def test_a_flood_of_messages_closes_its_websocket_only(visit):
    async def try_it():
        async with visit.websocket(session="second") as neighbour:
            async with visit.websocket() as websocket:
                for _ in range(int(MESSAGE_BURST) + 2000):
                    with contextlib.suppress(WebSocketClosedError):  # at the other end already
                        await websocket.say("no_such_type", {})
                assert await websocket.closing_code() == POLICY_VIOLATION
            # Both draw on their kernel's tokens: ten of them come back before the other one speaks.
            refilled = time.monotonic() + 10 / MESSAGES_PER_SECOND
            while time.monotonic() < refilled:
                await asyncio.sleep(0)
            await neighbour.settle()

    asyncio.run(try_it())


@pytest.mark.long
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


def test_a_kernel_has_so_many_websockets_and_no_more(visit):
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

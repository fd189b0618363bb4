"""Which messages are let through to a kernel: those that were recorded from pages, and no others.

Recorded in Chromium from the gearing, fit, wants, check and logbook pages: a slider, a choice, a
text, an upload, a button, a card opened, a chart tapped and moved.
"""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jupyter_server.services.kernels.connection.base import (
    serialize_binary_message,
    serialize_msg_to_ws_v1,
)

from explorer.serve.messages import MOST_BUFFERS, VERSION_1, id_if_allowed

HEADER = {
    "date": "2026-11-25T15:30:00.000Z",
    "msg_id": "5b1c2a9e-7f43-4a05-a1c5-2f2f2f2f2f2f",
    "session": "0d4e7d5a-3d1f-4b62-8f3c-111111111111",
    "username": "",
    "version": "5.2",
}
COMM = "f3f1d0c2b9a84f0f8a7d6c5b4a392817"


def update(*paths, **state) -> dict:
    return {
        "comm_id": COMM,
        "data": {"method": "update", "state": state, "buffer_paths": list(paths)},
    }


def custom(content) -> dict:
    return {"comm_id": COMM, "data": {"method": "custom", "content": content}}


def axis(name="start", new=2.5, **more) -> dict:
    change = {"kind": "ModelChanged", "model": {"id": "p2597"}, "attr": name, "new": new}
    return custom(change | {"event": "jsevent"} | more)


def tap(**more) -> dict:
    modifiers = [["shift", False], ["ctrl", False], ["alt", False]]
    values = [
        *(["model", {"id": "p2599"}], ["sx", 419], ["sy", 180], ["x", 4.42], ["y", 0.58]),
        ["modifiers", {"type": "map", "entries": modifiers}],
    ]
    event = {"type": "event", "name": "tap", "values": {"type": "map", "entries": values}} | more
    said = {"kind": "MessageSent", "msg_type": "bokeh_event", "msg_data": event}
    return custom(said | {"event": "jsevent"})


CONTROL = {"comm_id": COMM, "target_name": "jupyter.widget.control", "data": {}}
RECORDED = [
    ("kernel_info_request", {}),
    ("comm_info_request", {"target_name": "jupyter.widget"}),
    ("comm_open", CONTROL),
    ("comm_msg", {"comm_id": COMM, "data": {"method": "request_states"}}),
    ("comm_msg", {"comm_id": COMM, "data": {"method": "request_state"}}),
    ("comm_close", {"comm_id": COMM, "data": {}}),
    ("comm_msg", update(value=48)),
    ("comm_msg", update(index=1)),
    ("comm_msg", update(selected_index=None)),
    ("comm_msg", update(["value", 0, "content"], value=[{"name": "a.toml", "size": 3}])),
    ("comm_msg", custom({"event": "click"})),
    ("comm_msg", custom({"event": "submit"})),
    ("comm_msg", axis()),
    ("comm_msg", axis("end", 9)),
    ("comm_msg", tap()),
]
# What browsers also send, and no page needs: BokehJS tells back all that it was told.
TOLD_BACK = [
    ("comm_msg", axis("data", {"type": "map", "entries": [["x", [1, 2]]]})),
    ("comm_msg", axis("inner_width", 789)),
    ("comm_msg", axis("text", "Slack")),
    ("comm_msg", tap(name="document_ready")),
]
NOT_ALLOWED = [
    *TOLD_BACK,
    ("execute_request", {"code": "1"}),
    ("shutdown_request", {"restart": True}),
    ("comm_open", CONTROL | {"target_name": "jupyter.widget"}),
    ("comm_open", {"comm_id": COMM, "data": {}}),
    ("comm_open", CONTROL | {"comm_id": "a b\n"}),
    ("comm_close", {}),
    ("comm_msg", {"comm_id": COMM}),
    ("comm_msg", {"comm_id": COMM, "data": {"method": "echo_update", "state": {}}}),
    ("comm_msg", update(children=[])),
    ("comm_msg", update(value=1, description="x")),
    ("comm_msg", update(["children"], value=1)),
    ("comm_msg", update([], value=1)),
    ("comm_msg", update("value", value=1)),
    ("comm_msg", custom({"event": "click", "more": 1})),
    ("comm_msg", custom({"event": "jsevent"})),
    ("comm_msg", axis(new="2.5")),
    ("comm_msg", axis(new=True)),
    ("comm_msg", axis(new=10**400)),
    ("comm_msg", axis(new={"type": "object", "name": "Range1d", "id": "x"})),
    ("comm_msg", axis(setter="x")),
    ("comm_msg", axis(kind="ColumnsPatched")),
    ("comm_msg", axis(model={"type": "object", "name": "Range1d", "id": "x"})),
    ("comm_msg", tap(values={"type": "map", "entries": [["model", {"id": 1}]]})),
    ("comm_msg", tap(values={"type": "map", "entries": [["other", 1]]})),
    ("comm_msg", []),
]


ALLOWED, REFUSED = [HEADER["msg_id"]] * 3, [None] * 3


def message(kind, content, **changed) -> dict:
    whole = {
        **{"header": HEADER | {"msg_type": kind}, "parent_header": {}, "metadata": {}},
        **{"content": content, "channel": "shell", "buffers": [b"content"]},
    }
    return whole | changed


def version_1(whole: dict) -> bytes:
    names = ("header", "parent_header", "metadata", "content")
    parts = [json.dumps(whole[name]).encode() for name in names]
    return serialize_msg_to_ws_v1([*parts, *whole["buffers"]], whole["channel"])


def verdicts(whole: dict) -> list[str | None]:
    """Id or None, of the message in all its forms, packed by the library's own functions."""
    return [
        id_if_allowed(version_1(whole), VERSION_1),
        id_if_allowed(serialize_binary_message(whole), None),
        id_if_allowed(json.dumps(whole | {"buffers": []}), None),
    ]


@pytest.mark.parametrize(("kind", "content"), RECORDED)
def test_what_pages_send_is_let_through(kind, content):
    assert verdicts(message(kind, content)) == ALLOWED


@pytest.mark.parametrize(("kind", "content"), NOT_ALLOWED)
def test_what_no_page_needs_is_not(kind, content):
    assert verdicts(message(kind, content)) == REFUSED


@pytest.mark.parametrize(
    "changed",
    [
        {"channel": "control"},
        {"channel": "stdin"},
        {"parent_header": {"msg_id": "x"}},
        {"metadata": []},
        {"header": {"msg_type": "kernel_info_request"}},
        {"header": HEADER | {"msg_type": "kernel_info_request", "subshell_id": "1"}},
        {"header": HEADER | {"msg_type": "kernel_info_request", "username": "x" * 201}},
        {"header": HEADER | {"msg_type": "kernel_info_request", "session": 1}},
        {"buffers": [b""] * (MOST_BUFFERS + 1)},
    ],
)
def test_what_goes_around_the_content_is_a_pages_too(changed):
    whole = message("kernel_info_request", {})
    assert verdicts(whole) == ALLOWED
    told = verdicts(whole | changed)
    # Plain JSON has no buffers.
    assert told == ([None, None, HEADER["msg_id"]] if "buffers" in changed else REFUSED)


def test_strict_json_only():
    whole = version_1(message("comm_msg", update(value=1)))
    assert not id_if_allowed(whole.replace(b'"value": 1', b'"value":NaN'), VERSION_1)
    assert not id_if_allowed(whole.replace(b'"value": 1', b'"\xe9alue":1'), VERSION_1)
    in_utf16 = json.dumps(HEADER | {"msg_type": "kernel_info_request"}).encode("utf-16")
    parts = [in_utf16, b"{}", b"{}", b"{}"]
    assert not id_if_allowed(serialize_msg_to_ws_v1(parts, "shell"), VERSION_1)


WHOLE = version_1(message("comm_msg", update(value=1)))


@given(
    st.one_of(
        st.binary(max_size=200),
        st.integers(0, len(WHOLE) - 1).map(lambda cut: WHOLE[:cut]),
        st.tuples(st.integers(0, 63), st.integers(0, 255)).map(
            lambda wrong: WHOLE[: wrong[0]] + bytes([wrong[1]]) + WHOLE[wrong[0] + 1 :]
        ),
    )
)
def test_what_is_not_a_whole_message_is_refused(wrong):
    """Cut off, or with another number of parts or another place of one (the first 64 bytes)."""
    assert id_if_allowed(wrong, VERSION_1) == (HEADER["msg_id"] if wrong == WHOLE else None)
    assert id_if_allowed(wrong, None) is None


@given(st.text(max_size=100))
def test_no_text_is_a_message_by_chance(text):
    assert not id_if_allowed(text, None)
    assert not id_if_allowed(text, VERSION_1)

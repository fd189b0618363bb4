"""What goes over the websocket between page and kernel: what is said, and what must be heard.

The other end is anybody: whoever opens a page may send its kernel whatever they like. So only what
our pages send is let through, and all else is dropped without an answer: no code, no stopping, no
new widgets (a kernel can hold no more than its memory), no other properties of a widget than those
that a control changes, and of a chart's properties only the ends of its axes. Bokeh's Python side
reads image files that a property names, and makes any of its objects that a message describes.

What pages send was recorded in a browser; tests/serve/test_messages.py has an example of each.
"""

import json
import math
import re
import struct
from collections.abc import Callable, Sequence
from typing import Any

VERSION_1 = "v1.kernel.websocket.jupyter.org"
"""Name of the newer form of messages, which browsers use: their parts, one after the other."""

MOST_BUFFERS = 100
"""Most binary buffers in one message: one for each uploaded file."""

LONGEST_NAME = 200
"""Most characters of an id or of another field of a message's header."""

OPENED_BY_A_PAGE = "jupyter.widget.control"
"""Target of the one comm that a page opens: it asks for the state of all widgets."""

CHANGED_BY_A_PAGE = {"value", "index", "selected_index", "error"}
"""Properties of widgets that change when a visitor uses a control ("error": of an upload)."""

BUTTON_EVENTS = ({"event": "click"}, {"event": "submit"})
"""What a button and a text field say besides."""

AXIS_ENDS = ("start", "end")
"""Properties of a chart that change when a visitor moves or enlarges it."""

HEARD_BY_A_PAGE = {"status", "kernel_info_reply", "comm_info_reply"}
HEARD_BY_A_PAGE |= {"comm_open", "comm_msg", "comm_close"}
"""Types of what a kernel says to its page; never output, source code or a traceback."""

_COMM_ID = re.compile(r"[\w-]{1,100}", re.ASCII)


class NotAllowed(ValueError):
    """A message that no page of ours sends."""


def id_if_allowed(message: str | bytes, subprotocol: str | None) -> str | None:
    """The ``msg_id`` of a message as it came; None for what no page sends or nobody can read.

    Its form is the one agreed on for the websocket: `VERSION_1`, or None for the older one.

    References:
        "Messaging in Jupyter" of jupyter_client, and "WebSocket kernel wire protocols" of
        jupyter_server.
    """
    try:
        if subprotocol == VERSION_1:
            channel, (header, parent, metadata, content) = _read_version_1(message)
        else:
            channel, (header, parent, metadata, content) = _read_older(message)
        _need(channel == "shell")
        _check_header(header)
        _need(parent == {} and isinstance(metadata, dict) and isinstance(content, dict))
        _CONTENT_CHECKS[header["msg_type"]](content)
    except Exception:
        # Anyone can send anything; what can't be read is no message of a page's.
        return None
    return header["msg_id"]


def _need(holds: bool) -> None:
    if not holds:
        raise NotAllowed


def _no_such_number(text: str) -> None:
    raise NotAllowed(text)


def _json(text: str | bytes) -> Any:
    if isinstance(text, bytes):
        text = text.decode("utf-8")
    # Strict JSON has no NaN and no Infinity.
    return json.loads(text, parse_constant=_no_such_number)


def _pieces(message: bytes, offsets: Sequence[int], begin: int) -> list[bytes]:
    """The message cut at its offsets, which must be those of its pieces, one after the other.

    The libraries believe offsets as they come: a few bytes could make them copy for hours.
    """
    _need(offsets[0] == begin and list(offsets) == sorted(offsets))
    _need(offsets[-1] <= len(message))
    ends = [*offsets[1:], len(message)]
    return [message[start:end] for start, end in zip(offsets, ends, strict=True)]


def _read_version_1(message: str | bytes) -> tuple[str, list[Any]]:
    _need(isinstance(message, bytes))
    (count,) = struct.unpack_from("<Q", message)
    # Channel, four dicts, buffers, end.
    _need(6 <= count <= 6 + MOST_BUFFERS)
    offsets = struct.unpack_from(f"<{count}Q", message, 8)
    channel, *parts, rest = _pieces(message, offsets, 8 * (count + 1))
    _need(rest == b"")
    return channel.decode("ascii"), [_json(part) for part in parts[:4]]


def _read_older(message: str | bytes) -> tuple[str, list[Any]]:
    if isinstance(message, bytes):
        (count,) = struct.unpack_from(">I", message)
        _need(1 <= count <= 1 + MOST_BUFFERS)
        offsets = struct.unpack_from(f">{count}I", message, 4)
        message = _pieces(message, offsets, 4 * (count + 1))[0]
    read = _json(message)
    parts = ("header", "parent_header", "metadata", "content")
    return read["channel"], [read[name] for name in parts]


def _check_header(header: Any) -> None:
    _need(isinstance(header, dict) and {"msg_id", "msg_type", "session"} <= header.keys())
    # A second shell beside the first has a name; a page has one shell.
    _need(header.get("subshell_id") is None)
    for name, text in header.items():
        _need(name == "subshell_id" or (isinstance(text, str) and len(text) <= LONGEST_NAME))


def _check_id(content: dict) -> None:
    # The kernel's log names those that it does not know.
    _need(_COMM_ID.fullmatch(content["comm_id"]) is not None)


def _check_open(content: dict) -> None:
    _check_id(content)
    _need(content["target_name"] == OPENED_BY_A_PAGE)


def _check_said(content: dict) -> None:
    _check_id(content)
    _METHOD_CHECKS[content["data"]["method"]](content["data"])


def _check_update(data: dict) -> None:
    _need(isinstance(data["state"], dict) and data["state"].keys() <= CHANGED_BY_A_PAGE)
    for path in data.get("buffer_paths", []):
        _need(isinstance(path, list) and path[0] in data["state"])


def _check_custom(data: dict) -> None:
    said = data["content"]
    if said in BUTTON_EVENTS:
        return
    _need(said["event"] == "jsevent")
    _CHART_CHECKS[said["kind"]]({name: said[name] for name in said.keys() - {"event", "kind"}})


def _check_chart_change(change: dict) -> None:
    _need(change.keys() == {"model", "attr", "new"} and change["attr"] in AXIS_ENDS)
    _check_reference(change["model"])
    _check_number(change["new"])


def _check_chart_event(event: dict) -> None:
    _need(event.keys() == {"msg_type", "msg_data"} and event["msg_type"] == "bokeh_event")
    tap = event["msg_data"]
    _need(tap.keys() == {"type", "name", "values"} and tap["type"] == "event")
    _need(tap["name"] == "tap")
    for name, value in _entries(tap["values"]):
        if name == "model":
            _check_reference(value)
        elif name == "modifiers":
            _need(all(isinstance(pressed, bool) for _, pressed in _entries(value)))
        else:
            _need(name in ("sx", "sy", "x", "y"))
            _check_number(value)


def _entries(value: Any) -> list[tuple[str, Any]]:
    """Names and values of a dict in Bokeh's form."""
    _need(value.keys() == {"type", "entries"} and value["type"] == "map")
    return [(name, inner) for name, inner in value["entries"]]


def _check_reference(value: Any) -> None:
    _need(value.keys() == {"id"} and isinstance(value["id"], str))


def _check_number(value: Any) -> None:
    _need(isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value))


def _anything(_: dict) -> None:
    """No part of it matters."""


_Checks = dict[str, Callable[[dict], None]]
_CONTENT_CHECKS: _Checks = {
    "kernel_info_request": _anything,
    "comm_info_request": _anything,
    "comm_open": _check_open,
    "comm_close": _check_id,
    "comm_msg": _check_said,
}
_METHOD_CHECKS: _Checks = {
    "request_states": _anything,
    "request_state": _anything,
    "update": _check_update,
    "custom": _check_custom,
}
_CHART_CHECKS: _Checks = {"ModelChanged": _check_chart_change, "MessageSent": _check_chart_event}

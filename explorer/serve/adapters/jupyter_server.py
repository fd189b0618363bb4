"""Private names of jupyter_server: which page a websocket belongs to, and what is kept for it."""

from typing import Any

from explorer.serve.adapters.names import Use

_SEEN = "2.19.0 and 2.21.1"
_KERNELS = "jupyter_server.services.kernels.kernelmanager:AsyncMappingKernelManager."
_WEBSOCKET = "jupyter_server.services.kernels.connection.channels:ZMQChannelsWebsocketConnection."

WEBSOCKET = Use(
    "jupyter_server",
    _SEEN,
    (f"{_WEBSOCKET}_open_sessions", f"{_WEBSOCKET}disconnect"),
    "websockets are counted as the library does, and only what passes over them is looked at",
)
MESSAGES = Use(
    "jupyter_server",
    _SEEN,
    (f"{_WEBSOCKET}handle_incoming_message", f"{_WEBSOCKET}handle_outgoing_message"),
    "what a page says to its kernel can't be checked, so nothing is served",
)
KERNELS = Use(
    "jupyter_server",
    _SEEN,
    (
        *(f"{_KERNELS}_kernels", f"{_KERNELS}_kernel_buffers"),
        "jupyter_server.services.kernels.kernelmanager:= kernel._activity_stream = ",
    ),
    "the server has more of what kernels say in its memory, and keeps it without a limit for a "
    "page that lost its connection",
)


def kernel_named(manager: Any, kernel_id: str) -> Any:
    """The kernel of that id; None if there is none, or none any more."""
    return getattr(manager, "_kernels", {}).get(kernel_id)


def kernels_of(manager: Any) -> dict[str, Any]:
    """All kernels by their ids, as they are now."""
    return dict(getattr(manager, "_kernels", {}))


def activity_channel(manager: Any, kernel_id: str) -> Any:
    """The channel by which the library hears whether a kernel is at work; None without one."""
    return getattr(kernel_named(manager, kernel_id), "_activity_stream", None)


def keep_in(manager: Any, kernel_id: str, buffer: list) -> None:
    """Keep in this list what a kernel says while nobody listens; stock keeps whatever comes."""
    if kernel_id in getattr(manager, "_kernel_buffers", {}):
        manager._kernel_buffers[kernel_id]["buffer"] = buffer


def forget_session(connection: Any) -> None:
    """Forget a websocket that was given up before it was connected."""
    if connection._open_sessions.get(connection.session_key) is connection.websocket_handler:
        del connection._open_sessions[connection.session_key]

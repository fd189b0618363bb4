"""Private names of jupyter_client: how an answer is fetched and noted."""

from typing import Any

from explorer.serve.adapters.names import Use

ANSWERS = Use(
    "jupyter_client",
    "8.8.0 and 8.10.0",
    (
        "jupyter_client.client:KernelClient._async_recv_reply",
        "jupyter_client.client:KernelClient._handle_kernel_info_reply",
    ),
    "a page opens 0.2 s later",
)


async def reply_to(client: Any, question: str, timeout: float) -> dict:
    """The kernel's reply; `Empty` or `TimeoutError` without one."""
    return await client._async_recv_reply(question, timeout=timeout)


def note_kernel_info(client: Any, reply: dict) -> None:
    """Note what the stock client does of a kernel that has answered."""
    client._handle_kernel_info_reply(reply)

"""The part of the page's address after the question mark: the set-up that a link carries."""

import asyncio
import json
import os
from concurrent.futures import ThreadPoolExecutor

from tornado.websocket import websocket_connect


def query_string() -> str:
    """The query string with which this page was asked for, unchecked; empty if there was none.

    A kernel of the pool runs its page's notebook before any visitor has come. Called there, this
    waits for the visitor; whatever can be done beforehand belongs before the call.
    """
    if os.environ.get("VOILA_PREHEAT") == "True":
        return _query_string_when_asked()
    return os.environ.get("QUERY_STRING", "")


def _query_string_when_asked() -> str:
    # `voila.utils.get_query_string` asks the same question, but importing it loads the whole web
    # server into every visitor's kernel: 3 s and 35 MiB on top of all that a page needs.
    told = os.environ
    server = f"ws://{told['VOILA_APP_IP']}:{told['VOILA_APP_PORT']}{told['VOILA_SERVER_URL']}"

    async def ask() -> str:
        connection = await websocket_connect(f"{server}voila/query/{told['VOILA_KERNEL_ID']}")
        answer = await connection.read_message()
        connection.close()
        # No answer: the server is going down, and this kernel with it.
        return json.loads(answer)["QUERY_STRING"] if answer else ""

    # The kernel's own event loop is running already, so a thread of its own asks.
    with ThreadPoolExecutor(max_workers=1) as asking:
        return asking.submit(asyncio.run, ask()).result()

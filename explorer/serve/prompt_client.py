"""The server's channels to a kernel that has just been started: ready as soon as the kernel is."""

import logging
import time
from queue import Empty

from jupyter_client.asynchronous import AsyncKernelClient

from explorer.serve.adapters.jupyter_client import ANSWERS, note_kernel_info, reply_to
from explorer.serve.adapters.names import misfits

log = logging.getLogger("explorer")

ASK_AGAIN_SECONDS = 1.0
"""How long an answer is waited for before the kernel is asked once more [s]."""


class PromptKernelClient(AsyncKernelClient):
    """Asks a kernel until it answers, and is ready then.

    The stock client goes on listening until nothing has come for 0.2 s: half of the time that a
    forked kernel needs to show a page. This one listens for what must come, the message that says
    that the question has been dealt with; it also shows that this end hears what the kernel
    publishes.
    """

    async def wait_for_ready(self, timeout: float | None = None) -> None:
        """Return once the kernel has answered, or has died; RuntimeError if the time is over.

        Voilà tells nobody of an error raised here, and its visitor waits for ever. Of a dead kernel
        it learns again when it runs the page, and the page says so (index.html.j2).
        """
        if misfits(ANSWERS):
            await super().wait_for_ready(timeout)
            return
        end = time.monotonic() + (float("inf") if timeout is None else timeout)
        while not await self._answered():
            if not await self.is_alive():
                log.error("A kernel died before it answered.")
                return
            if time.monotonic() > end:
                raise RuntimeError(f"The kernel did not answer in {timeout:.0f} s.")

    async def _answered(self) -> bool:
        """Ask once; whether both the answer and the word that it has been dealt with came."""
        question = self.kernel_info()
        try:
            reply = await reply_to(self, question, ASK_AGAIN_SECONDS)
            while not _ends(await self.get_iopub_msg(timeout=ASK_AGAIN_SECONDS), question):
                pass
        except (Empty, TimeoutError):
            return False
        note_kernel_info(self, reply)
        return True


def _ends(message: dict, question: str) -> bool:
    """Whether the message says that the kernel is done with a question."""
    return (
        message["msg_type"] == "status"
        and message["content"]["execution_state"] == "idle"
        and message["parent_header"].get("msg_id") == question
    )

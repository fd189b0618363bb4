"""Private names of Voilà: its pool of ready kernels, and links on their way to these."""

from asyncio import Task
from typing import Any

from voila.request_info_handler import RequestInfoSocketHandler

from explorer.serve.adapters.names import Use

POOL = Use(
    "voila",
    "0.5.11 and 0.5.13",
    (
        "voila.voila_kernel_manager:= self._pools",
        "voila.voila_kernel_manager:= fill_if_needed",
        "voila.request_info_handler:RequestInfoSocketHandler._cache",
        "voila.request_info_handler:RequestInfoSocketHandler._waiters",
        "voila.handler:VoilaHandler.should_use_rendered_notebook",
    ),
    "no kernels stand ready, each starts when its visitor comes",
)
"""Without a pool no other name of Voilà's is needed."""


def _stands(task: Task) -> bool:
    return task.done() and not task.cancelled() and task.exception() is None


def pooled_kernels(manager: Any) -> list[str]:
    """Ids of the kernels that stand in the pool; none without a pool."""
    pools = getattr(manager, "_pools", {}).values()
    return [task.result()["kernel_id"] for pool in pools for task in pool if _stands(task)]


def put_ready_first(manager: Any, notebook: str) -> str | None:
    """The kernel of the pool that can take a visitor now; it is the next to be given out then.

    Stock gives out the first, which may still be starting, or have died while it stood idle: its
    visitor waits longer than for a kernel of his own, or for ever.
    """
    pool: list[Task] = manager._pools.get(notebook, [])
    pool[:] = [
        task
        for task in pool
        if not task.done() or (_stands(task) and manager.lives(task.result()["kernel_id"]))
    ]
    pool.sort(key=lambda task: not task.done())
    return pool[0].result()["kernel_id"] if pool and pool[0].done() else None


def refill(manager: Any, notebook: str) -> None:
    """Start what the pool lacks; stock does so only when it has given one out."""
    if hasattr(manager, "_pools"):
        manager.fill_if_needed(delay=0.0, notebook_name=notebook)


def link_is_asked_for(kernel_id: str) -> bool:
    """Whether a kernel of the pool is waiting for its visitor's link already."""
    return kernel_id in RequestInfoSocketHandler._waiters


def forget_link(kernel_id: str) -> None:
    """Stock keeps each visitor's query string for a kernel of the pool, and forgets none."""
    getattr(RequestInfoSocketHandler, "_cache", {}).pop(kernel_id, None)

"""Private names of Voilà, seen in 0.5.11 and 0.5.13.

`_kernel_id_regex`: what a kernel's id looks like in an address. `_pools`: its pool of ready
kernels, a task each. `RequestInfoSocketHandler._cache`, ``._waiters``: links on their way to
kernels of the pool.
"""

from asyncio import Task
from typing import Any

from voila.app import _kernel_id_regex as KERNEL_ID
from voila.request_info_handler import RequestInfoSocketHandler

__all__ = ["KERNEL_ID", "forget_link", "pooled_kernels", "put_ready_first"]


def _stands(task: Task) -> bool:
    return task.done() and not task.cancelled() and task.exception() is None


def pooled_kernels(manager: Any) -> list[str]:
    """Ids of the kernels that stand in the pool; none without a pool."""
    pools = getattr(manager, "_pools", {}).values()
    return [task.result()["kernel_id"] for pool in pools for task in pool if _stands(task)]


def put_ready_first(manager: Any, notebook: str) -> bool:
    """Whether a kernel of the pool can take a visitor now; it is the next to be given out then.

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
    return bool(pool) and pool[0].done()


def forget_link(kernel_id: str) -> None:
    """Stock keeps each visitor's query string for a kernel of the pool, and forgets none."""
    RequestInfoSocketHandler._cache.pop(kernel_id, None)

"""Kernels that nobody uses any more are let go; one that is just coming is not asked about."""

import asyncio
import logging
from datetime import UTC, datetime, timedelta

from jupyter_server.services.kernels.kernelmanager import ServerKernelManager

from explorer.serve.kernels import SamePythonKernelSpec, VisitorKernelManager


def test_only_what_has_been_idle_for_long_is_let_go_and_without_a_fault(monkeypatch, caplog):
    now = datetime.now(UTC)
    since = {"coming": None, "used": now, "idle": now - timedelta(hours=1)}
    manager = VisitorKernelManager.__new__(VisitorKernelManager)  # without a server and its fork
    manager.log = logging.getLogger("culling")
    manager.cull_idle_timeout = 600
    for name, activity in since.items():
        kernel = ServerKernelManager(kernel_spec_manager=SamePythonKernelSpec())
        if activity:
            kernel.execution_state, kernel.last_activity = "idle", activity
        manager._kernels[name] = kernel
    let_go = []

    async def shutdown_kernel(kernel_id: str) -> None:
        let_go.append(kernel_id)

    monkeypatch.setattr(manager, "shutdown_kernel", shutdown_kernel)
    asyncio.run(manager.cull_kernels())
    assert let_go == ["idle"]
    assert not [record for record in caplog.records if record.levelno >= logging.ERROR]

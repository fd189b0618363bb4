"""Kernels forked from one warm process: alive, cheap, apart from each other, and gone when due."""

import asyncio
import http.client
import os
import socket
import sys
from contextlib import asynccontextmanager
from pathlib import Path
from urllib.parse import urlsplit

import psutil
import pytest
from jupyter_client import AsyncKernelManager
from traitlets.config import Configurable

from explorer.serve import kernels
from explorer.serve.forked_kernel import REHEARSED, WarmProcess, can_fork
from explorer.serve.kernels import KERNEL_VARIABLES, SamePythonKernelSpec
from explorer.serve.visitor_kernel import LARGEST_GROWTH
from explorer.serve.visitor_limit import FORKED_KERNEL
from explorer.serve.warm_process import fork_kernel

forked_only = pytest.mark.skipif(not can_fork(), reason="kernels are forked on Linux only")

PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"


class Owner(Configurable):
    """In the place of the server's kernel manager: owns the warm process."""

    warm_process: WarmProcess


@pytest.fixture(scope="module")
def owner(repository: Path):
    """The first page's warm process."""
    owning = Owner()
    owning.warm_process = WarmProcess(
        [repository / "notebooks" / "gearing.ipynb"], KERNEL_VARIABLES
    )
    owning.warm_process.start()
    yield owning
    owning.warm_process.stop()


@asynccontextmanager
async def running_kernel(owner, **variables: str):
    """A kernel and a function that runs code in it and returns what the code printed."""
    manager = AsyncKernelManager(kernel_spec_manager=SamePythonKernelSpec(), parent=owner)
    manager.kernel_name = "python3"
    await manager.start_kernel(env={**os.environ, **KERNEL_VARIABLES, **variables})
    client = manager.client()
    client.start_channels()
    try:
        await client.wait_for_ready(timeout=60)

        async def run(code: str) -> str:
            printed: list[str] = []

            def keep(message) -> None:
                if message["msg_type"] == "stream":
                    printed.append(message["content"]["text"])

            answer = await client.execute_interactive(code, output_hook=keep, timeout=60)
            assert answer["content"]["status"] == "ok", answer["content"]
            return "".join(printed).strip()

        yield manager, run
    finally:
        client.stop_channels()
        # A kernel that has ended already can't say goodbye.
        await manager.shutdown_kernel(now=not await manager.is_alive())
        manager.context.term()


def page_code(repository: Path) -> str:
    from nbformat import read

    return read(repository / "notebooks" / "gearing.ipynb", as_version=4).cells[0].source


@forked_only
def test_an_open_page_takes_no_more_memory_than_is_set_aside_for_it(owner, repository):
    async def visit():
        async with running_kernel(owner) as (manager, run):
            await run(page_code(repository))
            return psutil.Process(manager.provisioner.pid).memory_full_info().uss

    # An ordinary kernel with this page has more than twice as much (tests/bench/bench_kernels.py).
    assert asyncio.run(visit()) < FORKED_KERNEL


@forked_only
def test_kernels_share_nothing_that_is_written(owner):
    async def visit():
        async with (
            running_kernel(owner, QUERY_STRING="rear=48") as (first, run_first),
            running_kernel(owner, SECOND="yes") as (second, run_second),
        ):
            tell = "import os; print(os.environ.get('QUERY_STRING'), os.environ.get('SECOND'))"
            assert await run_first(tell) == "rear=48 None"
            assert await run_second(tell) == "None yes"

            await run_first("import explorer.units; explorer.units.left_behind = 1; mine = 1")
            look = (
                "import explorer.units;"
                "print(hasattr(explorer.units, 'left_behind'), 'mine' in globals())"
            )
            assert await run_first(look) == "True True"
            assert await run_second(look) == "False False"

            chance = (
                "import random, uuid; import numpy as np;"
                "print(random.random(), np.random.random(), np.random.default_rng().random(),"
                "uuid.uuid4(), get_ipython().kernel.ident, get_ipython().kernel.session.session)"
            )
            numbers = (await run_first(chance)).split() + (await run_second(chance)).split()
            assert len(set(numbers)) == len(numbers) == 12

            assert first.session.key != second.session.key
            assert first.connection_file != second.connection_file
            ports = [*first.ports, *second.ports]
            assert len(set(ports)) == len(ports)
            assert os.getsid(first.provisioner.pid) != os.getsid(second.provisioner.pid)

    asyncio.run(visit())


@forked_only
def test_the_warm_process_holds_no_loop_socket_or_thread_for_forks_to_share(owner):
    async def visit():
        async with running_kernel(owner):
            return None

    asyncio.run(visit())
    warm = psutil.Process(owner.warm_process.pid)
    assert warm.num_threads() == 1
    held = [
        os.readlink(f"/proc/{warm.pid}/fd/{number}")
        for number in os.listdir(f"/proc/{warm.pid}/fd")
    ]
    assert not [name for name in held if "eventpoll" in name]
    assert len([name for name in held if name.startswith("socket:")]) == 1  # to the server
    assert not warm.net_connections()


@forked_only
def test_a_visitor_gets_neither_debugger_nor_second_shell(owner):
    async def visit():
        async with running_kernel(owner) as (_, run):
            return await run("import sys; print('pydevd' in sys.modules)"), await run(
                "print(get_ipython().kernel.kernel_info['supported_features'])"
            )

    loaded, features = asyncio.run(visit())
    assert loaded == "False"
    assert features == "[]"


@forked_only
def test_the_system_ends_a_kernel_before_the_server(owner):
    async def visit():
        async with running_kernel(owner) as (manager, _):
            return Path(f"/proc/{manager.provisioner.pid}/oom_score_adj").read_text()

    own = Path("/proc/self/oom_score_adj").read_text()
    assert int(asyncio.run(visit())) > int(own)


@forked_only
def test_a_kernel_can_take_no_more_memory_than_a_page_needs(owner):
    async def visit():
        async with running_kernel(owner) as (_, run):
            take = f"""
try:
    bytearray({LARGEST_GROWTH})
except MemoryError:
    print("refused")
"""
            assert await run(take) == "refused"
            assert await run(f"print(len(bytearray({LARGEST_GROWTH // 2})))")

    asyncio.run(visit())


@forked_only
def test_an_ended_kernel_is_noticed_and_leaves_its_sibling_alone(owner):
    async def visit():
        async with (
            running_kernel(owner) as (first, _),
            running_kernel(owner) as (second, run_second),
        ):
            pid = first.provisioner.pid
            process = psutil.Process(pid)
            process.kill()
            await asyncio.wait_for(first.provisioner.wait(), 60)
            assert not await first.is_alive()
            process.wait(timeout=60)  # until buried: a zombie would still be there
            assert await second.is_alive()
            assert await run_second("print(6 * 7)") == "42"

    asyncio.run(visit())


@forked_only
def test_after_the_warm_process_has_died_another_serves_the_next_visitor(repository, tmp_path):
    from tests.conftest import write_notebook

    owner = Owner()
    write_notebook(tmp_path / "page.ipynb", PAGE)
    owner.warm_process = WarmProcess([tmp_path / "page.ipynb"], KERNEL_VARIABLES)

    async def visit():
        async with running_kernel(owner) as (manager, _):
            warm = psutil.Process(owner.warm_process.pid)
            warm.kill()
            # Its kernels end with it: nobody could ask after them any more.
            await asyncio.wait_for(manager.provisioner.wait(), 60)
        async with running_kernel(owner) as (_, run):
            return await run("print(6 * 7)")

    try:
        assert asyncio.run(visit()) == "42"
    finally:
        owner.warm_process.stop()


def test_the_warm_process_ends_quietly_with_a_server_that_has_not_read_its_word():
    requests, servers = socket.socketpair()
    with requests:
        requests.send(REHEARSED)
        servers.close()
        assert not fork_kernel(requests, None)


def test_where_nothing_can_be_forked_a_kernel_starts_from_nothing(monkeypatch):
    # As on a system other than Linux; all else is real.
    monkeypatch.setattr(kernels, "can_fork", lambda: False)

    async def visit():
        async with running_kernel(None) as (manager, run):
            parent = psutil.Process(manager.provisioner.pid).ppid()
            return parent, await run("import sys; print(6 * 7, sys.executable)")

    assert asyncio.run(visit()) == (os.getpid(), f"42 {sys.executable}")


def kernels_of(server) -> list[psutil.Process]:
    """Processes of the server's that are no warm process: its visitors' kernels."""
    started = psutil.Process(server.process.pid).children()
    return [kernel for process in started for kernel in process.children()]


def open_page(url: str) -> None:
    parts = urlsplit(url)
    connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=60)
    connection.request("GET", "/page")
    answer = connection.getresponse()
    assert answer.status == 200
    assert b"kernelId" in answer.read()
    connection.close()


@forked_only
def test_kernels_end_with_a_server_that_was_killed(serve_pages):
    server = serve_pages({"page": PAGE}, "--pool", "0")
    open_page(server.url)
    processes = psutil.Process(server.process.pid).children(recursive=True)
    assert len(kernels_of(server)) == 1
    server.process.kill()
    server.process.wait()
    _, left = psutil.wait_procs(processes, timeout=60)
    assert left == []
    server.process.stdout.close()

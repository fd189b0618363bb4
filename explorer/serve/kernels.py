"""The visitor's kernel: which Python runs it and what it is told of the request."""

import asyncio
import sys
import time
from collections import Counter, defaultdict
from datetime import UTC, datetime, timedelta
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Any

from jupyter_client import kernelspec
from jupyter_client.provisioning import KernelProvisionerFactory
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.ioloop import IOLoop
from zmq.eventloop.zmqstream import ZMQStream

from explorer.records.clubs.club import CLUB_VARIABLE
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.serve import visitor_limit
from explorer.serve.adapters.jupyter_server import (
    activity_channel,
    keep_in,
    kernel_named,
    kernels_of,
)
from explorer.serve.adapters.voila import forget_link, pooled_kernels
from explorer.serve.fair_share import FairShare
from explorer.serve.forked_kernel import WarmProcess, can_fork, own_kernels_fit
from explorer.serve.visitor_websocket import KernelInbox

FORKED = "explorer-forked"
"""Name of our provisioner: jupyter_client's word for what starts a kernel."""

# As an entry point in pyproject.toml would, but right in every checkout, installed anew or not.
KernelProvisionerFactory.provisioners[FORKED] = EntryPoint(
    FORKED,
    "explorer.serve.forked_kernel:ForkedKernelProvisioner",
    KernelProvisionerFactory.GROUP_NAME,
)

UNSEEN_SECONDS = 20.0
"""A page that a program fetched opens no websocket to its kernel: its place is free after so long
[s]. A browser that still loads scripts over a slow connection asks for its kernel every 3 s."""
NEVER_LOOKED_AT_SECONDS = 180.0
"""After so long [s] it is, however often somebody asked."""
MOST_UNSEEN = 8
"""How many pages of one address may be on their way to a browser at once [count]; others wait for
their turn: a class for the next browser to come back, a program until places are free again."""
TURN_SECONDS = 30.0
"""How long they wait before they are asked to come again [s]."""
IDLE_PLACE_SECONDS = 2.0
"""A place that nobody has used for so long [s] is given to another address when all are taken."""

LEFT_SECONDS = {5.0: 3, 60.0: 0}
"""A kernel without a websocket for so long [s] is ended if more messages than these lie before it
[count]: it works for nobody. Whoever lost a connection has one there for each control moved."""

REPLAY_BUFFER = 8 * 2**20
"""How much of what a kernel says is kept while its page's websocket is lost [byte], for when it
comes back: the answers to what was under way, some 100 kB each."""

# What every kernel finds in its environment.
KERNEL_VARIABLES = {
    # Our template brings BokehJS (read in explorer/app/elsewhere.py).
    "GEARING_EXPLORER_SERVER": "yes",
    # A page has one viewer: a slider's move need not be told back to where it came from.
    "JUPYTER_WIDGETS_ECHO": "0",
    # A page's arrays are small: threads for linear algebra would only cost memory, and there must
    # be none when a process forks.
    "OMP_NUM_THREADS": "1",
    "OPENBLAS_NUM_THREADS": "1",
    # One heap for all threads: heaps of their own are mostly empty.
    "MALLOC_ARENA_MAX": "1",
    # Arrays of this size [byte] get memory of their own and give it back when they go; among the
    # rest they would leave room that is kept: 4 of a visitor's 38 to 46 MB were measured.
    "MALLOC_MMAP_THRESHOLD_": "65536",
    "MALLOC_TRIM_THRESHOLD_": "65536",
}

# What Voilà tells a kernel about the request that started it. A kernel of the pool is started
# before its visitor comes, by the request of the visitor before: it would be told that visitor's
# address. A page needs none of these; the query string reaches it by another way.
REQUEST_VARIABLES = ("VOILA_REQUEST_URL", "SERVER_NAME", "SERVER_PORT", "SCRIPT_NAME")


def kernel_share() -> int:
    """Memory that is set aside for a kernel [byte]."""
    return visitor_limit.FORKED_KERNEL if can_fork() else visitor_limit.ORDINARY_KERNEL


class ReplayBuffer(list):
    """What a kernel says while its page's websocket is lost; once it is too much, nothing of it.

    >>> missed = ReplayBuffer()
    >>> missed.append(("iopub", [b"header", b"content"]))
    >>> missed
    [('iopub', [b'header', b'content'])]
    >>> missed.append(("iopub", [bytes(REPLAY_BUFFER)]))
    >>> missed
    []
    """

    def __init__(self) -> None:
        super().__init__()
        self._room = REPLAY_BUFFER

    def append(self, said: tuple[str, list]) -> None:
        """Keep what was said on a channel, in its parts, or forget all."""
        self._room -= sum(map(len, said[1]))
        if self._room >= 0:
            super().append(said)
        else:
            self.clear()


def subscribe_to_states(published: ZMQStream | None) -> None:
    """Hear by this channel when a kernel is at work and when it is done, nothing of its widgets.

    A channel that heard all would be one more copy of each answer in the server: 2 MB of a page
    that is asked for whole, fifty times if a visitor likes.
    """
    if published is not None:
        # Topics of ipykernel: "kernel.<id>.status", "comm-<id>".
        published.socket.subscribe(b"kernel.")
        published.socket.unsubscribe(b"")


class SamePythonKernelSpec(kernelspec.KernelSpecManager):
    """Offers one kernel: the Python that runs the server, whatever else is installed here."""

    def find_kernel_specs(self) -> dict[str, str]:
        return {kernelspec.NATIVE_KERNEL_NAME: ""}

    def get_kernel_spec(self, kernel_name: str) -> kernelspec.KernelSpec:
        if kernel_name != kernelspec.NATIVE_KERNEL_NAME:
            raise kernelspec.NoSuchKernel(kernel_name)
        own = own_kernels_fit()
        program = ["explorer.serve.visitor_kernel"] if own else ["ipykernel_launcher", "-f"]
        return kernelspec.KernelSpec(
            argv=[sys.executable, "-P", "-m", *program, "{connection_file}"],
            display_name="Python",
            language="python",
            metadata={
                "debugger": False,
                "kernel_provisioner": {
                    "provisioner_name": FORKED if can_fork() else "local-provisioner"
                },
            },
        )

    def get_all_specs(self) -> dict[str, dict]:
        spec = self.get_kernel_spec(kernelspec.NATIVE_KERNEL_NAME)
        return {kernelspec.NATIVE_KERNEL_NAME: {"resource_dir": "", "spec": spec.to_dict()}}


class VisitorKernelManager(AsyncMappingKernelManager):
    """Starts a kernel for one visitor and tells it nothing of another visitor's request.

    The parent is the server, with its pages, the number of places and of kernels in the pool.
    Kernels in `looked_at` have had a browser's websocket; `asked_for` is when a page last asked
    for its kernel, `holders` the address of its visitor, `inboxes` what was said to each.
    """

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.arrivals = visitor_limit.Arrivals()
        self.looked_at: set[str] = set()
        self.asked_for: dict[str, datetime] = {}
        self.holders: dict[str, str] = {}
        self.inboxes: defaultdict[str, KernelInbox] = defaultdict(KernelInbox)
        self._published: dict[str, ZMQStream] = {}
        self._fair_share = FairShare()
        notebooks = [
            Path(self.root_dir, page.notebook) for page in self.parent.pages if page.listed
        ]
        # A page that is rehearsed must find the club whose bikes it will offer.
        self.warm_process = WarmProcess(notebooks, KERNEL_VARIABLES | self.club_variable)
        if can_fork():
            self.warm_process.start()

    @property
    def club_variable(self) -> dict[str, str]:
        """What tells pages the club's folder; empty without a club, whatever stands around us."""
        return {CLUB_VARIABLE: self.parent.club_folder}

    @property
    def visitors(self) -> int:
        """Places that visitors have: those with a kernel, and those that have been let in."""
        return len(self) - len(pooled_kernels(self)) + len(self.arrivals)

    def lives(self, kernel_id: str) -> bool:
        """Whether the kernel's process runs."""
        kernel = kernel_named(self, kernel_id)
        process = None if kernel is None else kernel.provisioner.process
        return process is not None and process.poll() is None

    async def let_in(self, address: str) -> bool:
        """Whether there is a place for the visitor whose request is being answered.

        If so it is theirs until ``arrivals.remove()``, or until their kernel ends. Kernels of the
        pool have places of their own, so that there is always one for a kernel that fills the
        pool up again.
        """
        until = time.monotonic() + TURN_SECONDS
        while self._unseen(address) >= MOST_UNSEEN:
            if time.monotonic() > until:
                return False
            await asyncio.sleep(visitor_limit.LOOK_SECONDS)
        places = self.parent.places - self.parent.pool
        held = self.arrivals.addresses + Counter(self.holders.values())
        if held[address] >= visitor_limit.share_of(places):
            return False
        # One is always tried.
        if self.visitors and visitor_limit.room_here() < visitor_limit.SHORT:
            return False
        idle = None
        if self.visitors >= places:
            richer = {each for each, count in held.items() if count > held[address]}
            idle = self._idlest({each for each, one in self.holders.items() if one in richer})
            if idle is None:
                return False
            del self.holders[idle]
        self.arrivals.add(address)
        if idle is not None:
            await self.shutdown_kernel(idle, now=True)
        return True

    def _unseen(self, address: str) -> int:
        """How many pages of an address are being made, or have not been seen by a browser yet."""
        unseen = [self.holders[each] for each in self.holders.keys() - self.looked_at]
        return self.arrivals.addresses[address] + unseen.count(address)

    def _last_sign(self, kernel_id: str) -> datetime:
        """When its page last asked for a kernel, or it last did something."""
        done = kernel_named(self, kernel_id).last_activity
        return max(done, self.asked_for.get(kernel_id, done))

    def _idle(self, kernel_ids: set[str]) -> list[str]:
        """Those of these kernels that are not at work, as while they make their page."""
        return [
            each
            for each, kernel in kernels_of(self).items()
            if each in kernel_ids and kernel.execution_state != "busy"
        ]

    def _idlest(self, kernel_ids: set[str]) -> str | None:
        """Of these kernels the one without a websocket for longest; those never seen first."""
        now = datetime.now(UTC)
        idle = {
            (each in self.looked_at, self._last_sign(each), each)
            for each in self._idle(kernel_ids)
            if not self.kernel_model(each)["connections"]
            and now - self._last_sign(each) > timedelta(seconds=IDLE_PLACE_SECONDS)
        }
        return min(idle)[-1] if idle else None

    def can_start(self) -> bool:
        """Whether a kernel can be had now; if not, what can be done about it has been begun."""
        return not can_fork() or self.warm_process.revive()

    async def start_kernel(self, *, env: dict[str, str], **kwargs: Any) -> str:
        private = {name: value for name, value in env.items() if name not in REQUEST_VARIABLES}
        # Where a kernel of the pool asks for its visitor's query string.
        private["VOILA_APP_IP"] = self.parent.loopback_address
        private[FOLDER_VARIABLE] = self.parent.logbook_folder
        private |= self.club_variable
        private |= KERNEL_VARIABLES
        # One of the pool, which nobody waits for yet. Forked before all pages are made ahead it has
        # what is changed by then for itself: 74 MB instead of 15.
        while not self.arrivals.here and can_fork() and not self.warm_process.has_rehearsed():
            await asyncio.sleep(visitor_limit.LOOK_SECONDS)
        try:
            try:
                kernel_id = await super().start_kernel(env=private, **kwargs)
            except RuntimeError:
                if own_kernels_fit():
                    raise
                # Found out just now: this visitor has a stock one, too.
                kernel_id = await super().start_kernel(env=private, **kwargs)
            self.hold(kernel_id)
            return kernel_id
        finally:
            self.arrivals.remove()

    def hold(self, kernel_id: str) -> None:
        """Note that the visitor whose request is being answered has this kernel."""
        if address := self.arrivals.remove():
            self.holders[kernel_id] = address

    def note_question(self, kernel_id: str) -> None:
        """Note that a page has asked for its kernel: a browser is loading it."""
        if kernel_id in self:
            self.asked_for[kernel_id] = datetime.now(UTC)

    async def end_the_unseen(self) -> None:
        """End kernels whose pages no browser has come back for."""
        now = datetime.now(UTC)
        for kernel_id in self._idle(self.holders.keys() - self.looked_at):
            if kernel_named(self, kernel_id).execution_state != "idle":
                continue  # it starts, on a machine that has other things to do
            unasked = now - self._last_sign(kernel_id)
            idle = now - kernel_named(self, kernel_id).last_activity
            if max(unasked / UNSEEN_SECONDS, idle / NEVER_LOOKED_AT_SECONDS) > timedelta(seconds=1):
                del self.holders[kernel_id]  # it is on its way out
                await self.shutdown_kernel(kernel_id, now=True)
                return

    def start_watching_activity(self, kernel_id: str) -> None:
        super().start_watching_activity(kernel_id)
        # By a channel of its own, which stands while the page's websocket comes and goes.
        self._published[kernel_id] = self.get_kernel(kernel_id).connect_iopub()
        self._published[kernel_id].on_recv(self.inboxes[kernel_id].hear)
        for channel in (self._published[kernel_id], activity_channel(self, kernel_id)):
            subscribe_to_states(channel)

    def notify_connect(self, kernel_id: str) -> None:
        self.looked_at.add(kernel_id)
        super().notify_connect(kernel_id)

    def notify_disconnect(self, kernel_id: str) -> None:
        super().notify_disconnect(kernel_id)
        for seconds, most in LEFT_SECONDS.items():
            IOLoop.current().call_later(seconds, self.end_if_left, kernel_id, most)

    async def end_if_left(self, kernel_id: str, most: int) -> None:
        """End a kernel that no page listens to and that has more messages than so many to go."""
        if (
            kernel_id in self
            and len(self.inboxes[kernel_id]) > most
            and not self.kernel_model(kernel_id)["connections"]
        ):
            await self.shutdown_kernel(kernel_id, now=True)

    def start_buffering(self, kernel_id: str, session_key: str, channels: dict) -> None:
        super().start_buffering(kernel_id, session_key, channels)
        keep_in(self, kernel_id, ReplayBuffer())

    def share_the_processors(self) -> None:
        """Pace kernels that take more than their share of busy processors."""
        self._fair_share.look(
            {
                each: (process, self.inboxes[each])
                for each, kernel in kernels_of(self).items()
                if (process := getattr(kernel.provisioner, "pid", None))
            }
        )

    async def end_the_greediest(self) -> None:
        """End the largest kernel of those that outgrew their share, if memory is short.

        Before the system ends what it likes: in a container that may be all of it. The kernel's
        page says that it went to sleep; whoever keeps to the share is not touched.
        """
        if visitor_limit.room_here() >= visitor_limit.SHORT:
            return
        sizes = {
            each: visitor_limit.own_memory(kernel.provisioner.pid)
            for each, kernel in kernels_of(self).items()
            if kernel.provisioner is not None and kernel.provisioner.pid is not None  # starting
        }
        greediest = max(sizes, key=sizes.__getitem__, default=None)
        if greediest is not None and sizes[greediest] > kernel_share():
            self.log.error(
                "Memory is short: ended a kernel that had taken %d MB.", sizes[greediest] / 1e6
            )
            await self.shutdown_kernel(greediest, now=True)

    async def cull_kernel_if_idle(self, kernel_id: str) -> None:
        # About one that has ended meanwhile, or is just coming, stock writes a traceback.
        kernel = kernel_named(self, kernel_id)
        if kernel is None or not kernel.trait_has_value("last_activity"):
            return
        await super().cull_kernel_if_idle(kernel_id)

    def remove_kernel(self, kernel_id: str) -> Any:
        forget_link(kernel_id)
        self.looked_at.discard(kernel_id)
        self.asked_for.pop(kernel_id, None)
        self.holders.pop(kernel_id, None)
        self.inboxes.pop(kernel_id, None)
        if kernel_id in self._published:
            self._published.pop(kernel_id).close()
        return super().remove_kernel(kernel_id)

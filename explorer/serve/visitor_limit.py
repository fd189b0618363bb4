"""How many visitors the machine's memory bears, and who is let in."""

import asyncio
import ipaddress
from collections import Counter
from contextlib import suppress
from pathlib import Path

import psutil

FORKED_KERNEL = 60 * 2**20
"""Memory to set aside for a visitor's kernel that is a fork [byte]: 27 MB of its own were measured
on a gearing page that was used and 38 on one opened with another set-up; the log of a ride adds to
that."""
ORDINARY_KERNEL = 170 * 2**20
"""The same for a kernel started from nothing [byte]; about 140 MiB were measured."""
SERVER = 500 * 2**20
"""Memory to set aside for the server and the process that kernels are forked from [byte]; together
about 350 MiB were measured."""

SHORT = 100 * 2**20
"""With less memory left than this nobody is let in, and a kernel that took more than its share is
ended [byte]."""
LOOK_SECONDS = 0.5
"""How often it is looked whether memory is short, and who takes the processors [s]."""


def group_room(mount: Path = Path("/sys/fs/cgroup"), own: Path = Path("/proc/self/cgroup")) -> int:
    """Memory left below the limits of this process's control groups [byte].

    A container or a service has such a limit, and the system ends processes that go beyond it. A
    very large number where there is none, or no such groups.

    Args:
        mount, own: Where Linux shows the groups (version 2), and which of them this process is in.

    References:
        Linux kernel documentation, Control Group v2, "Memory Interface Files": what files keep in
        memory counts as used, and is let go when it is needed.
    """
    room = 2**63
    try:
        lines = own.read_text().splitlines()
    except OSError:  # not Linux
        return room
    for line in lines:
        number, _, path = line.split(":", 2)
        if number != "0":  # a group of version 1
            continue
        group = mount / path.lstrip("/")
        for folder in (group, *group.parents):
            try:
                most = (folder / "memory.max").read_text().strip()
                used = int((folder / "memory.current").read_text())
                rows = (folder / "memory.stat").read_text().splitlines()
            except OSError:  # the uppermost group has no limit
                continue
            if most != "max":
                counts = dict(row.split() for row in rows)
                files = int(counts["inactive_file"]) + int(counts["active_file"])
                room = min(room, int(most) - used + files)
    return max(room, 0)


def room_here() -> int:
    """Memory that server and kernels can still take on this machine [byte]."""
    return min(psutil.virtual_memory().available, group_room())


def own_memory(process: int | None = None) -> int:
    """Memory that no other process shares [byte]; of this process, or of one by its id.

    Zero if the process has ended, or is not to be looked into.
    """
    with suppress(psutil.Error):
        return psutil.Process(process).memory_full_info().uss
    return 0


def visitors_for(memory: int, kernel: int) -> int:
    """How many kernels of a size fit into the memory beside the server [byte]; one is always tried.

    >>> visitors_for(2 * 2**30, FORKED_KERNEL)
    25
    """
    return max(1, (memory - SERVER) // kernel)


def visitors_here(kernel: int) -> int:
    """How many kernels fit into what is free of this machine's memory now.

    What this process has taken already is part of what is set aside for the server.
    """
    return visitors_for(room_here() + own_memory(), kernel)


def share_of(places: int) -> int:
    """How many places one address may hold: three quarters, where there are enough to share.

    A class sits behind one address, and so does whoever fetches pages by a program.

    >>> [share_of(places) for places in (1, 3, 4, 15, 29)]
    [1, 3, 3, 11, 21]
    """
    return places if places < 4 else places * 3 // 4


def network_of(address: str) -> str:
    """What counts as one address: of IPv6 the half that one connection is given as a whole.

    >>> network_of("192.0.2.7"), network_of("2001:db8:1:2:aaaa::7")
    ('192.0.2.7', '2001:db8:1:2::')
    """
    try:
        network = ipaddress.ip_network(address)
    except ValueError:
        return address
    return str(network.supernet(new_prefix=64)[0]) if network.version == 6 else address


class Arrivals:
    """Those who have been let in and have no kernel yet, with the address that they come from.

    Each is known by the task that answers the request, for as long as that takes at most.
    """

    def __init__(self) -> None:
        self._tasks: dict[asyncio.Task | None, str] = {}

    def __len__(self) -> int:
        return len(self._tasks)

    @property
    def addresses(self) -> Counter[str]:
        """How many come from each address."""
        return Counter(self._tasks.values())

    @property
    def here(self) -> bool:
        """Whether the request of one of them is being answered."""
        return asyncio.current_task() in self._tasks

    def add(self, address: str) -> None:
        """Count the visitor whose request is being answered."""
        self._tasks[asyncio.current_task()] = address

    def remove(self) -> str:
        """Count that visitor no more: there is a kernel now, or there will be none."""
        return self._tasks.pop(asyncio.current_task(), "")

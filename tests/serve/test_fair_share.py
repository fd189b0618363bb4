"""A page that asks for more than others of busy processors is paced, and only then."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from explorer.serve import fair_share
from explorer.serve.fair_share import MUCH_WORK, SET_BACK, FairShare, Work
from explorer.serve.visitor_limit import LOOK_SECONDS
from explorer.serve.visitor_websocket import (
    MOST_UNANSWERED,
    MOST_UNANSWERED_PACED,
    KernelInbox,
    Message,
)


class Machine:
    """Kernels that take so much of the processors as a test says, by their process."""

    def __init__(self, monkeypatch):
        self.busy, self.back = True, set()
        self.work: dict[int, float] = {}
        self.inboxes = {f"kernel {number}": KernelInbox() for number in range(5)}
        flooded = list(self.inboxes.values())[-1]
        for number in range(MOST_UNANSWERED):
            flooded.put(str(number), Message(1, None, lambda: None))
        monkeypatch.setattr(fair_share, "work_of", lambda process: self.work[process])
        monkeypatch.setattr(fair_share, "set_back", self.back.add)
        monkeypatch.setattr(FairShare, "busy", lambda _: self.busy)
        self.share = FairShare()

    def look(self, *rates, times=1):
        """Each kernel takes its part of a processor until the next look; who is paused, none."""
        for _ in range(times):
            kernels = dict(list(self.inboxes.items())[: len(rates)])
            for process, (rate, inbox) in enumerate(zip(rates, kernels.values(), strict=True)):
                worked = 0.0 if inbox._paused else rate * LOOK_SECONDS
                self.work[process] = self.work.get(process, 0.0) + worked
            self.share.look({name: (at, inbox) for at, (name, inbox) in enumerate(kernels.items())})
        return [inbox._paused for inbox in kernels.values()]


@pytest.fixture
def machine(monkeypatch):
    return Machine(monkeypatch)


def test_who_floods_takes_little_more_than_the_others_and_is_set_back(machine):
    assert machine.look(0.15, 0.15, 0.15, 0.15, 0.9, times=4)[:4] == [False] * 4
    before = machine.work[4]
    machine.look(0.15, 0.15, 0.15, 0.15, 0.9, times=60)
    assert (machine.work[4] - before) / (60 * LOOK_SECONDS) < 2 * 0.15
    assert machine.back == {4}


def test_idle_processors_are_everybodys(machine):
    machine.busy = False
    assert machine.look(0.15, 0.15, 0.15, 0.15, 0.9, times=20) == [False] * 5


def test_who_is_alone_is_not_paced(machine):
    assert not any(machine.look(0.0, 0.0, 0.0, 0.0, 0.9, times=8))


def test_a_crowd_that_all_drags_is_not_paced(machine):
    assert machine.look(0.35, 0.4, 0.45, 0.5, 0.4, times=20) == [False] * 5
    assert not machine.back


def test_who_waits_for_each_answer_is_not_paced_however_much_each_takes(machine):
    assert machine.look(0.45, 0.05, 0.05, 0.05, times=30) == [False] * 4
    assert not machine.back


def test_a_burst_is_no_reason_to_be_set_back(machine):
    machine.look(0.15, 0.15, 0.15, 0.15, 0.9, times=2)
    machine.look(0.15, 0.15, 0.15, 0.15, 0.15, times=30)
    assert not machine.back


def test_an_inbox_that_is_paused_sends_nothing_on_and_then_all_in_their_order():
    inbox, sent = KernelInbox(), []
    inbox.pause(True)
    for number in range(3):
        inbox.put(str(number), Message(1, None, lambda number=number: sent.append(number)))
    assert not sent
    inbox.pause(False)
    assert sent == [0, 1, 2]


def test_who_was_paused_has_few_messages_before_the_kernel_at_once():
    inbox, sent = KernelInbox(), []
    inbox.pause(True)
    inbox.pause(False)
    for number in range(MOST_UNANSWERED):
        inbox.put(str(number), Message(1, None, lambda number=number: sent.append(number)))
    assert len(sent) == MOST_UNANSWERED_PACED


def test_a_kernel_at_work_all_the_time_is_set_back():
    """Niceness as the system tells it; where autogroup (sched(7)) is on, the session's too."""
    busy = subprocess.Popen([sys.executable, "-c", "while True: pass"], start_new_session=True)
    share, kernels = FairShare(), {"busy": (busy.pid, KernelInbox())}
    share._work = {"busy": Work(0.0, MUCH_WORK / 2)}
    try:
        share.look(kernels)
        assert os.getpriority(os.PRIO_PROCESS, busy.pid) < SET_BACK
        until = time.monotonic() + 60
        while os.getpriority(os.PRIO_PROCESS, busy.pid) < SET_BACK:
            assert time.monotonic() < until
            share._work = {"busy": Work(0.0, MUCH_WORK)}  # the rest of it has been done since
            share.look(kernels)
        group = Path(f"/proc/{busy.pid}/autogroup")
        assert not group.exists() or group.read_text().endswith(f"nice {SET_BACK}\n")
    finally:
        busy.kill()
        busy.wait()

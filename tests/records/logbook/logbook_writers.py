"""Writers of one logbook that are killed in the middle of their work, over and over.

A program of its own, so that it may fork: `python -m tests.records.logbook.logbook_writers FOLDER
KILLS`. Each writer adds, changes and removes entries as fast as it can and tells every change that
the store confirmed through a pipe. It is killed (SIGKILL) at a random moment; then the file is
opened anew and must be whole and hold exactly what was confirmed. Prints a line of JSON with the
counts.
"""

import itertools
import json
import os
import random
import select
import signal
import sys
from pathlib import Path

from explorer.records.logbook.entry import LogEntry
from explorer.records.logbook.logbook_store import LogbookStore

LONG = "x" * 900
"""Long notes, so that one entry spans a page of the file."""


def entry(number: int, note: str) -> LogEntry:
    return LogEntry.of(
        {"date": "2026-05-01", "bike": f"Bike {number}", "front": "13", "rear": "50", "note": note}
    )


def write_until_killed(folder: Path, pipe: int, seed: int) -> None:
    """Tell what is about to be done, do it, tell that it is confirmed."""
    rng = random.Random(seed)
    store = LogbookStore(folder)
    kept = store.entries()
    for number in itertools.count():
        kind = rng.choice(("add", "change", "remove")) if len(kept) > 4 else "add"
        before = rng.choice(kept) if kind != "add" else None
        note = f"{seed} {number} {LONG}"
        _tell(pipe, ["begin", kind, before.entry_id if before else "", note])
        if kind == "add":
            done = store.add(entry(number, note))
            kept.append(done)
        elif kind == "change":
            done = store.change(before, entry(number, note))
            kept[kept.index(before)] = done
        else:
            store.remove(before)
            kept.remove(before)
            done = before
        _tell(pipe, ["done", kind, done.entry_id, note])


def _tell(pipe: int, message: list) -> None:
    os.write(pipe, json.dumps(message).encode() + b"\n")


def kill_one(folder: Path, seed: int, rng: random.Random) -> list[list]:
    """Start a writer, kill it at a random moment, return what it told."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write_until_killed(folder, writing, seed)
        finally:
            os._exit(1)
    os.close(writing)
    told = b""
    wanted = rng.randrange(1, 6)
    while told.count(b'["done"') < wanted:
        told += os.read(reading, 1 << 16)
    # A random moment of the change that follows.
    select.select([], [], [], rng.uniform(0.0, 0.004))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the writer ended by itself"
    while more := os.read(reading, 1 << 16):
        told += more
    os.close(reading)
    # The last line may be cut off.
    return [json.loads(line) for line in told.split(b"\n")[:-1]]


def main(folder: Path, kills: int) -> dict[str, int]:
    rng = random.Random(17)
    confirmed: dict[str, str] = {}
    counts = {"kills": 0, "confirmed": 0, "inside": 0, "journals": 0, "lost": 0, "wrong": 0}
    LogbookStore(folder)
    for seed in range(kills):
        told = kill_one(folder, seed, rng)
        counts["kills"] += 1
        counts["journals"] += (folder / "logbook.sqlite-journal").exists()
        for state, kind, entry_id, note in told:
            if state == "done":
                counts["confirmed"] += 1
                if kind == "remove":
                    confirmed.pop(entry_id)
                else:
                    confirmed[entry_id] = note
        pending = told[-1] if told[-1][0] == "begin" else None
        counts["inside"] += pending is not None
        store = LogbookStore(folder)
        store.check()
        there = {kept.entry_id: kept.entry["note"] for kept in store.entries()}
        # The change that was under way may have happened or not; nothing between.
        if pending is not None:
            _, kind, entry_id, note = pending
            if kind == "add":
                new = [each for each in there if each not in confirmed]
                if len(new) == 1 and there[new[0]] == note:
                    confirmed[new[0]] = note
            elif kind == "change" and there.get(entry_id) == note:
                confirmed[entry_id] = note
            elif kind == "remove" and entry_id not in there:
                confirmed.pop(entry_id)
        counts["lost"] += len(confirmed.keys() - there.keys())
        counts["wrong"] += sum(there.get(each, note) != note for each, note in confirmed.items())
        counts["wrong"] += len(there.keys() - confirmed.keys())
    return counts


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]))))

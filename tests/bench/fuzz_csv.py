"""Fuzzing of the CSV reader: whatever the bytes, a ride or a sentence, and bounded memory.

With coverage guidance where atheris is installed (`python -m tests.bench.fuzz_csv -runs=1000000`);
without it by mutations of tables as loggers write them (`... --plain RUNS [SEED]`). Each batch says
how many files gave a ride, how many a sentence, and the largest memory of the process above its
imports.

Found by it and put right: see README.md beside this file.
"""

import random
import resource
import sys
import time
import zlib

import numpy as np

from explorer.records.errors import RecordError
from explorer.records.rides.csv_ride import read_csv_ride, recordings_of

_ROWS = [(n, 45 + n * 1e-4, 14 + n * 2e-4, 30 + n % 7, 3000 + 100 * (n % 5)) for n in range(8)]


def seeds() -> list[bytes]:
    """Small tables of each kind that is read."""
    moments = [f"2031-05-04T09:30:{n:02d}Z" for n in range(8)]
    texts = [
        "time [s],speed [km/h],engine speed [rpm],gear\n"
        + "".join(f"{n},{v},{e},{n % 6}\n" for n, _, _, v, e in _ROWS),
        "Time (s);Speed;RPM\n;km/h;1/min\n"
        + "".join(f"{n},5;{v},25;{e}\n" for n, _, _, v, e in _ROWS),
        "timestamp,latitude,longitude\n"
        + "".join(
            f"{m},{a:.6f},{o:.6f}\n" for m, (_, a, o, _, _) in zip(moments, _ROWS, strict=True)
        ),
        "Logger\nDate\tTime\tSpeed mph\n"
        + "".join(f"04.05.2031\t23:59:{n + 50:02d}\t{v}\n" for n, _, _, v, _ in _ROWS),
        "# time,lat,lon,ele,v\n" + "".join(f"{n},{a},{o},,{v}\n\n" for n, a, o, v, _ in _ROWS),
        "".join(f"{1935912000000 + 1000 * n}|{a:.7f}|{o:.7f}\n" for n, a, o, _, _ in _ROWS),
    ]
    return [
        *(text.encode() for text in texts),
        texts[1].encode("utf-16"),
        texts[1].encode("cp1252"),
    ]


_WHOLE = 10
"""One file in so many becomes a ride and is cleaned, which takes several times as long as reading
it and is the same for every form of log [count]."""


def once(content: bytes) -> str:
    """Read one file as the page does; anything but a ride or sentences is a crash."""
    try:
        recordings, columns, _ = recordings_of(content)
        assert recordings and sum(bool(each.field) for each in columns) >= 2
        if zlib.crc32(content) % _WHOLE == 0:
            ride = read_csv_ride("fuzz", content)
            assert ride.segments or ride.silences
            for each in (ride, ride.cleaned()):
                assert np.isfinite(each.length) and each.length >= 0
    except RecordError as error:
        assert error.sentences and all(each.endswith(".") for each in error.sentences)
        return "sentence"
    return "ride"


_WORDS = [
    b"nan",
    b"inf",
    b"1e300",
    b"-1e300",
    b"1e-300",
    b"9" * 40,
    b"00:00:00",
    b"24:61:99",
    b"2031-13-45",
]
_WORDS += [
    b'"',
    b";",
    b",",
    b"\t",
    b"|",
    b"\n",
    b"\n\n",
    b"\r\n",
    b"#",
    b"\x00",
    b"\xff\xfe",
    b"\xe2\x80\xa8",
    b"0001-01-01T00:00:00Z",
    b"9999-12-31T23:59:59Z",
    b"[s]",
    b"(km/h)",
    b"time",
    b"lat",
    b"gear",
    b"1/min",
    b"hh:mm:ss",
    b"-0",
    b"180",
    b"-90.0001",
]


def mutated(rng: random.Random, given: list[bytes]) -> bytes:
    """A seed with a few bytes changed, pieces moved, words put in, or two seeds spliced."""
    data = bytearray(rng.choice(given))
    if rng.random() < 0.2:
        other = rng.choice(given)
        data = data[: rng.randrange(len(data) + 1)] + other[rng.randrange(len(other)) :]
    for _ in range(rng.choice((1, 1, 2, 3, 8))):
        place = rng.randrange(len(data) + 1)
        match rng.randrange(5):
            case 0 if data:
                data[place % len(data)] = rng.randrange(256)
            case 1:
                data[place:place] = rng.choice(_WORDS)
            case 2:
                data[place : place + rng.choice((1, 3, 20))] = b""
            case 3:
                data[place:place] = data[place : place + 30] * rng.choice((1, 2, 5))
            case _:
                data[place : place + rng.randrange(6)] = rng.choice(_WORDS)
    return bytes(data)


def plain(runs: int, seed: int) -> None:
    """Mutations without guidance; prints what came of them."""
    rng, given = random.Random(seed), seeds()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    begin, counts = time.perf_counter(), {"ride": 0, "sentence": 0}
    for _ in range(runs):
        content = mutated(rng, given)
        try:
            counts[once(content)] += 1
        except BaseException:
            print("CRASH", content, flush=True)
            raise
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"seed {seed}: {runs} files in {time.perf_counter() - begin:.0f} s, "
        f"{counts['ride']} rides, {counts['sentence']} sentences, no crash, "
        f"{peak - before:.0f} MB above the imports ({peak:.0f} MB in all)"
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["--plain"]:
        plain(int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 0)
    else:
        import atheris

        atheris.instrument_all()
        atheris.Setup(sys.argv, lambda content: once(content) and None)
        atheris.Fuzz()

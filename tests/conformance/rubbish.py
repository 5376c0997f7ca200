"""Lines nobody should send, drawn by lot, and what must hold after them; run by hand it sends as many as asked for.

    .venv/bin/python -m tests.conformance.rubbish --lines 1000000

prints the seed it drew, so that a fault can be had again with ``--seed``; it ends with status 1 at the first fault.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path
from random import Random, SystemRandom

from tests.conformance.process import Engine

LINES = [
    "uci",
    "isready",
    "debug on",
    "setoption name MultiPV value 3",
    "setoption name Defence value changing",
    "setoption name Explanations value full",
    "ucinewgame",
    "position startpos moves e2e4",
    "position fen 8/8/8/8/4k3/8/8/K1BN4 w - - 0 1",
    "position fen 7k/8/6K1/8/8/8/8/R7 w - - 99 1 moves a1a8",
    "go",
    "go infinite",
    "go ponder wtime 100 btime 100",
    "go searchmoves a1b2 depth 3",
    "stop",
    "ponderhit",
    "register later",
]
WORDS = [*sorted({word for line in LINES for word in line.split()}), "-1", "9" * 25, "value", "\x00", "é", "0000"]


def mutated(random: Random) -> bytes:
    """Return a known line with words or letters changed, dropped or doubled, or noise."""
    kind = random.random()
    if kind < 0.15:
        return bytes(random.randrange(256) for _ in range(random.randrange(60))).replace(b"\n", b" ")
    if kind < 0.35:
        return " ".join(random.choices(WORDS, k=random.randrange(10))).encode()
    words = random.choice(LINES).split()
    for _ in range(random.randrange(3)):
        place = random.randrange(len(words))
        words[place : place + 1] = random.choice([[], [random.choice(WORDS)], [words[place]] * 2])
        words = words or ["go"]
    line = bytearray(" ".join(words).encode())
    if line and random.random() < 0.3:
        line[random.randrange(len(line))] = random.randrange(32, 256)
    return bytes(line)


def torment(engine: Engine, random: Random, count: int) -> None:
    """Send so many lines, then see that the session lives, answers and has told nothing but UCI.

    Words that would end the session are kept out.
    """
    sent = 0
    while sent < count:
        lines = [line for line in (mutated(random) for _ in range(500)) if b"quit" not in line]
        engine.send_bytes(b"\n".join(lines) + b"\n")
        sent += len(lines)
        engine.send("stop")
        engine.ready()
    engine.send("stop", "position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1", "setoption name Defence value longest")
    engine.ready()
    assert engine.ask("go", "stop")[-1].startswith("bestmove")
    assert engine.process.poll() is None


def at_its_end(engine: Engine) -> None:
    """See that the session ends with status 0 and left no trace of a fault."""
    engine.send("quit")
    assert engine.leaves() == 0
    assert engine.process.stderr is not None
    assert b"Traceback" not in os.read(engine.process.stderr.fileno(), 1 << 16)


def main() -> None:
    """Send lines until there are enough, with the seed told first."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=SystemRandom().randrange(1 << 31))
    asked = parser.parse_args()
    print(f"seed {asked.seed}", flush=True)
    part, random = 20_000, Random(asked.seed)
    with tempfile.TemporaryDirectory() as folder, Engine(Path(folder)) as engine:
        for done in range(0, asked.lines, part):
            torment(engine, random, min(part, asked.lines - done))
            print(f"\r{min(done + part, asked.lines)} of {asked.lines} lines", end="", file=sys.stderr, flush=True)
        at_its_end(engine)
    print(f"no fault in {asked.lines} lines")


if __name__ == "__main__":
    main()

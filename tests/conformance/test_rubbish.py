"""No input line crashes or hangs the session, and nothing but UCI comes out."""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

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


def test_twenty_thousand_lines_leave_it_alive(tmp_path: Path) -> None:
    """Words that would end the session or move its folder are kept out."""
    random = Random("rubbish")
    with Engine(tmp_path) as engine:
        sent = 0
        while sent < 20_000:
            lines = [line for line in (mutated(random) for _ in range(500)) if b"quit" not in line]
            engine.send_bytes(b"\n".join(lines) + b"\n")
            sent += len(lines)
            engine.send("stop")
            engine.ready()
        engine.send("stop", "position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1", "setoption name Defence value longest")
        engine.ready()
        answers = engine.ask("go", "stop")
        assert answers[-1].startswith("bestmove")
        assert engine.process.poll() is None
        engine.send("quit")
        assert engine.leaves(10) == 0
        assert engine.process.stderr is not None
        assert b"Traceback" not in os.read(engine.process.stderr.fileno(), 1 << 16)

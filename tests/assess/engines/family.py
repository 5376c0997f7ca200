"""An engine with relatives: ``python family.py TEMPER MARK`` plays any move and keeps processes of its own.

One shares its process group and one leads another group, both in its session; the mark stands in every command line.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import chess

#: What each temper does otherwise.
TEMPERS = ("obedient", "stubborn", "slow", "crashing", "deserting")
IDLE = [sys.executable, "-c", "import time; time.sleep(300)"]


def main(temper: str, mark: str) -> None:
    if temper == "stubborn":
        for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
            signal.signal(number, signal.SIG_IGN)
    for group in (None, 0):
        subprocess.Popen([*IDLE, mark], process_group=group, stdin=subprocess.DEVNULL, close_fds=False)
    board, questions = chess.Board(), 0
    for line in sys.stdin:
        word, *rest = line.split() or [""]
        if word == "uci":
            time.sleep(0.3 if temper == "slow" else 0)
            say("id name a family\nuciok")
        elif word == "isready":
            say("readyok")
        elif word == "position":
            fen, _, moves = " ".join(rest[1:]).partition(" moves ")
            board = chess.Board(fen)
            for move in moves.split():
                board.push_uci(move)
        elif word in ("go", "stop") and "infinite" not in rest:
            questions += 1
            if questions == 5 and temper in ("crashing", "deserting"):
                os._exit(3 if temper == "crashing" else 0)
            say(f"bestmove {next(iter(board.legal_moves), chess.Move.null()).uci()}")
        elif word == "quit" and temper != "stubborn":
            return


def say(text: str) -> None:
    print(text, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])

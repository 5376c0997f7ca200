"""Small UCI engines that play perfectly but for one fault each: ``python small.py FAULT``.

The fault "none" is none. Perfect play comes from the tables under test, so nothing here says anything about them.
"""

from __future__ import annotations

import io
import os
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import chess

if TYPE_CHECKING:
    from matebot.solver.tables import Tables

#: The environment's word for the port at which moves are told (`answering`).
TOLD_AT = "MATEBOT_MOVES_TOLD_AT"
Answer = tuple[str, str]
LATE_SECONDS = 0.5
#: Colours for a terminal, markup, quotes, a comment's end, a link, and a mark that turns the direction of writing.
IMPOSTOR = '\x1b[31mred <b>|x|</b> "q" \\ {c} `t` [a](https://b.example) \u202eback ' + "k" * 1000


class Ranked(NamedTuple):
    """A move, and what it is worth."""

    move: chess.Move
    outcome: int
    mate_plies: int | None
    cause: str


def ranked(board: chess.Board) -> list[Ranked]:
    """Return all moves, the best first, as another process tells them; alone out of the tables."""
    if TOLD_AT in os.environ:
        import json

        line = telling()
        line.write(board.fen().encode() + b"\n")
        line.flush()
        return [Ranked(chess.Move.from_uci(move), *rest) for move, *rest in json.loads(line.readline())]
    from matebot.play import ranking

    return [Ranked(each.move, each.outcome, each.mate_plies, each.cause) for each in ranking.ranked(board, tables())]


@cache
def telling() -> io.BufferedRWPair:
    import socket

    return socket.create_connection(("127.0.0.1", int(os.environ[TOLD_AT]))).makefile("rwb")


@cache
def tables() -> Tables:
    """Return the tables under test."""
    from matebot.solver.store import default_folder
    from matebot.solver.tables import Tables

    return Tables(default_folder())


class Engine:
    """Reads the commands it needs; one method a command that a fault may replace."""

    def __init__(self) -> None:
        self.board = chess.Board()
        self.questions = 0
        self.endless = False
        self.held = ""

    def run(self) -> None:
        for line in sys.stdin:
            word, *rest = line.split() or [""]
            if word == "quit":
                return
            command: Callable[[Sequence[str]], None] | None = getattr(self, word, None)
            if command is not None:
                command(rest)

    def uci(self, words: Sequence[str]) -> None:
        self.say("id name a small engine")
        self.say("option name Patience type spin default 1 min 0 max 9")
        self.say("uciok")

    def isready(self, words: Sequence[str]) -> None:
        self.say("readyok")

    def position(self, words: Sequence[str]) -> None:
        fen, _, moves = " ".join(words[1:]).partition(" moves ")
        self.board = chess.Board(fen)
        for move in moves.split():
            self.board.push_uci(move)
        # Perfect play never needs the history, and without it no answer is slow.
        self.board.clear_stack()

    def go(self, words: Sequence[str]) -> None:
        self.questions += 1
        self.endless = "infinite" in words
        moves = ranked(self.board)
        score, best = self.answer(moves) if moves else ("cp 0", "0000")
        self.held = f"info depth 1 score {score}\nbestmove {best}"
        if not self.endless:
            self.say(self.held)

    def stop(self, words: Sequence[str]) -> None:
        if self.endless:
            self.say(self.held)
        self.endless = False

    def answer(self, moves: list[Ranked]) -> Answer:
        best = moves[0]
        return score_of(best), best.move.uci()

    def say(self, line: str) -> None:
        print(line, flush=True)


def score_of(item: Ranked) -> str:
    if item.mate_plies is None:
        return "cp 0"
    return f"mate {(item.mate_plies + 1) // 2 * item.outcome}"


class RandomMover(Engine):
    """Plays any legal move."""

    def answer(self, moves: list[Ranked]) -> Answer:
        chosen = random.Random(self.board.fen()).choice(sorted(moves, key=lambda item: item.move.uci()))
        return score_of(moves[0]), chosen.move.uci()


class Shuffler(Engine):
    """Keeps the win and makes nothing of it; always the same move in the same position."""

    def answer(self, moves: list[Ranked]) -> Answer:
        wins = [item for item in moves if item.outcome > 0] or moves
        chosen = max(wins, key=lambda item: (item.mate_plies or 0, item.move.uci()))
        return score_of(moves[0]), chosen.move.uci()


class Wanderer(Engine):
    """Keeps the win and makes nothing of it, but avoids positions it has been in; knows nothing of fifty moves."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: Counter[str] = Counter()

    def ucinewgame(self, words: Sequence[str]) -> None:
        self.seen.clear()

    def position(self, words: Sequence[str]) -> None:
        super().position(words)
        self.board.halfmove_clock = 0

    def answer(self, moves: list[Ranked]) -> Answer:
        self.seen[self.board.epd()] += 1
        wins = [item for item in moves if item.outcome > 0] or moves
        chosen = min(wins, key=lambda item: (self.oftenest(item), -(item.mate_plies or 0)))
        return score_of(moves[0]), chosen.move.uci()

    def oftenest(self, item: Ranked) -> int:
        """Return how often the position most often seen after a move and a reply has occurred; mate is not wanted."""
        board = self.board.copy()
        board.push(item.move)
        counts = []
        for reply in list(board.legal_moves):
            board.push(reply)
            counts.append(self.seen[board.epd()])
            board.pop()
        return max(counts, default=1000)


class Stalemater(Engine):
    """Stalemates wherever it can."""

    def answer(self, moves: list[Ranked]) -> Answer:
        chosen = next((item for item in moves if item.cause == "stalemate"), moves[0])
        return score_of(moves[0]), chosen.move.uci()


class Boaster(Engine):
    """Announces a mate in one where there is none."""

    def answer(self, moves: list[Ranked]) -> Answer:
        return "mate 1", moves[0].move.uci()


class Dawdler(Engine):
    """Announces a mate two moves later than it comes."""

    def answer(self, moves: list[Ranked]) -> Answer:
        best = moves[0]
        plies = None if best.mate_plies is None else best.mate_plies + 4
        score = "cp 0" if plies is None else f"mate {(plies + 1) // 2 * best.outcome}"
        return score, best.move.uci()


class Lawbreaker(Engine):
    """Plays an illegal move."""

    def answer(self, moves: list[Ranked]) -> Answer:
        return score_of(moves[0]), "a1a1"


class Crasher(Engine):
    """Dies at the seventh question of its life."""

    def go(self, words: Sequence[str]) -> None:
        if self.questions == 6:
            print("out of luck", file=sys.stderr, flush=True)
            sys.exit(3)
        super().go(words)


class Silent(Engine):
    """Never answers."""

    def go(self, words: Sequence[str]) -> None:
        pass


class Late(Engine):
    """Answers, but late."""

    def go(self, words: Sequence[str]) -> None:
        if "infinite" not in words:
            time.sleep(LATE_SECONDS)
        super().go(words)


class Babbler(Engine):
    """Talks rubbish between correct answers."""

    def go(self, words: Sequence[str]) -> None:
        self.say("info depth many score cp lots")
        super().go(words)


class Thinker(Engine):
    """Thinks aloud in words that are none of the protocol's, which is allowed."""

    def go(self, words: Sequence[str]) -> None:
        self.say("thinking very hard about it\n\n16 MB of memory\njoho debug on")
        self.say("info depth 1 mood good score cp 3 string depth many")
        sys.stdout.buffer.write(b"\xff\xfe\x00\n")
        sys.stdout.flush()
        super().go(words)


class Braggart(Engine):
    """Announces a mate in one at every third question, and from afar."""

    def answer(self, moves: list[Ranked]) -> Answer:
        score, move = super().answer(moves)
        return ("mate 1" if self.questions % 3 == 0 else score), move


class Impostor(Engine):
    """Has a name that is everything but one."""

    def uci(self, words: Sequence[str]) -> None:
        self.say("id author \x07nobody")
        self.say(f"id name {IMPOSTOR}")
        self.say("uciok")


class Ranter(Engine):
    """Talks rubbish in very long lines."""

    def go(self, words: Sequence[str]) -> None:
        self.say("info depth " + "why " * 25_000)
        super().go(words)


class Chatterer(Engine):
    """Talks rubbish in very many lines and one that never ends."""

    def go(self, words: Sequence[str]) -> None:
        self.say("info nodes why\n" * 5_000)
        print("why " * 25_000, end="", file=sys.stderr, flush=True)
        super().go(words)


class Shouter(Engine):
    """Writes its moves in capitals."""

    def answer(self, moves: list[Ranked]) -> Answer:
        score, move = super().answer(moves)
        return score, move.upper()


class Daydreamer(Engine):
    """Would ponder on what is no move."""

    def answer(self, moves: list[Ranked]) -> Answer:
        score, move = super().answer(moves)
        return score, f"{move} ponder zzzz"


class Fabulist(Engine):
    """Shows a variation that goes on with a move nobody could make."""

    def answer(self, moves: list[Ranked]) -> Answer:
        score, move = super().answer(moves)
        return f"{score} pv {move} a1a1", move


class Deserter(Engine):
    """Dies at the first question and leaves a process behind that holds its pipes; more words are for that one."""

    def go(self, words: Sequence[str]) -> None:
        import subprocess

        subprocess.Popen([sys.executable, "-c", "import time; time.sleep(300)", *sys.argv[2:]])
        sys.exit(3)


class Deaf(Engine):
    """Ignores ``stop``."""

    def stop(self, words: Sequence[str]) -> None:
        pass


class Runaway(Engine):
    """Dies of an infinite search."""

    def go(self, words: Sequence[str]) -> None:
        if "infinite" in words:
            sys.exit(5)
        super().go(words)


class Hasty(Engine):
    """Answers an infinite search before it is stopped."""

    def go(self, words: Sequence[str]) -> None:
        super().go([word for word in words if word != "infinite"])


class Twice(Engine):
    """Answers every question twice."""

    def answer(self, moves: list[Ranked]) -> Answer:
        score, move = super().answer(moves)
        return score, f"{move}\nbestmove {move}"


class Resigner(Engine):
    """Gives no move."""

    def answer(self, moves: list[Ranked]) -> Answer:
        return score_of(moves[0]), "0000"


class Mute(Engine):
    """Does not speak UCI."""

    def uci(self, words: Sequence[str]) -> None:
        self.say("what?")


class Stillborn(Engine):
    """Dies in the handshake."""

    def uci(self, words: Sequence[str]) -> None:
        print("no such file", end="", file=sys.stderr, flush=True)
        sys.exit(4)


ENGINES: dict[str, type[Engine]] = {
    "none": Engine,
    "random": RandomMover,
    "shuffle": Shuffler,
    "wander": Wanderer,
    "stalemate": Stalemater,
    "false mate": Boaster,
    "late mate": Dawdler,
    "illegal": Lawbreaker,
    "crash": Crasher,
    "silent": Silent,
    "late": Late,
    "rubbish": Babbler,
    "impostor": Impostor,
    "aloud": Thinker,
    "brag": Braggart,
    "rant": Ranter,
    "chatter": Chatterer,
    "shout": Shouter,
    "daydream": Daydreamer,
    "fable": Fabulist,
    "desert": Deserter,
    "deaf": Deaf,
    "runaway": Runaway,
    "hasty": Hasty,
    "twice": Twice,
    "no move": Resigner,
    "mute": Mute,
    "stillborn": Stillborn,
}

if __name__ == "__main__":
    ENGINES[sys.argv[1]]().run()

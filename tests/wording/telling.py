"""What is told of a move without its sentences: the men, squares, moves, numbers and words of the trade, in order.

`python -m tests.wording.telling` notes anew what is told in each position of `telling.txt` and prints what has changed:
to be read before it is kept, since the rows stand for what a coach would choose to say there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import chess

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.solver.tables import Tables
from matebot.wording.moves import told

FILE = Path(__file__).with_name("telling.txt")
_TRADE = """
    king queen rook bishop knight pawn men man white black mate checkmate stalemate draw win won lose lost
    loses check promot opposition cage box hole cut fork skewer pin edge corner centre rank file barrier
    zugzwang key wrong right guard attack tak captur stop sav hold shut leav let safe wait together loose far
    near small only not cannot no nobody neither never nothing if after first long soon slow room square way
    help threat trap free best better every any most other drive diagonal line give miss overlook post W run
    forced clears time chance away back behind between inside outside
"""
_MARK = re.compile(
    r"[KQRBN]?[a-h]?[1-8]?x?[a-h][1-8](?:=[QRBN])?[+#]?|\d+|[a-h]-file|"
    rf"\b(?:{'|'.join(_TRADE.split())})[a-z']*",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Row:
    """A move in a position, by a style of attack, and what is told of it."""

    style: str
    fen: str
    move: str
    marks: str

    @property
    def men(self) -> str:
        """Return the letters of all men, those of White first."""
        return "".join(sorted(filter(str.isalpha, self.fen.split(" ")[0])))

    def facts(self, library: Library) -> tuple[MoveFacts, MoveFacts | None]:
        """Return the facts of the move, and of the better one where there is one."""
        maker = FactMaker(Judged.of(library, chess.Board(self.fen)), self.style)
        facts = maker.facts(chess.Move.from_uci(self.move))
        return facts, maker.better(facts)


def marks(text: str) -> str:
    """Return the marks of a text."""
    return " ".join(word if re.search(r"\d", word) else word.lower() for word in _MARK.findall(text))


def marks_of(sentences: list[str]) -> str:
    """Return the marks of each sentence about a move."""
    return " | ".join(filter(None, map(marks, sentences)))


def rows() -> Iterator[Row]:
    """Read the rows."""
    lines = FILE.read_text(encoding="utf-8").splitlines()
    for place, said in zip(lines[::2], lines[1::2], strict=True):
        style, *fen, move = place.split()
        yield Row(style, " ".join(fen), move, said.strip())


def main() -> None:
    """Note anew what is told in every row, and print those that have changed."""
    library, lines = Library(Tables()), list[str]()
    for row in rows():
        facts, better = row.facts(library)
        sentences = told(facts, better)
        now = marks_of(sentences)
        lines += [f"{row.style} {row.fen} {row.move}", f"    {now}"]
        if now != row.marks:
            print(f"{row.fen} {facts.san}: {' '.join(sentences)}\n  was {row.marks}\n  now {now}")
    FILE.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

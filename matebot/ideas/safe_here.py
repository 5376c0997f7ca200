"""Why an attacked man goes to this square and not to another where it is safe as well.

Definition. A winning move that saves a man by moving it (see `saved`), and its *rivals*: the other moves of the man
that save it too, and after which nothing is won; where each wins, those after which mate comes two moves later at
least. The man, the attacker's only queen or rook, holds a *line* where a rank or file of it lies strictly between the
kings, the rank first, and it holds it after all other moves that save it and are no rivals. A rival that gives the line
up is told by that; each of the others must be *hit*: all best replies to it mate, take a man, fork or skewer (see
`refutation`), or *attack* the man again, so that it is in danger once more; the first by this list is told. Nothing is
seen where there is no rival, or one that is told by neither.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import saved
from matebot.ideas.idea import Idea
from matebot.ideas.refutation import Means, means_of
from matebot.ideas.shorter import best_replies
from matebot.ideas.squares import Men, after_move, lone_heavy, men_of
from matebot.ideas.truth import Truth
from matebot.records import dataclass

#: So many plies later a move is worse, not only longer.
_MUCH = 4
_BLOWS = (Means.MATE, Means.CAPTURE, Means.FORK, Means.SKEWER, Means.ATTACK)


@dataclass(frozen=True)
class SafeHere(Idea):
    """What tells a move that saves a man from those that only save it.

    Attributes
    ----------
    line : "rank" or "file" and its name, "" where no line tells it from a rival
    together : whether all other men of the defender stand on his king's side of it
    rival, reply, means : the first move that is hit, and how; None without one
    """

    kind: ClassVar[str] = "safe_here"
    line: str
    together: bool
    rival: chess.Move | None
    reply: chess.Move | None
    means: Means | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> SafeHere | None:
    """Return why the man that a winning move saves goes where it goes, None where nothing tells that."""
    mine = saved.seen(before, move, after, attacker)
    if mine is None or not mine.moved or truth.outcome(after) >= 0:
        return None
    others = [
        (other, there)
        for other in sorted(before.generate_legal_moves(chess.BB_SQUARES[move.from_square]), key=lambda m: m.uci())
        if other != move and saved.seen(before, other, there := after_move(before, other), attacker) == mine
    ]
    worth = truth.after(before)
    least = (worth[move].mate_plies or 0) + _MUCH
    worse = [other for other, _ in others if worth[other].outcome >= 0]
    worse = worse or [other for other, _ in others if (worth[other].mate_plies or 0) >= least]
    rivals = [(other, there) for other, there in others if other in worse]
    if not rivals:
        return None
    equals = [there for other, there in others if other not in worse]
    held = _lines(men_of(after), attacker)
    lines = [name for name in held if all(name in _lines(men_of(board), attacker) for board in equals)]
    line = next((name for name in lines if any(name not in _lines(men_of(b), attacker) for _, b in rivals)), "")
    left = [(o, b) for o, b in rivals if not line or line in _lines(men_of(b), attacker)]
    hits = list[tuple[chess.Move, chess.Move, Means]]()
    for other, there in left:
        blow = _blow(before, there, attacker, truth, other.to_square)
        if blow is None:
            return None
        hits.append((other, *blow))
    rival, reply, means = min(hits, key=lambda hit: _BLOWS.index(hit[2]), default=(None, None, None))
    return SafeHere(line, bool(line) and _together(men_of(after), line, attacker), rival, reply, means)


def _blow(
    before: chess.Board, there: chess.Board, attacker: chess.Color, truth: Truth, man: chess.Square
) -> tuple[chess.Move, Means] | None:
    """Return the first best reply and how it hits, None where one of them does not."""
    found = sorted(best_replies(there, truth), key=chess.Move.uci)
    hits = [(reply, _how(before, there, reply, attacker, man)) for reply in found]
    first = min(((r, how) for r, how in hits if how), key=lambda hit: _BLOWS.index(hit[1]), default=None)
    return first if all(how for _, how in hits) else None


def _how(
    before: chess.Board, there: chess.Board, reply: chess.Move, attacker: chess.Color, man: chess.Square
) -> Means | None:
    """Return how a reply hits, None where it does not."""
    means = means_of(before, there, reply, attacker)[0]
    if means in _BLOWS[:-1]:
        return means
    return Means.ATTACK if man in saved.in_danger(after_move(there, reply), attacker) else None


def _lines(men: Men, attacker: chess.Color) -> list[str]:
    """Return the rank and the file of the lone queen or rook that lie strictly between the kings."""
    piece = lone_heavy(men, attacker)
    if piece is None:
        return []
    kings = men.king(attacker), men.king(not attacker)
    rank, file = chess.square_rank(piece), chess.square_file(piece)
    ranks, files = (sorted(map(of, kings)) for of in (chess.square_rank, chess.square_file))
    found = [f"rank {rank + 1}"] if ranks[0] < rank < ranks[1] else []
    return found + ([f"file {chess.FILE_NAMES[file]}"] if files[0] < file < files[1] else [])


def _together(men: Men, line: str, attacker: chess.Color) -> bool:
    """Whether the defender's other men, one at least, stand on his king's side of a line."""
    of = chess.square_rank if line.startswith("rank") else chess.square_file
    piece = lone_heavy(men, attacker)
    others = list(chess.scan_forward(men.of(not attacker) & ~men.kings))
    if piece is None or not others:
        return False
    side = of(men.king(not attacker)) - of(piece)
    return all((of(other) - of(piece)) * side > 0 for other in others)

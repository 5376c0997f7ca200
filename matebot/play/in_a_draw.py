"""What is played where the men draw: whoever can still win sets problems, whoever cannot goes where it holds best.

Of the moves that draw comes first the one that sets the hardest *problem*: after which the largest part of the replies
loses. Where a capture holds the draw there is none, since nobody overlooks it. Of equal ones the weaker side takes what
ends the game, then what leaves fewer men, where the other side has men to mate with. Whoever is in no such danger goes
on playing before all else, gives the weaker side nothing to take, and of its moves those to positions seen least often
come first. Then comes the best *place*, as handbooks teach it (from memory), the board alone asked; the order of the
ranking decides what is left.

- rook against knight: the knight within two steps of its king, that king off the edge, then the knight, the two as near
  as can be;
- rook against bishop: the king off the edge, or else by the corner that is not of the bishop's colour; as far from the
  edge as two steps; the bishop up to three steps from the other king;
- a lone pawn: it cannot be taken for nothing, its king is as near its way as can be, and it is as far on as can be;
- a bare king against one pawn: as near the square before it as can be, then its promotion square.
"""

from __future__ import annotations

import chess

from matebot.ideas.squares import CORNERS, after_move, from_edge
from matebot.laws.history import key_after
from matebot.laws.referee import Referee
from matebot.play.ranking import FINAL_DRAWS, Ranked, is_weaker
from matebot.solver.codes import DRAW, white_wins
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.mobility import count_moves
from matebot.solver.offer import is_large
from matebot.solver.tables import Tables

#: With five men so many replies are looked at to set a problem.
_REPLIES = 24
#: A knight so near its king is beside it; a bishop so far from the other king is out of its reach.
_TOGETHER, _OUT_OF_REACH = 2, 3
#: So far from the edge a king is safe from a rook.
_SAFE = 2


def in_a_draw(referee: Referee, ranking: list[Ranked]) -> Ranked:
    """Return the move to play where the first of the ranked moves draws."""
    best = ranking[0]
    if best.verdict.value.outcome:
        return best  # by the men one side wins, and only a claim draws
    drawn = [item for item in ranking if item.verdict.value.outcome == 0]
    looked_at = _looked_at(referee, drawn)
    order = {item.move: _order(referee, item) for item in looked_at}
    return min(looked_at, key=lambda item: order[item.move])  # of equal ones the first


def _order(referee: Referee, item: Ranked) -> tuple[object, ...]:
    board, move, step = referee.board, item.move, referee.steps[item.move]
    ends = item.cause in FINAL_DRAWS
    problem, taken = _problem(referee.tables, step.child)
    problem = 0 if ends else -problem
    occurred = 0 if step.zeroing else referee.seen[key_after(board, move)]
    if not is_weaker(board, board.turn):
        return ends, problem, taken, occurred, place(board, move)
    if in_danger(board, board.turn):
        return problem, 0 if ends else 1 if board.is_capture(move) else 2, place(board, move)
    return ends, problem, occurred, place(board, move)


def in_danger(board: chess.Board, side: chess.Color) -> bool:
    """Whether the other side has men to mate with, or a pawn: more than a bishop or a knight."""
    men = board.occupied_co[not side] & ~board.kings
    return chess.popcount(men) > 1 or bool(men & ~(board.bishops | board.knights))


def _looked_at(referee: Referee, drawn: list[Ranked]) -> list[Ranked]:
    """Return the moves looked at: with five men, where each reply reads rows, those with fewest replies."""
    material = referee.stand.material
    if material is None or not is_large(material):
        return drawn
    replies = {item.move: count_moves(referee.steps[item.move].child) for item in drawn}
    chosen: list[Ranked] = []
    for item in sorted(drawn, key=lambda item: replies[item.move]):
        if chosen and sum(replies[other.move] for other in (*chosen, item)) > _REPLIES:
            break
        chosen.append(item)
    return chosen


def _problem(tables: Tables, stand: CanonicalPosition) -> tuple[float, bool]:
    """Return which part of the replies lose, 0 where a capture does not, and whether one does not; no clock counts."""
    steps = tables.steps(stand)
    lost = [step.code != DRAW and white_wins(step.code) != stand.white_to_move for step in steps]
    taken = any(len(step.child.men) < len(stand.men) for step, loses in zip(steps, lost, strict=True) if not loses)
    return 0.0 if taken or not steps else sum(lost) / len(steps), taken


def place(board: chess.Board, move: chess.Move) -> tuple[int, ...]:
    """Return the key that orders the places after the moves of a side, those that hold best first."""
    side, after = board.turn, after_move(board, move)
    mine, theirs = (after.occupied_co[colour] & ~after.kings for colour in (side, not side))
    if chess.popcount(mine) > 1:
        return ()
    king, rival = after.king(side), after.king(not side)
    assert king is not None
    assert rival is not None
    man, pawns = mine.bit_length() - 1, theirs & after.pawns
    if mine & after.pawns:
        return _beside_pawn(after, man, king, side)
    if after.rooks and mine & after.knights:
        return _beside_knight(man, king)
    if after.rooks and mine & after.bishops:
        return _beside_bishop(man, king, rival)
    if not mine and chess.popcount(pawns) == 1:
        return _before_pawn(pawns.bit_length() - 1, king, not side)
    return ()


def _beside_knight(knight: chess.Square, king: chess.Square) -> tuple[int, ...]:
    apart = chess.square_distance(king, knight)
    return apart > _TOGETHER, not from_edge(king), not from_edge(knight), apart, -from_edge(king)


def _beside_bishop(bishop: chess.Square, king: chess.Square, rival: chess.Square) -> tuple[int, ...]:
    reach = -min(chess.square_distance(rival, bishop), _OUT_OF_REACH)
    if from_edge(king):
        return 0, -min(from_edge(king), _SAFE), reach
    shade = chess.BB_DARK_SQUARES >> bishop & 1
    safe = [corner for corner in CORNERS if chess.BB_DARK_SQUARES >> corner & 1 != shade]
    return 1, min(chess.square_distance(king, corner) for corner in safe), reach


def _beside_pawn(after: chess.Board, pawn: chess.Square, king: chess.Square, side: chess.Color) -> tuple[int, ...]:
    taken = any(
        not any(after_move(after, capture).generate_legal_captures())
        for capture in after.generate_legal_moves(to_mask=chess.BB_SQUARES[pawn])
    )
    way = _way(pawn, side)
    return taken, min(chess.square_distance(king, square) for square in way), len(way)


def _before_pawn(pawn: chess.Square, king: chess.Square, side: chess.Color) -> tuple[int, ...]:
    way = _way(pawn, side)
    return chess.square_distance(king, way[0]), chess.square_distance(king, way[-1])


def _way(pawn: chess.Square, side: chess.Color) -> range:
    """Return the squares that a pawn has to go over, the next one first, the promotion square last."""
    return range(pawn + 8, 64, 8) if side else range(pawn - 8, -1, -8)

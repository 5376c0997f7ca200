"""How the better move keeps the king from a square where a slip lets it: by what no move does that is as bad."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import square_name
from matebot.ideas.squares import king_steps, lines_through
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import parse_square, shuts_all_of, stands, stood

_TWO, _FEW = 2, 3


def kept_out(better: MoveFacts, facts: MoveFacts, goal: int) -> str:
    """Say by what a better move guards a square; nothing where a move does so too that is about as bad as the slip."""
    return _by_line(better, facts, goal) or _by_square(better, facts, goal)


def _by_line(better: MoveFacts, facts: MoveFacts, goal: int) -> str:
    """Say that a rook shuts the whole line beside the king on which the square lies; a queen guards more than lines."""
    if better.man.piece != "rook":
        return ""
    start = stood(better)
    for line, squares in lines_through(stands(better))[:2]:
        fresh = [square for square in better.room.squares_taken if squares >> parse_square(square) & 1]
        if not squares >> goal & 1 or len(fresh) < _TWO or not shuts_all_of(line, better):
            continue
        as_bad = (move for move, _ in better.seen.slower_moves.half_as_bad(facts.seen.move))
        if not any(move.from_square == start and squares >> move.to_square & 1 for move in as_bad):
            return f"shuts {line_name(line)} to it"
    return ""


def _by_square(better: MoveFacts, facts: MoveFacts, goal: int) -> str:
    """Say that the square is guarded; of a king that comes up, that it does so by that; else with what others are."""
    slower, slip = better.seen.slower_moves, facts.seen.move
    guards = slower.as_bad_guards((goal,), slip)
    if not guards:
        return f"guards {square_name(goal)}"
    start, up = stood(better), better.kings.kings_after < better.kings.kings_before
    if better.man.piece == "king" and up and not any(move.from_square == start for move in guards):
        return f"brings the king up and takes {square_name(goal)}"
    taken = [parse_square(square) for square in better.room.squares_taken]
    if better.man.piece == "king":  # a line that it opens guards others
        taken = [square for square in taken if king_steps(square, stands(better)) == 1]
    parts = goal in taken and 1 < len(taken) <= _FEW and not slower.as_bad_guards(taken, slip)
    return f"guards {listed(list(map(square_name, taken)))}" if parts else ""

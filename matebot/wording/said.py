"""Names in sentences made from ideas: squares, men, replies and answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import TypeVar

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.answers import Answers
from matebot.ideas.idea import Idea, man_name, square_name
from matebot.ideas.squares import king_steps, lines_through
from matebot.wording.phrases import listed, other, side

_I = TypeVar("_I", bound=Idea)
Rule = Callable[[MoveFacts], str]


def of(kind: type[_I], text: Callable[[_I, MoveFacts], str]) -> Rule:
    """Return a rule for facts from a rule for an idea: nothing where the idea is not seen."""

    def rule(facts: MoveFacts) -> str:
        idea = facts.seen.idea(kind)
        return "" if idea is None else text(idea, facts)

    return rule


def squares(found: Iterable[int], word: str = "and") -> str:
    """Return squares as in a sentence: ``c7 and d7``."""
    return listed([square_name(square) for square in found], word)


def parse_square(name: str) -> int:
    """Return the square of a name."""
    return ord(name[0]) - ord("a") + 8 * (int(name[1]) - 1)


def stood(facts: MoveFacts) -> int:
    """Return the square that the man that moves leaves."""
    return parse_square(facts.move)


def stands(facts: MoveFacts) -> int:
    """Return the square it comes to."""
    return parse_square(facts.move[2:])


def promotion_square(pawn: int, turn: str) -> int:
    """Return the square on which a pawn of a side promotes."""
    return pawn % 8 + (56 if turn == "white" else 0)


def before(pawn: int, turn: str) -> int:
    """Return the square before a pawn of a side."""
    return pawn + (8 if turn == "white" else -8)


def goal_of(name: str) -> str:
    """Return the square a move in SAN, no castling, goes to; "" for no move."""
    return name.rstrip("+#").partition("=")[0][-2:]


def man(kind: int) -> str:
    """Return a man as in a sentence: ``the knight``."""
    return f"the {man_name(kind)}"


def men_on(kinds: Iterable[int], places: Iterable[int]) -> str:
    """Return men with their squares: ``the bishop on e4 and the knight on d5``."""
    return listed([f"the {man_name(k)} on {square_name(s)}" for k, s in zip(kinds, places, strict=True)])


def rival_king(facts: MoveFacts) -> str:
    """Name the defending king."""
    return f"{side(other(facts.attacker or facts.turn))}'s king"


def defender(facts: MoveFacts) -> str:
    """Name the side that defends."""
    return side(other(facts.attacker or facts.turn))


def moves_lost(facts: MoveFacts) -> int:
    """Return how many moves are lost, none where that is not known."""
    return facts.cost.moves_lost or 0


def mated_within(facts: MoveFacts, moves: int) -> bool:
    """Whether it is mate in so many moves at most, by the one number known."""
    return facts.worth.mate_moves is not None and facts.worth.mate_moves <= moves


def by_minors(facts: MoveFacts) -> bool:
    """Whether bishops or knights alone drive the king: there cage and holes are what a coach looks at."""
    return not {"pawn", "rook", "queen"} & set(facts.men.attacker_men)


#: Men of an attacker that mate with their king's help only.
_NEED_KING = (("queen",), ("rook",), ("bishop", "bishop"), ("bishop", "knight"))


def needs_king(facts: MoveFacts) -> bool:
    """Whether the attacker's men, against a bare king, mate with the help of their king only."""
    return not facts.men.defender_men and tuple(sorted(facts.men.attacker_men)) in _NEED_KING


def answered(idea: Answers, facts: MoveFacts) -> str:
    """Return what follows each reply: ``if Kd8, Ke6; if Kf8, Nd7+``."""
    together: dict[str, list[str]] = {}
    for answer in idea.answers:
        for reply in answer.replies if answer.move is not None else ():
            # A move by one name: what mates after one reply and not after the other is told apart.
            together.setdefault(_then(facts, reply, answer.move), []).append(_reply(facts, reply))
    pairs = [(listed(replies, "or"), move) for move, replies in together.items()]
    if len(pairs) == 1 and sum(len(answer.replies) for answer in idea.answers) == 1:
        return f"after {pairs[0][0]} comes {pairs[0][1]}"
    return "; ".join(f"if {replies}, {move}" for replies, move in pairs)


def _reply(facts: MoveFacts, reply: object) -> str:
    return facts.seen.name_after(reply)  # type: ignore[arg-type]


def _then(facts: MoveFacts, reply: object, move: object) -> str:
    return facts.seen.name_after(reply, move)  # type: ignore[arg-type]


#: Moves of a pawn from its home square to promotion.
_FROM_HOME = 5
_KINDS = {"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen", "k": "king"}
_SIGNS = {kind: sign for sign, kind in _KINDS.items()}


def kind_signed(name: str) -> str:
    """Return the kind of the man whose letter a move's name begins with: ``rook`` of ``Rd1``, ``pawn`` of ``b4``."""
    return _KINDS[name[0].lower()] if name[0].isupper() else "pawn"


def if_then(facts: MoveFacts) -> str:
    """Return the best reply and what comes after it: ``: if Kd2, Ke4``; nothing without both."""
    line = facts.then.ahead
    return f": if {line[0]}, {line[1]}" if len(line) > 1 else ""


def walks_away(facts: MoveFacts) -> bool:
    """Whether a move takes the king farther from the other one."""
    return facts.man.piece == "king" and facts.kings.kings_after > facts.kings.kings_before


def moves_to_promote(pawn: int, turn: str) -> int:
    """Return how many moves a pawn of a side needs to promote: with the double step no more than from its home."""
    return min(king_steps(pawn, promotion_square(pawn, turn)), _FROM_HOME)


def pawn_runs(facts: MoveFacts) -> bool:
    """Whether the only pawn cannot be caught, and a bare king is not mated sooner than it can become a queen."""
    if not facts.race.runs_alone:
        return False
    stayed = [square for square in own_men(facts, "pawn") if square != stood(facts)]
    pawn = stayed[0] if stayed else stands(facts)
    return facts.worth.mate_moves is None or facts.worth.mate_moves - 1 > moves_to_promote(pawn, facts.turn)


def men_at(facts: MoveFacts, found: Iterable[int]) -> str:
    """Name the men on squares before the move, two of a kind by their squares: ``the knight and the bishop``."""
    board, places = _board(facts), list(found)
    kinds = [_KINDS[board[square].lower()] for square in places]
    if len(set(kinds)) < len(kinds):
        return listed([f"the {kind} on {square_name(square)}" for kind, square in zip(kinds, places, strict=True)])
    return listed([f"the {kind}" for kind in kinds])


def own_man(facts: MoveFacts, square: int) -> str:
    """Return the kind of the man of the side that moves on a square before the move; nothing without one."""
    sign = _board(facts)[square]
    return _KINDS[sign.lower()] if sign.strip() and sign.isupper() == (facts.turn == "white") else ""


def own_men(facts: MoveFacts, kind: str) -> list[int]:
    """Return the squares of the men of a kind of the side that moves, before the move."""
    sign = _SIGNS[kind].upper() if facts.turn == "white" else _SIGNS[kind]
    return [square for square, other in enumerate(_board(facts)) if other == sign]


def rivals_square(facts: MoveFacts) -> int:
    """Return the square of the other side's king before the move."""
    return _board(facts).index("k" if facts.turn == "white" else "K")


def rivals_men(facts: MoveFacts) -> list[int]:
    """Return the squares of the other side's men beside its king, before the move."""
    signs = "pnbrq" if facts.turn == "white" else "PNBRQ"
    return [square for square, sign in enumerate(_board(facts)) if sign in signs]


def rivals_pawns(facts: MoveFacts) -> list[int]:
    """Return the squares of the other side's pawns before the move."""
    return [square for square in rivals_men(facts) if men_at(facts, [square]) == "the pawn"]


def beside_rival(facts: MoveFacts) -> bool:
    """Whether the man that moved stands beside the defending king."""
    return king_steps(stands(facts), parse_square(facts.room.king)) == 1


def mates_anywhere(facts: MoveFacts) -> bool:
    """Whether the attacker has a queen and another piece, which mate in the middle as well."""
    pieces = [man for man in facts.men.attacker_men if man != "pawn"]
    return len(pieces) > 1 and "queen" in pieces


def own_king(facts: MoveFacts) -> int:
    """Return the square of the king of the side that moves, before the move."""
    return _board(facts).index("K" if facts.turn == "white" else "k")


def own_others(facts: MoveFacts) -> list[int]:
    """Return the squares of the men beside the king of the side that moves, before the move."""
    signs = "PNBRQ" if facts.turn == "white" else "pnbrq"
    return [square for square, sign in enumerate(_board(facts)) if sign in signs]


def shuts_all_of(line: str, facts: MoveFacts) -> bool:
    """Whether a man that moved has a line through its square to itself: no other man, nor the king it shuts."""
    squares = dict(lines_through(stands(facts)))[line]
    own = (square for square in (*own_others(facts), own_king(facts)) if square != stood(facts))
    others = (*own, parse_square(facts.room.king), *rivals_men(facts))
    return not any(squares >> square & 1 for square in others)


def _board(facts: MoveFacts) -> str:
    """Return the sign of the man on each square before the move, a blank where there is none."""
    return _signs(facts.fen)


@lru_cache(maxsize=16)
def _signs(fen: str) -> str:
    """Read a board from its text, once for all that is said of it."""
    return "".join(map(_spread, fen.split()[0].split("/")[::-1]))


def _spread(rank: str) -> str:
    return "".join(" " * int(sign) if sign.isdigit() else sign for sign in rank)

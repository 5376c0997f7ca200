"""Reads how a lost defence leaves its side, and what comes against it."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.ideas.denies import passed
from tests.witness.ideas.king_nearer import edge
from tests.witness.spoken import MAN, SAN, SQUARES, Fault, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_counters import DOES
from tests.witness.spoken_counters import does as does_of
from tests.witness.spoken_denials import cannot, comes_next, in_part
from tests.witness.spoken_kings import keys_of
from tests.witness.spoken_men import Found, Reader, far, is_guarded, kind, pawn_and_goal, stand_alone, their

_WORDS = {"one": 1, "two": 2, "three": 3}


def _moved(about: Spoken) -> tuple[chess.Square, chess.Square]:
    """Return where the defending king stood and stands."""
    return their(about, about.before), their(about, about.after)


def _edges(about: Spoken) -> tuple[int, int]:
    was, now = _moved(about)
    return edge(was), edge(now)


def _own_pawn(about: Spoken) -> chess.Square:
    (pawn,) = about.after.pieces(chess.PAWN, not about.attacker)
    return pawn


def _within(text: str, about: Spoken) -> bool:
    rank = chess.square_rank(about.move.to_square)
    pawn = about.after.piece_type_at(about.move.to_square) == chess.PAWN
    return pawn and _WORDS[text.split()[-4]] == (7 - rank if about.before.turn else rank)


def _ahead(about: Spoken, king: chess.Square) -> bool:
    pawn, goal = pawn_and_goal(about)
    return king % 8 == pawn % 8 and far(king, goal) < far(pawn, goal)


def _steps(about: Spoken, pawn: chess.Square) -> tuple[int, int]:
    was, now = _moved(about)
    return far(was, pawn), far(now, pawn)


def _came(about: Spoken, pawn: chess.Square) -> bool:
    was, now = _steps(about, pawn)
    return now < was


def _stuck(about: Spoken) -> bool:
    king = their(about, about.before)
    stuck = not edge(king) and not any(edge(m.to_square) for m in about.before.legal_moves if m.from_square == king)
    return stuck and not _ways_off(passed(about.after))


def _ways_off(board: chess.Board) -> list[chess.Square]:
    king = board.king(board.turn)
    return sorted(m.to_square for m in board.legal_moves if m.from_square == king and edge(m.to_square))


def _checked_for(text: str, about: Spoken) -> bool:
    """Whether the one piece is taken for nothing neither at once nor after a check that hits it."""
    board, side = about.after, not about.attacker
    ((square, piece),) = [
        (s, p) for s, p in board.piece_map().items() if p.color == side and p.piece_type != chess.KING
    ]
    lost = [m for m in board.legal_moves if m.to_square == square and not is_guarded(then(board, m), square, side)]
    return (
        piece.piece_type == kind(text.split()[-1])
        and not lost
        and not any(_wins(there, side) for there in (then(board, m) for m in board.legal_moves) if there.is_check())
    )


def _wins(there: chess.Board, side: chess.Color) -> bool:
    """Whether a check hits the piece, and after each reply, none of which takes, it is taken and nobody takes back."""
    own = [s for s, p in there.piece_map().items() if p.color == side and p.piece_type != chess.KING]
    if not any(there.attackers(not side, square) for square in own):
        return False
    replies = [then(there, reply) for reply in there.legal_moves]
    takes = any(map(there.is_capture, there.legal_moves))
    return (
        bool(replies)
        and not takes
        and all(
            any(
                b.is_capture(m) and all(n.to_square != m.to_square for n in then(b, m).legal_moves)
                for m in b.legal_moves
            )
            for b in replies
        )
    )


#: What is said of how a side stands, and whether it does.
_STANDS: dict[str, Callable[[str, Spoken], bool]] = {
    "comes nearer to the centre": lambda text, about: 1 < _edges(about)[1] > _edges(about)[0],
    "stays near the centre": lambda text, about: 1 < _edges(about)[1] <= _edges(about)[0],
    "stays off the edge": lambda text, about: 1 == _edges(about)[1] <= _edges(about)[0],
    "leaves the edge": lambda text, about: _edges(about) == (0, 1),
    "goes to the edge": lambda text, about: _edges(about)[1] == 0 < _edges(about)[0],
    "cannot leave the edge": lambda text, about: _stuck(about),
    rf"makes for {SQUARES}, off the edge": lambda text, about: (
        squares_in(text.removeprefix("makes for ").partition(", off")[0]) == _ways_off(passed(about.after))
    ),
    "stays on the edge": lambda text, about: _edges(about) == (0, 0),
    rf"leaves no check that wins the {MAN}": _checked_for,
    "brings the pawn to within (?:one square|(?:two|three) squares) of promotion": _within,
    "stays beside its pawn": lambda text, about: _steps(about, _own_pawn(about)) == (1, 1),
    "comes beside its pawn": lambda text, about: (
        _steps(about, _own_pawn(about))[1] == 1 < _steps(about, _own_pawn(about))[0]
    ),
    "comes nearer to its pawn": lambda text, about: _came(about, _own_pawn(about)),
    "stays in front of the pawn": lambda text, about: all(_ahead(about, king) for king in _moved(about)),
    "gets in front of the pawn": lambda text, about: [_ahead(about, king) for king in _moved(about)] == [False, True],
    "comes nearer to the pawn": lambda text, about: _came(about, pawn_and_goal(about)[0]),
}


def _stands(found: Found, about: Spoken) -> int:
    """Hold how the side stands, that nothing lasts longer, and what comes next."""
    longest = max(lasts(about, then(about.before, move)) for move in about.before.legal_moves)
    hold(lasts(about, about.after) >= longest, "nothing lasts longer")
    if not found["stands"]:
        return 1 + _comes(found["next"], about)
    comes = found["next"] or found["plays"]
    on = found.groupdict().get("on")
    men = found.groupdict().get("alone") or found.groupdict().get("there") or on
    if men:
        stand_alone(f"{men.replace('two bishops', 'bishop')} cannot mate", about)
        hold((_edges(about)[1] > 0) != bool(on), "off the edge")
        hold(bool(on) or ("edge" in found["stands"]) == bool(found["there"]), "off the edge")
    holds = next(test for pattern, test in _STANDS.items() if re.fullmatch(pattern, found["stands"]))
    if found["stands"].startswith("makes for"):
        there = then(about.after, legal(about.after, re.findall(SAN, comes)[-1 if "by " in comes else 0]))
        hold(not set(_ways_off(there)) & set(_ways_off(passed(about.after))), "stopped by what comes")
    return 1 + hold(holds(found["stands"], about), found["stands"]) + _comes(comes, about)


def _comes(text: str, about: Spoken) -> int:
    """Hold what comes against a defence: a move that mates as soon as any, the king, or what is done to this one."""
    plays = re.fullmatch(rf"(?P<side>White|Black) now plays (?P<reply>{SAN})", text)
    if plays is not None:
        there = then(about.after, legal(about.after, plays["reply"]))
        hold(plays["side"] == ("White" if about.attacker else "Black"), "whose move")
        return 1 + hold(lasts(about, there) == lasts(about, about.after) - 1, f"{plays['reply']} is quick")
    if re.fullmatch(rf"(?:White|Black)'s king (?:closes in|comes to help) .* by {SAN}", text):
        return cannot(text, about)
    found = re.fullmatch(rf"(?P<reply>{SAN}) (?P<does>.*)", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    if any(re.fullmatch(pattern, found["does"]) for pattern in DOES.values()):
        return does_of(found["reply"], found["does"], about.after, about)
    own = "Black" if about.attacker else "White"
    if re.match(rf"(?:shuts|holds) {own}'s king (?:in|on) (?!a box)", found["does"]):
        return in_part(found["reply"], found["does"], about)
    cage = {f"shuts {own}'s king in": "shuts the cage", f"leaves {own}'s king less room": "tightens the cage"}
    does = cage.get(found["does"], found["does"])
    return comes_next(f"{found['reply']} {does}", about)


def _key_square(found: Found, about: Spoken) -> int:
    """Hold that the attacking king stands on a key square, or gets to one, or nearer to one, by the next move."""
    keys = keys_of(pawn_and_goal(about)[0], about.attacker)
    king = about.after.king(about.attacker)
    assert king is not None
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose king")
    near = min(far(king, key) for key in keys)
    if found["holds"]:
        return 1 + hold(chess.parse_square(found["holds"]) == king and not near, found[0])
    if found["gets"]:
        goal = chess.parse_square(found["gets"])
        there = then(about.after, chess.Move(king, goal))
        hold(chess.Move(king, goal) in about.after.legal_moves, found[0])
        return 1 + hold(goal in keys and near > 0 and about.told.outcome(there) < 0, found[0])
    move = legal(about.after, found["reply"])
    hold(move.from_square == king, "the king moves")
    return 1 + hold(min(far(move.to_square, key) for key in keys) < near, found[0])


def _shut_in(found: Found, about: Spoken) -> int:
    """Hold that the moves told shut the cage."""
    return cannot(f"does not stop the mate: after {found['way']}, which shuts the cage", about)


def _loses_a_move(found: Found, about: Spoken) -> int:
    """Hold that the best move lasts one longer, and what comes against this one."""
    longest = max(lasts(about, then(about.before, move)) for move in about.before.legal_moves)
    hold(longest - lasts(about, about.after) == 2, "a move")
    key = re.fullmatch(POSTURES[0][0], found["what"])
    if found["what"].endswith(" is outside its square"):
        return 1 + _outrun(found["what"], about)
    return 1 + (cannot(found["what"], about) if key is None else _key_square(key, about))


def _outrun(what: str, about: Spoken) -> int:
    """Hold that the pawn runs to promotion past the king, to move."""
    pawn, goal = pawn_and_goal(about)
    king, runs = about.after.king(not about.attacker), far(pawn, goal) - (pawn // 8 == (1 if about.attacker else 6))
    assert king is not None
    hold(f"{'Black' if about.attacker else 'White'}'s king" in what and far(king, goal) > runs, what)
    hold(not any(s % 8 == pawn % 8 and far(s, goal) < far(pawn, goal) for s in about.after.piece_map()), "its way")
    return 2


def _keeps_out(found: Found, about: Spoken) -> int:
    """Hold that the king that has moved guards a square next to it to which the other king could have gone."""
    square = chess.parse_square(found["square"])
    king = about.after.king(about.attacker)
    assert king is not None
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose king")
    hold(far(king, square) == 1 and chess.Move(king, square) not in about.after.legal_moves, found[0])
    return 1 + hold(far(about.move.to_square, square) == 1, found[0])


_KING = r"(?P<side>White|Black)'s king"
POSTURES: tuple[tuple[str, Reader], ...] = (
    (
        rf"(?:holds out longest, but )?(?:cannot stop the pawn: {_KING} stands on (?P<holds>[a-h][1-8]), a key square"
        r"(?P<gets>)(?P<reply>))",
        _key_square,
    ),
    (
        rf"(?:holds out longest, but )?cannot keep {_KING} from (?P<gets>[a-h][1-8]), a key square of the pawn"
        r"(?P<holds>)(?P<reply>)",
        _key_square,
    ),
    (
        rf"(?:holds out longest, but )?cannot stop (?P<reply>{SAN}): {_KING} makes for a key square of the pawn"
        r"(?P<holds>)(?P<gets>)",
        _key_square,
    ),
    (rf"keeps {_KING} out of (?P<square>[a-h][1-8])", _keeps_out),
    (r"loses a move and (?P<what>.*)", _loses_a_move),
    (
        rf"(?P<stands>{'|'.join(_STANDS)}), (?:where (?P<alone>.*) cannot mate|since (?P<there>.*) mates? only there); "
        r"(?P<plays>(?:White|Black) now .*)(?P<next>)",
        _stands,
    ),
    (
        rf"(?P<stands>{'|'.join(_STANDS)}), where (?P<on>.*) can mate; (?P<plays>(?:White|Black) now .*)(?P<next>)",
        _stands,
    ),
    (r"(?:holds out longest, but )?cannot avoid the cage: after (?P<way>.*)", _shut_in),
    (rf"(?P<stands>{'|'.join(_STANDS)})(?:, (?:but|and) (?P<next>.*)|; (?P<plays>(?:White|Black) now .*))", _stands),
    (rf"holds out longest, but (?P<next>{SAN} (?:shrinks|shuts|holds|leaves|cuts|takes) .*)(?P<stands>)", _stands),
)

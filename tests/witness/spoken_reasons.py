"""Reads why a man could be taken, what a king's step is for, and what else stands behind a good move."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import ends_checks
from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.king_up import closer
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Spoken, hold, legal, squares_in, then
from tests.witness.spoken_men import Found, Reader, far, is_guarded, kind, pawn_and_goal, stand_alone, their

_HELP = (
    rf"(?:: it guards (?P<way>{SQUARES}) on the pawn's way| to help the pawn: (?P<past>White|Black)'s king is"
    r" inside its square"
    rf"|, while the (?P<holder>{MAN}) holds the pawn|(?P<rook>: king and queen must work together against the rook)"
    r"|(?P<mate>: the queen needs it for the mate)"
    rf"|(?P<against> to help against (?:the|(?P<both>king) and) (?P<man>{MAN}))"
    r"|(?P<pawn> to help the pawn))"
)
#: How the men that are left win: the sentence, and whether it holds of the men of either side.
WINS = (
    r"king and (?:queen|rook) mate a bare king on the edge|king and (?:queen|rook) are enough to mate a bare king"
    r"|(?:two queens|two rooks|queen and rook|rook and queen) mate even without their king"
    r"|the pawn is left to make a queen|the bishops mate a bare king in a corner"
    r"|bishop and knight mate a bare king in a corner of the bishop's colour"
    r"|the bishop guards one colour only, and king and queen beat it|king and queen beat a lone (?:knight|bishop)"
    r"|queen against rook wins as a rule, by a fork or by mate|the queen comes in time against the other pawn"
)


def wins_by(text: str, about: Spoken) -> int:
    """Hold how the men that are left win."""
    hold(about.told.outcome(about.after) < 0, "wins")
    mine, theirs = (_names(about.after, side) for side in (about.attacker, not about.attacker))
    heavy = [man for man in mine if man in ("queen", "rook")]
    if "on the edge" in text:
        return hold(mine == [text.split()[2]] and not theirs, text)
    if "are enough" in text:
        return hold(heavy == [text.split()[2]] and len(mine) > 1 and not theirs, text)
    if "even without" in text:
        return hold(len(heavy) > 1 and set(re.findall("queen|rook", text)) == set(heavy) and not theirs, text)
    if "left to make" in text:
        return hold(not heavy and "pawn" in mine and not theirs, text)
    if "in a corner" in text:
        return hold(mine == (["bishop", "bishop"] if "bishops" in text else ["bishop", "knight"]) and not theirs, text)
    other = next(man for man in ("bishop", "knight", "rook", "pawn") if man in text)
    return hold((mine, theirs) == (["queen"], [other]), text)


def _names(board: chess.Board, side: chess.Color) -> list[str]:
    men = [p.piece_type for p in board.piece_map().values() if p.color == side and p.piece_type != chess.KING]
    return sorted(map(chess.piece_name, men))


def _takes(found: Found, about: Spoken) -> int:
    """Hold why the man taken stood alone."""
    from tests.witness.spoken_attack import left_over

    at, board = about.move.to_square, about.before
    king = king_of(board, not board.turn)
    victim = chess.PAWN if board.is_en_passant(about.move) else board.piece_type_at(at)
    hold(victim == kind(found["man"] or found["checker"] or found["prey"]), "takes")
    guarded = is_guarded(about.after, at, not board.turn)
    hold(guarded == bool(found["support"]), "guarded by its king")
    if found["prey"]:
        return 2 + hold(not is_guarded(about.before, about.move.to_square, not about.attacker), "nothing guards it")
    if found["checker"]:
        hold(board.is_check(), "the man that gives check")
    elif found["support"]:
        hold(far(at, king_of(about.after, board.turn)) == 1 == far(at, king), "the king guards it")
        hold(not any(m.to_square == at for m in about.after.legal_moves), "and it is not taken back")
    else:
        steps = {"far": 4, "left": 3, "one": 2}[found["how"].split()[0]]
        hold(far(at, king) == steps or (steps == 4 <= far(at, king)), found["how"])
    return 2 + left_over(found, about)


def _step(found: Found, about: Spoken) -> int:
    """Hold what a step of the king is for."""
    how, now, was = found["how"], about.move.to_square, about.move.from_square
    hold("check" not in how or about.before.is_check(), "in check")
    hold(about.after.piece_type_at(now) == chess.KING, "the king moves")
    if "centre" in how or "leaves the edge" in how:
        hold(edge(now) > edge(was), "towards the centre")
    else:
        hold(closer(about.before, about.after), "nearer")
    mine, theirs = (_names(about.after, side) for side in (about.attacker, not about.attacker))
    if found["way"] or found["past"] or found["pawn"]:
        pawn, goal = pawn_and_goal(about)
        way = [goal, *chess.SquareSet(chess.between(pawn, goal))]
        if found["way"]:
            fresh = {s for s in way if far(s, now) == 1 and far(s, was) > 1}
            return 1 + hold(set(squares_in(found["way"])) == fresh, found[0])
        king = their(about, about.after)
        hold(not found["past"] or far(king, goal) <= far(pawn, goal) + 1, "the king is in its way")
        return 1 + hold(found["past"] in (None, "Black" if about.attacker else "White"), "whose king")
    if found["holder"]:
        return 1 + hold(kind(found["holder"]) in map(about.after.piece_type_at, holders(about, 1)), "holds the pawn")
    if found["rook"]:
        return hold((mine, theirs) == (["queen"], ["rook"]), found[0])
    if found["mate"]:
        pawns = about.after.pieces(chess.PAWN, not about.attacker)
        beside_pawn = theirs == ["pawn"] and any(far(was, pawn) == 1 for pawn in pawns)
        return hold(mine == ["queen"] and (beside_pawn or theirs in (["bishop"], ["knight"])), found[0])
    hold(not found["both"] or closer(about.before, about.after), "nearer to the king")
    return hold(found["man"] in theirs, found[0])


def holders(about: Spoken, steps: int = 7) -> list[chess.Square]:
    """Return the men beside the king on so much of the way of the other side's only pawn, or guarding it alone."""
    board, side = about.after, not about.attacker
    (pawn,) = [s for s, p in board.piece_map().items() if p.color == side and p.piece_type != chess.KING]
    hold(board.piece_type_at(pawn) == chess.PAWN, "a pawn")
    goal = chess.square(pawn % 8, 7 if side else 0)
    way = {s for s in (goal, *chess.SquareSet(chess.between(pawn, goal))) if far(s, pawn) <= steps}
    men = [s for s, p in board.piece_map().items() if p.color == about.attacker and p.piece_type != chess.KING]
    own = board.king(side)
    assert own is not None
    free = {s for s in way if far(own, s) > 1}
    return [s for s in men if s in way or free & set(board.attacks(s))]


def _hunts(found: Found, about: Spoken) -> int:
    at = chess.parse_square(found["square"])
    hold(about.after.piece_at(at) == chess.Piece(chess.PAWN, not about.attacker), "the pawn")
    hold(far(at, about.move.to_square) < far(at, about.move.from_square), "nearer")
    hold(chess.parse_square(found["from"]) in holders(about), "holds it")
    return 2 + hold(about.after.piece_type_at(chess.parse_square(found["from"])) == kind(found["holder"]), "the man")


def _keys(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_kings import keys_of

    hold(about.before.piece_type_at(about.move.from_square) == chess.KING, "the king")
    pawn, _ = pawn_and_goal(about)
    keys, now = keys_of(pawn, about.attacker), about.move.to_square
    least = min(far(now, s) for s in keys)
    hold(least < min(far(about.move.from_square, s) for s in keys), "nearer to them")
    hold({s for s in keys if far(now, s) == least} == set(squares_in(found["squares"])), found[0])
    return 1 + hold((found["one"] is not None) == (len(squares_in(found["squares"])) == 1), "one or more")


def _off_rim(found: Found, about: Spoken) -> int:
    was, now = about.move.from_square, about.move.to_square
    hold(edge(was) == 0 < edge(now) and about.before.piece_type_at(was) == kind(found["man"]), "off the edge")
    if found["now"]:
        hold(len(about.after.attacks(now)) == int(found["now"]), "so many now")
        hold(len(about.before.attacks(was)) == int(found["was"]) < int(found["now"]), "so many before")
    return 1


def _behind(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    rook = about.move.to_square
    hold(about.after.piece_type_at(rook) == chess.ROOK and rook % 8 == pawn % 8 != about.move.from_square % 8, "file")
    hold(far(rook, goal) > far(pawn, goal), "behind it")
    between = [s for s in chess.SquareSet(chess.between(rook, pawn)) if about.after.piece_at(s)]
    return 1 + hold(not between, "nothing between")


def _ends_checks(found: Found, about: Spoken) -> int:
    told = ends_checks.claim(about.before, about.move, about.after, about.attacker)
    hold(told is not None, "no safe check")
    if not found["step"]:
        return 1
    step = legal(about.before, found["step"])
    check = legal(then(about.before, step), found["check"])
    hold(told is not None and (told["elsewhere"], told["check"]) == (step.uci(), check.uci()), found[0])
    return 3


def _shuts_corner(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_kings import way_there

    return way_there(found["square"], True, f"to {found['square']}, the wrong corner", about)


def _knight(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_attack import lost_knight
    from tests.witness.spoken_kings import way_there

    at = chess.parse_square(found["knight"])
    if found["holds"]:
        hold(about.after.is_check() and {edge(m.to_square) for m in about.after.legal_moves} == {0}, "on the edge")
        hold(edge(their(about, about.after)) == 0, "stands on it")
    elif found[0].startswith("goes"):
        hold(far(at, about.move.to_square) < far(at, about.move.from_square), "nearer")
    else:
        way_there("", True, "to its knight", about)
    return 1 + lost_knight(at, about)


def _attacked(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_attack import lost_knight

    at = chess.parse_square(found["knight"])
    again = about.after.copy(stack=False)
    again.turn = about.before.turn
    hits = any(m.to_square == at for m in again.pseudo_legal_moves)
    return hold(hits, "attacked") + lost_knight(at, about)


def _runs_beside(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_room_left import taken

    return taken(found.groupdict(""), about) + stand_alone("the pawn runs by itself", about)


def _ahead(found: Found, about: Spoken) -> int:
    square = about.move.to_square + (8 if about.attacker else -8)
    hold(about.before.piece_type_at(about.move.from_square) == chess.PAWN, "the pawn moves")
    hold(chess.parse_square(found["square"]) == square, "the square before it")
    guards = about.after.attackers(about.attacker, square)
    return 2 + hold(kind(found["man"]) in map(about.after.piece_type_at, guards), "guarded")


def _room(found: Found, about: Spoken) -> int:
    was, now = cage(about.before, about.attacker) or (), cage(about.after, about.attacker)
    return hold(len(was) > 10 and now is None, "a large cage opened")


def with_end(found: Found, about: Spoken) -> int:
    """Hold a line of two moves, and what is said of the second."""
    from tests.witness.deeds import deed

    reply = found["reply"] or about.after.san(next(iter(about.after.legal_moves)))
    hold(bool(found["reply"]) or about.after.legal_moves.count() == 1, "the only reply")
    hold(bool(found["end"] or not found["reply"]), f"cannot be read: {found[0]}")
    there = then(about.after, legal(about.after, reply))
    move = legal(there, found["move"])
    count = deed(f"{found['head']}: if {reply}, {found['move']}", about)
    if not found["end"]:
        return count
    return count + deed(found["end"], Spoken(there, move, then(there, move), None, about.attacker, about.told))


def reasons() -> tuple[tuple[str, Reader], ...]:
    """Return what is read here, with the readers; made when it is asked for, since rules of other files stand in it."""
    from tests.witness.spoken_attack import ENDING
    from tests.witness.spoken_room_left import TAKEN

    return (
        (
            rf"takes the (?:(?P<man>{MAN})(?:(?P<support> with the support of the king)"
            r"|,? (?P<how>far from its king|left alone by its king|one step out of its king's reach))"
            rf"|checking (?P<checker>{MAN}), which nothing guards|(?P<prey>{MAN}), which nothing guards){ENDING}",
            _takes,
        ),
        (
            r"(?P<how>brings the king up|(?:brings the king towards|heads for) the centre|leaves the edge"
            rf"|steps out of the check (?:and comes nearer|towards the centre)){_HELP}",
            _step,
        ),
        (
            rf"goes for the pawn on (?P<square>{SQUARE}), which the (?P<holder>{MAN}) holds from (?P<from>{SQUARE})",
            _hunts,
        ),
        (rf"heads for (?P<squares>{SQUARES}), (?:(?P<one>a key square)|key squares) of its pawn", _keys),
        (
            rf"brings the (?P<man>{MAN}) off the edge(?:: it guards (?P<now>\d+) squares instead of (?P<was>\d+))?",
            _off_rim,
        ),
        (r"puts the rook behind its pawn, to push it on", _behind),
        (
            rf"steps to where the checks end(?:: after (?P<step>{SAN}) would come (?P<check>{SAN}))?",
            _ends_checks,
        ),
        (rf"shuts (?P<square>{SQUARE}), the wrong corner", _shuts_corner),
        (
            rf"(?:keeps the king from its|(?P<holds>holds (?:White|Black)'s king on "
            r"(?:the edge|rank [18]|the [ah]-file)), away from its|goes after the)"
            rf" knight on (?P<knight>{SQUARE})"
            r"(?:: away from its king it is lost)?",
            _knight,
        ),
        (rf"attacks the knight on (?P<knight>{SQUARE}), which is away from its king", _attacked),
        (rf"{TAKEN}, while the pawn runs by itself", _runs_beside),
        (rf"brings the pawn on: the (?P<man>{MAN}) guards (?P<square>{SQUARE}) before it", _ahead),
        (r"gives the king too much room", _room),
    )


#: A line of two moves whose second is told by what it does; read last.
WITH_END = rf"(?P<head>.*): (?=then|.* [a-z])(?:if (?P<reply>{SAN}),|then) (?P<move>{SAN})(?: (?P<end>[a-z].*))?"

"""Reads what a slip did in place of the better move, and what the other side does with the time it is given."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import without_king
from tests.witness.ideas.shuts_way import leading
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_men import Found, Reader, apart, caged, far, is_guarded, kind, size, their

_KING = r"(?:the king|(?:White|Black)'s king)"
_TO = rf"(?:to its {MAN}|to the pawn on {SQUARE}|back to the centre|off the edge)"
GAIN = (
    rf"(?P<reply>{SAN}) (?P<gain>comes nearer to (?:its {MAN}|the pawn|the centre)"
    rf"|brings the pawn on|gets off the edge|(?:attacks|hits) the {MAN})"
)
#: A first sentence about what a slip did, with the better move behind it.
INSTEAD = (
    rf"(?P<did>goes the wrong way|loses time|leaves (?:White|Black)'s king behind"
    rf"|gives a check that gains nothing|leaves {_KING} (?:free|its room"
    rf"|in the open|the way to (?:its {MAN}|the pawn))|leaves the way {_TO} open|gives {_KING} {SQUARES}"
    rf"|lets {_KING} (?:off the edge(?: by {SAN})?|(?:back to the centre|nearer to (?:its {MAN}|the pawn)) by {SAN})"
    rf"|lets the pawn go on by {SAN}|walks away from (?:White|Black)'s king|lets the {MAN} escape by {SAN}"
    rf"|moves the {MAN} from {SQUARE}): better (?P<best>{SAN}), which (?P<deed>.*)"
)


def deed_meant(did: str, deed: str, about: Spoken) -> str:
    """Return what the better move does without the words that refer to what stands before."""
    king = f"{'Black' if about.attacker else 'White'}'s king"
    if did.endswith(" behind"):
        return deed.replace("brings it", "brings the king", 1)
    if did.endswith(" free"):
        return deed.replace("shuts it in", "shuts the king in", 1)
    if man := re.fullmatch(rf"lets the ({MAN}) escape by {SAN}", did):
        (at,) = about.before.pieces(kind(man[1]), not about.attacker)
        return deed.replace("traps it", f"traps the {man[1]} on {chess.square_name(at)}")
    if place := re.fullmatch(rf"moves (the {MAN}) from ({SQUARE})", did):
        return deed.replace("guards it there", f"guards {place[1]} on {place[2]}")
    if way := re.fullmatch(r"leaves (the way .*) open", did):
        return f"{deed}, {way[1]}"
    if deed.startswith("shuts ") and (way := re.fullmatch(rf"lets {_KING} (?:nearer )?(.*) by {SAN}", did)):
        pawns = about.before.pieces(chess.PAWN, about.attacker)
        where = f" on {chess.square_name(min(pawns))}" if way[1] == "to the pawn" else ""
        return f"{deed}, the way {way[1]}{where}"
    if to := re.search(rf"(?:the way|nearer) to (its {MAN}|the pawn)", did):
        return deed.replace("cuts it off", f"cuts the king off from {to[1]}")
    if " off the edge" in did:
        return deed.replace("keeps it there", "keeps the king on the edge")
    if "the pawn go on" in did:
        (pawn,) = about.before.pieces(chess.PAWN, not about.attacker)
        where = f" on {chess.square_name(pawn)}" if deed.startswith(("goes for", "attacks")) else ""
        return re.sub(r"\bit\b", f"the pawn{where}", deed, count=1)
    deed = re.sub(r"(cuts|drives) it ", r"\1 the king ", deed)
    return re.sub(r" (from|to) it\b", rf" \1 {king}", deed)


def _late(found: Found, about: Spoken) -> int:
    """Hold that a move gives no check and keeps the win, and that mate comes later than after the best of all."""
    worth = {move: about.told.mate_plies(then(about.before, move)) for move in about.before.legal_moves}
    wins = [
        plies for move, plies in worth.items() if plies is not None and about.told.outcome(then(about.before, move)) < 0
    ]
    mine = worth[about.move]
    hold(mine is not None and about.told.outcome(about.after) < 0 and not about.after.is_check(), found[0])
    assert mine is not None
    return hold(min(wins) < mine, "later")


def did_instead(text: str, about: Spoken) -> int:
    """Hold what a slip did in place of the better move."""
    for pattern, reader in _DID:
        if found := re.fullmatch(pattern, text):
            return reader(found, about)
    return hold(False, f"cannot be read: {text}")


def best_replies(board: chess.Board, about: Spoken) -> list[chess.Move]:
    """Return the replies that keep the outcome and last as long as any."""
    outcome = about.told.outcome(board)
    keeping = [move for move in board.legal_moves if -about.told.outcome(then(board, move)) == outcome]
    return [move for move in keeping if not outcome or lasts(about, then(board, move)) == lasts(about, board) - 1]


def gains(what: str, reply: chess.Move, board: chess.Board) -> bool:
    """Whether a reply brings what is said of it."""
    by, side = board.piece_type_at(reply.from_square), board.turn
    if board.is_capture(reply):
        return False
    if what.startswith(("attacks ", "hits ")):
        goal, there = kind(what.split()[2]), then(board, reply)
        now = {s for s in there.attacks(reply.to_square) if there.piece_at(s) == chess.Piece(goal, not side)}
        loose = {s for s in now if not is_guarded(there, s, not side)} if by == chess.KING else now
        return bool(loose - set(board.attacks(reply.from_square))) and (by == chess.KING) == what.startswith("attacks")
    if what == "brings the pawn on":
        return by == chess.PAWN and not reply.promotion
    if by != chess.KING:
        return False
    if what in ("gets off the edge", "comes nearer to the centre"):
        was = edge(reply.from_square)
        return edge(reply.to_square) > was and (was == 0) == (what == "gets off the edge")
    own = re.fullmatch(rf"comes nearer to its ({MAN})", what)
    men = board.pieces(kind(own[1]), side) if own else board.pieces(chess.PAWN, not side)
    there = then(board, reply)
    if own and any(is_guarded(there, s, not side) and not is_guarded(there, s, side) for s in men):
        return False  # it comes too late for the man
    if own and own[1] != "pawn" and any(far(reply.to_square, s) > 3 for s in men):
        return False  # it is too far off to do anything for it
    return len(men) == 1 and all(far(reply.to_square, s) < far(reply.from_square, s) for s in men)


def with_the_time(found: Found, about: Spoken, when: str) -> int:
    """Hold what every best reply does; where that is new, no best reply to any of the best moves does so too."""
    replies = best_replies(about.after, about)
    hold(legal(about.after, found["reply"]) in replies, f"{found['reply']} is a best reply")
    hold(all(gains(found["gain"], reply, about.after) for reply in replies), found[0])
    if when == "now":
        for move in [*best_replies(about.before, about), *([about.best] if about.best else [])]:
            there = then(about.before, move)
            brings = [gains(found["gain"], reply, there) for reply in best_replies(there, about)]
            hold(not any(brings), f"so it is after {move.uci()}")
    return 3


def _time(found: Found, about: Spoken) -> int:
    hold(about.best is not None, "a slip")
    if found["side"]:
        hold((found["side"] == "White") != about.attacker, "whose time")
    hold(about.after.is_check() == (not found["side"]), "a check")
    return 2 + with_the_time(found, about, "meanwhile")


def _let_go(found: Found, about: Spoken) -> int:
    """Hold that the king goes to a square that was guarded before and is not after."""
    goal, reply = chess.parse_square(found["goal"]), legal(about.after, found["reply"])
    was, now = (board.is_attacked_by(about.attacker, goal) for board in (about.before, about.after))
    hold(reply.to_square == goal and was and not now, found[0])
    return 2 + with_the_time(found, about, "meanwhile")


def _wrong_way(found: Found, about: Spoken) -> int:
    was, now = map(apart, (about.before, about.after))
    king = about.before.piece_type_at(about.move.from_square) == chess.KING
    hold(king and now >= was, found[0])
    return 1 + hold(edge(about.move.to_square) <= edge(about.move.from_square), found[0])


def _wastes(found: Found, about: Spoken) -> int:
    late = lasts(about, about.after) + 1 - lasts(about, about.before)
    hold(about.after.is_check() == ("check" in found[0]), "a check")
    return 1 + hold(late > 0 and (late <= 6 or about.after.is_check()), found[0])


def _behind(found: Found, about: Spoken) -> int:
    """Hold that the slip moves another man where every move as good as any is a step of the king."""
    hold((found["side"] == "White") == about.attacker, "whose king")
    hold(about.before.piece_type_at(about.move.from_square) != chess.KING, "another man moves")
    kings = about.before.pieces(chess.KING, about.attacker)
    return 2 + hold(all(move.from_square in kings for move in best_replies(about.before, about)), found[0])


def _steps(about: Spoken) -> list[chess.Square]:
    king = their(about, about.after)
    return [move.to_square for move in about.after.legal_moves if move.from_square == king]


def _way_open(found: Found, about: Spoken) -> int:
    way = found["way"]
    aim = "own man" if "its" in way else "pawn" if "pawn" in way else "centre"
    serving = [s for a, _, squares in leading(about.after, about.attacker) if a == aim for s in squares]
    if aim == "centre":
        hold((edge(their(about, about.after)) == 0) == ("off" in way), way)
    return hold(bool(set(serving) & set(_steps(about))), found[0])


def _to_man(found: Found, about: Spoken) -> int:
    side = about.attacker if found["to"] == "the pawn" else not about.attacker
    (man,) = about.after.pieces(kind(found["to"].split()[1]), side)
    king = their(about, about.after)
    if found["reply"]:
        reply = legal(about.after, found["reply"])
        hold(reply in best_replies(about.after, about) and far(reply.to_square, man) < far(king, man), found[0])
    return 2 + hold(any(far(s, man) < far(king, man) for s in _steps(about)), found[0])


def _free(board: chess.Board, about: Spoken) -> set[chess.Square]:
    """Return the squares beside the defending king that the attacker neither guards nor its own men fill."""
    bare, king = without_king(board, about.attacker), their(about, board)
    near = [s for s in chess.SQUARES if far(s, king) == 1 and board.color_at(s) is not (not about.attacker)]
    return {s for s in near if not is_guarded(bare, s, about.attacker)}


def _room(found: Found, about: Spoken) -> int:
    hold(_free(about.before, about) <= _free(about.after, about) | {about.move.to_square}, "no square is taken")
    return hold(5 * size(about.after, about) > 4 * size(about.before, about), found[0])


def _given(found: Found, about: Spoken) -> int:
    told = set(squares_in(found["squares"]))
    fresh = _free(about.after, about) - _free(about.before, about)
    instead = [_free(then(about.before, best), about) for best in best_replies(about.before, about)]
    hold(any(told == fresh - free for free in instead), found[0])
    return len(told)


def _off_edge(found: Found, about: Spoken) -> int:
    hold(edge(their(about, about.after)) == 0 and any(edge(s) > 0 for s in _steps(about)), found[0])
    if found["reply"]:
        reply = legal(about.after, found["reply"])
        hold(reply in best_replies(about.after, about) and edge(reply.to_square) > 0, found[0])
    return 2


def _inwards(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    hold(reply in best_replies(about.after, about), found[0])
    return 1 + hold(0 < edge(reply.from_square) < edge(reply.to_square), found[0])


def _pawn_on(found: Found, about: Spoken) -> int:
    replies = best_replies(about.after, about)
    hold(legal(about.after, found["reply"]) in replies, found[0])
    return 1 + hold(all(gains("brings the pawn on", reply, about.after) for reply in replies), found[0])


def _walks_away(found: Found, about: Spoken) -> int:
    """Hold that the king goes farther from the other, and no move as good as any is a step of it."""
    was, now = map(apart, (about.before, about.after))
    hold((found["whose"] == "White") != about.attacker and now > was, found[0])
    start = about.move.from_square
    return 2 + hold(all(move.from_square != start for move in best_replies(about.before, about)), "no step is as good")


def _escapes(found: Found, about: Spoken) -> int:
    """Hold that the only man goes to a square by a best reply that the man that moved guarded before, and not now."""
    reply = legal(about.after, found["reply"])
    hold(reply in best_replies(about.after, about), "a best reply")
    hold(about.after.piece_type_at(reply.from_square) == kind(found["man"]), "the man")
    was, now = (
        reply.to_square in board.attacks(square)
        for board, square in ((about.before, about.move.from_square), (about.after, about.move.to_square))
    )
    return 3 + hold(was and not now, found[0])


def _moved_off(found: Found, about: Spoken) -> int:
    """Hold that an attacked man leaves a square where every move as good as any has its king guard it."""
    square = chess.parse_square(found["at"])
    hold(about.move.from_square == square, "where it stood")
    hold(about.before.piece_type_at(square) == kind(found["man"]), "the man")
    hold(about.before.is_attacked_by(not about.attacker, square), "attacked")
    for move in best_replies(about.before, about):
        king = then(about.before, move).king(about.attacker)
        hold(king == move.to_square and far(king, square) == 1, move.uci())
    return 4


_DID: tuple[tuple[str, Reader], ...] = (
    (r"goes the wrong way", _wrong_way),
    (r"leaves (?P<side>White|Black)'s king behind", _behind),
    (r"gives a check that gains nothing", _wastes),
    (r"loses time", _late),
    (rf"leaves {_KING} free", lambda found, about: hold(not caged(about.after, about), found[0])),
    (rf"leaves {_KING} its room", _room),
    (rf"leaves {_KING} in the open", lambda found, about: hold(edge(their(about, about.after)) > 0, found[0])),
    (rf"leaves the way (?P<way>{_TO}) open", _way_open),
    (rf"leaves {_KING} the way to (?P<to>its {MAN}|the pawn)(?P<reply>)", _to_man),
    (rf"lets {_KING} nearer to (?P<to>its {MAN}|the pawn) by (?P<reply>{SAN})", _to_man),
    (rf"gives {_KING} (?P<squares>{SQUARES})", _given),
    (rf"lets {_KING} off the edge(?: by (?P<reply>{SAN}))?", _off_edge),
    (rf"lets {_KING} back to the centre by (?P<reply>{SAN})", _inwards),
    (rf"lets the pawn go on by (?P<reply>{SAN})", _pawn_on),
    (r"walks away from (?P<whose>White|Black)'s king", _walks_away),
    (rf"lets the (?P<man>{MAN}) escape by (?P<reply>{SAN})", _escapes),
    (rf"moves the (?P<man>{MAN}) from (?P<at>{SQUARE})", _moved_off),
)
#: What a slip gives time for, with its readers.
TIMES: tuple[tuple[str, Reader], ...] = (
    (rf"gives (?P<side>White|Black) time: {GAIN}", _time),
    (rf"lets go of (?P<goal>{SQUARE})(?P<side>): {GAIN}", _let_go),
    (rf"gives a check that gains nothing(?P<side>): (?!{SAN} brings the pawn on){GAIN}", _time),
)

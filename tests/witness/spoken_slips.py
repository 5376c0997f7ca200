"""Reads what is said of a slip, and holds it against the board after the slip and after the better move."""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from tests.witness.ideas import cut_off, pawn_runs
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_range, without_king
from tests.witness.ideas.mates import holders
from tests.witness.ideas.prepares import won
from tests.witness.ideas.shuts_way import leading
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Fault, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_instead import best_replies
from tests.witness.spoken_kings import keys_of
from tests.witness.spoken_men import (
    Found,
    Reader,
    ahead,
    apart,
    caged,
    far,
    is_guarded,
    is_loose,
    kind,
    kinds,
    stand_alone,
    their,
)
from tests.witness.spoken_room import LONG_LINE, all_shut, squares_of

_LEADS = {
    r"comes (?P<near>nearer )?to its (?P<man>pawn|knight|bishop|rook|queen)": "own man",
    rf"heads for the pawn on (?P<goal>{SQUARE})": "pawn",
    rf"heads for the wrong corner (?P<goal>{SQUARE})": "wrong corner",
    r"gets (?P<how>off the edge|back to the centre)": "centre",
    rf"gets (?P<corner>out of|away from) the corner (?P<goal>{SQUARE})": "out of the corner",
}
_WAYS = {
    r"(?:get|come (?P<near>nearer)) to its (?P<man>pawn|knight|bishop|rook|queen)": "own man",
    rf"get (?P<to>to|in front of) the pawn on (?P<goal>{SQUARE})": "pawn",
    rf"(?:towards|into) the wrong corner (?P<goal>{SQUARE})": "wrong corner",
    r"(?P<how>off the edge|back to the centre)": "centre",
    rf"(?:get )?(?P<corner>out of|away from) the corner (?P<goal>{SQUARE})": "out of the corner",
}


def leads(text: str, reply: chess.Move, about: Spoken, words: dict[str, str] = _LEADS) -> int:
    """Hold where a step of the defending king leads."""
    for pattern, aim in words.items():
        found = re.fullmatch(pattern, text)
        if found is None:
            continue
        groups = found.groupdict()
        if groups.get("man"):
            men = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
            hold(kind(groups["man"]) in men, text)
            theirs = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != 6]
            beside = any(far(reply.to_square, s) <= 1 for s in theirs)
            hold(beside != bool(groups.get("near")), f"{text}: beside it or not")
        if groups.get("to"):
            pawn, last = chess.parse_square(groups["goal"]), 7 if about.attacker else 0
            ahead = chess.SquareSet.between(pawn, chess.square(pawn % 8, last)) | {chess.square(pawn % 8, last)}
            hold((reply.to_square in ahead) == (groups["to"] != "to"), text)
        if groups.get("how"):
            hold((edge(reply.from_square) == 0) == (groups["how"] == "off the edge"), text)
        if groups.get("corner"):
            there = chess.square_name(reply.from_square) == groups["goal"]
            hold(there == (groups["corner"] == "out of"), f"{text}: the king in the corner")
        serving = [(a, goal) for a, goal, s in leading(about.after, about.attacker) if reply.to_square in s]
        named = [goal for a, goal in serving if a == aim]
        return hold(bool(named) and groups.get("goal") in (None, *named), f"{text}: {serving}")
    raise Fault(f"cannot be read: {text}")


def _better(about: Spoken) -> chess.Board:
    if about.best is None:
        raise Fault("no better move")
    return then(about.before, about.best)


def _named(name: str, about: Spoken) -> chess.Board:
    move = legal(about.before, name)
    hold(move in _as_good(about), f"{name} is a best move")
    return then(about.before, move)


def _reply(name: str, about: Spoken) -> chess.Move:
    """Return a reply, which must be as good as any."""
    reply = legal(about.after, name)
    there = then(about.after, reply)
    outcome = about.told.outcome(about.after)
    hold(-about.told.outcome(there) == outcome, f"{name} keeps what the slip gave")
    if outcome:
        hold(lasts(about, there) == lasts(about, about.after) - 1, f"{name} is a best reply")
    return reply


def _as_good(about: Spoken) -> list[chess.Move]:
    """Return the moves as good as any, and the one recommended."""
    worth = {}
    for move in about.before.legal_moves:
        there = then(about.before, move)
        outcome, plies = -about.told.outcome(there), about.told.mate_plies(there) or 0
        worth[move] = (outcome, plies if outcome < 0 else -plies)
    return [move for move in worth if worth[move] == max(worth.values()) or move == about.best]


def _beside(about: Spoken) -> list[Spoken]:
    """Return the same with each of the best moves as the better one: what one of them shows too is no reason."""
    return [replace(about, best=move) for move in _as_good(about)]


def _only_now(reply: chess.Move, about: Spoken) -> int:
    """Hold that a reply is possible after the slip and not after one of the best moves."""
    for best in _as_good(about):
        hold(reply not in then(about.before, best).legal_moves, f"{reply.uci()} after {best.uci()} too")
    return 1


def new(reply: chess.Move, about: Spoken) -> int:
    """Hold that a reply is best after the slip and after none of the best moves, where no outcome was lost."""
    _reply(about.after.san(reply), about)
    if -about.told.outcome(about.after) == about.told.outcome(about.before):
        for best in _as_good(about):
            there = then(about.before, best)
            worse = reply not in there.legal_moves or lasts(about, then(there, reply)) < lasts(about, there) - 1
            hold(worse, f"{reply.uci()} is as good after {best.uci()}")
    return 1


def _alone(square: chess.Square, about: Spoken) -> bool:
    """Whether the man that moved was the only guard of a square, its own king looked through."""
    return list(without_king(about.before, about.attacker).attackers(about.attacker, square)) == [
        about.move.from_square
    ]


def _attack(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    there, king = then(about.after, reply), reply.to_square
    square = chess.parse_square(found["square"]) if found.groupdict().get("square") else about.move.to_square
    hold(there.piece_type_at(square) == kind(found["man"]), f"the {found['man']}")
    hold(far(square, king) == 1 and is_loose(there, square, about), f"attacks it: {found[0]}")
    for beside in _beside(about):
        better, best = _better(beside), beside.best or about.move
        if reply in better.legal_moves:
            home = about.move.from_square if square == about.move.to_square else square
            now = best.to_square if home == best.from_square else home
            loose = far(now, king) == 1 and is_loose(then(better, reply), now, about)
            hold(not loose, f"attacked after {best.uci()} too")
    count = 3
    if "takes the guard" in found[0]:
        count += hold(_alone(square, about) and square != about.move.to_square, "it was the only guard")
    return count + (leads(found["leads"], reply, about) if found["leads"] else 0)


def _loose(found: Found, about: Spoken) -> int:
    """Hold that a man is loose and a step of the other king comes to stand beside it."""
    square, king = chess.parse_square(found["square"]), their(about, about.after)
    hold(about.after.piece_at(square) == chess.Piece(kind(found["man"]), about.attacker), found[0])
    steps = [then(about.after, m) for m in about.after.legal_moves if m.from_square == king]
    near = [there for there in steps if far(their(about, there), square) == 1]
    return 2 + hold(any(is_loose(there, square, about) for there in near), f"can be attacked: {found[0]}")


def _within_reach(found: Found, about: Spoken) -> int:
    """Hold that a king's step hits the man that moved where it stands now.

    None would have where it stood, or the king stood beside it there.
    """
    now, was = about.move.to_square, about.move.from_square
    hold(about.after.piece_type_at(now) == kind(found["man"]), f"the {found['man']}")
    hold(found["side"] == ("Black" if about.attacker else "White"), "whose king")
    met = about.before.copy(stack=False)
    met.turn, met.ep_square = not about.attacker, None
    if found["how"] == "leaves":
        hold(far(their(about, about.before), was) == 1, "within reach before")
    else:
        hold(not _stepped_beside(met, was, about), "not within reach before")
    return 3 + hold(_stepped_beside(about.after, now, about), "within reach now")


def _stepped_beside(board: chess.Board, man: chess.Square, about: Spoken) -> bool:
    """Whether a step of the other king, whose move it is, comes to stand beside a man that is loose then."""
    steps = [m for m in board.legal_moves if m.from_square == their(about, board) and far(m.to_square, man) == 1]
    return any(is_loose(then(board, step), man, about) for step in steps)


def _unguarded(found: Found, about: Spoken) -> int:
    reply, square = _reply(found["reply"], about), chess.parse_square(found["square"])
    hold(about.after.piece_at(square) == chess.Piece(kind(found["man"]), about.attacker), found[0])
    hold(far(reply.to_square, square) < far(reply.from_square, square), "goes for it")
    hold(_alone(square, about) and not is_guarded(about.after, square, about.attacker), "unguarded now")
    for best in _as_good(about):
        there = then(about.before, best)
        hold(best.from_square == square or is_guarded(there, square, about.attacker), f"not safe after {best.uci()}")
    return 5


def _wall_man(found: Found, about: Spoken) -> int:
    square = chess.parse_square(found["square"])
    hold(about.after.piece_at(square) == chess.Piece(kind(found["man"]), about.attacker), found[0])
    hold(_alone(square, about) and not is_guarded(about.after, square, about.attacker), "unguarded now")
    return 3 + hold(caged(about.before, about) > 0 == caged(about.after, about), "opens the cage")


def _let_go(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    goal = reply.to_square
    hold(about.before.piece_type_at(about.move.from_square) == kind(found["man"]), "the man that moved")
    hold(_alone(goal, about) and goal in king_range(about.after, about.attacker), "let go")
    count = 3 + _only_now(reply, about)
    line = squares_of(found["line"])
    count += hold({goal, about.move.from_square} <= set(line), found["line"])
    hold(about.move.to_square not in line, "has left the line")
    return count + leads(found["leads"], reply, about)


def _off_line(found: Found, about: Spoken) -> int:
    """Hold of a line left, with no reply named, that only the man on it kept the king from a square there."""
    line, at = set(squares_of(found["line"])), about.move.from_square
    hold(about.before.piece_type_at(at) == kind(found["man"]), "the man that moved")
    hold(at in line and about.move.to_square not in line, "has left the line")
    bare, king = without_king(about.before, about.attacker), their(about, about.after)
    steps = [m.to_square for m in about.after.legal_moves if m.from_square == king and m.to_square in line]
    return 2 + hold(any(list(bare.attackers(about.attacker, s)) == [at] for s in steps), "let go")


def _edge_line(found: Found, about: Spoken) -> int:
    line, king = set(squares_of(found["line"])), their(about, about.before)
    hold(about.before.piece_type_at(about.move.from_square) == kind(found["man"]), "the man that moved")
    hold(about.move.from_square in line and about.move.to_square not in line, found["line"])
    beside = [s for s in line if far(s, king) == 1]
    hold(edge(king) == 0 and len(beside) > 1 and king not in line, "next to the edge")
    bare = without_king(about.after, about.attacker)
    return 3 + hold(any(not is_guarded(bare, s, about.attacker) for s in beside), "the line is open")


def _way_open(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    for board in (about.before, about.after):
        bare = without_king(board, about.attacker)
        hold(not bare.attackers(about.attacker, reply.to_square), "nobody guards it")
    named = leads(found["way"], reply, about, _WAYS)
    aim = next(aim for pattern, aim in _WAYS.items() if re.fullmatch(pattern, found["way"]))
    for best in _as_good(about):
        there = then(about.before, best)
        hold(reply not in there.legal_moves, f"open after {best.uci()} too")
        king = their(about, there)
        goals = [m.to_square for m in there.legal_moves if m.from_square == king]
        first = [next((a for a, _, s in leading(there, about.attacker) if goal in s), None) for goal in goals]
        hold(aim not in first, f"another way there after {best.uci()}")
    return 2 + _only_now(reply, about) + named


def _square_open(found: Found, about: Spoken) -> int:
    step = chess.Move(their(about, about.after), chess.parse_square(found["square"]))
    square = _reply(about.after.san(step), about).to_square
    bare = [without_king(then(about.before, best), about.attacker) for best in _as_good(about)]
    return 1 + hold(all(is_guarded(there, square, about.attacker) for there in bare), "shut by the best")


def _man_out(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    hold(about.after.piece_type_at(reply.from_square) == kind(found["man"]), found[0])
    hold(not is_guarded(then(about.after, reply), reply.to_square, about.attacker), "not guarded now")
    for best in _as_good(about):
        there = then(about.before, best)
        if reply in there.legal_moves:
            hold(is_guarded(then(there, reply), reply.to_square, about.attacker), f"not guarded after {best.uci()}")
    return 4


def _hit(found: Found, about: Spoken) -> int:
    reply, better = _reply(found["reply"], about), _better(about)
    there = then(about.after, reply)
    mine = [
        s
        for s in there.attacks(reply.to_square)
        if there.piece_at(s) == chess.Piece(kind(found["man"]), about.attacker)
    ]
    hold(bool(mine) and not is_guarded(there, reply.to_square, about.attacker), found[0])
    by = there.piece_type_at(reply.to_square) or chess.PAWN
    hold(kind(found["man"]) > by and {kind(found["man"]), by} != {chess.KNIGHT, chess.BISHOP}, "stronger")
    if reply in best_replies(better, about):
        instead = then(better, reply)
        best = about.best or about.move
        homes = [about.move.from_square if s == about.move.to_square else s for s in mine]
        now = [best.to_square if s == best.from_square else s for s in homes]
        still = [s for s in now if s in instead.attacks(reply.to_square) and s not in better.attacks(reply.from_square)]
        hold(
            len(still) < len(mine) or is_guarded(instead, reply.to_square, about.attacker), "hit after the better move"
        )
    return 3


def _time(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    hold(found["side"] == ("Black" if about.attacker else "White"), "whose time")
    if about.best is not None and about.best.promotion:
        gone = -about.told.outcome(about.after) < about.told.outcome(about.before)
        takes = reply.to_square == about.best.from_square
        return 2 + hold(gone or takes, "the outcome, or the pawn, is gone")
    checks = all(then(about.before, best).is_check() for best in _as_good(about))
    return 3 + _only_now(reply, about) + hold(checks and not about.after.is_check(), "check")


def _king_hits(found: Found, about: Spoken) -> int:
    """Hold that a king's step, best after none of the best moves, comes to stand beside a loose man."""
    reply = _reply(found["reply"], about)
    there = then(about.after, reply)
    hold(there.piece_type_at(reply.to_square) == chess.KING, "by the king")
    beside = [s for s in there.pieces(kind(found["man"]), about.attacker) if far(s, reply.to_square) == 1]
    return new(reply, about) + hold(any(is_loose(there, s, about) for s in beside), found[0])


def _pawn_on(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    return new(reply, about) + hold(about.after.piece_type_at(reply.from_square) == chess.PAWN, found[0])


def _too_little(found: Found, about: Spoken) -> int:
    """Hold that a pawn became less than a queen, and what of the rest is taken."""
    hold(about.move.promotion == kind(found["man"]) != chess.QUEEN, found[0])
    if not found["reply"]:
        return 1
    groups, last = found.groupdict(), then(about.after, _reply(found["reply"], about))
    hold(last.occupied != about.after.occupied and len(last.piece_map()) < len(about.after.piece_map()), "taken")
    left = [p.piece_type for p in last.piece_map().values() if p.piece_type != chess.KING]
    if groups.get("theirs"):
        hold(left == [kind(groups["theirs"])] and about.told.outcome(last) < 0, found[0])
    return 2 + hold(
        not found["alone"] or (last.is_insufficient_material() and left == [kind(found["alone"])]), found[0]
    )


def _cut(found: Found, about: Spoken) -> int:
    name = found["line"]
    was, now = (cut_off.line(board, about.attacker) for board in (about.before, about.after))
    better = all(cut_off.line(then(about.before, best), about.attacker) for best in _as_good(about)) or None
    hold(was == (name if name.startswith("rank") else f"file {name[4]}"), f"cut off along {was}")
    return 1 + hold(now is None and better is not None, "given up")


def _steps_before(found: Found, about: Spoken) -> int:
    king = about.before.piece_type_at(about.move.from_square) == chess.KING
    mine = about.after.pieces(kind(found["man"]), about.attacker)
    hold(king and len(mine) == 1 and about.move.to_square in squares_of(found["line"]), found[0])
    return 1 + hold(min(mine) in squares_of(found["line"]), found["line"]) + _cut(found, about)


def _in_the_way(found: Found, about: Spoken) -> int:
    good = _as_good(about)
    if about.told.outcome(about.after) == 0 < about.told.outcome(about.before):
        good = [m for m in about.before.legal_moves if about.told.outcome(then(about.before, m)) < 0]
        good = [m for m in good if m.to_square == about.move.to_square]
    pushes = [m for m in good if about.before.piece_type_at(m.from_square) == chess.PAWN]
    goals = chess.SquareSet().union(*(ahead(about, push) for push in pushes))
    return hold(_king(about) == (found["whose"] == "its") and about.move.to_square in goals, found[0])


def _hunts(found: Found, about: Spoken) -> int:
    better, best = _named(found["best"], about), legal(about.before, found["best"])
    men = [s for s in chess.SQUARES if better.piece_at(s) == chess.Piece(kind(found["man"]), not about.attacker)]
    hold(len(men) == 1 and better.piece_type_at(best.to_square) == chess.KING, "the man")
    hold(far(best.to_square, men[0]) < far(best.from_square, men[0]), "nearer")
    hold(
        far(about.move.to_square, men[0]) >= far(best.from_square, men[0]) or not _king(about), "the slip is not nearer"
    )
    return 4 + hold(far(men[0], their(about, better)) > 2, "far from its king")


def _king(about: Spoken) -> bool:
    return about.before.piece_type_at(about.move.from_square) == chess.KING


def _mate(found: Found, about: Spoken) -> int:
    better, best = _named(found["best"], about), legal(about.before, found["best"])
    told = {s: held for s, checks, held in holders(better) if not checks}
    count = 1 + hold(better.is_checkmate(), found[0])
    if found["guard"]:
        by = [better.piece_type_at(s) for s, held in told.items() if best.to_square in held]
        count += hold(by == [kind(found["guard"])], found[0])
    if found["held"]:
        ((helper, held),) = told.items()
        hold(better.piece_type_at(helper) == kind(found["helper"]), found[0])
        count += hold(sorted(squares_in(found["held"])) == held, found[0])
    return count


def _later(about: Spoken, plies: int) -> bool:
    """Whether a slip does not mate in so many plies."""
    return about.told.outcome(about.after) >= 0 or lasts(about, about.after) > plies


def _mate_in(found: Found, about: Spoken) -> int:
    better, moves = _named(found["best"], about), {"two": 2, "three": 3}[found["n"]]
    return 2 + hold(lasts(about, better) == 2 * moves - 2 and _later(about, 2 * moves - 2), found[0])


def _mate_in_two(found: Found, about: Spoken) -> int:
    better = _named(found["best"], about)
    reply = legal(better, found["reply"])
    hold(list(better.legal_moves) == [reply], "the only reply")
    there = then(better, reply)
    return 3 + hold(then(there, legal(there, found["mate"])).is_checkmate(), "mate")


def _mate_after(found: Found, about: Spoken) -> int:
    better = _named(found["best"], about)
    hold(lasts(about, better) == 2 and _later(about, 2), "mate in two")
    there = then(better, legal(better, found["reply"]))
    return 3 + hold(then(there, legal(there, found["mate"])).is_checkmate(), "mate")


def _fork(found: Found, about: Spoken) -> int:
    better, best = _named(found["best"], about), legal(about.before, found["best"])
    hit = [better.piece_type_at(s) for s in better.attacks(best.to_square) if better.color_at(s) != about.attacker]
    count = 2 + hold(better.is_check() and kind(found["man"]) in hit and chess.KING in hit, found[0])
    hit_men = [s for s in better.attacks(best.to_square) if better.piece_type_at(s) == kind(found["man"])]
    takes = [chess.Move(best.to_square, s) for s in hit_men if better.color_at(s) != about.attacker]
    fall = [any(won(better, reply, take, about.told, blow=True) for take in takes) for reply in better.legal_moves]
    hold(all(fall), "whatever is replied a man falls")
    if found["saved"]:
        was, now, theirs = about.move.from_square, about.move.to_square, not about.attacker
        hold(about.before.piece_type_at(was) == kind(found["saved"]), found[0])
        hold(about.before.is_attacked_by(theirs, was), "it was attacked")
        count += 1 + hold(all(m.to_square != now for m in best_replies(about.after, about)), "and is not lost now")
    return count


def _skewer(found: Found, about: Spoken) -> int:
    better, best = _named(found["best"], about), legal(about.before, found["best"])
    king, men = their(about, better), [s for s, p in better.piece_map().items() if p.piece_type == kind(found["man"])]
    behind = [s for s in men if better.color_at(s) != about.attacker]
    hold(better.is_check() and any(king in chess.SquareSet.between(best.to_square, s) for s in behind), found[0])
    return 2


def _stops(found: Found, about: Spoken) -> int:
    count = _held_up(found, about)
    hold(about.told.outcome(about.after) < about.told.outcome(about.before), "the outcome is gone")
    return count + hold(found["side"] == ("Black" if about.attacker else "White"), "whose time")


def _held_up(found: Found, about: Spoken) -> int:
    """Hold that a man comes to guard or block the way of the pawn."""
    reply = _reply(found["reply"], about)
    (pawn,) = (s for s in about.after.pieces(chess.PAWN, about.attacker))
    goal = chess.square(chess.square_file(pawn), 7 if about.attacker else 0)
    way = {*chess.SquareSet.between(pawn, goal), goal}
    held = [
        way & {*board.attacks(square), square}
        for board, square in ((about.after, reply.from_square), (then(about.after, reply), reply.to_square))
    ]
    return 1 + hold(
        about.after.piece_type_at(reply.from_square) != chess.KING and not held[0] and bool(held[1]), found[0]
    )


def _left_only(found: Found, about: Spoken) -> int:
    """Hold which squares are left to the king, or a line taken from it, by a move, which `about` is here."""
    king, (was, now) = their(about, about.after), (without_king(b, about.attacker) for b in (about.before, about.after))
    near = [s for s in chess.SQUARES if far(s, king) == 1]
    if found["square"]:
        free = [s for s in near if not is_guarded(now, s, about.attacker)]
        return hold(free == squares_in(found["square"]), f"left: {free}")
    hold(king not in squares_of(found["line"]), "the king stands on no line that is shut to it")
    line = [s for s in near if s in squares_of(found["line"])]
    fresh = [s for s in line if is_guarded(now, s, about.attacker) and not is_guarded(was, s, about.attacker)]
    return hold(len(fresh) > 1, f"shut: {fresh}") + all_shut(squares_of(found["line"]), about)


def _slow(found: Found, about: Spoken) -> int:
    better = _named(found["best"], about)
    there = then(better, legal(better, found["reply"] or found["only"]))
    hold(not found["only"] or better.legal_moves.count() == 1, "forced")
    last = then(there, legal(there, found["answer"]))
    return 3 + hold(lasts(about, last) == lasts(about, better) - 2, f"{found['answer']} goes on")


def _from_pawn(found: Found, about: Spoken) -> int:
    (pawn,) = about.before.pieces(chess.PAWN, about.attacker)
    was = far(about.move.from_square, pawn)
    hold(_king(about) and far(about.move.to_square, pawn) > was, found[0])
    kings = [m for m in _as_good(about) if about.before.piece_type_at(m.from_square) == chess.KING]
    return 1 + hold(all(far(m.to_square, pawn) <= was for m in kings), "the better ones stay")


def _too_weak(found: Found, about: Spoken) -> int:
    outcome = about.told.outcome(about.before)
    kept = [m for m in about.before.legal_moves if -about.told.outcome(then(about.before, m)) == outcome]
    fell, squares = -about.told.outcome(about.after) < outcome, (about.move.from_square, about.move.to_square)
    needed = [m.promotion for m in (kept if fell else _as_good(about)) if m.promotion]
    made = (about.move.promotion, kind(found["other"]) if kind(found["other"]) in needed else None)
    men = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
    won = [m.promotion for m in kept if m.promotion and (m.from_square, m.to_square) == squares] if fell else needed
    hold({kind(man) for man in re.findall(MAN, found["other"] + found["also"])} == set(won), found[0])
    count = 2 + hold(made == (kind(found["man"]), kind(found["other"])), found[0])
    if found["alone"]:
        count += hold(kind(found["alone"]) == made[0] and about.after.is_insufficient_material(), found[0])
    if found["mine"]:
        hold(kind(found["mine"]) == made[0] and sorted(men) == sorted([chess.KING, kind(found["theirs"])]), found[0])
        count += hold(about.told.outcome(about.after) == 0, found[0])
    return count


def keeps_from(found: Found, about: Spoken) -> int:
    """Hold that a move, which `about` is here, comes to guard squares beside the king, or to which a man of it goes."""
    king, count = their(about, about.after), 0
    was, now = (without_king(board, about.attacker) for board in (about.before, about.after))
    for square in squares_in(found["squares"]):
        fresh = is_guarded(now, square, about.attacker) and not is_guarded(was, square, about.attacker)
        men = [s for s in about.after.attackers(not about.attacker, square) if s != king]
        count += hold(fresh and (far(square, king) == 1 or bool(men)), f"{chess.square_name(square)} is taken")
    return count


def _unheld(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    count = 2 + hold(squares_in(found["square"]) == [reply.to_square], found[0])
    for best in _as_good(about):
        wanted = without_king(then(about.before, best), about.attacker)
        hold(_alone(reply.to_square, about) and is_guarded(wanted, reply.to_square, about.attacker), found[0])
    if found["leads"] == "gets out":
        return count + hold(reply.to_square not in king_range(about.before, about.attacker), "out")
    return count + leads(found["leads"], reply, about)


def _misses(found: Found, about: Spoken) -> int:
    best = legal(about.before, found["best"])
    better = then(about.before, best)
    kept = -about.told.outcome(better) == about.told.outcome(about.before) > -about.told.outcome(about.after)
    hold(best in _as_good(about) or kept, f"{found['best']} is a best move, or keeps what the slip gave away")
    victim = chess.PAWN if about.before.is_en_passant(best) else about.before.piece_type_at(best.to_square)
    hold(victim == kind(found["man"]), found[0])
    return 3 + hold(bool(found["loose"]) != is_guarded(better, best.to_square, better.turn), "loose")


def _runs(found: Found, about: Spoken) -> int:
    better, best = _named(found["best"], about), legal(about.before, found["best"])
    told = pawn_runs.claim(about.before, best, better, about.attacker)
    return 2 + hold(told is not None, "the better move lets the pawn run")


def _at_pawn(found: Found, about: Spoken) -> int:
    """Hold that the pawn could have run, and that a best reply, by the king, attacks it now."""
    reply = legal(about.after, found["reply"])
    hold(reply in best_replies(about.after, about), "a best reply")
    (pawn,) = about.after.pieces(chess.PAWN, about.attacker)
    hold(about.after.piece_type_at(reply.from_square) == chess.KING and far(reply.to_square, pawn) == 1, "attacks it")
    return 2 + _runs(found, about)


def _runs_on(found: Found, about: Spoken) -> int:
    good = _as_good(about)
    push = legal(about.before, found["push"])
    hold(push in good, "a best move")
    if found["whose"]:
        _goes_away(found, about)
    if found["saves"]:
        hold(about.before.piece_type_at(about.move.from_square) == kind(found["saves"]), "what is saved")
        hold(_in_danger(about.before, about.move.from_square, about.attacker), "it was attacked")
    hold(about.before.piece_type_at(about.move.from_square) != chess.PAWN, "another man moves")
    told = pawn_runs.claim(about.before, push, then(about.before, push), about.attacker)
    return 2 + hold(told is not None, "the pawn runs")


def _goes_away(found: Found, about: Spoken) -> int:
    """Hold that the king goes farther from the other, and that no best move does."""
    best = [then(about.before, move) for move in _as_good(about)]
    was, now, *others = map(apart, (about.before, about.after, *best))
    hold((found["whose"] == "White") != about.attacker and now > was, found[0])
    return 1 + hold(max(others) <= was, "none of the best goes away")


def _quiet(about: Spoken, move: chess.Move) -> bool:
    return not about.before.is_capture(move)


def _in_danger(board: chess.Board, square: int, attacker: chess.Color) -> bool:
    """Whether a man is attacked: unguarded, or by a man of less worth."""
    worth = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9}
    by = [board.piece_type_at(other) for other in board.attackers(not attacker, square)]
    mine = worth[board.piece_type_at(square) or chess.PAWN]
    loose = not board.is_attacked_by(attacker, square)
    return any(loose or (man != chess.KING and worth[man or chess.PAWN] < mine) for man in by)


def _made_at_once(found: Found, about: Spoken) -> int:
    """Hold that a pawn could promote, and that a step of the king is as good."""
    push, step = (legal(about.before, found[name]) for name in ("best", "step"))
    hold(push in _as_good(about) and push.promotion is not None, "a best move")
    king = about.before.piece_type_at(step.from_square) == chess.KING
    return 1 + hold(step in _as_good(about) and king and _quiet(about, step), "a step of the king is as good")


def _better_is(found: Found, about: Spoken) -> int:
    return hold(legal(about.before, found["best"]) in _as_good(about), "a best move")


def _king_or_pawn(found: Found, about: Spoken) -> int:
    """Hold that a step of the king and a quiet one of a pawn are best moves, or that a pawn could promote."""
    first, second = (legal(about.before, found[name]) for name in ("best", "step"))
    if first.promotion or second.promotion:
        return _made_at_once(found, about)
    men = [about.before.piece_type_at(move.from_square) for move in (first, second)]
    quiet = not any(map(about.before.is_capture, (first, second)))
    hold(men == [chess.KING, chess.PAWN] and quiet, "king and pawn")
    return 1 + hold({first, second} <= set(_as_good(about)), "best moves")


def _comes_to(found: Found, about: Spoken) -> int:
    """Hold that the king can step to a square after the slip, and after none of the best moves."""
    step = chess.Move(their(about, about.after), chess.parse_square(found["square"]))
    hold(step in about.after.legal_moves, "a step")
    kept = all(step not in then(about.before, best).legal_moves for best in _as_good(about))
    return 1 + _better_is(found, about) + hold(kept, "none after the best")


def _two_steps(found: Found, about: Spoken) -> int:
    """Hold that the pawn that went one step should have gone two."""
    best = legal(about.before, found["best"])
    hold(best == about.best and best.from_square == about.move.from_square, "the same pawn")
    return hold([abs(move.to_square - best.from_square) for move in (about.move, best)] == [8, 16], found[0])


def _not_made(found: Found, about: Spoken) -> int:
    push = legal(about.before, found["best"])
    return hold(push in _as_good(about) and push.promotion is not None, "a best move")


def _hits_both(found: Found, about: Spoken) -> int:
    """Hold what is said of the better move, which `about` is here."""
    hit = [about.after.piece_type_at(s) for s in about.after.attacks(about.move.to_square) if not _own(s, about)]
    return 2 + hold(about.after.is_check() and kind(found["man"]) in hit, found[0])


def _own(square: chess.Square, about: Spoken) -> bool:
    return about.after.color_at(square) == about.attacker


def _from_keys(found: Found, about: Spoken) -> int:
    (pawn,) = about.before.pieces(chess.PAWN, about.attacker)
    keys = squares_in(found["squares"])
    hold(set(keys) == keys_of(pawn, about.attacker), found[0])
    steps = [min(far(s, key) for key in keys) for s in (about.move.from_square, about.move.to_square)]
    kings = [m for m in _as_good(about) if about.before.piece_type_at(m.from_square) == chess.KING]
    hold(all(min(far(m.to_square, key) for key in keys) <= steps[0] for m in kings), "the better ones stay")
    return 1 + hold(_king(about) and steps[1] > steps[0], "farther")


def _keeps_waiting(found: Found, about: Spoken) -> int:
    _named(found["best"], about)
    return 2 + hold(about.best is not None and about.best.promotion is not None, found[0])


def _for(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    hold(reply.to_square == about.move.to_square, "taken in its turn")
    men = [about.before.piece_type_at(s) for s in (about.move.from_square, about.move.to_square)]
    return 2 + hold(men == kinds(found["men"]), found[0])


def _exchange(found: Found, about: Spoken) -> int:
    reply = _reply(found["reply"], about)
    hold(about.after.piece_type_at(reply.to_square) == kind(found["man"]), "the man lost")
    hold(about.after.piece_type_at(reply.from_square) == kind(found["by"]), "the man that takes it")
    hold(not _left_too(kind(found["man"]), about), "the better move leaves none to be taken for nothing")
    there = then(about.after, reply)
    return 4 + hold(legal(there, found["back"]).to_square == reply.to_square, "takes back")


def _keeps(found: Found, about: Spoken) -> int:
    """Hold that a man attacked before the move, of which `about` is here, is taken by no best reply after it."""
    waits = about.before.copy(stack=False)
    waits.turn = not waits.turn
    hit = [m for m in waits.legal_moves if waits.is_capture(m) and not is_guarded(waits, m.to_square, about.attacker)]
    hold(bool(hit), "a man is attacked")
    gone = {about.move.from_square: about.move.to_square}
    kept = {gone.get(m.to_square, m.to_square) for m in hit}
    return hold(bool(kept - {reply.to_square for reply in best_replies(about.after, about)}), found[0])


def _drives_to_pawn(found: Found, about: Spoken) -> int:
    """Hold that after a check all that keeps the draw is a step of the king to a square, beside its pawn only then."""
    replies, to = best_replies(about.after, about), chess.parse_square(found["square"])
    (pawn,) = about.after.pieces(chess.PAWN, not about.attacker)
    hold(about.after.is_check() and {reply.to_square for reply in replies} == {to}, found[0])
    hold(all(reply.from_square == their(about, about.after) for reply in replies), "a step of the king")
    return 3 + hold(far(to, pawn) == 1 < far(their(about, about.after), pawn), "beside its pawn")


def _left_too(man: chess.PieceType, about: Spoken) -> bool:
    """Whether a man of a kind can be taken for nothing after the better move, the outcome the same."""
    if about.best is None or about.told.outcome(about.after) != about.told.outcome(_better(about)):
        return False
    better = _better(about)
    takes = [move for move in better.legal_moves if better.piece_type_at(move.to_square) == man]
    free = [m for m in takes if all(back.to_square != m.to_square for back in then(better, m).legal_moves)]
    return any(-about.told.outcome(then(better, move)) == about.told.outcome(better) for move in free)


def _given(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    man = chess.PAWN if about.after.is_en_passant(reply) else about.after.piece_type_at(reply.to_square)
    hold(man == kind(found["man"] or found["left"] or found["hangs"]), found[0])
    hold(man is None or not _left_too(man, about), "the better move leaves none to be taken for nothing")
    hold(bool(found["man"]) == (reply.to_square == about.move.to_square), "who moved")
    if at := found["at"] or found["where"] or found["there"]:
        hold(chess.parse_square(at) == reply.to_square, found[0])
    if found["left"]:
        square, taker = reply.to_square, about.before.attacks(reply.from_square)
        hold(square in taker and about.before.piece_type_at(square) == man, "attacked before the move")
    last = then(about.after, reply)
    count = 2
    mine = [p.piece_type for p in last.piece_map().values() if p.color == about.attacker and p.piece_type != chess.KING]
    if found["alone"]:
        men = [p.piece_type for p in last.piece_map().values() if p.piece_type != chess.KING]
        count += hold(men == [kind(found["alone"])] and last.is_insufficient_material(), found[0])
    if found["still"]:
        count += hold(mine == [kind(found["still"])] and about.told.outcome(last) > 0, found[0])
    if found["theirs"]:
        hold(not mine and len(last.piece_map()) == 3, "one man is left")
        count += hold(bool(last.pieces(kind(found["theirs"]), not about.attacker)) and about.told.outcome(last) < 0, "")
    if found["weak"]:
        hold(mine == [chess.PAWN] and len(last.piece_map()) == 3, "a lone pawn")
        count += hold(about.told.outcome(last) == 0, "drawn")
    if found["bare"]:
        count += hold(len(last.piece_map()) == 2, "bare kings")
    return count


def _both_hang(found: Found, about: Spoken) -> int:
    """Hold that either of the only two men can be taken for nothing, one before too, or left by its guard."""
    replies = [legal(about.after, name) for name in (found["reply"], found["or"])]
    men = about.after.occupied_co[about.attacker] & ~about.after.kings
    hold(sum(chess.BB_SQUARES[reply.to_square] for reply in replies) == men, "the only men")
    hold(all(about.told.outcome(then(about.after, reply)) == 0 for reply in replies), "either draws")
    king = about.before.king(not about.attacker) or 0
    for stayed in {reply.to_square for reply in replies} - {about.move.to_square}:
        guards = list(without_king(about.before, about.attacker).attackers(about.attacker, stayed))
        hold(far(king, stayed) == 1, "attacked before the move")
        hold(not guards or guards == [about.move.from_square], "loose before the move, or left")
    return 4


def _in_the_way_too(found: Found, about: Spoken) -> int:
    """Hold that the other king comes to stand beside the only pawn by a best reply besides."""
    reply = legal(about.after, found["reply"])
    hold(reply in best_replies(about.after, about), "a best reply")
    (pawn,) = about.after.pieces(chess.PAWN, about.attacker)
    return 2 + hold(far(reply.to_square, pawn) == 1 < far(reply.from_square, pawn), "goes for it")


def _thrown(found: Found, about: Spoken) -> int:
    return hold(about.told.outcome(about.before) > 0 == about.told.outcome(about.after), found[0])


def _first_shuts(found: Found, about: Spoken) -> int:
    """Hold what is said of the better move, which `about` is here."""
    was, now = (without_king(board, about.attacker) for board in (about.before, about.after))
    for square in squares_in(found["squares"]):
        guards, before = now.attackers(about.attacker, square), was.attackers(about.attacker, square)
        hold(about.move.to_square in guards and not (before and found["first"]), found[0])
    return 1


def _up(found: Found, about: Spoken) -> int:
    """Hold what is said of the better move, which `about` is here."""
    was, now = map(apart, (about.before, about.after))
    return hold(_king(about) and (now < was if "up" in found[0] else now >= was), found[0])


def _away(found: Found, about: Spoken) -> int:
    best = [then(about.before, move) for move in _as_good(about)]
    was, now, *others = map(apart, (about.before, about.after, *best))
    theirs = [s for s, p in about.before.piece_map().items() if p.color != about.attacker]
    men = [s for s in theirs if about.before.piece_type_at(s) != chess.KING]
    hold(not any(far(about.move.to_square, s) < far(about.move.from_square, s) for s in men), "away from the men too")
    return hold(now > max(was, *others), "away") + stand_alone(found["why"] or "", about)


_REPLY = rf"(?P<reply>{SAN})"
_BEST = rf"(?P<best>{SAN})"
_THE_MAN = rf"the (?P<man>{MAN})"
_HITS = rf"{_REPLY} attacks it(?: and (?P<leads>.*))?"

#: What is said of a slip, with its readers.
SLIPS: tuple[tuple[str, Reader], ...] = (
    (rf"takes the guard from {_THE_MAN} on (?P<square>{SQUARE}): {_HITS}", _attack),
    (rf"(?:puts|leaves) {_THE_MAN} within reach of (?:White|Black)'s king: {_HITS}", _attack),
    (rf"(?P<how>puts|leaves) {_THE_MAN} within reach of (?P<side>White|Black)'s king", _within_reach),
    (rf"leaves {_THE_MAN} on (?P<square>{SQUARE}) loose: {_HITS}", _attack),
    (rf"leaves {_THE_MAN} on (?P<square>{SQUARE}) loose", _loose),
    (rf"takes the guard from {_THE_MAN} on (?P<square>{SQUARE}): {_REPLY} goes for it", _unguarded),
    (rf"takes the guard from {_THE_MAN} on (?P<square>{SQUARE}), which shut the cage", _wall_man),
    (rf"takes {_THE_MAN} off (?P<line>{LONG_LINE}): {_REPLY} (?P<leads>.*)", _let_go),
    (rf"takes {_THE_MAN} off (?P<line>{LONG_LINE})", _off_line),
    (rf"takes {_THE_MAN} off (?P<line>{LONG_LINE}), which held the king on the edge", _edge_line),
    (rf"lets (?:White|Black)'s king (?P<way>.*): {_REPLY}", _way_open),
    (rf"lets (?:White|Black)'s king come to (?P<square>{SQUARE})", _square_open),
    (rf"lets (?:White|Black)'s king come to (?P<square>{SQUARE}): better is {_BEST}", _comes_to),
    (rf"lets {_THE_MAN} escape by {_REPLY}", _man_out),
    (rf"lets {_THE_MAN} stop the pawn: {_REPLY}", lambda found, about: _man_out(found, about) + _held_up(found, about)),
    (rf"allows {_REPLY}, which hits {_THE_MAN}", _hit),
    (rf"gives (?P<side>White|Black) time for {_REPLY}", _time),
    (
        rf"gives (?P<side>White|Black) time for {_REPLY}, which stops the pawn",
        lambda found, about: _time(found, about) + _held_up(found, about),
    ),
    (rf"allows {_REPLY}, which attacks {_THE_MAN}", _king_hits),
    (rf"lets the pawn go on by {_REPLY}", _pawn_on),
    (rf"makes only a (?P<man>{MAN})(?P<reply>)(?P<alone>)", _too_little),
    (
        rf"only makes a (?P<man>{MAN}): {_REPLY}(?:, and a (?P<alone>{MAN}) alone cannot mate)?"
        rf"(?:, but the {MAN} still wins|, and the (?P<theirs>{MAN}) wins)?",
        _too_little,
    ),
    (r"comes first", lambda found, about: hold(about.move.promotion is not None, found[0])),
    (rf"gives (?P<side>White|Black) time to stop the pawn: {_REPLY}", _stops),
    (r"takes the king away from its pawn", _from_pawn),
    (rf"loses time: better is {_BEST}", _better_is),
    (rf"loses time: better is {_BEST}, and (?:if {_REPLY}|after (?P<only>{SAN}), forced), (?P<answer>{SAN})", _slow),
    (rf"misses the skewer {_BEST}: the king must step aside, and {_THE_MAN} falls", _skewer),
    (rf"misses mate in (?P<n>two|three), beginning with {_BEST}", _mate_in),
    (rf"leaves the king only (?P<square>{SQUARE})(?P<line>)", _left_only),
    (rf"shuts (?P<line>{LONG_LINE}) to (?:it|(?:White|Black)'s king)(?P<square>)", _left_only),
    (rf"brings the king up and takes (?P<squares>{SQUARES})", keeps_from),
    (rf"shuts (?P<squares>{SQUARES})", keeps_from),
    (r"comes first, with check", lambda found, about: hold(about.after.is_check(), found[0])),
    (rf"gives up (?P<line>{LONG_LINE}), which cut the king off", _cut),
    (rf"steps before its own (?P<man>{MAN}), which cut the king off along (?P<line>{LONG_LINE})", _steps_before),
    (r"stands in (?P<whose>its|the) pawn's way", _in_the_way),
    (
        rf"stands in (?P<whose>its|the) pawn's way, and {_REPLY} goes for it",
        lambda found, about: _in_the_way(found, about) + _in_the_way_too(found, about),
    ),
    (rf"leaves both (?:{MAN}s|{MAN} and {MAN}) hanging: {_REPLY} or (?P<or>{SAN})", _both_hang),
    (rf"leaves {_THE_MAN} in peace: {_BEST} goes after it, far from its king", _hunts),
    (
        rf"overlooks mate in one: {_BEST}(?:, guarded by the (?P<guard>{MAN})"
        rf"|, with (?P<held>{SQUARES}) held by the (?P<helper>{MAN}))?",
        _mate,
    ),
    (rf"overlooks the (?P<loose>loose) (?P<man>{MAN}): {_BEST} takes it", _misses),
    (rf"loses time: {_BEST} at once outruns the king", _runs),
    (rf"gives (?:White|Black)'s king time to catch the pawn: {_BEST} at once outruns it", _runs),
    (rf"lets (?:White|Black)'s king attack the pawn by {_REPLY}: {_BEST} at once outruns the king", _at_pawn),
    (
        rf"(?:(?:saves the (?P<saves>{MAN}), but )?loses time|walks away from (?P<whose>White|Black)'s king):"
        rf" better (?P<push>{SAN}), and the pawn runs on",
        _runs_on,
    ),
    (rf"loses time: better is {_BEST} or (?P<step>{SAN})", _king_or_pawn),
    (
        rf"(?P<did>walks away from (?P<whose>White|Black)'s king): better is {_BEST} or (?P<step>{SAN})",
        lambda found, about: _goes_away(found, about) + _king_or_pawn(found, about),
    ),
    (rf"(?:misses|puts off) {_BEST}", _not_made),
    (rf"misses {_BEST}, two steps at once", _two_steps),
    (rf"hits king and (?P<man>{MAN})", _hits_both),
    (rf"takes the king farther from the key squares (?P<squares>{SQUARES})", _from_keys),
    (rf"misses mate in two: {_BEST} leaves only {_REPLY}, then (?P<mate>{SAN})", _mate_in_two),
    (rf"misses mate in two: {_BEST}, and if {_REPLY}, (?P<mate>{SAN})", _mate_after),
    (rf"(?:saves the (?P<saved>{MAN}), but )?misses the fork {_BEST}, which hits king and (?P<man>{MAN})", _fork),
    (rf"misses {_BEST}, which takes the (?P<man>{MAN})(?P<loose>)", _misses),
    (rf"loses time: {_BEST} takes the (?P<loose>loose) (?P<man>{MAN}) at once", _misses),
    (rf"wastes a move: {_BEST} comes first", _keeps_waiting),
    (rf"gives (?P<men>the {MAN} for the {MAN}): {_REPLY}", _for),
    (rf"gives the (?P<man>{MAN})(?: on {SQUARE})? for the (?P<by>{MAN}): {_REPLY} (?P<back>{SAN})", _exchange),
    (rf"drives (?:White|Black)'s king to (?P<square>{SQUARE}), beside its pawn", _drives_to_pawn),
    (r"keeps it", _keeps),
    (
        rf"(?:gives {_THE_MAN}(?: on (?P<at>{SQUARE}))? away"
        rf"|leaves the (?P<hangs>{MAN})(?: on (?P<there>{SQUARE}))? hanging"
        rf"|does not save the (?P<left>{MAN})(?: on (?P<where>{SQUARE}))?): {_REPLY}"
        rf"(?:, and a (?P<alone>{MAN}) alone cannot mate|, but the (?P<still>{MAN}) still wins"
        rf"|, and the (?P<theirs>{MAN}) wins"
        r"|(?P<bare>, and bare kings are left)|(?P<weak>, and the pawn alone does not win))?",
        _given,
    ),
    (
        rf"makes a (?P<man>{MAN}) where a (?P<other>{MAN})(?P<also>(?:(?:, | or ){MAN})*) is needed"
        rf"(?:: a (?P<alone>{MAN}) alone cannot mate|: (?P<mine>{MAN}) against (?P<theirs>{MAN}) only draws)?",
        _too_weak,
    ),
    (rf"leaves (?P<square>{SQUARE}) unguarded: {_REPLY} (?P<leads>.*)(?P<line>)", _unheld),
    (r"throws the win away", _thrown),
    (rf"guards (?P<squares>{SQUARES})(?P<first> first)?", _first_shuts),
    (r"(?:keeps it nearer|brings it up)", _up),
    (r"takes the king away: (?P<why>.*)", _away),
)

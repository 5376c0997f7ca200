"""Reads what is said of a single move, and holds it against the board; see `spoken`."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.drawn_reasons import claims as reasons_for
from tests.witness.ideas import box, cut_off, guards, holes, knights_w, towards_w, waiting_move
from tests.witness.ideas.cage import cage, mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, king_range, shut, without_king
from tests.witness.ideas.shuts_way import leading
from tests.witness.ideas.stalemate_trap import stalemating
from tests.witness.spoken import (
    MAN,
    MEN,
    SAN,
    SANS,
    SQUARE,
    SQUARES,
    Fault,
    Spoken,
    hold,
    lasts,
    legal,
    moves_in,
    squares_in,
    then,
)

Found = re.Match[str]
Reader = Callable[[Found, Spoken], int]
_NUMBER = r"(\d+)"
_LINE = r"(?:the [a-h]-file|rank [1-8])"
far = chess.square_distance


def deed(text: str, about: Spoken) -> int:
    """Return the claims of what is said of a move."""
    for pattern, reader in _DEEDS:
        found = re.fullmatch(pattern, text)
        if found is not None:
            return reader(found, about)
    raise Fault(f"cannot be read: {text}")


def punished(what: str, reply: chess.Move, about: Spoken) -> int:
    """Return the claims of what is said of a reply that punishes a move."""
    there = then(about.after, reply)
    kept = -about.told.outcome(there) == about.told.outcome(about.after)
    count = 1 + hold(kept, "the reply keeps what the slip gave")
    for pattern, reader in _PUNISHES:
        found = re.fullmatch(pattern, what)
        if found is not None:
            return count + reader(found, reply, there, about)
    raise Fault(f"cannot be read: {what}")


def kind(name: str) -> chess.PieceType:
    """Return the kind of a man."""
    return chess.PIECE_NAMES.index(name)


def kinds(text: str) -> list[chess.PieceType]:
    """Return the kinds of the men named in a text."""
    return [kind(name) for name in re.findall(MAN, text)]


def men_stand(text: str, board: chess.Board, side: chess.Color | None = None) -> int:
    """Hold every ``the knight on e5`` of a text."""
    found = re.findall(rf"({MAN}) on ({SQUARE})", text)
    for name, square in found:
        piece = board.piece_at(chess.parse_square(square))
        hold(piece is not None and piece.piece_type == kind(name), f"{name} on {square}")
        hold(side is None or piece is None or piece.color == side, f"whose {name} on {square}")
    return 2 * len(found)


def their(about: Spoken, board: chess.Board) -> chess.Square:
    """Return the square of the defending king."""
    return king_of(board, not about.attacker)


def is_guarded(board: chess.Board, square: chess.Square, side: chess.Color) -> bool:
    return bool(board.attackers(side, square))


def size(board: chess.Board, about: Spoken) -> int:
    return len(king_range(board, about.attacker))


def caged(board: chess.Board, about: Spoken) -> int:
    """Return the squares of the cage, 0 without one."""
    return len(cage(board, about.attacker) or ())


def newly_shut(text: str, about: Spoken) -> int:
    squares, was, now = squares_in(text), shut(about.before, about.attacker), shut(about.after, about.attacker)
    return sum(hold(s not in was and s in now, f"{chess.square_name(s)} is shut") for s in squares)


def _way(found: Found, about: Spoken) -> int:
    squares, which, where = squares_in(found[1]), found[2], found[3]
    aim, target = _where(where)
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    serving = next((s for a, goal, s in leading(about.after, about.attacker) if (a, goal) == (aim, target)), None)
    if aim == "own man":
        (man,) = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and s != king]
        hold(about.after.piece_type_at(man) == kind(where.split()[-1]), where)
        serving = [s for s in chess.SQUARES if far(s, king) == 1 and far(s, man) < far(king, man)]
    if aim == "centre":
        hold((edge(king) == 0) == ("edge" in where), "on the edge")
    assert serving is not None, where
    left = [s for s in serving if about.after.piece_at(s) is None and s not in closed]
    hold((which == "the") == (not left), f"{which} way")
    count = newly_shut(found[1], about)
    return count + sum(hold(s in serving, f"{chess.square_name(s)} {where}") for s in squares)


def _where(text: str) -> tuple[str, str | None]:
    for pattern, aim in (
        (rf"to its {MAN}", "own man"),
        (rf"to the pawn on ({SQUARE})", "pawn"),
        (rf"to ({SQUARE}), the wrong corner", "wrong corner"),
        (r"off the edge|back to the centre", "centre"),
        (rf"out of the corner ({SQUARE})", "out of the corner"),
    ):
        found = re.fullmatch(pattern, text)
        if found is not None:
            return aim, (found[1] if found.groups() else None)
    raise Fault(f"cannot be read: {text}")


_WAY = rf"shuts ({SQUARES}), (a|the) way ((?:to its|to the pawn|to [a-h]|off|back|out) ?.*)"


def _promotes(found: Found, about: Spoken) -> int:
    return hold(about.move.promotion == kind(found[1]), "promotes") + _left(found[2], about)


def _left(text: str | None, about: Spoken) -> int:
    if not text:
        return 0
    mine, theirs = text.split(" against ")
    count = 0
    for side, men in ((about.attacker, mine), (not about.attacker, theirs)):
        stand = sorted(p.piece_type for p in about.after.piece_map().values() if p.color == side)
        count += hold(stand == sorted(kinds(men)), f"{men} are left")
    return count


def _takes(found: Found, about: Spoken) -> int:
    victim = about.before.piece_type_at(about.move.to_square)
    if about.before.is_en_passant(about.move):
        victim = chess.PAWN
    free = not is_guarded(about.after, about.move.to_square, not about.before.turn)
    count = hold(victim == kind(found[2]), "takes") + hold(bool(found[1]) == free, "unguarded")
    return count + _left(found[3], about)


def _cage_change(found: Found, about: Spoken) -> int:
    was, now = size(about.before, about), size(about.after, about)
    up, low, high = found[1], int(found[2]), int(found[3])
    hold(caged(about.before, about) > 0 and caged(about.after, about) > 0, "a cage before and after")
    if up:
        hold(_apart(about.after) < _apart(about.before), "the king comes up")
    return hold((low, high) == (was, now), f"the cage {was} to {now}") * 2 + bool(up)


def _apart(board: chess.Board) -> int:
    return far(king_of(board, True), king_of(board, False))


def _cage_now(found: Found, about: Spoken) -> int:
    count = hold(caged(about.after, about) == int(found[1]), "a cage of so many squares")
    corner = found.groupdict().get("corner")
    if corner:
        near = far(their(about, about.after), chess.parse_square(corner))
        count += hold(near <= 3 and corner in mating_corners(about.after, about.attacker), "by the corner")
    return count


def _box(found: Found, about: Spoken) -> int:
    was, now = box.box(about.before, about.attacker), box.box(about.after, about.attacker)
    if found["from"]:
        hold(was == int(found["from"]), "the box before")
    if found["knights"]:
        piece = box.heavy(about.after, about.attacker)
        assert piece is not None
        hold(chess.BB_KNIGHT_ATTACKS[piece] >> their(about, about.after) & 1 == 1, "a knight's move")
    return hold(now == int(found["to"]), f"a box of {now}") + bool(found["from"]) + bool(found["knights"])


def _line(found: Found, about: Spoken) -> int:
    name = found["line"]
    line = cut_off.line(about.after, about.attacker)
    return hold(line == (name if name.startswith("rank") else f"file {name[4]}"), f"cut off along {line}")


def _opposition(found: Found, about: Spoken) -> int:
    named = found.groupdict().get("kind") or "direct"
    return hold(waiting_move.opposition(about.after) == named, f"the {named} opposition")


def _opposition_and_way(found: Found, about: Spoken) -> int:
    return _opposition(found, about) + deed(found["way"], about)


def _bars(found: Found, about: Spoken) -> int:
    count = _opposition(found, about) if found.groupdict().get("kind") else 0
    if not found["squares"]:
        return count
    mine, rival = king_of(about.after, about.before.turn), king_of(about.after, not about.before.turn)
    squares = squares_in(found["squares"])
    return count + sum(
        hold(far(s, mine) == 1 == far(s, rival) and far(s, about.move.from_square) > 1, f"bars {chess.square_name(s)}")
        for s in squares
    )


def _w_ready(found: Found, about: Spoken) -> int:
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    count = hold(told is not None and told["state"] == "ready", "the W ready")
    for name, square in re.findall(rf"({MAN}) ({SQUARE})", found[0]):
        piece = about.after.piece_at(chess.parse_square(square))
        count += hold(piece == chess.Piece(kind(name), about.attacker), f"{name} {square}")
    return count


def _w_step(found: Found, about: Spoken) -> int:
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    step = int(found["step"] or 1)
    count = hold(told is not None and (told["state"], told["step"]) == ("step", step), "a step of the W")
    return count + (newly_shut(found["squares"], about) if found["squares"] else 0)


def _w_left(found: Found, about: Spoken) -> int:
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    return hold(told is not None and (told["state"], told["man"]) == ("leaves", found[1]), "leaves the W")


def _waits(found: Found, about: Spoken) -> int:
    told = waiting_move.claim(about.before, about.move, about.after, about.attacker, about.told)
    count = hold(told is not None, "passes the move")
    count += hold(found["side"] == ("Black" if about.attacker else "White"), "whose move")
    return count + (_only_reply(found["reply"], about) if found["reply"] else 0)


def _only_reply(name: str, about: Spoken) -> int:
    return hold([about.after.san(m) for m in about.after.legal_moves] == [name], f"only {name}")


def _safe(found: Found, about: Spoken) -> int:
    could = [s for s in chess.SQUARES if far(s, their(about, about.before)) == 1 and _loose(about.before, s, about)]
    names = [chess.piece_name(about.before.piece_type_at(s) or 0) for s in could]
    return hold(found[1] in names, f"the {found[1]} could be taken")


def _loose(board: chess.Board, square: chess.Square, about: Spoken) -> bool:
    piece = board.piece_at(square)
    mine = piece is not None and piece.color == about.attacker and piece.piece_type != chess.KING
    return mine and not is_guarded(board, square, about.attacker)


def _replies_leave(found: Found, about: Spoken) -> int:
    corner, king = chess.parse_square(found[1]), their(about, about.after)
    steps = [far(reply.to_square, corner) for reply in about.after.legal_moves]
    hold(all(step > far(king, corner) for step in steps), f"out of {found[1]}")
    right = found[1] in mating_corners(about.after, about.attacker)
    return 1 + hold(right == ("should be mated" in found[0]), f"{found[1]}: right or wrong corner")


def _drives(found: Found, about: Spoken) -> int:
    king, goals = their(about, about.after), [reply.to_square for reply in about.after.legal_moves]
    if found.groupdict().get("corner"):
        corner = chess.parse_square(found["corner"])
        hold(found["corner"] in mating_corners(about.after, about.attacker), "mate can be forced there")
        return 1 + hold(all(far(goal, corner) < far(king, corner) for goal in goals), found[0])
    return hold(all(edge(goal) < edge(king) for goal in goals), found[0])


def _has_only(found: Found, about: Spoken) -> int:
    squares = squares_in(found["squares"])
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    free = [s for s in chess.SQUARES if far(s, king) == 1 and s not in closed]
    free = [s for s in free if about.after.color_at(s) != (not about.attacker)]
    count = sum(hold(s in free, f"{chess.square_name(s)} is free") for s in squares)
    return count + hold(len(free) == len(squares), "no other")


def _on_edge(found: Found, about: Spoken) -> int:
    hold(edge(their(about, about.after)) == 0, "on the edge")
    return 1 + _has_only(found, about)


def _pawn(about: Spoken) -> tuple[chess.Square, chess.Square]:
    """Return the attacker's only pawn after the move, and its promotion square."""
    (pawn,) = about.after.pieces(chess.PAWN, about.attacker)
    return pawn, chess.square(pawn % 8, 7 if about.attacker else 0)


def _runs(found: Found, about: Spoken) -> int:
    pawn, goal = _pawn(about)
    steps = far(their(about, about.after), goal)
    count = hold(int(found[1]) == steps, "steps") + hold(chess.square_name(goal) == found[2], "the promotion square")
    left = far(pawn, goal) - (edge(pawn) == 1 and pawn // 8 == (1 if about.attacker else 6))
    return count + hold(steps > left + 1, "outside the square")


def _key(found: Found, about: Spoken) -> int:
    pawn, goal = _pawn(about)
    king = king_of(about.after, about.attacker)
    keys = _keys(pawn, about.attacker)
    if found.groupdict().get("squares"):
        squares = squares_in(found["squares"])
        hold(set(squares) == keys, f"key squares {found['squares']}")
        steps = min(far(king, s) for s in keys)
        return len(squares) + hold(found["n"] is None or steps == int(found["n"]), "more steps")
    if found[0].startswith("takes the opposition"):
        hold(waiting_move.opposition(about.after) == "direct", "opposition")
    return hold(king in keys, f"on a key square of the pawn that goes to {chess.square_name(goal)}")


def _keys(pawn: chess.Square, white: chess.Color) -> set[chess.Square]:
    """Return the key squares: handbooks, from memory."""
    file, rank = pawn % 8, pawn // 8 if white else 7 - pawn // 8
    if file in (0, 7):
        near = 1 if file == 0 else 6
        found = {(near, 6), (near, 7)}
    else:
        ranks = [rank + 2] if rank < 4 else [rank + 1, rank + 2] if rank < 6 else [6, 7]
        found = {(f, r) for r in ranks for f in (file - 1, file, file + 1) if r < 8}
    return {chess.square(f, r if white else 7 - r) for f, r in found}


def _prepared(found: Found, about: Spoken) -> int:
    if not found["reply"]:
        return hold(about.told.outcome(about.after) < 0, "wins")
    there = then(about.after, legal(about.after, found["reply"]))
    if found["only"]:
        _only_reply(found["reply"], about)
    move = legal(there, found["move"])
    last = then(there, move)
    hold(about.told.outcome(last) < 0, "keeps the win")
    what, was, now = found["what"], caged(there, about), caged(last, about)
    state = (knights_w.claim(there, move, last, about.attacker) or {}).get("state")
    boxes = box.box(there, about.attacker), box.box(last, about.attacker)
    checks: dict[str, bool] = {
        "prepares mate": last.is_checkmate(),
        "prepares the W": state == "ready",
        "waits for the next step of the W": state == "step",
        "prepares to shut the cage": not was and bool(now),
        "prepares to tighten the cage": 0 < now < was,
        "prepares the opposition": waiting_move.opposition(last) == "direct",
        "prepares to shrink the box": None not in boxes and boxes[1] < boxes[0],  # type: ignore[operator]
        "prepares to cut the king off": cut_off.line(last, about.attacker) is not None,
        "is a step on the way": True,
    }
    if what in checks:
        return 2 + hold(checks[what], what)
    if what.startswith("makes way"):
        return 2 + hold(move.promotion == kinds(what)[0], what)
    victim = chess.PAWN if there.is_en_passant(move) else there.piece_type_at(move.to_square)
    return 2 + hold(victim == kinds(what)[0], what)


def _threat(found: Found, about: Spoken) -> int:
    again = about.after.copy(stack=False)
    again.turn, again.ep_square = about.before.turn, None
    name = found.groupdict().get("move")
    if name:
        move = legal(again, name)
        mates = then(again, move).is_checkmate()
        return 1 + hold(mates if "mate" in found[0] else move.promotion is not None, found[0])
    count = men_stand(found[0].replace("unguarded ", ""), about.after, not about.before.turn)
    for square in squares_in(found[0]):
        hold(any(m.to_square == square for m in again.legal_moves) or _touches(about, square), "can be attacked")
        if "unguarded" in found[0]:
            count += hold(not is_guarded(about.after, square, not about.before.turn), "unguarded")
    return count + 1


def _touches(about: Spoken, square: chess.Square) -> bool:
    return far(about.move.to_square, square) == 1 and about.after.piece_type_at(about.move.to_square) == chess.KING


def _barrier(found: Found, about: Spoken) -> int:
    bare, count = without_king(about.after, about.attacker), 0
    for man, squares in ((chess.BISHOP, found[1]), (chess.KNIGHT, found[2])):
        (own,) = about.after.pieces(man, about.attacker)
        for square in squares_in(squares):
            count += hold(square in bare.attacks(own) and far(square, their(about, about.after)) == 1, found[0])
    return count


def _guards(found: Found, about: Spoken) -> int:
    count = men_stand(found["men"], about.after, about.before.turn)
    for square in squares_in(found["men"]):
        count += hold(is_guarded(about.after, square, about.before.turn), "guarded")
        if found["from"]:
            hold(far(square, their(about, about.after)) <= 2, "the other king is near")
    return count


def _frees(found: Found, about: Spoken) -> int:
    bound = [about.after.piece_type_at(s) for s in guards.tied(about.before, about.attacker)]
    return sum(hold(man in bound, "was tied") for man in kinds(found[1]))


def _free_man(found: Found, about: Spoken) -> int:
    bound = guards.tied(about.before, about.attacker)
    hold(about.move.from_square not in bound or caged(about.before, about) == 0, "free")
    men = [about.before.piece_type_at(s) for s in bound]
    return sum(hold(man in men, "guards a square alone") for man in kinds(found[1]))


def _king_up(found: Found, about: Spoken) -> int:
    count, why = hold(_apart(about.after) < _apart(about.before), "nearer"), found[1]
    if why.endswith("the cage shut meanwhile"):
        count += hold(0 < caged(about.after, about) <= caged(about.before, about), why)
    elif why.endswith("cut off meanwhile"):
        count += hold(all(cut_off.line(b, about.attacker) for b in (about.before, about.after)), why)
    elif why.endswith("the box meanwhile"):
        was, now = (box.box(b, about.attacker) for b in (about.before, about.after))
        count += hold(was is not None and now is not None and now <= was, why)
    else:
        return count + _alone(why, about)
    return count + _alone(why, about)


def _alone(why: str, about: Spoken) -> int:
    named = kinds(why.replace("other king", "").replace("the king", ""))
    men = [p.piece_type for p in about.after.piece_map().values() if p.color == about.attacker]
    return sum(hold(man in men, why) for man in named)


def _nears_man(found: Found, about: Spoken) -> int:
    square, now = chess.parse_square(found["square"]), about.move.to_square
    count = men_stand(f"{found['man']} on {found['square']}", about.after, not about.before.turn)
    hold(far(now, square) < far(about.move.from_square, square), "nearer")
    return count + hold(far(now, square) == int(found["n"] or 1), "steps to go")


def _to_centre(found: Found, about: Spoken) -> int:
    return hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre") + _alone(
        found[1], about
    )


def _narrows(found: Found, about: Spoken) -> int:
    return hold((int(found[1]), int(found[2])) == (size(about.after, about), size(about.before, about)), found[0]) * 2


def _off_rim(found: Found, about: Spoken) -> int:
    hold(edge(about.move.from_square) == 0 < edge(about.move.to_square), "off the edge")
    return 1 + hold(about.before.piece_type_at(about.move.from_square) == kind(found[1]), "the man")


def _to_w(found: Found, about: Spoken) -> int:
    told = towards_w.claim(about.before, about.move, about.after, about.attacker)
    assert told is not None, found[0]
    hold((told["man"], told["post"]) == (found[1], found[2]), f"{found[0]}: {told}")
    there = " to " in found[0].partition(",")[0]
    hold((told["moves"] == 0) == there and found[3] in (None, str(told["moves"])), f"{found[0]}: {told}")
    return 3


def _pawn_on(found: Found, about: Spoken) -> int:
    hold(about.before.piece_type_at(about.move.from_square) == chess.PAWN, "a pawn")
    if not found[1]:
        return 1
    pawn, goal = _pawn(about)
    double = pawn // 8 == (1 if about.attacker else 6)
    return 1 + hold(int(found[1]) == far(pawn, goal) - double, "more moves")


def _hole_made(found: Found, about: Spoken) -> int:
    open_now = holes.holes(about.after, about.attacker)
    return sum(hold(s in open_now, f"a hole at {chess.square_name(s)}") for s in squares_in(found["squares"]))


def _takes_squares(found: Found, about: Spoken) -> int:
    return newly_shut(found["squares"], about)


def _mated(found: Found, about: Spoken) -> int:
    count = hold(about.after.is_checkmate(), "checkmate")
    king = king_of(about.after, about.after.turn)
    corner = chess.square_name(king) in ("a1", "a8", "h1", "h8")
    hold("in the corner" not in found[0] or corner, "in the corner")
    hold("on the edge" not in found[0] or edge(king) == 0, "on the edge")
    return count + (
        hold(chess.parse_square(found[1]) == king_of(about.after, about.after.turn), "the king") if found[1] else 0
    )


def _drawn(found: Found, about: Spoken) -> int:
    count = hold(about.told.outcome(about.after) == 0, "drawn")
    takes = found.groupdict().get("takes")
    if takes:
        count += deed(takes, about)
    return count + (_why(found["why"], about) if found["why"] else 0)


def _why(text: str, about: Spoken) -> int:
    """Hold the squares of a reason against the witness of the reasons, and its men against the board."""

    def is_drawn(board: chess.Board) -> bool:
        return about.told.outcome(board) == 0

    count = men_stand(text, about.after)
    both = re.match(rf"({MAN}) against ({MAN})", text)
    if both is not None:
        here = [p.piece_type for p in about.after.piece_map().values()]
        count += hold(here.count(kind(both[1])) == 2 and both[1] == both[2], text)
    squares = squares_in(re.sub(rf"{MAN} on {SQUARE}", "", text))
    if squares:
        told = str([reasons_for(about.after, side, is_drawn) for side in chess.COLORS])
        count += sum(hold(f"'{chess.square_name(square)}'" in told, f"{text}: {told}") for square in squares)
    return count


def _nothing(found: Found, about: Spoken) -> int:
    return 1


def _through_hole(found: Found, about: Spoken) -> int:
    square = chess.parse_square(found["hole"])
    hold(square in holes.holes(about.before, about.attacker), "a hole")
    return 1 + hold(far(about.move.to_square, square) == ("heads" in found[0]), "the king is there")


def _stalemate_trap(found: Found, about: Spoken) -> int:
    names = moves_in(found["moves"])
    there = stalemating(about.after)
    return sum(hold(legal(about.after, name).uci() in there, f"{name} stalemates") for name in names)


def _wrong_corner(found: Found, about: Spoken) -> int:
    good = mating_corners(about.after, about.attacker)
    name = found["corner"] or chess.square_name(about.move.to_square)
    corner = chess.parse_square(name)
    hold(bool(good) and name not in good and name in ("a1", "a8", "h1", "h8"), "a wrong corner")
    return 1 + hold(far(about.move.to_square, corner) < far(about.move.from_square, corner), "nearer")


def _edge(found: Found, about: Spoken) -> int:
    was, now = edge(about.move.from_square), edge(about.move.to_square)
    holds = {"leaves": was == 0 < now, "keeps": now == was > 0, "makes": 0 < was < now, "goes": now < was}
    return hold(holds[found[0].split()[0]], found[0])


def _from_corner(found: Found, about: Spoken) -> int:
    good = [chess.parse_square(name) for name in mating_corners(about.after, about.attacker)]
    was, now = (min(far(s, c) for c in good) for s in (about.move.from_square, about.move.to_square))
    named = not found["corner"] or found["corner"] in mating_corners(about.after, about.attacker)
    away = "nearer" not in found[0]
    return hold(named and (now > was) == away and now != was, found[0])


def _check(found: Found, about: Spoken) -> int:
    return hold(about.after.is_check(), "check")


def _within(found: Found, about: Spoken) -> int:
    rank = chess.square_rank(about.move.to_square)
    return hold(int(found[1]) == (7 - rank if about.before.turn else rank), found[0])


def _own_man(found: Found, about: Spoken) -> int:
    count = men_stand(f"{found['man']} on {found['square']}", about.after, about.before.turn)
    square, king = chess.parse_square(found["square"]), about.move.to_square
    if found[0].startswith("guards"):
        return count + hold(is_guarded(about.after, square, about.before.turn), "guarded")
    if found[0].startswith("brings"):
        return count + hold(not is_guarded(about.after, square, not about.before.turn), "not attacked")
    return count + hold(far(king, square) < far(about.move.from_square, square), "nearer")


def _at_pawn(found: Found, about: Spoken) -> int:
    square = chess.parse_square(found["square"])
    count = men_stand(f"pawn on {found['square']}", about.after, not about.before.turn)
    was, now = about.move.from_square, about.move.to_square
    if found[0].startswith("goes"):
        return count + hold(far(now, square) < far(was, square), "nearer")
    _, goal = _pawn(about)
    if found[0].startswith("gets"):
        return count + hold(now % 8 == square % 8 and far(now, goal) < far(square, goal), "in front")
    return count + hold(far(now, goal) <= far(square, goal) < far(was, goal), "in the square")


def _room(found: Found, about: Spoken) -> int:
    rooms = []
    for move in about.before.legal_moves:
        if about.before.piece_type_at(move.from_square) == chess.KING:
            rooms.append(size(then(about.before, move), about))
    hold(size(about.after, about) == max(rooms) > min(rooms), "most room")
    if not found.groupdict().get("n"):
        return 1
    return 1 + hold((int(found["n"]), int(found["least"])) == (max(rooms), min(rooms)), found[0]) * 2


def _escapes(found: Found, about: Spoken) -> int:
    there = then(about.before, legal(about.before, found["other"]))
    return 1 + hold(then(there, legal(there, found["mate"])).is_checkmate(), found[0])


def _from_king(found: Found, about: Spoken) -> int:
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose king")
    return 1 + hold(_apart(about.after) >= _apart(about.before), "no nearer")


def _caged(found: Found, about: Spoken) -> int:
    hold(caged(about.before, about) > 0, "in a cage")
    return hold(caged(about.after, about) == int(found[1]), found[0])


def _forced(found: Found, about: Spoken) -> int:
    return hold(about.before.legal_moves.count() == 1, "forced")


def _longest(found: Found, about: Spoken) -> int:
    mine = lasts(about, about.after)
    for name in moves_in(found["moves"] or ""):
        hold(lasts(about, then(about.before, legal(about.before, name))) == mine, f"{name} lasts as long")
    return 1 + len(moves_in(found["moves"] or ""))


def _given(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    man = chess.PAWN if about.after.is_en_passant(reply) else about.after.piece_type_at(reply.to_square)
    return 1 + hold(man == kind(found[1]), f"takes the {found[1]}")


def _opens_cage(found: Found, about: Spoken) -> int:
    count = hold(caged(about.before, about) > 0 == caged(about.after, about), "opens the cage")
    return count + _let_go(found, about)


def _let_go(found: Found, about: Spoken) -> int:
    groups = found.groupdict()
    if not groups.get("man"):
        return 0
    hold(about.before.piece_type_at(about.move.from_square) == kind(groups["man"]), "the man that moved")
    bare, inside = without_king(about.before, about.attacker), king_range(about.after, about.attacker)
    count = 1
    for square in squares_in(groups.get("squares") or ""):
        alone = list(bare.attackers(about.attacker, square)) == [about.move.from_square]
        count += hold(alone and square in inside, f"lets go of {chess.square_name(square)}")
    return count


def _chases(found: Found, about: Spoken) -> int:
    count = hold(about.after.is_check() and size(about.after, about) > size(about.before, about), "chases out")
    goals = {reply.to_square for reply in about.after.legal_moves}
    return count + sum(hold(s in goals, "a way out") for s in squares_in(found["squares"] or ""))


def _open_while_checked(found: Found, about: Spoken) -> int:
    return hold(about.after.is_check(), "check") + _hole_made(found, about)


def _lets(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    count = 1 + _leads(found["leads"], reply, about)
    return count + (_prevents(reply, found["best"], about) if found["best"] else 0)


def _prevents(reply: chess.Move, best: str, about: Spoken) -> int:
    return hold(reply not in then(about.before, legal(about.before, best)).legal_moves, f"{best} prevents it")


def _allows(found: Found, about: Spoken) -> int:
    return 1 + _prevents(legal(about.after, found["reply"]), found["best"], about)


_LEADS = {
    r"(?:comes?|come) to its (?P<man>pawn|knight|bishop|rook|queen)": "own man",
    rf"go(?:es)? for the pawn on (?P<goal>{SQUARE})": "pawn",
    rf"runs? for the wrong corner (?P<goal>{SQUARE})": "wrong corner",
    r"gets? (?P<how>off the edge|back to the centre)": "centre",
    rf"gets? out of the corner (?P<goal>{SQUARE})": "out of the corner",
}


def _leads(text: str, reply: chess.Move, about: Spoken) -> int:
    for pattern, aim in _LEADS.items():
        found = re.fullmatch(pattern, text)
        if found is not None:
            groups = found.groupdict()
            if groups.get("man"):
                men = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
                hold(kind(groups["man"]) in men, text)
            if groups.get("how"):
                hold((edge(reply.from_square) == 0) == (groups["how"] == "off the edge"), text)
            serving = [(a, goal) for a, goal, s in leading(about.after, about.attacker) if reply.to_square in s]
            named = [goal for a, goal in serving if a == aim]
            return hold(bool(named) and groups.get("goal") in (None, *named), f"{text}: {serving}")
    raise Fault(f"cannot be read: {text}")


def _lets_attack(found: Found, about: Spoken) -> int:
    there = then(about.after, legal(about.after, found["reply"]))
    king = their(about, there)
    loose = [there.piece_type_at(s) for s in chess.SQUARES if far(s, king) == 1 and _loose(there, s, about)]
    return 1 + sum(hold(man in loose, f"attacks it: {found[0]}") for man in kinds(found["men"]))


def _away(found: Found, about: Spoken) -> int:
    if "work" in found[0]:
        return hold(_apart(about.after) > _apart(about.before), "away")
    return hold(edge(about.move.to_square) == 0 < edge(about.move.from_square), "to the edge")


def _reached(found: Found, about: Spoken) -> int:
    """Hold what a broken condition says of the man that moved; conditions have a witness of their own."""
    man = re.match(r"the (king|bishop|knight|queen) (?:leaves|goes)", found[1])
    moved = about.before.piece_type_at(about.move.from_square)
    return hold(man is None or moved == kind(man[1]), found[0])


def _blow(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    return 1 + _struck(found[0], found.groupdict().get("men"), reply, there, about)


def _struck(text: str, men: str | None, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    if "mate" in text:
        return hold(there.is_checkmate(), text)
    if "promote" in text:
        return hold(reply.promotion is not None, text)
    hit = [
        there.piece_type_at(s)
        for s in chess.SQUARES
        if there.color_at(s) == about.before.turn and _sees(there, reply, s)
    ]
    return sum(hold(man in hit, f"{text}: {hit}") for man in kinds(men or ""))


def _sees(board: chess.Board, reply: chess.Move, square: chess.Square) -> bool:
    """Whether a man attacks a square, through one man too."""
    if square in board.attacks(reply.to_square):
        return True
    for front in board.attacks(reply.to_square):
        bare = board.copy(stack=False)
        bare.remove_piece_at(front)
        if square in bare.attacks(reply.to_square):
            return True
    return False


def _by_law(found: Found, about: Spoken) -> int:
    if found[0].startswith("is stalemate"):
        return hold(about.after.is_stalemate(), "stalemate")
    return hold(about.told.outcome(about.after) == 0, found[0])


def _wins(found: Found, about: Spoken) -> int:
    return hold(about.told.outcome(about.after) < 0, "wins")


_THEN = rf"(?:: (?:if (?P<reply>{SAN}), (?P<move>{SAN})|after (?P<r2>{SAN}), the only reply, comes (?P<m2>{SAN})))?"


def _prepares(found: Found, about: Spoken) -> int:
    only = bool(found["r2"])
    text = f"{found['what']}|{found['r2'] or found['reply'] or ''}|{found['m2'] or found['move'] or ''}|{only or ''}"
    again = re.fullmatch(r"(?P<what>[^|]*)\|(?P<reply>[^|]*)\|(?P<move>[^|]*)\|(?P<only>[^|]*)", text)
    assert again is not None
    return _prepared(again, about)


_ENDING = r"(?:: now it is (.* against .*))?"
_DRAW = r"(?P<why>.*)"
_DEEDS: tuple[tuple[str, Reader], ...] = (
    (rf"makes a ({MAN}){_ENDING}", _promotes),
    (rf"takes the (unguarded )?({MAN}){_ENDING}", _takes),
    (rf"(?P<takes>takes the (?:unguarded )?{MAN}) and holds the draw(?:: {_DRAW})?", _drawn),
    (rf"keeps the draw(?:: {_DRAW})?", _drawn),
    (rf"leaves it drawn: {_DRAW}", _drawn),
    (rf"lets the draw slip in: {_DRAW}", _drawn),
    (rf"traps the {MAN} on {SQUARE}(?:: it is lost wherever it goes)?", _threat),
    (r"makes the W ready: .*", _w_ready),
    (
        rf"(?:begins the W|goes on with the W, step (?P<step>\d) of 4)(?:: (?P<squares>{SQUARES}) (?:is|are) shut)?",
        _w_step,
    ),
    (rf"shuts the cage: {_NUMBER} squares?(?: by (?P<corner>{SQUARE}))?(?:; the W may stop here)?", _cage_now),
    (rf"(brings the king up and )?tightens the cage from {_NUMBER} to {_NUMBER} squares?", _cage_change),
    (rf"()lets the cage grow from {_NUMBER} to {_NUMBER} squares?", _cage_change),
    (rf"keeps the cage shut, (?:though it grows to )?{_NUMBER} squares?", _cage_now),
    (rf"waits: every square stays guarded, (?P<side>\w+) must move(?: and has only (?P<reply>{SAN}))?", _waits),
    (rf"passes the move: (?P<side>\w+) is in zugzwang(?: and has only (?P<reply>{SAN}))?", _waits),
    (rf"brings the ({MAN}) to safety|guards the ({MAN})", lambda f, a: _safe(re.search(f"({MAN})", f[0]), a)),  # type: ignore[arg-type]
    (rf"drives the king out of the wrong corner, ({SQUARE})", _replies_leave),
    (rf"drives the king out of ({SQUARE}), where it should be mated", _replies_leave),
    (rf"runs: the king is outside the square of the pawn, {_NUMBER} steps from ({SQUARE})", _runs),
    (
        r"(?:shrinks the box|lets the box grow) from (?P<from>\d+) to (?P<to>\d+) squares?"
        r"(?P<knights>, a knight's move from the king)?",
        _box,
    ),
    (r"(?:shuts the king in a box of|keeps the box,)(?P<from>) (?P<to>\d+) squares?(?P<knights>)", _box),
    (rf"(?:cuts the king off|keeps the king cut off) along (?P<line>{_LINE})", _line),
    (r"(?:takes the opposition on|stands on) a key square: from here the king leads the pawn in", _key),
    (rf"heads for the key squares (?P<squares>{SQUARES})(?:: (?P<n>\d+) more steps?)?", _key),
    (r"takes the opposition, so that the other king must give way", _opposition),
    (r"takes the (?P<kind>distant|diagonal) opposition, to win the direct one later", _opposition),
    (r"takes the opposition and (?P<way>shuts .*)", _opposition_and_way),
    (rf"takes the (?P<kind>direct|distant|diagonal) opposition(?: and bars (?P<squares>{SQUARES}))?", _bars),
    (rf"stands in the way of (?:White|Black)'s king and bars (?P<squares>{SQUARES})", _bars),
    (
        r"(?P<what>prepares (?:mate|the W|the opposition|to [a-z ]+)|waits for the next step of the W"
        rf"|is a step on the way|makes way for a new {MAN}|goes for the {MAN}){_THEN}",
        _prepares,
    ),
    (rf"(?:attacks|threatens) the (?:unguarded )?{MAN} on {SQUARE}(?: and the {MAN} on {SQUARE})*", _threat),
    (rf"threatens (?:mate|to promote) by (?P<move>{SAN})", _threat),
    (rf"builds a barrier: the bishop guards ({SQUARES}), the knight ({SQUARES})", _barrier),
    (r"puts the bishops side by side: two neighbouring diagonals are shut", _nothing),
    (_WAY, _way),
    (rf"guards (?P<men>(?:the {MAN} on {SQUARE}(?:, | and )?)+)(?P<from> from (?:White|Black)'s king)?", _guards),
    (r"takes over the guard: (.*) can move now", _frees),
    (rf"helps to hold the king: (?P<squares>{SQUARES}) (?:is|are) shut", _takes_squares),
    (
        rf"brings the king nearer to the (?P<man>{MAN}) on (?P<square>{SQUARE})(?:: (?P<n>\d+) steps to go)?",
        _nears_man,
    ),
    (r"brings the king up: (.*)", _king_up),
    (r"drives the king to the edge, where it can be mated", _drives),
    (rf"drives the king towards (?P<corner>{SQUARE}), where it can be mated", _drives),
    (rf"keeps the king on the edge: it has only (?P<squares>{SQUARES})", _on_edge),
    (rf"drives the king (?:on inside the cage, )?to (?P<squares>{SQUARES})", _has_only),
    (rf"shuts off a part of the board: the king has {_NUMBER} squares?, before {_NUMBER}", _narrows),
    (rf"brings the ({MAN}) off the edge(?:: all are gathered now)?", _off_rim),
    (rf"brings the ({MAN}) (?:round towards|to) ({SQUARE}), its square of the W(?:: (\d+) more moves?)?", _to_w),
    (r"brings the king towards the centre: (.*)", _to_centre),
    (r"brings the pawn nearer to promotion(?:: (\d+) more moves?)?", _pawn_on),
    (r"moves the man that is free: (.*) ha(?:s|ve) .*", _free_man),
    (r"is the only legal move|is forced: the only legal move", _forced),
    (rf"leaves one hole: (?P<squares>{SQUARE})", _hole_made),
    (rf"opens (?:a hole|holes) at (?P<squares>{SQUARES})", _hole_made),
    (rf"leaves (?:a hole|holes) at (?P<squares>{SQUARES}) open", _hole_made),
    (rf"takes (?P<squares>{SQUARES}) from (?:White|Black)'s king", _takes_squares),
    (rf"is checkmate(?: in the corner| on the edge)?(?:: the king on ({SQUARE}) has no square left)?", _mated),
    (r"keeps the win|wins for (?:White|Black)", _wins),
    (r"gets out of the cage|changes nothing: .*|does not stop the mate|lasts as long as any", _nothing),
    (rf"(?:runs out through|heads for) the hole (?P<hole>{SQUARE})", _through_hole),
    (rf"goes for stalemate by (?P<moves>{SANS})", _stalemate_trap),
    (
        rf"runs for (?P<corner>{SQUARE})(?:, the corner where no mate can be forced)?",
        _wrong_corner,
    ),
    (
        r"goes into the corner where no mate can be forced(?P<corner>)",
        _wrong_corner,
    ),
    (r"(?:leaves|keeps off) the edge, where it can be mated|makes for the centre, where it is hardest to drive", _edge),
    (r"goes (?:to|towards) the edge of its own accord", _edge),
    (rf"gets away from (?:the corners|(?P<corner>{SQUARE})), where mate is forced", _from_corner),
    (rf"goes nearer to (?:a right corner|(?P<corner>{SQUARE})), where mate is forced", _from_corner),
    (r"gives check and gains time", _check),
    (rf"brings its pawn within {_NUMBER} steps? of promotion", _within),
    (r"promotes", lambda f, a: hold(a.move.promotion is not None, "promotes")),
    (rf"guards its (?P<man>{MAN}) on (?P<square>{SQUARE})", _own_man),
    (rf"brings the (?P<man>{MAN}) out of the attack, to (?P<square>{SQUARE})", _own_man),
    (rf"comes to the help of its (?P<man>{MAN}) on (?P<square>{SQUARE})", _own_man),
    (rf"(?:gets in front of|steps into the square of|goes for) the pawn on (?P<square>{SQUARE})", _at_pawn),
    (r"keeps the most room in its cage: (?P<n>\d+) squares?, elsewhere (?P<least>\d+)", _room),
    (r"keeps the most room(?: in its cage|: other steps let a part of the board be shut off)?", _room),
    (rf"keeps out of mate, which (?P<other>{SAN}) would allow by (?P<mate>{SAN})", _escapes),
    (r"keeps away from (?P<side>White|Black)'s king(?:, without which there is no mate)?", _from_king),
    (rf"can only step about in its cage of {_NUMBER} squares?", _caged),
    (rf"lasts longest with (?:(?P<moves>{SANS})|\d+ others)(?:; the rest .*)?", _longest),
    (rf"gives the ({MAN}) away(?:: (?P<reply>{SAN}))?", _given),
    (rf"opens the cage at (?P<squares>{SQUARES}), which the (?P<man>{MAN}) alone held", _opens_cage),
    (rf"opens the cage(?:: the (?P<man>{MAN}) alone held its side)?", _opens_cage),
    (rf"lets go of (?P<squares>{SQUARES}), which the (?P<man>{MAN}) alone held", _let_go),
    (rf"checks while the king has a way out: (?P<squares>{SQUARES}) (?:is|are) open", _open_while_checked),
    (rf"only chases the king out(?:, to (?P<squares>{SQUARES}))?", _chases),
    (rf"breaks off the W: the ({MAN}) leaves its square", _w_left),
    (r"gives up what was reached: (.*)|is a step back: (.*)", lambda f, a: _reached(re.match(r"[^:]*: (.*)", f[0]), a)),  # type: ignore[arg-type]
    (r"gives the box up|gives up the line that cut the king off", _nothing),
    (rf"lets the king attack (?P<men>the {MAN}(?:(?:,| and)(?: the)? {MAN})*) by (?P<reply>{SAN})", _lets_attack),
    (rf"lets the king (?P<leads>.*?) by (?P<reply>{SAN})(?:, which (?P<best>{SAN}) prevents)?", _lets),
    (rf"allows (?P<reply>{SAN}), which (?P<best>{SAN}) prevents", _allows),
    (r"takes the king away from the work|takes (?:the knight|White's king|Black's king) to the edge", _away),
    (rf"(?:allows mate|lets the pawn promote) by (?P<reply>{SAN})", _blow),
    (rf"allows the fork (?P<reply>{SAN}), which hits (?P<men>.*)", _blow),
    (rf"allows (?P<reply>{SAN}), which attacks (?P<men>.*)", _blow),
    (
        r"is stalemate.*|is too slow for .*|lets the position .*|leaves no men to mate with|reaches .*|brings about .*",
        _by_law,
    ),
    (r"loses|loses time", _nothing),
)


def _run_out(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    open_now, was = holes.holes(about.after, about.attacker), king_range(about.before, about.attacker)
    squares = squares_in(found["squares"] or "") or [reply.to_square]
    fresh = reply.to_square not in was
    return sum(hold(s in open_now or (s == reply.to_square and fresh), f"out: {found[0]}") for s in squares)


def _attacked(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    loose = [there.piece_type_at(s) for s in chess.SQUARES if far(s, reply.to_square) == 1 and _loose(there, s, about)]
    return sum(hold(man in loose, found[0]) for man in kinds(found["men"]))


def _took(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    man = chess.PAWN if about.after.is_en_passant(reply) else about.after.piece_type_at(reply.to_square)
    return hold([man] == kinds(found["men"]), found[0])


def _outcome(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    return hold(-about.told.outcome(there) == (1 if found[0] == "wins" else 0), found[0])


_PUNISHES: tuple[tuple[str, Callable[[Found, chess.Move, chess.Board, Spoken], int]], ...] = (
    (r"is mate|promotes", lambda f, r, t, a: _struck(f[0].replace("promotes", "promote"), None, r, t, a)),
    (rf"attacks (?P<men>{MEN}), which nobody guards", _attacked),
    (rf"(?:forks|attacks) (?P<men>{MEN})", lambda f, r, t, a: _struck("hits", f["men"], r, t, a)),
    (rf"takes (?P<men>{MEN})", _took),
    (rf"runs out(?: towards (?P<squares>{SQUARES}))?", _run_out),
    (r"holds|wins", _outcome),
    (r".*", lambda f, r, t, a: _leads(f[0], r, a)),
)

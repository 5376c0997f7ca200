"""Reads what is said of a good move of the attacker; one reader a rule."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import box, cut_off, guards, holes, knights_w, towards_w, waiting_move
from tests.witness.ideas.cage import mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, shut, without_king
from tests.witness.ideas.king_up import nearer
from tests.witness.ideas.shuts_way import leading
from tests.witness.spoken import (
    MAN,
    SAN,
    SQUARE,
    SQUARES,
    Fault,
    Spoken,
    hold,
    lasts,
    legal,
    squares_in,
    then,
)
from tests.witness.spoken_men import (
    Found,
    Reader,
    caged,
    far,
    is_guarded,
    is_loose,
    kind,
    kinds,
    men_stand,
    newly_shut,
    only_reply,
    pawn_and_goal,
    size,
    stand_alone,
    their,
)
from tests.witness.spoken_room import ROOMS

_NUMBER = r"(\d+)"
_WAY = rf"shuts ({SQUARES}), (a|the) way ((?:to its|to the pawn|to [a-h]|off|back|out) ?.*)"
_THEN = rf"(?:: (?:if (?P<reply>{SAN}), (?P<move>{SAN})|after (?P<r2>{SAN}), the only reply, comes (?P<m2>{SAN})))?"
_ENDING = r"(?:: now it is (.* against .*))?"


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


def takes(found: Found, about: Spoken) -> int:
    victim = about.before.piece_type_at(about.move.to_square)
    if about.before.is_en_passant(about.move):
        victim = chess.PAWN
    free = not is_guarded(about.after, about.move.to_square, not about.before.turn)
    count = hold(victim == kind(found[2]), "takes") + hold(bool(found[1]) == free, "unguarded")
    return count + _left(found[3], about)


def _opposition(found: Found, about: Spoken) -> int:
    named = found.groupdict().get("kind") or "direct"
    return hold(waiting_move.opposition(about.after) == named, f"the {named} opposition")


def _opposition_and_way(found: Found, about: Spoken) -> int:
    way = re.fullmatch(_WAY, found["way"])
    assert way is not None, found["way"]
    return _opposition(found, about) + _way(way, about)


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


def _waits(found: Found, about: Spoken) -> int:
    told = waiting_move.claim(about.before, about.move, about.after, about.attacker, about.told)
    count = hold(told is not None, "passes the move")
    count += hold(found["side"] == ("Black" if about.attacker else "White"), "whose move")
    return count + (only_reply(found["reply"], about) if found["reply"] else 0)


def _safe(found: Found, about: Spoken) -> int:
    could = [s for s in chess.SQUARES if far(s, their(about, about.before)) == 1 and is_loose(about.before, s, about)]
    names = [chess.piece_name(about.before.piece_type_at(s) or 0) for s in could]
    man = found["man"] or found["kept"]
    return hold(man in names, f"the {man} could be taken")


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


def _runs(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    steps = far(their(about, about.after), goal)
    count = hold(int(found[1]) == steps, "steps") + hold(chess.square_name(goal) == found[2], "the promotion square")
    left = far(pawn, goal) - (edge(pawn) == 1 and pawn // 8 == (1 if about.attacker else 6))
    return count + hold(steps > left + 1, "outside the square")


def _key(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
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
        only_reply(found["reply"], about)
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
        "prepares a box": boxes[0] is None is not boxes[1],
        "makes time to bring the king up": nearer(there, last),
    }
    if what in checks:
        return 2 + hold(checks[what], what)
    if what.startswith("makes way"):
        return 2 + hold(move.promotion == kinds(what)[0], what)
    if what.startswith("forks"):
        mine = about.after.attacks(about.move.to_square)
        hold(about.after.is_check() and move.to_square in mine, "forks")
        hold(move.from_square == about.move.to_square, "the man that forks takes")
    victim = chess.PAWN if there.is_en_passant(move) else there.piece_type_at(move.to_square)
    return 2 + hold(victim == kinds(what)[-1], what)


def _threat(found: Found, about: Spoken) -> int:
    again = about.after.copy(stack=False)
    again.turn, again.ep_square = about.before.turn, None
    name = found.groupdict().get("move")
    if name:
        move = legal(again, name)
        mates = then(again, move).is_checkmate()
        return 1 + hold(mates if "mate" in found[0] else move.promotion is not None, found[0])
    if found.groupdict().get("needed"):
        left = about.after.copy(stack=False)
        left.remove_piece_at(squares_in(found[0])[0])
        hold(left.is_insufficient_material(), "no mate without it")
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
    count, why = hold(nearer(about.before, about.after), "nearer"), found[1]
    if why.endswith("the cage shut meanwhile"):
        count += hold(0 < caged(about.after, about) <= caged(about.before, about), why)
    elif why.endswith("cut off meanwhile"):
        count += hold(all(cut_off.line(b, about.attacker) for b in (about.before, about.after)), why)
    elif why.endswith("the box meanwhile"):
        was, now = (box.box(b, about.attacker) for b in (about.before, about.after))
        count += hold(was is not None and now is not None and now <= was, why)
    else:
        return count + stand_alone(why, about)
    return count + stand_alone(why, about)


def _to_centre(found: Found, about: Spoken) -> int:
    return hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre") + stand_alone(
        found[1], about
    )


def _nears_man(found: Found, about: Spoken) -> int:
    now = about.move.to_square
    if found["together"]:
        (square,) = [
            s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING
        ]
        hold(about.after.piece_type_at(square) == kind(found["together"]), found[0])
        hold(far(square, their(about, about.after)) == 1, "together")
        return 1 + hold(far(now, square) < far(about.move.from_square, square), "nearer")
    square = chess.parse_square(found["square"])
    count = men_stand(f"{found['man']} on {found['square']}", about.after, not about.before.turn)
    hold(far(now, square) < far(about.move.from_square, square), "nearer")
    if not found[0].endswith("square") and not found["steps"]:
        return count
    if found["steps"]:
        return count + hold(far(their(about, about.after), square) == int(found["steps"]), "steps from its king")
    goal = square % 8 + (0 if about.attacker else 56)
    left = far(square, goal) - (square // 8 == (6 if about.attacker else 1))
    return count + hold((far(now, goal) <= left) == ("inside" in found[0]), "the square of the pawn")


def _stops(found: Found, about: Spoken) -> int:
    pawn = next(s for s in about.after.pieces(chess.PAWN, not about.attacker))
    hold(kind(found["man"]) == chess.PAWN, "a pawn")
    now, was = about.move.to_square, shut(about.before, about.attacker)
    return sum(
        hold(far(s, now) == 1 and s not in was and s % 8 == pawn % 8 and (s < pawn) == about.attacker, found[0])
        for s in squares_in(found["squares"] or "")
    )


def _narrows(found: Found, about: Spoken) -> int:
    return hold((int(found[1]), int(found[2])) == (size(about.after, about), size(about.before, about)), found[0]) * 2


def _off_rim(found: Found, about: Spoken) -> int:
    hold(edge(about.move.from_square) == 0 < edge(about.move.to_square), "off the edge")
    return 1 + hold(about.before.piece_type_at(about.move.from_square) == kind(found[1]), "the man")


def _to_w(found: Found, about: Spoken) -> int:
    told = towards_w.claim(about.before, about.move, about.after, about.attacker)
    assert told is not None, found[0]
    hold((told["man"], told["post"]) == (found["man"], found["post"]), f"{found[0]}: {told}")
    if not found["shut"]:
        return 2
    hold((told["moves"] == 0) != (" round to " in found[0]) and found["n"] in (None, str(told["moves"])), str(told))
    right = mating_corners(about.after, about.attacker)
    hold(not found["wrong"] or found["shut"] not in right, "the wrong corner")
    alone = chess.Board(None)
    alone.set_piece_at(post := chess.parse_square(found["post"]), chess.Piece(kind(found["man"]), about.attacker))
    return 3 + sum(hold(s in alone.attacks(post), f"shuts {chess.square_name(s)}") for s in squares_in(found["shut"]))


def _pawn_on(found: Found, about: Spoken) -> int:
    hold(about.before.piece_type_at(about.move.from_square) == chess.PAWN, "a pawn")
    if not found[1]:
        return 1
    pawn, goal = pawn_and_goal(about)
    double = pawn // 8 == (1 if about.attacker else 6)
    return 1 + hold(int(found[1]) == far(pawn, goal) - double, "more moves")


def hole_made(found: Found, about: Spoken) -> int:
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


def _prepares(found: Found, about: Spoken) -> int:
    only = bool(found["r2"])
    text = f"{found['what']}|{found['r2'] or found['reply'] or ''}|{found['m2'] or found['move'] or ''}|{only or ''}"
    again = re.fullmatch(r"(?P<what>[^|]*)\|(?P<reply>[^|]*)\|(?P<move>[^|]*)\|(?P<only>[^|]*)", text)
    assert again is not None
    return _prepared(again, about)


def _wins(found: Found, about: Spoken) -> int:
    return hold(about.told.outcome(about.after) < 0, "wins")


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


def _same_at_once(found: Found, about: Spoken) -> int:
    goal = chess.parse_square(found["move"].rstrip("+#").partition("=")[0][-2:])
    best = [
        move for move in about.before.legal_moves if lasts(about, then(about.before, move)) == lasts(about, about.after)
    ]
    return hold(any(move.to_square == goal for move in best), f"{found['move']} is as good")


def _meets(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    hold(lasts(about, there) == lasts(about, about.after) - 1, "the longest defence")
    answer = then(there, legal(there, found["move"]))
    return 2 + hold(lasts(about, answer) == lasts(about, there) - 1, "the fastest answer")


ATTACKS: tuple[tuple[str, Reader], ...] = (
    *ROOMS,
    (rf"makes a ({MAN}){_ENDING}", _promotes),
    (rf"takes the (unguarded )?({MAN}){_ENDING}", takes),
    (rf"traps the {MAN} on {SQUARE}(?:: it is lost wherever it goes)?", _threat),
    (r"makes the W ready: .*", _w_ready),
    (
        rf"(?:begins the W|goes on with the W, step (?P<step>\d) of 4)(?:: (?P<squares>{SQUARES}) (?:is|are) shut)?",
        _w_step,
    ),
    (rf"waits: every square stays guarded, (?P<side>\w+) must move(?: and has only (?P<reply>{SAN}))?", _waits),
    (rf"passes the move: (?P<side>\w+) is in zugzwang(?: and has only (?P<reply>{SAN}))?", _waits),
    (rf"(?:brings the loose (?P<man>{MAN}) out of the king's reach|guards the (?P<kept>{MAN}) from the king)", _safe),
    (rf"drives the king out of the wrong corner, ({SQUARE})", _replies_leave),
    (rf"drives the king out of ({SQUARE}), where it should be mated", _replies_leave),
    (rf"runs: the king is outside the square of the pawn, {_NUMBER} steps from ({SQUARE})", _runs),
    (r"(?:takes the opposition on|stands on) a key square: from here the king leads the pawn in", _key),
    (rf"heads for the key squares (?P<squares>{SQUARES})(?:: (?P<n>\d+) more steps?)?", _key),
    (r"takes the opposition, so that the other king must give way", _opposition),
    (r"takes the (?P<kind>distant|diagonal) opposition, to win the direct one later", _opposition),
    (r"takes the opposition and (?P<way>shuts .*)", _opposition_and_way),
    (rf"takes the (?P<kind>direct|distant|diagonal) opposition(?: and bars (?P<squares>{SQUARES}))?", _bars),
    (rf"stands in the way of (?:White|Black)'s king and bars (?P<squares>{SQUARES})", _bars),
    (
        r"(?P<what>prepares (?:mate|the W|a box|the opposition|to [a-z ]+)|waits for the next step of the W"
        rf"|makes time to bring the king up|makes way for a new {MAN}|goes for the {MAN}|forks king and {MAN}){_THEN}",
        _prepares,
    ),
    (
        rf"(?:attacks|threatens) the (?:unguarded )?{MAN} on {SQUARE}(?: and the {MAN} on {SQUARE})*"
        r"(?P<needed>, without which there is no mate)?",
        _threat,
    ),
    (rf"threatens (?:mate|to promote) by (?P<move>{SAN})", _threat),
    (rf"builds a barrier: the bishop guards ({SQUARES}), the knight ({SQUARES})", _barrier),
    (_WAY, _way),
    (rf"guards (?P<men>(?:the {MAN} on {SQUARE}(?:, | and )?)+)(?P<from> from (?:White|Black)'s king)?", _guards),
    (r"takes over the guard: (.*) can move now", _frees),
    (rf"helps to hold the king: (?P<squares>{SQUARES}) (?:is|are) shut", _takes_squares),
    (
        rf"goes for the (?P<man>{MAN}) on (?P<square>{SQUARE})(?P<together>)"
        r"(?:, which stands (?P<steps>\d+) steps from its king| (?:from inside|though still outside) its square)?",
        _nears_man,
    ),
    (
        rf"comes up against king and (?P<together>{MAN})(?:, which stand together)?(?P<square>)(?P<steps>)",
        _nears_man,
    ),
    (rf"stops the (?P<man>{MAN})(?:: it guards (?P<squares>{SQUARES}) on its way)?", _stops),
    (r"brings the king up: (.*)", _king_up),
    (r"drives the king to the edge, where it can be mated", _drives),
    (rf"drives the king towards (?P<corner>{SQUARE}), where it can be mated", _drives),
    (rf"keeps the king on the edge: it has only (?P<squares>{SQUARES})", _on_edge),
    (rf"drives the king (?:on inside the cage, )?to (?P<squares>{SQUARES})", _has_only),
    (rf"shuts off a part of the board: the king has {_NUMBER} squares?, before {_NUMBER}", _narrows),
    (rf"brings the ({MAN}) off the edge(?:: all are gathered now)?", _off_rim),
    (
        rf"brings the (?P<man>{MAN}) (?:round )?to (?P<post>{SQUARE})(?:, where it shuts "
        rf"(?P<wrong>the wrong corner )?(?P<shut>{SQUARES}) for the W(?:: (?P<n>\d+) more moves?)?)?",
        _to_w,
    ),
    (r"brings the king towards the centre: (.*)", _to_centre),
    (r"brings the pawn nearer to promotion(?:: (\d+) more moves?)?", _pawn_on),
    (r"moves the man that is free: (.*) ha(?:s|ve) .*", _free_man),
    (rf"leaves one hole: (?P<squares>{SQUARE})", hole_made),
    (rf"opens (?:a hole|holes) at (?P<squares>{SQUARES})", hole_made),
    (rf"leaves (?:a hole|holes) at (?P<squares>{SQUARES}) open", hole_made),
    (rf"takes (?P<squares>{SQUARES}) from (?:White|Black)'s king", _takes_squares),
    (rf"is checkmate(?: in the corner| on the edge)?(?:: the king on ({SQUARE}) has no square left)?", _mated),
    (r"keeps the win|wins for (?:White|Black)", _wins),
    (rf"comes to the same as (?P<move>{SAN}) at once", _same_at_once),
    (rf"meets the longest defence, (?P<reply>{SAN}), with (?P<move>{SAN})", _meets),
)

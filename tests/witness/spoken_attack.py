"""Reads what is said of a good move of the attacker; one reader a rule."""

from __future__ import annotations

import re

import chess

from tests.witness import spoken_patterns as patterns
from tests.witness import spoken_room_left as room_left
from tests.witness.ideas import (
    barrier,
    bishop_barred,
    box,
    bridging,
    cut_off,
    cuts_from_pawn,
    guards,
    holds_pawn,
    holes,
    knights_w,
    mating_net,
    minor_lost,
    pawn_runs,
    pawn_step,
    stops_pawn,
    towards_w,
    trapped,
    waiting_move,
)
from tests.witness.ideas.cage import mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, king_range, shut, without_king
from tests.witness.ideas.mates import holders
from tests.witness.ideas.prepares import falls
from tests.witness.ideas.saved import endangered
from tests.witness.ideas.threatens import lets_through
from tests.witness.spoken import (
    MAN,
    SAN,
    SQUARE,
    SQUARES,
    Spoken,
    hold,
    lasts,
    legal,
    squares_in,
    then,
)
from tests.witness.spoken_instead import best_replies
from tests.witness.spoken_kings import KINGS, keys_of
from tests.witness.spoken_men import (
    Found,
    Reader,
    caged,
    far,
    is_guarded,
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
from tests.witness.spoken_nets import GUARDED_ON, NETS, WANTED
from tests.witness.spoken_reasons import WINS, reasons, wins_by
from tests.witness.spoken_room import LONG_LINE, ROOMS, all_shut, line_on, squares_of
from tests.witness.spoken_room_left import TAKEN

_NUMBER = r"(\d+)"
_THEN = rf"(?:: (?:if (?P<reply>{SAN}), (?P<move>{SAN})|after the forced (?P<r2>{SAN}) comes (?P<m2>{SAN})))?"
_BEFORE = rf" before (?P<stop>{SAN}) (?P<how>stops|takes) the pawn"
_PAWN = (
    r"the pawn cannot be caught|the king stands on a key square of its pawn|has the opposition"
    r"|the king leads the pawn in"
)
ENDING = (
    rf"(?:: (?P<by>{WINS})|: (?P<left>king.*? (?:against .* is left|beat .*))"
    rf"|: if (?P<back>{SAN}), (?P<then>{SAN})|, and (?P<why>{_PAWN})"
    r"|, and (?P<also>(?:shuts the king in|cuts the king off) .*)|: (?P<net>.*(?:mates|mate next)))?"
)


_MAKES = rf"(?:takes the (?P<victim>{MAN}) and )?makes a (?P<new>{MAN})(?:{_BEFORE})?{ENDING}"


def _queens(found: Found, about: Spoken) -> int:
    """Read what a new queen leaves, or before what she comes, as if it were said that a queen is made."""
    rest = found.groupdict("").get("rest")
    said = f": king and queen {rest}" if rest else found[0].removeprefix("comes")
    whole = re.fullmatch(_MAKES, f"makes a queen{said}")
    assert whole is not None
    return _promotes(whole, about)


def _promotes(found: Found, about: Spoken) -> int:
    victim = about.before.piece_type_at(about.move.to_square)
    hold((None if found["victim"] is None else kind(found["victim"])) == victim, f"takes the {found['victim']}")
    count = hold(about.move.promotion == kind(found["new"]), "promotes")
    if stop := found.groupdict("").get("stop"):
        passed = then(about.before, chess.Move.null())
        there = then(passed, legal(passed, stop))
        queen = then(there, about.move) if about.move in there.legal_moves else None
        goal = about.move.to_square
        count += hold(queen is None or any(back.to_square == goal for back in queen.legal_moves), f"{stop} stops it")
        hold((found["how"] == "takes") == (about.move.from_square in squares_in(stop)), "takes the pawn itself")
    if hits := found.groupdict("").get("hits"):
        from tests.witness.deeds import deed

        return count + deed(hits, about)
    return count + left_over(found, about)


def left_over(found: Found, about: Spoken) -> int:
    """Hold what is said of an ending that is left, of a man that is taken back, or of a pawn that wins."""
    text = found.groupdict("").get("left")
    if found.groupdict("").get("back"):
        there = then(about.after, back := legal(about.after, found["back"]))
        answer = then(there, legal(there, found["then"]))
        hold(back.to_square == about.move.to_square, "taken back")
        return 2 + hold(about.told.outcome(answer) < 0, "and it wins")
    if found.groupdict("").get("by"):
        return wins_by(found["by"], about)
    if found.groupdict("").get("why"):
        return _pawn_wins(found["why"], about)
    for group, lead in (("also", ""), ("net", "waits: ")):
        if more := found.groupdict("").get(group):
            from tests.witness.deeds import deed

            return deed(f"{lead}{more}", about)
    if not text:
        return 0
    mine, theirs = re.split(r" (?:against|beat) (?:a bare )?", text.removesuffix(" is left"))
    count = hold("is left" in text or about.told.outcome(about.after) < 0, text)
    for side, men in ((about.attacker, mine), (not about.attacker, theirs)):
        stand = sorted(p.piece_type for p in about.after.piece_map().values() if p.color == side)
        count += hold(stand == sorted(kinds(men)), f"{men} are left")
    return count


def _pawn_wins(why: str, about: Spoken) -> int:
    if why == "the pawn cannot be caught":
        return stand_alone(why, about)
    hold(about.told.outcome(about.after) < 0 and len(about.after.piece_map()) == 3, "king and pawn win")
    if why == "has the opposition":
        return hold(waiting_move.opposition(about.after) == "direct", why)
    pawn, _ = pawn_and_goal(about)
    return hold("key" not in why or king_of(about.after, about.attacker) in keys_of(pawn, about.attacker), why)


def takes(found: Found, about: Spoken) -> int:
    victim = about.before.piece_type_at(about.move.to_square)
    if about.before.is_en_passant(about.move):
        victim = chess.PAWN
    free = not is_guarded(about.after, about.move.to_square, not about.before.turn)
    count = hold(victim == kind(found[2].strip()), "takes") + hold(free or not found[1], "unguarded")
    return count + left_over(found, about)


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
    if found["held"]:
        at, king = about.move.to_square, their(about, about.after)
        near = [king, *(m.to_square for m in about.after.legal_moves)]
        held = [s for s in about.after.attacks(at) if any(far(s, one) == 1 for one in near)]
        hold((found["post"], squares_in(found["held"])) == (chess.square_name(at), held), f"guards {held}")
    return count + (newly_shut(found["squares"], about) if found["squares"] else 0)


def _waits(found: Found, about: Spoken) -> int:
    told = waiting_move.claim(about.before, about.move, about.after, about.attacker, about.told)
    if told is None and found[0] == "waits":
        return hold(lasts(about, about.after) in (2, 4) and not about.after.is_check(), "mate soon")
    count = hold(told is not None, "passes the move")
    count += hold(found["side"] in (None, "Black" if about.attacker else "White"), "whose move")
    reply = found["reply"] or found.groupdict().get("only")
    return count + (only_reply(reply, about) if reply else 0)


def _safe(found: Found, about: Spoken) -> int:
    if about.before.turn != about.attacker and found[0] == f"saves the {found['man']}":
        from tests.witness.spoken_defence import saved

        return saved(found["man"], about)
    could = endangered(about.before, about.attacker)
    names = [chess.piece_name(about.before.piece_type_at(s) or 0) for s in could]
    man = found["man"] or found["kept"]
    if found.groupdict().get("far"):
        hold(far(about.move.to_square, their(about, about.after)) > 2, "out of the king's reach")
    if found["by"]:
        return hold(kind(found["by"]) in could.values() and man in names, f"from the {found['by']}")
    if found["where"]:
        beside = far(about.move.to_square, their(about, about.after)) <= 1
        hold(beside == ("guarded" in found["where"]), found["where"])
        hold(not beside or is_guarded(about.after, about.move.to_square, about.attacker), found["where"])
    named = [s for s in could if chess.piece_name(about.before.piece_type_at(s) or 0) == man]
    now = [about.move.to_square if s == about.move.from_square else s for s in named]
    still = endangered(about.after, about.attacker)
    return hold(any(s not in still for s in now), f"the {man} could be taken, and cannot now")


def _hits_and(found: Found, about: Spoken) -> int:
    from tests.witness.deeds import deed

    return deed(found["hits"], about) + deed(found["more"], about)


def _safe_here(found: Found, about: Spoken) -> int:
    """Hold which line the man that is saved holds, and that it would not win elsewhere, or later, and why."""
    from tests.witness.deeds import struck
    from tests.witness.ideas import safe_here

    could = endangered(about.before, about.attacker)
    hold(
        about.move.from_square in could and kind(found["man"]) == about.before.piece_type_at(about.move.from_square), ""
    )
    hold(about.move.to_square not in endangered(about.after, about.attacker), "saved")
    count = 2
    if found["line"]:
        line = re.sub("the (.)-file", r"file \1", found["line"])
        count += hold(line in safe_here.lines(about.after, about.attacker), f"{found['line']} between the kings")
        (king, man) = (
            their(about, about.after),
            next(iter(about.after.pieces(kind(found["with"]), not about.attacker))),
        )
        sides = [_beyond(line, square, about.move.to_square) for square in (king, man)]
        count += hold(sides[0] == sides[1] != 0, "king and man on the same side of it")
    if not found["rival"]:
        return count
    rival = legal(about.before, found["rival"])
    there = then(about.before, rival)
    reply = legal(there, found["again"] or found["reply"])
    last = then(there, reply)
    hold(rival.from_square == about.move.from_square, "the same man")
    worse = safe_here.worth(there, about.told) < safe_here.worth(about.after, about.told)
    best = max(safe_here.worth(then(there, other), about.told) for other in there.legal_moves)
    count += hold(worse, "worse") + hold(safe_here.worth(last, about.told) == best, f"{found['rival']} is met so")
    if found["again"]:
        return count + hold(rival.to_square in endangered(last, about.attacker), "attacked again")
    return count + (struck(found["blow"] or found["mate"] or "", None, reply, last, about) if found["mate"] else 1)


def _beyond(line: str, square: chess.Square, man: chess.Square) -> int:
    apart = square // 8 - man // 8 if line.startswith("rank") else square % 8 - man % 8
    return (apart > 0) - (apart < 0)


def _saves(found: Found, about: Spoken) -> int:
    from tests.witness.deeds import deed

    could, moved = endangered(about.before, about.attacker), about.move.from_square
    mine = [s for s in could if about.before.piece_type_at(s) == kind(found["man"])]
    mine = [s for s in mine if found["how"] == "saves" or s != moved]
    hold(bool(mine), "could be taken")
    now = [about.move.to_square if s == moved else s for s in mine]
    still = endangered(about.after, about.attacker)
    hold(any(s not in still for s in now), "and cannot now")
    return 1 + deed(found["more"], about)


def _lets_go(found: Found, about: Spoken) -> int:
    taken = legal(about.after, found["capture"])
    there = then(about.after, taken)
    hold(about.after.piece_type_at(taken.to_square) == kind(found["man"]), "it is taken")
    hold((taken.to_square == about.move.to_square) == found["how"].startswith("offers"), found["how"])
    hold(not any(back.to_square == taken.to_square for back in there.legal_moves), "for nothing")
    return 3 + hold(about.told.outcome(then(there, legal(there, found["answer"]))) < 0, "and it wins")


def _meets_check(found: Found, about: Spoken) -> int:
    from tests.witness.deeds import deed

    if found["how"] == "discovers check":
        hold(about.after.is_check() and about.move.to_square not in about.after.checkers(), found["how"])
        return 1 + deed(found["more"], about)
    hold(about.before.is_check(), "in check")
    by_king = about.before.piece_type_at(about.move.from_square) == chess.KING
    hold(by_king == found["how"].startswith("steps") and not about.before.is_capture(about.move), found["how"])
    return 1 + deed(found["more"], about)


def _line_kept(found: Found, about: Spoken) -> int:
    """Hold that a rook stood and stands on a line beside the king, and reaches every square of it beside that one."""
    at, name = (0, found["file"]) if found["file"] else (1, found["rank"])
    boards = about.before, about.after
    (was,), (now,) = (board.pieces(chess.ROOK, about.attacker) for board in boards)
    king = their(about, about.after)
    for board, rook in zip(boards, (was, now), strict=True):
        bare = board.copy(stack=False)
        bare.remove_piece_at(king)
        beside = [s for s in chess.SquareSet(chess.BB_KING_ATTACKS[king]) if chess.square_name(s)[at] == name]
        free = [s for s in beside if s != rook and not board.piece_at(s)]
        hold(chess.square_name(rook)[at] == name and bool(beside), f"the rook on {name}")
        hold(all(rook in bare.attackers(about.attacker, s) for s in free), f"{name} is held")
    return 1


def _from_behind(found: Found, about: Spoken) -> int:
    """Hold that the pawn is to promote next, and that what it becomes is taken by the rook for nothing."""
    pawn, rook = chess.parse_square(found["pawn"]), about.move.to_square
    there = about.after.copy(stack=False)
    made = [move for move in there.legal_moves if move.from_square == pawn and move.promotion == chess.QUEEN]
    made = made or [chess.Move(pawn, pawn + (8 if there.turn else -8), chess.QUEEN)]
    hold(chess.square_rank(made[0].to_square) in (0, 7), "promotes next")
    there.push(made[0])
    taken = chess.Move(rook, made[0].to_square)
    hold(taken in there.pseudo_legal_moves, "the rook takes it")
    return 1 + hold(not there.is_attacked_by(not about.attacker, made[0].to_square), "for nothing")


def _far_man(found: Found, about: Spoken) -> int:
    hit = [s for s in about.after.attacks(about.move.to_square) if about.after.color_at(s) == (not about.attacker)]
    far_off = [s for s in hit if far(s, their(about, about.after)) > 1]
    return 1 + hold(kind(found["hit"]) in map(about.after.piece_type_at, far_off), "attacked, away from its king")


def _clears(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    way = {goal, *chess.SquareSet(chess.between(pawn, goal))}
    hold(about.move.from_square in way and about.move.to_square not in way, "out of the way")
    if found["key"]:
        keys = keys_of(pawn, about.attacker)
        hold(king_of(about.after, about.attacker) in keys, "a key square")
        hold((king_of(about.before, about.attacker) in keys) == (found["keeps"] == "stays on"), found["keeps"])
    return 1 + (stand_alone("the pawn runs by itself", about) if found["runs"] else 0)


def _replies_leave(found: Found, about: Spoken) -> int:
    corner, king = chess.parse_square(found[1]), their(about, about.after)
    steps = [far(reply.to_square, corner) for reply in about.after.legal_moves]
    hold(all(step > far(king, corner) for step in steps), f"out of {found[1]}")
    ranges = [king_range(then(about.after, reply), about.attacker) for reply in about.after.legal_moves]
    hold(not any(corner in room for room in ranges), "it cannot go back")
    right = found[1] in mating_corners(about.after, about.attacker)
    return 1 + hold(right == ("should be mated" in found[0]), f"{found[1]}: right or wrong corner")


def _drives(found: Found, about: Spoken) -> int:
    king, goals = their(about, about.after), [reply.to_square for reply in about.after.legal_moves]
    if found.groupdict().get("corner"):
        corner = chess.parse_square(found["corner"])
        hold(found["corner"] in mating_corners(about.after, about.attacker), "mate can be forced there")
        return 1 + hold(all(far(goal, corner) < far(king, corner) for goal in goals), found[0])
    there = {edge(goal) for goal in goals} == {0}
    hold(there == ("to the edge" in found[0]), "on the edge or nearer to it")
    return hold(all(edge(goal) < edge(king) for goal in goals), found[0])


def _has_only(found: Found, about: Spoken) -> int:
    squares = squares_in(found["squares"])
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    free = [s for s in chess.SQUARES if far(s, king) == 1 and s not in closed]
    free = [s for s in free if about.after.color_at(s) != (not about.attacker)]
    count = sum(hold(s in free, f"{chess.square_name(s)} is free") for s in squares)
    return count + hold(len(free) == len(squares), "no other")


def _driven(found: Found, about: Spoken) -> int:
    return _has_only(found, about) + line_on(found, about)


def _on_edge(found: Found, about: Spoken) -> int:
    king = their(about, about.after)
    steps = {edge(move.to_square) for move in about.after.legal_moves if move.from_square == king}
    hold(edge(king) == 0 and steps <= {0}, "on the edge, and kept there")
    return 1 + (_has_only(found, about) if found["squares"] else 0)


def _runs(found: Found, about: Spoken) -> int:
    told = pawn_runs.claim(about.before, about.move, about.after, about.attacker)
    hold(found[1] in (None, "Black" if about.attacker else "White"), "whose king")
    return 1 + hold(told is not None, found[0])


def _runs_held(found: Found, about: Spoken) -> int:
    """Hold that each square before the pawn is guarded by one man, after the move."""
    told = pawn_runs.claim(about.before, about.move, about.after, about.attacker)
    goal, pawn = chess.parse_square(found["last"] or found["way"]), about.move.to_square
    way = [s for s in chess.SquareSet(chess.between(pawn, goal)) if s % 8 == goal % 8] + [goal]
    hold(not found["last"] or len(way) == 1, "one step is left")
    kind = chess.PIECE_NAMES.index(found["man"])
    held = [about.after.attackers(about.attacker, s) & about.after.pieces(kind, about.attacker) for s in way]
    return 1 + hold(told is not None, found[0]) + hold(all(held) and goal // 8 in (0, 7), found[0])


def _deeds_of(there: chess.Board, move: chess.Move, about: Spoken) -> dict[str, bool]:
    """Return which of the things that a move may prepare it does."""
    last = then(there, move)
    was, now = caged(there, about), caged(last, about)
    if any(last.color_at(s) == about.attacker for s in king_range(last, about.attacker)):
        now = 0  # a loose man leaves it open
    state = (knights_w.claim(there, move, last, about.attacker) or {}).get("state")
    boxes = box.box(there, about.attacker), box.box(last, about.attacker)
    return {
        "prepares mate": last.is_checkmate(),
        "prepares the W": state == "ready",
        "waits for the next step of the W": state == "step",
        "prepares to shut the cage": not was and bool(now),
        "prepares to tighten the cage": 0 < now < was,
        "prepares the opposition": waiting_move.opposition(last) == "direct",
        "prepares to shrink the box": None not in boxes and boxes[1] < boxes[0],  # type: ignore[operator]
        "prepares to cut the king off": cut_off.line(last, about.attacker) is not None,
        "prepares a box": boxes[0] is None is not boxes[1],
    }


#: What is said of the way back, by what it is called where it is prepared.
_BACK = {
    "mates": "prepares mate",
    "makes the W ready": "prepares the W",
    "goes on with the W": "waits for the next step of the W",
    "shuts the cage": "prepares to shut the cage",
    "tightens the cage": "prepares to tighten the cage",
    "takes the opposition": "prepares the opposition",
    "shrinks the box": "prepares to shrink the box",
    "cuts the king off": "prepares to cut the king off",
    "makes a new box": "prepares a box",
}


def does(what: str, there: chess.Board, move: chess.Move, about: Spoken) -> int:
    """Hold what is said of a move from a position after this one."""
    if what == "makes the new queen":
        return hold(move.promotion == chess.QUEEN, what)
    if what == "wins a man":
        return hold(there.is_capture(move), what)
    return hold(_deeds_of(there, move, about)[_BACK[what]], what)


def _prepared(found: Found, about: Spoken) -> int:
    hold(about.told.outcome(about.after) < 0 and any(about.after.legal_moves), "wins, and goes on")
    reply = legal(about.after, found["reply"]) if found["reply"] else mating_net.longest(about.after, about.told)
    there = then(about.after, reply)
    if found["only"]:
        only_reply(found["reply"], about)
    move = legal(there, found["move"]) if found["move"] else about.told.answer(there)
    assert move is not None
    what, last = found["what"], then(there, move)
    hold(about.told.outcome(last) < 0, "keeps the win")
    checks = _deeds_of(there, move, about)
    if what in checks:
        return 2 + hold(checks[what], what)
    if " go on to " in what or "goes on to make" in what:
        hold("check" not in what or about.before.is_check(), "in check")
        pushed = about.before.piece_type_at(about.move.from_square) == chess.PAWN
        hold(pushed == what.startswith("goes on"), "the pawn moves")
        return 2 + hold(move.promotion == kinds(what)[-1], what)
    if what.startswith("forks"):
        mine = about.after.attacks(about.move.to_square)
        hold(about.move.to_square in about.after.checkers() and move.to_square in mine, "forks")
        hold(move.from_square == about.move.to_square, "the man that forks takes")
    if what.startswith("skewers"):
        between = chess.SquareSet(chess.between(about.move.to_square, move.to_square))
        hold(their(about, about.after) in between and about.after.is_check(), "the man behind the king")
        hold(move.from_square == about.move.to_square, "the man that checks takes")
    if what.startswith("goes behind"):
        rook, pawn = about.move.to_square, move.to_square
        hold(about.after.piece_type_at(rook) == chess.ROOK and rook % 8 == pawn % 8, "a rook on the pawn's file")
        hold((rook > pawn) == (about.before.turn == chess.WHITE), "behind it")
    if what.startswith("bars"):
        hold(about.after.is_attacked_by(about.before.turn, reply.to_square) and reply.to_square == move.to_square, what)
        what = "takes the pawn"
    if what == "stops the pawn":
        return 2 + hold(bool(reply.promotion) and reply.to_square == move.to_square, "takes what was promoted")
    if what.startswith("wins"):
        replies = list(about.after.legal_moves)
        hold(all(falls(about.after, other, about.told) for other in replies), "whatever is replied")
        if what.endswith(", or mates"):
            hold(any((about.told.mate_plies(then(about.after, other)) or 99) <= 3 for other in replies), "or mates")
            what = what.removesuffix(", or mates")
    victim = chess.PAWN if there.is_en_passant(move) else there.piece_type_at(move.to_square)
    return 2 + hold(victim == kinds(what)[-1], what)


def _pinned(found: Found, about: Spoken) -> int:
    square, bare = chess.parse_square(found["pinned"]), about.after.copy(stack=False)
    bare.remove_piece_at(square)
    hold(bare.is_check() and not about.after.is_check(), "pinned against its king")
    return 1 + hold(about.after.piece_type_at(square) == kind(found[1]), "the man pinned")


def _attacked_again(found: Found, about: Spoken) -> int:
    if "move" in found.groupdict():  # the man is named by what takes it
        return line_on(found, about) + _again(found, chess.parse_square(found["move"].rstrip("+#")[-2:]), about)
    return _again(found, chess.parse_square(found["again"]), about)


def _again(found: Found, square: chess.Square, about: Spoken) -> int:
    hold(about.after.piece_type_at(square) == kind(found[1]), "the man attacked")
    was, now = (set(board.attackers(about.before.turn, square)) for board in (about.before, about.after))
    hold(bool(was & now) and now - was == {about.move.to_square}, "a second man attacks it")
    free = about.after.copy(stack=False)
    free.turn, free.ep_square = about.before.turn, None
    takes = [then(free, move) for move in free.legal_moves if move.to_square == square]
    return 3 * hold(any(all(m.to_square != square for m in t.legal_moves) for t in takes), "and so it could be taken")


def _from_pawn(found: Found, about: Spoken) -> int:
    told = cuts_from_pawn.claim(about.before, about.move, about.after, about.attacker)
    line = found["line"] if found["line"].startswith("rank") else f"file {found['line'][4]}"
    return hold(told is not None and told["line"] == line, found[0])


def _no_time(found: Found, about: Spoken) -> int:
    """Hold that a pawn would promote, that it cannot now, and that every move that wins gives check."""
    waits, wins = about.before.copy(stack=False), [m for m in about.before.legal_moves if _wins_by(m, about)]
    waits.turn = not about.attacker
    hold(any(move.promotion for move in waits.legal_moves), "the pawn is about to promote")
    hold(about.after.is_check() and not any(move.promotion for move in about.after.legal_moves), "it cannot now")
    return 2 + hold(not found["none"] or all(map(about.before.gives_check, wins)), "no quiet move wins")


def _wins_by(move: chess.Move, about: Spoken) -> bool:
    return about.told.outcome(then(about.before, move)) < 0


def _new_queen_falls(found: Found, about: Spoken) -> int:
    """Hold that a promotion is met by a check of the man that takes the new queen, whatever the answer."""
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    check = legal(there, found["check"])
    last = then(there, check)
    takes = [[m for m in then(last, m).legal_moves if m.to_square == reply.to_square] for m in last.legal_moves]
    hold(reply.promotion is not None and last.is_check(), found["check"])
    hold(any(m.from_square == check.to_square for moves in takes for m in moves), found["takes"])
    return 3 + hold(about.told.outcome(last) < 0, "wins")


def _promotion_threat(found: Found, about: Spoken) -> int:
    again = about.after.copy(stack=False)
    again.turn, again.ep_square = about.before.turn, None
    return hold(any(move.promotion for move in again.legal_moves), found[0])


def _is_written(board: chess.Board, name: str) -> bool:
    return name in map(board.san, board.legal_moves)


def _threat(found: Found, about: Spoken) -> int:
    again = about.after.copy(stack=False)
    again.turn, again.ep_square = about.before.turn, None
    name = found.groupdict().get("move")
    if found.groupdict().get("past"):
        hold(kind(found["past"]) in [p.piece_type for p in about.after.piece_map().values()], "their man")
        to_queen = [m for m in again.legal_moves if m.promotion == chess.QUEEN]
        hold(
            any(all(lets_through(about.after, r, m.uci()) for r in about.after.legal_moves) for m in to_queen), found[0]
        )
    if name:
        promotes = "=" in name and not name.endswith(("+", "#"))  # whether with check is known after the reply only
        signs = ("", "+", "#") if promotes else ("",)
        move = legal(again, next((name + sign for sign in signs if _is_written(again, name + sign)), name))
        mates = then(again, move).is_checkmate()
        return 1 + hold(mates if "mate" in found[0] else move.promotion is not None, found[0])
    if found.groupdict().get("needed"):
        left = about.after.copy(stack=False)
        left.remove_piece_at(squares_in(found[0])[0])
        hold(left.is_insufficient_material(), "no mate without it")
    count = men_stand(found[0].replace("unguarded ", ""), about.after, not about.before.turn)
    for square in squares_in(found[0]):
        hold(any(m.to_square == square for m in again.legal_moves) or _touches(about, square), "can be attacked")
        if "so that its king" in found[0]:
            guards = about.after.attackers(not about.before.turn, square)
            count += hold([about.after.piece_type_at(s) for s in guards] == [chess.KING], found[0])
        if "unguarded" in found[0]:
            count += hold(not is_guarded(about.after, square, not about.before.turn), "unguarded")
    return count + 1


def _traps(found: Found, about: Spoken) -> int:
    told = trapped.claim(about.before, about.move, about.after, about.attacker)
    return 2 + hold(told is not None and (told["man"], told["square"]) == (found["man"], found["square"]), found[0])


def _touches(about: Spoken, square: chess.Square) -> bool:
    return far(about.move.to_square, square) == 1 and about.after.piece_type_at(about.move.to_square) == chess.KING


def _barrier(found: Found, about: Spoken) -> int:
    hold(barrier.claim(about.before, about.move, about.after, about.attacker) is not None, "a barrier")
    bare, count = without_king(about.after, about.attacker), 0
    for man, squares in ((chess.BISHOP, found[1]), (chess.KNIGHT, found[2])):
        (own,) = about.after.pieces(man, about.attacker)
        for square in squares_in(squares or ""):
            count += hold(square in bare.attacks(own) and far(square, their(about, about.after)) == 1, found[0])
    return count


def _free_man(found: Found, about: Spoken) -> int:
    bound = guards.tied(about.before, about.attacker)
    last = guards.tied(about.after, about.attacker)
    hold(about.move.from_square not in bound or caged(about.before, about) == 0, "free")
    men = [about.before.piece_type_at(s) for s in bound if s in last]
    return sum(hold(man in men, "guards a square alone") for man in kinds(found[1] or ""))


def _relieves(found: Found, about: Spoken) -> int:
    moved = guards.claim(about.before, about.move, about.after, about.attacker)
    hold(moved is not None and moved["held"] == [chess.square_name(s) for s in squares_in(found["held"])], found[0])
    assert moved is not None
    freed = chess.parse_square(moved["freed"][0])  # type: ignore[index]
    return 1 + hold(about.after.piece_type_at(freed) == kind(found["man"]), found[0])


def _cut_down(found: Found, about: Spoken) -> int:
    hold(not about.after.is_check(), "no check")
    sizes = size(about.before, about), size(about.after, about)
    return 2 * hold((int(found[1]), int(found[2])) == sizes and sizes[0] > sizes[1], f"{sizes}")


def _narrows(found: Found, about: Spoken) -> int:
    narrower = size(about.after, about) < size(about.before, about)
    if not found["line"]:
        return hold(narrower, found[0])
    line = set(squares_of(found["line"]))
    hold(about.move.from_square not in line and about.move.to_square in line, "a new line of the man")
    closed = shut(about.after, about.attacker) - shut(about.before, about.attacker)
    hold(narrower or len(line & closed) > 1, found[0])
    return 1 + all_shut(line, about)


def _to_w(found: Found, about: Spoken) -> int:
    told = towards_w.claim(about.before, about.move, about.after, about.attacker)
    assert told is not None, found[0]
    hold((told["man"], told["post"]) == (found["man"], found["post"] or told["post"]), f"{found[0]}: {told}")
    hold((told["moves"] == 0) != ("heads for" in found[0]), str(told))
    hold((found["n"] or str(told["moves"])) == str(told["moves"]), str(told))
    if not found["shut"]:
        return 2
    right = mating_corners(about.after, about.attacker)
    hold(not found["wrong"] or found["shut"] not in right, "the wrong corner")
    alone = chess.Board(None)
    alone.set_piece_at(post := chess.parse_square(found["post"]), chess.Piece(kind(found["man"]), about.attacker))
    return 3 + sum(hold(s in alone.attacks(post), f"shuts {chess.square_name(s)}") for s in squares_in(found["shut"]))


def _pawn_on(found: Found, about: Spoken) -> int:
    told = pawn_step.claim(about.before, about.move, about.after, about.attacker)
    hold(told is not None and (found["guard"] or told["guard"]) == told["guard"], found[0])
    if found["escort"]:
        guards = about.after.attackers(about.attacker, chess.parse_square(found["goal"]))
        hold(kind(found["escort"]) in [about.after.piece_type_at(s) for s in guards], found[0])
        return 2 + hold(chess.parse_square(found["goal"]) % 8 == about.move.to_square % 8, "its promotion square")
    king = their(about, about.after)
    if found["bars"]:
        (rook,) = about.after.pieces(chess.ROOK, about.attacker)
        low, high = sorted((about.move.from_square % 8, king % 8))
        hold(low < rook % 8 < high and chess.FILE_NAMES[rook % 8] == found["bars"][4], found["bars"])
    hold(not found["away"] or far(king, about.move.to_square) > far(king, about.move.from_square), "away")
    if found["outside"]:
        goal = about.move.to_square % 8 + (56 if about.attacker else 0)
        hold(far(king, goal) > far(about.move.to_square, goal) + 1, found["outside"])
    if found["between"]:
        low, high = sorted((about.move.to_square % 8, king % 8))
        hold(low < king_of(about.after, about.attacker) % 8 < high, found["between"])
    return 1


def hole_made(found: Found, about: Spoken) -> int:
    open_now = holes.holes(about.after, about.attacker)
    named = squares_in(found["squares"] or "")
    hold("one hole" not in found[0] or named == sorted(open_now), "one hole")
    return sum(hold(s in open_now, f"a hole at {chess.square_name(s)}") for s in named)


def _mating_squares(part: str, about: Spoken) -> list[chess.Square]:
    """Return the squares a man holds, that of the man it guards among them."""
    guarded = re.search(rf"guards the ({MAN})", part)
    if guarded is None:
        return squares_in(part)
    hold(about.after.piece_type_at(about.move.to_square) == kind(guarded[1]), part)
    return [*squares_in(part), about.move.to_square]


def _mated(found: Found, about: Spoken) -> int:
    count = hold(about.after.is_checkmate(), "checkmate")
    king = king_of(about.after, about.after.turn)
    corner = chess.square_name(king) in ("a1", "a8", "h1", "h8")
    hold("in the corner" not in found[0] or corner, "in the corner")
    hold("on the edge" not in found[0] or edge(king) == 0, "on the edge")
    if not found["how"]:
        return count
    named = patterns.read(found["how"], about)
    if named is not None:
        return count + named
    if "together" in found["how"]:
        men = [about.after.piece_type_at(s) for s, _, _ in holders(about.after)]
        return count + hold(sorted(kinds(found["how"])) == sorted(men) and len(men) > 2, found[0])  # type: ignore[type-var]
    if "no square is left" in found["how"]:
        return count + _mated_in_short(found["how"], about)
    holding = holders(about.after)
    names = [chess.piece_name(about.after.piece_type_at(s) or 0) for s, _, _ in holding]
    moved = about.move.to_square
    holding = [(s, checks and not (s == moved and set(held) - {moved}), held) for s, checks, held in holding]
    told = sorted(
        (name, chess.square_name(s) if names.count(name) > 1 else "", checks, *held)
        for name, (s, checks, held) in zip(names, holding, strict=True)
    )
    *parts, last = found["how"].split("; ")
    parts += [] if "blocked" in last else [last]
    said = []
    for part in parts:
        at = re.match(rf"the {MAN} on ({SQUARE}) ", part)
        rest = part.replace(f" on {at[1]}", "", 1) if at else part
        squares = sorted(_mating_squares(rest, about))
        said.append((part.split()[1], at[1] if at else "", "checks" in part, *squares))
    said.sort()
    hold(said == told, f"{said} for {told}")
    blocked = {s for s in about.after.attacks(king) if about.after.color_at(s) == about.after.turn}
    hold(blocked == (set(squares_in(last)) if "blocked" in last else set()), "blocked by the king's own men")
    return count + sum(len(one) - 1 for one in told)


def _mated_in_short(how: str, about: Spoken) -> int:
    """Hold a mate told without squares: a man beside the king is guarded by the first that holds its square."""
    moved, king = about.move.to_square, king_of(about.after, about.after.turn)
    guard = re.match(rf"the (?P<man>{MAN})(?: on (?P<square>{SQUARE}))? guards it", how)
    assert (guard is not None) == (chess.square_distance(moved, king) == 1), how
    if guard is None:
        return 1
    (square,) = [square for square, _, held in holders(about.after) if moved in held]
    assert guard["square"] in (None, chess.square_name(square))
    return hold(chess.piece_name(about.after.piece_type_at(square) or 0) == guard["man"], "the guard")


def _prepares(found: Found, about: Spoken) -> int:
    only = bool(found["r2"])
    text = f"{found['what']}|{found['r2'] or found['reply'] or ''}|{found['m2'] or found['move'] or ''}|{only or ''}"
    again = re.fullmatch(r"(?P<what>[^|]*)\|(?P<reply>[^|]*)\|(?P<move>[^|]*)\|(?P<only>[^|]*)", text)
    assert again is not None
    return _prepared(again, about)


def _holds_pawn(found: Found, about: Spoken) -> int:
    moved = about.before, about.move, about.after, about.attacker
    claim = holds_pawn.claim(*moved) or stops_pawn.claim(*moved)
    how = {"uses": "free step"}.get(found["how"], found["how"])
    hold(claim is not None and claim["how"] == how, f"{found['how']} the pawn")
    if claim is not None and how == "forces":
        front = chess.parse_square(str(claim["pawn"])) + (-8 if about.attacker else 8)
        hold({reply.to_square for reply in best_replies(about.after, about)} == {front}, found[0])
    named = squares_in(found.group())
    return 1 + sum(hold(claim is not None and claim["pawn"] == chess.square_name(s), "the pawn") for s in named)


def _stops_pawn(found: Found, about: Spoken) -> int:
    claim = stops_pawn.claim(about.before, about.move, about.after, about.attacker)
    how = {"stops": "guards", "guards": "backs"}.get(found["how"], found["how"])
    hold(claim is not None and claim["how"] == how, f"{found['how']}: the pawn is stopped")
    named = dict(found.groupdict())
    said = [(key, named[key]) for key in ("pawn", "square") if named.get(key)]
    return 1 + sum(hold(claim is not None and claim[key] == text, f"the {key}") for key, text in said)


def _bridging(found: Found, about: Spoken) -> int:
    claim = bridging.claim(about.before, about.move, about.after, about.attacker)
    step = {"steps out": "comes out", "walks": "comes down", "guards": "backs"}.get(found["step"], found["step"])
    hold(claim is not None and claim["step"] == step, f"{found['step']}: a step of the bridge")
    named = squares_in(found.group())
    return 1 + sum(hold(claim is not None and claim["rook"] == chess.square_name(s), "the rook") for s in named)


def _exchange(found: Found, about: Spoken) -> int:
    replies = [move for move in about.after.legal_moves if about.after.is_capture(move)]
    if found["reply"]:
        replies = [about.after.parse_san(found["reply"])]
    return hold(any(_exchanges(reply, found, about) for reply in replies), "it takes, and is taken back")


def _exchanges(reply: chess.Move, found: Found, about: Spoken) -> bool:
    after = about.after.copy(stack=False)
    took, lost = after.piece_type_at(reply.from_square), after.piece_at(reply.to_square)
    if lost is None or took is None or (reply.to_square == about.move.to_square) == bool(found["cost"]):
        return False
    after.push(reply)
    back = [move for move in after.legal_moves if move.to_square == reply.to_square]
    if found["move"]:
        back = [move for move in back if move == after.parse_san(found["move"])]
    theirs, own = found["both"] or found["theirs"] or found["cost"], found["both"] or found["own"]
    same = chess.piece_name(took) == theirs.removesuffix("s")
    return bool(back) and same and (not own or chess.piece_name(lost.piece_type) == own.removesuffix("s"))


def _bishop_barred(found: Found, about: Spoken) -> int:
    """Hold that these are the squares from which the bishop would stop the pawn, and that it is taken there."""
    claimed = bishop_barred.claim(about.before, about.move, about.after, about.attacker)
    return hold(
        claimed is not None and [*map(chess.square_name, squares_in(found["posts"]))] == claimed["posts"], found[0]
    )


def _guards_man(found: Found, about: Spoken) -> int:
    """Hold that a man comes to guard one of its side that it did not guard and nobody else does."""
    own, (was, now) = about.attacker, (about.move.from_square, about.move.to_square)
    (man,) = about.after.pieces(kind(found["man"]), own)
    hold(man in about.after.attacks(now) and man not in about.before.attacks(was), found[0])
    return 1 + hold([*about.after.attackers(own, man)] == [now], "by nobody else")


def _offers(found: Found, about: Spoken) -> int:
    """Hold that the man that moved may be taken, and that it wins all the same."""
    hold(about.after.piece_type_at(about.move.to_square) == kind(found["man"]), found[0])
    takes = [move for move in about.after.legal_moves if move.to_square == about.move.to_square]
    return 2 * hold(bool(takes) and about.told.outcome(about.after) < 0, found[0])


def _minor_lost(found: Found, about: Spoken) -> int:
    board, king = about.after, their(about, about.after)
    side = not about.attacker
    (minor,) = [s for s, man in board.piece_map().items() if man.color == side and s != king]
    hold(about.told.outcome(board) == (1 if board.turn == about.attacker else -1), "the rook wins")
    if found.groupdict().get("blow"):
        there = then(about.after, legal(about.after, found["reply"]))
        check, at = legal(there, found["check"]), chess.parse_square(found["knight"])
        last = then(there, check)
        hold(lasts(about, there) == lasts(about, about.after) - 1 and last.is_check(), "a check after the best reply")
        through = chess.between(check.to_square, at) & last.occupied == last.kings & last.occupied_co[last.turn]
        hit = through if found["blow"] == "skewers" else at in last.attacks(check.to_square)
        hold(hit, "the knight is hit")
    if found["knight"]:
        hold(minor == chess.parse_square(found["knight"]) and board.piece_type_at(minor) == chess.KNIGHT, "the knight")
        return lost_knight(minor, about)
    corner = chess.parse_square(found["corner"])
    hold(bool(board.pieces(chess.BISHOP, side)) and far(corner, king) <= 1, "by the corner")
    return hold(sum(divmod(corner, 8)) % 2 == sum(divmod(minor, 8)) % 2, "of the bishop's colour")


def lost_knight(at: chess.Square, about: Spoken) -> int:
    """Hold that the knight there is away from its king, and the rook wins."""
    hold(about.told.outcome(about.after) == (1 if about.after.turn == about.attacker else -1), "the rook wins")
    hold(about.after.piece_at(at) == chess.Piece(chess.KNIGHT, not about.attacker), "the knight")
    return hold(far(at, their(about, about.after)) > 2, "away from its king")


def _covers(found: Found, about: Spoken) -> int:
    (knight,) = about.after.pieces(chess.KNIGHT, not about.attacker)
    hold(knight == chess.parse_square(found["knight"]), "the knight")
    return hold(bool(minor_lost.covered(about.after, knight, about.attacker)), found[0])


def _wins(found: Found, about: Spoken) -> int:
    return hold(about.told.outcome(about.after) < 0, "wins")


def _gains_time(found: Found, about: Spoken) -> int:
    count = hold(about.after.is_check(), "check") + line_on(found, about)
    if found["squares"]:
        count += _has_only(found, about)
    if found["move"]:
        at, rival = chess.parse_square(found["move"][1:3]), their(about, about.after)
        count += hold(far(at, rival) < far(king_of(about.before, about.attacker), rival), "nearer")
    return count


def _meets(found: Found, about: Spoken) -> int:
    hold(
        "to the edge" not in found[0] or {edge(move.to_square) for move in about.after.legal_moves} == {0},
        "on the edge",
    )
    count = room_left.taken(found.groupdict(""), about)
    count += _wins(found, about) if found[0].startswith("keeps the win") else 0
    if found["quick"] == "checks first":
        hold(about.after.is_check() and found["reply"] is not None, "a check, and what comes of it")
    elif found["quick"]:
        boards = [then(about.before, move) for move in about.before.legal_moves]
        plies = [about.told.mate_plies(board) for board in boards if about.told.outcome(board) < 0]
        soonest = min(number for number in plies if number is not None)
        hold(
            about.told.mate_plies(about.after) == soonest and (plies.count(soonest) > 1) == ("time" in found["quick"]),
            "quick",
        )
    if found["again"]:
        hold(about.after.is_check() and (found["move"] is None or found["move"].endswith("+")), "checks")
    if found["doomed"]:
        from tests.witness.ideas import leaves_man

        (man,) = about.after.pieces(kind(found["doomed"]), not about.attacker)
        count += hold(all(leaves_man.falls(about.after, r, man) for r in about.after.legal_moves), found[0])
    named = found["round"] or ("king" if found[0].startswith(("walks on", "steps out")) else None)
    if named:
        there = then(about.after, legal(about.after, found["reply"]))
        hold(there.piece_type_at(legal(there, found["move"]).from_square) == kind(named), found[0])
        hold(about.before.piece_type_at(about.move.from_square) == kind(named), found[0])
    checked = about.before if found[0].startswith("steps out") else about.after
    hold("check" not in found[0] or checked.is_check(), "check")
    return count + line_on(found, about)


def _leaves_only(found: Found, about: Spoken) -> int:
    return only_reply(found["reply"], about) + line_on(found, about)


ATTACKS: tuple[tuple[str, Reader], ...] = (
    *reasons(),
    (rf"(?:holds|keeps) the king on the edge(?:: it has only (?P<squares>{SQUARES}))?", _on_edge),
    *ROOMS,
    *KINGS,
    (
        r"(?P<how>discovers check)(?: and|,) (?P<more>.*)",
        _meets_check,
    ),
    (
        r"(?P<how>steps out of the check|blocks the check)"
        r" and (?P<more>(?!attacks the \w+ on \w\w$|threatens to promote).*)",
        _meets_check,
    ),
    (_MAKES, _promotes),
    (rf"comes{_BEFORE}{ENDING}", _queens),
    (
        r"gives king and queen, which (?P<rest>mate a bare king on the edge|are enough to mate a bare king"
        r"|beat a lone (?:bishop|knight))",
        _queens,
    ),
    (rf"(?:takes the (?P<victim>{MAN}) and )?makes a (?P<new>{MAN}) and (?P<hits>(?:forks|skewers) .*)", _promotes),
    (rf"takes the (loose )?({MAN}){ENDING}", takes),
    (rf"traps the (?P<man>{MAN}) on (?P<square>{SQUARE})(?:: it is lost wherever it goes)?", _traps),
    (rf"pins the ({MAN}) on (?P<pinned>{SQUARE}) against its king, and it falls", _pinned),
    (rf"pins the ({MAN}) on (?P<pinned>{SQUARE}) against its king", _pinned),
    (rf"attacks the ({MAN}) on (?P<again>{SQUARE}) a second time", _attacked_again),
    (rf"attacks the ({MAN}) a second time: if (?P<reply>{SAN}), (?P<move>{SAN})", _attacked_again),
    (r"forces mate", lambda found, about: hold(lasts(about, about.after) <= 2 * 3, "mate in three more moves")),
    (rf"attacks the (?P<hit>{MAN}): away from its king it is lost", _far_man),
    (r"cuts the king off from the pawn along (?P<line>the [a-h]-file|rank [1-8])", _from_pawn),
    (
        rf"(?:wins|loses) because (?:the knight on (?P<knight>{SQUARE}) is away from its king"
        rf"|the king is by (?P<corner>{SQUARE}), a corner of the bishop's colour)",
        _minor_lost,
    ),
    (
        rf"leaves the knight on (?P<knight>{SQUARE}) away from its king"
        rf"(?:, where it is lost|: if (?P<reply>{SAN}), (?P<check>{SAN}) (?P<blow>forks|skewers) king and knight)?"
        rf"|keeps the king by (?P<corner>{SQUARE}), a corner of the bishop's colour(?:: there the rook wins)?",
        _minor_lost,
    ),
    (rf"leaves the knight on (?P<knight>{SQUARE}) no safe square(?:: away from its king it is lost)?", _covers),
    (
        rf"(?P<hits>attacks the {MAN} on {SQUARE}(?: a second time)?)"
        r" and (?P<more>(?:cuts|shuts|shrinks|makes|tightens|keeps) .*)",
        _hits_and,
    ),
    (rf"(?P<how>stops) the pawn on (?P<pawn>{SQUARE})(?:: (?P<square>{SQUARE}) is guarded)?", _stops_pawn),
    (rf"(?P<how>guards) the man on (?P<square>{SQUARE}) that blocks the pawn", _stops_pawn),
    (r"(?P<how>forces) the king in front of its pawn(?:: after any other reply the pawn falls)?", _holds_pawn),
    (rf"(?P<how>blocks) the pawn on {SQUARE}", _holds_pawn),
    (rf"(?P<how>pins) the pawn on {SQUARE}(?:: it cannot go on)?", _holds_pawn),
    (
        r"(?P<how>uses) the move(?:: the other king stands in front of its pawn, and yours comes a step nearer)?",
        _holds_pawn,
    ),
    (rf"(?P<step>lifts) the rook to {SQUARE}(?:: from there it covers its king, once that has come out)?", _bridging),
    (r"(?P<step>steps out) from before the pawn(?:: it is ready to promote)?", _bridging),
    (rf"(?P<step>walks) towards the rook on {SQUARE}, which will end the checks", _bridging),
    (
        rf"(?P<step>builds) the bridge(?:: the rook on {SQUARE} covers the king, and the pawn is ready to promote)?",
        _bridging,
    ),
    (rf"(?P<step>guards) the promotion square from {SQUARE}", _bridging),
    (r"makes the W ready(?:: .*)?", _w_ready),
    (
        rf"(?:begins the W|goes on with the W, step (?P<step>\d) of 4)(?:: (?P<squares>{SQUARES}) (?:is|are) shut)?"
        rf"(?:: from (?P<post>{SQUARE}) the knight guards (?P<held>{SQUARES}))?",
        _w_step,
    ),
    (
        rf"waits(?:: every square stays guarded, (?P<side>\w+) must move(?: and has only (?P<reply>{SAN}))?)?",
        _waits,
    ),
    (
        r"passes the move(?:: (?P<side>\w+) "
        rf"(?:is in zugzwang(?: and has only (?P<reply>{SAN}))?|has only (?P<only>{SAN})))?",
        _waits,
    ),
    (
        rf"(?:saves the (?P<man>{MAN})(?: from the (?P<by>pawn|knight|bishop|rook|queen)"
        r"|(?P<where>|: it is guarded there| from the king|(?P<far>: there the king cannot attack it at once)))"
        rf"|guards the (?P<kept>{MAN}) from the king)",
        _safe,
    ),
    (
        rf"(?P<how>lets|offers) the (?:new )?(?P<man>{MAN})(?: go)?: if (?P<capture>{SAN}), (?P<answer>{SAN})",
        _lets_go,
    ),
    (
        rf"saves the (?P<man>{MAN})(?: and holds king and (?P<with>{MAN}) behind (?P<line>the [a-h]-file|rank [1-8]))?"
        rf"(?:; (?P<rival>{SAN}) (?:would let (?P<again>{SAN}) attack it again"
        rf"|allows (?:the (?P<blow>fork|skewer) |(?P<mate>mate by ))?(?P<reply>{SAN})))?",
        _safe_here,
    ),
    (rf"(?P<how>saves|guards) the (?P<man>{MAN}) and (?P<more>.*)", _saves),
    (r"keeps (?:the (?P<file>[a-h])-file|rank (?P<rank>[1-8])) shut", _line_kept),
    (rf"stops the pawn on (?P<pawn>{SQUARE}) from behind", _from_behind),
    (
        r"clears the way for the pawn(?P<runs>, which runs by itself)?"
        r"(?P<key> and (?P<keeps>stays on|reaches) a key square)?",
        _clears,
    ),
    (rf"drives the king (?:out of|away from) the wrong corner, ({SQUARE})", _replies_leave),
    (rf"drives the king out of ({SQUARE}), where it should be mated", _replies_leave),
    (r"runs home(?:: (White|Black)'s king is outside the square of the pawn)?", _runs),
    (
        rf"runs home: the (?P<man>{MAN}) guards (?:(?P<last>{SQUARE}), where it promotes|its way to (?P<way>{SQUARE}))",
        _runs_held,
    ),
    (
        rf"(?:offers to exchange (?P<both>{MAN}s)|offers the (?P<own>{MAN}) for the (?P<theirs>{MAN})"
        rf"|lets the (?P<cost>{MAN}) take only at its own cost)(?:: if (?P<reply>{SAN}), (?P<move>{SAN}))?",
        _exchange,
    ),
    (rf"guards the (?P<man>{MAN})", _guards_man),
    (rf"keeps the bishop off (?P<posts>{SQUARES}), from where it would stop the pawn", _bishop_barred),
    (rf"offers the (?P<man>{MAN})", _offers),
    *WANTED,
    (
        r"(?P<what>prepares (?:mate|the W|a box|the opposition|to [a-z ]+)|waits for the next step of the W"
        rf"|(?:goes on|lets the pawn go on|steps out of the check, and the pawn"
        rf" goes on) to make a {MAN}|(?:wins the {MAN}(?:, or mates)?|(?:attacks|is after) the {MAN})"
        rf"|bars the pawn's way|stops the pawn|goes behind the pawn|(?:forks|skewers) king and {MAN}){_THEN}",
        _prepares,
    ),
    (
        rf"(?:attacks|threatens) the (?:unguarded )?{MAN} on {SQUARE}(?: and the {MAN} on {SQUARE})*"
        r"(?:, so that its king must guard it)?"
        r"(?P<needed>, without which there is no mate)?",
        _threat,
    ),
    *NETS,
    (
        rf"(?:gives check|drives the king to (?:the edge|(?P<squares>{SQUARES}))), and the king comes up"
        rf"(?:: if (?P<reply>{SAN}), (?P<move>K{SQUARE}))?",
        _gains_time,
    ),
    (r"closes (?:in|the net)", _wins),
    (r"gives check and leaves the pawn no time(?:: (?P<none>no quiet move wins))?", _no_time),
    (
        rf"(?P<lead>brings the king up|lets the pawn promote): if (?P<reply>{SAN}), (?P<check>{SAN}),"
        rf" then (?P<takes>{SAN}) wins the queen",
        _new_queen_falls,
    ),
    (rf"gets (?:the pawn|it) past the (?P<past>{MAN})(?:: it can no longer stop (?P<move>{SAN}))?", _threat),
    (rf"(?:steps out of the check and )?threatens (?:mate|to promote) by (?P<move>{SAN})", _threat),
    (r"threatens to promote", _promotion_threat),
    (rf"builds a barrier(?:: the bishop guards ({SQUARES}), the knight ({SQUARES}))?", _barrier),
    (r"drives the king (?:to|towards) the edge(?:, where it can be mated)?", _drives),
    (rf"drives the king towards (?P<corner>{SQUARE}), where it can be mated", _drives),
    (
        rf"drives the king (?:on inside the cage, )?to (?P<squares>{SQUARES})"
        rf"(?:: if (?P<reply>{SAN}), (?P<move>{SAN}))?",
        _driven,
    ),
    (
        rf"(?:shuts (?P<line>{LONG_LINE}) to|takes a good part of the board from(?P<much>)) (?:White|Black)'s king",
        _narrows,
    ),
    (rf"cuts (?:White|Black)'s king down from {_NUMBER} squares to {_NUMBER}", _cut_down),
    (
        rf"takes the (?P<man>{MAN})'s post in the W(?:: from (?P<post>{SQUARE}) it shuts "
        rf"(?P<wrong>the wrong corner )?(?P<shut>{SQUARES}))?(?P<n>)",
        _to_w,
    ),
    (
        rf"heads for (?P<post>{SQUARE}), the (?P<man>{MAN})'s post in the W(?:: (?P<n>\d+) more moves?)?"
        r"(?P<shut>)(?P<wrong>)",
        _to_w,
    ),
    (
        rf"brings the pawn on(?:: the (?P<escort>{MAN}) guards (?P<goal>{SQUARE}) for it|{GUARDED_ON})",
        _pawn_on,
    ),
    (r"moves the free man(?:: (.*?) (?:each hold squares|holds a square) alone)?", _free_man),
    (
        rf"takes over (?P<held>{SQUARES}) from (?:the|White's|Black's) (?P<man>{MAN})(?: on {SQUARE})?"
        r", which may now move",
        _relieves,
    ),
    (rf"shuts the king in but for one hole, (?P<squares>{SQUARE})", hole_made),
    (rf"opens (?:a hole|holes) at (?P<squares>{SQUARES})", hole_made),
    (rf"leaves (?:a hole|holes) at (?P<squares>{SQUARES}) open", hole_made),
    (r"is checkmate(?: in the corner| on the edge)?(?:: (?P<how>.*))?", _mated),
    (
        rf"(?:keeps the win|(?P<quick>loses no time|makes ready for the next move|checks first)|walks on"
        rf"|waits, for the (?P<doomed>{MAN}) cannot be saved"
        rf"|steps out of the check|brings the (?P<round>{MAN}) round"
        rf"|gives (?P<again>check) after check|drives the king to the edge|{TAKEN})"
        rf"(?:: if (?P<reply>{SAN}), (?P<move>{SAN}))?",
        _meets,
    ),
    (rf"leaves only (?P<reply>{SAN}): then (?P<move>{SAN})", _leaves_only),
    (r"wins for (?:White|Black)", _wins),
)

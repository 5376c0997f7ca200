"""Reads what is said of steps of the attacking king and of ways that are shut; one reader a rule."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import box, cut_off, guards, waiting_move
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, shut, without_king
from tests.witness.ideas.king_up import closer, nearer
from tests.witness.ideas.shuts_way import leading
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Fault, Spoken, hold, squares_in
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
    pawn_and_goal,
    stand_alone,
    their,
)
from tests.witness.spoken_room import line_on, squares_of
from tests.witness.spoken_room_left import TAKEN, taken

_WAY = rf"shuts ({SQUARES}), (the)(?: king's)? way ((?:to its|to the pawn|to [a-h]|off|back|out|away) ?.*)"


def _way(found: Found, about: Spoken) -> int:
    return way_there(found[1], True, found[3], about)


def way_there(named: str, only: bool | None, where: str, about: Spoken) -> int:
    """Hold that squares are newly shut and lead somewhere, the only ones or not; None where that is not told."""
    squares = squares_in(named)
    aim, target = _where(where)
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    serving = next((s for a, goal, s in leading(about.after, about.attacker) if (a, goal) == (aim, target)), None)
    if aim == "own man":
        (man,) = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and s != king]
        hold(about.after.piece_type_at(man) == kind(where.split()[-1]), where)
        serving = [s for s in chess.SQUARES if far(s, king) == 1 and far(s, man) < far(king, man)]
    if aim == "centre":
        hold((edge(king) == 0) == ("edge" in where), "on the edge")
    if aim == "out of the corner":
        hold((chess.square_name(king) == target) == where.startswith("out"), f"{where}: the king in the corner")
    assert serving is not None, where
    left = [s for s in serving if about.after.piece_at(s) is None and s not in closed]
    hold(only is None or only == (not left), f"{where}: the only way")
    count = newly_shut(named, about)
    return count + sum(hold(s in serving, f"{chess.square_name(s)} {where}") for s in squares)


def _where(text: str) -> tuple[str, str | None]:
    for pattern, aim in (
        (rf"to its {MAN}", "own man"),
        (rf"to the pawn on ({SQUARE})", "pawn"),
        (rf"to ({SQUARE})(?:, the wrong corner)?", "wrong corner"),
        (r"off the edge|back to the centre", "centre"),
        (rf"(?:out of|away from) the corner ({SQUARE})", "out of the corner"),
    ):
        found = re.fullmatch(pattern, text)
        if found is not None:
            return aim, (found[1] if found.groups() else None)
    raise Fault(f"cannot be read: {text}")


def _opposition(found: Found, about: Spoken) -> int:
    named = found.groupdict().get("kind") or "direct"
    if "must give way" in found[0]:
        hold(
            len([p for p in about.after.piece_map().values() if p.color != about.attacker]) == 1, "only a king to move"
        )
    return hold(waiting_move.opposition(about.after) == named, f"the {named} opposition")


def _opposition_and_way(found: Found, about: Spoken) -> int:
    way = re.fullmatch(_WAY, found["way"])
    if re.fullmatch(rf"shuts {SQUARES}", found["way"]):  # what the way leads to is left out
        return _opposition(found, about) + newly_shut(found["way"], about)
    assert way is not None, found["way"]
    return _opposition(found, about) + _way(way, about)


def _key(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    king = king_of(about.after, about.attacker)
    keys = keys_of(pawn, about.attacker)
    if found[0].startswith("takes the opposition"):
        hold(waiting_move.opposition(about.after) == "direct", "opposition")
    hold(found.groupdict().get("on") in (None, chess.square_name(king)), "the king's square")
    return hold(king in keys, f"on a key square of the pawn that goes to {chess.square_name(goal)}")


def _to_promote(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    hold(far(pawn, goal) == 1 and about.after.piece_at(goal) is None, "one step to go")
    return hold(chess.parse_square(found["goal"]) == goal and far(goal, about.move.to_square) == 1, "guarded")


def keys_of(pawn: chess.Square, white: chess.Color) -> set[chess.Square]:
    """Return the key squares: handbooks, from memory."""
    file, rank = pawn % 8, pawn // 8 if white else 7 - pawn // 8
    if file in (0, 7):
        near = 1 if file == 0 else 6
        found = {(near, 6), (near, 7)}
    else:
        ranks = [rank + 2] if rank < 4 else [rank + 1, rank + 2] if rank < 6 else [6, 7]
        found = {(f, r) for r in ranks for f in (file - 1, file, file + 1) if r < 8}
    return {chess.square(f, r if white else 7 - r) for f, r in found}


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


def _keeps_from(found: Found, about: Spoken) -> int:
    alone = found["alone"]
    return _bars(found, about) + (stand_alone(f"{alone} cannot mate", about) if alone else 0)


def _keeps_out(found: Found, about: Spoken) -> int:
    square, mine = chess.parse_square(found["square"]), king_of(about.after, not about.attacker)
    rival = king_of(about.after, about.attacker)
    hold(far(square, mine) == 1 == far(square, rival), f"keeps out of {found['square']}")
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose king")
    return 2


def _rook_stays(found: Found, about: Spoken) -> int:
    (rook,) = about.after.pieces(chess.ROOK, about.before.turn)
    hold(rook in about.before.attacks(their(about, about.before)), "the other king attacks it")
    for board in (about.before, about.after):
        hold(is_guarded(board, rook, about.before.turn), "guarded")
    return 1 + hold(waiting_move.opposition(about.after) == "direct", "opposition")


def _guards(found: Found, about: Spoken) -> int:
    count = men_stand(found["men"], about.after, about.before.turn)
    king, closed = their(about, about.before), shut(about.before, about.attacker)
    ways = [s for s in chess.SQUARES if far(s, king) == 0 or (far(s, king) == 1 and s not in closed)]
    ways += [move.to_square for move in about.after.legal_moves if move.from_square == king]
    for square in squares_in(found["men"]):
        count += hold(is_guarded(without_king(about.after, about.attacker), square, about.before.turn), "guarded")
        if found["from"]:
            hold(any(far(square, way) <= 1 for way in ways), "the other king could come for it")
    return count


def _frees(found: Found, about: Spoken) -> int:
    bound = [about.after.piece_type_at(s) for s in guards.tied(about.before, about.attacker)]
    for square in squares_in(found["squares"]):
        hold(far(square, their(about, about.after)) == 1 == far(square, about.move.to_square), "beside both kings")
    if "opposition" in found[0]:
        hold(waiting_move.opposition(about.after) == "direct", "opposition")
    return sum(hold(man in bound, "was tied") for man in kinds(found["men"]))


def _king_up(found: Found, about: Spoken) -> int:
    count, why = hold(closer(about.before, about.after), "nearer"), found[1] or ""
    if why.endswith("the cage shut meanwhile"):
        count += hold(0 < caged(about.after, about) <= caged(about.before, about), why)
    elif why.endswith("cut off meanwhile"):
        count += hold(all(cut_off.line(b, about.attacker) for b in (about.before, about.after)), why)
    elif why.endswith("the box shut meanwhile"):
        was, now = (box.box(b, about.attacker) for b in (about.before, about.after))
        count += hold(was is not None and now is not None and now <= was, why)
    else:
        return count + stand_alone(why, about)
    return count + stand_alone(why, about)


def _from_check(found: Found, about: Spoken) -> int:
    hold(about.before.is_check(), "in check")
    if found["men"]:
        (square,) = squares_in(found["men"])
        return (
            1
            + men_stand(found["men"], about.after, not about.attacker)
            + hold(far(square, about.move.to_square) == 1, "beside it")
        )
    if found["centre"]:
        return _is_king(about) + hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre")
    return 1 + hold(closer(about.before, about.after), "nearer")


def _king_up_while(found: Found, about: Spoken) -> int:
    count, line = hold(closer(about.before, about.after), "nearer"), found["line"]
    name = line if line.startswith("rank") else f"file {line[4]}"
    hold(
        [cut_off.line(b, about.attacker) for b in (about.before, about.after)] == [name, name], f"cut off along {line}"
    )
    hold((found["whose"] == "White") != about.attacker, "whose king")
    others = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING]
    if found["man_of"]:
        at, king, pawn = (
            s // 8 if name.startswith("rank") else s % 8
            for s in (line_square(name), their(about, about.after), others[0])
        )
        apart = (king - at) * (pawn - at)
        hold([about.after.piece_type_at(s) for s in others] == [chess.PAWN] and apart <= 0, "off from its pawn")
    if found["pawn"]:
        hold(far(about.move.to_square, others[0]) < far(about.move.from_square, others[0]), "nearer to the pawn")
    return count + 1 + stand_alone(f"the {found['man']}", about)


def _king_up_while_held(found: Found, about: Spoken) -> int:
    """Hold that the king comes up, and that the other can go along one edge only, beside a line of the piece."""
    at, king = squares_of(found["line"]), their(about, about.after)
    (piece,) = about.after.pieces(kind(found["man"]), about.attacker)
    hold({king, *(move.to_square for move in about.after.legal_moves)} <= at, f"held on {found['line']}")
    hold(min(far(piece, square) for square in at) == 1, "the line beside it")
    hold((found["whose"] == "White") != about.attacker, "whose king")
    return 3 + hold(closer(about.before, about.after), "nearer")


def line_square(name: str) -> chess.Square:
    """Return a square of a rank or file."""
    return chess.parse_square(f"a{name[-1]}" if name.startswith("rank") else f"{name[-1]}1")


def _king_to_king(found: Found, about: Spoken) -> int:
    hold((found["whose"] == "White") != about.attacker, "whose king")
    return 1 + hold(closer(about.before, about.after), "nearer")


def _for_mate(found: Found, about: Spoken) -> int:
    if found["how"] == "up":
        hold(closer(about.before, about.after), "nearer")
    else:
        hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre")
    if about.after.pieces(chess.PAWN, about.attacker):
        stand_alone("the pawn cannot be caught", about)
    else:
        hold(about.told.outcome(about.after) < 0, "there is a mate")
        hold(bool(about.after.pieces(chess.PAWN, not about.attacker)), "against a pawn")
        hold(edge(their(about, about.after)) == 0, "on the edge")
    return _is_king(about) + (stand_alone(found["why"], about) if found["why"] else line_on(found, about))


def _is_king(about: Spoken) -> int:
    return hold(about.after.piece_type_at(about.move.to_square) == chess.KING, "the king moves")


def _to_centre(found: Found, about: Spoken) -> int:
    hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre")
    return _is_king(about) + stand_alone(found[1] or "", about)


def _off_edge(found: Found, about: Spoken) -> int:
    return _is_king(about) + hold(edge(about.move.to_square) > edge(about.move.from_square) == 0, found[0])


def _centre_and(found: Found, about: Spoken) -> int:
    hold(edge(about.move.to_square) > edge(about.move.from_square), "towards the centre")
    return _is_king(about) + taken(found.groupdict(""), about)


def _in_its_way(found: Found, about: Spoken) -> int:
    king, pawn = about.move.to_square, chess.parse_square(found["square"])
    hold(about.after.piece_at(pawn) == chess.Piece(chess.PAWN, not about.attacker), "the pawn")
    return _is_king(about) + hold(king % 8 == pawn % 8 and (king < pawn) == about.attacker, "before it")


def _nears_man(found: Found, about: Spoken) -> int:
    now = about.move.to_square
    _is_king(about)
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
    if not found[0].endswith("square") and not found[0].startswith(("hurries", "comes")) and not found["steps"]:
        return count
    if found["steps"]:
        return count + hold(far(their(about, about.after), square) > 2, "far from its king")
    if found[0].startswith("comes"):
        return count + hold(
            kinds("rook")
            == [
                p.piece_type
                for p in about.after.piece_map().values()
                if p.color == about.attacker and p.piece_type != chess.KING
            ],
            "a rook",
        )
    goal = square % 8 + (0 if about.attacker else 56)
    left = far(square, goal) - (square // 8 == (6 if about.attacker else 1))
    return count + hold((far(now, goal) <= left) == ("inside" in found[0]), "the square of the pawn")


def _stops(found: Found, about: Spoken) -> int:
    pawn = next(s for s in about.after.pieces(chess.PAWN, not about.attacker))
    hold(found["hit"] is None or pawn == chess.parse_square(found["hit"]), "the pawn")
    hold(found["hit"] is None or far(pawn, about.move.to_square) == 1, "attacked")
    hold(about.before.piece_type_at(about.move.from_square) == chess.KING, "the king guards them")
    now, was = about.move.to_square, shut(about.before, about.attacker)
    return sum(
        hold(far(s, now) == 1 and s not in was and s % 8 == pawn % 8 and (s < pawn) == about.attacker, found[0])
        for s in squares_in(found["squares"] or "")
    )


def _before_pawn(found: Found, about: Spoken) -> int:
    square, step = chess.parse_square(found["square"]), 8 if about.attacker else -8
    hold(square - step in about.after.pieces(chess.PAWN, about.attacker), "before the pawn")
    was, now = about.before.attacks(about.move.from_square), about.after.attacks(about.move.to_square)
    return hold(square in now and square not in was, "guarded now")


def _held_on_edge(found: Found, about: Spoken) -> int:
    king = their(about, about.after)
    goals = {move.to_square for move in about.after.legal_moves if move.from_square == king}
    return _close(found, about) + hold({edge(s) for s in (king, *goals)} == {0}, "on the edge")


def _close(found: Found, about: Spoken) -> int:
    theirs = their(about, about.after)
    return hold(
        far(about.move.to_square, theirs) == 2 == far(about.move.from_square, theirs), "two steps from it"
    ) + line_on(found, about)


def _held_with(found: Found, about: Spoken) -> int:
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    theirs = about.after.occupied_co[not about.attacker]
    left = [s for s in chess.SQUARES if far(s, king) == 1 and s not in closed and not theirs >> s & 1]
    return taken(found.groupdict(""), about) + hold(sorted(squares_in(found["only"])) == left, "only there")


def _leaves_pawn(found: Found, about: Spoken) -> int:
    return stand_alone("the pawn cannot be caught", about)


def _nearer_and(found: Found, about: Spoken) -> int:
    return hold(nearer(about.before, about.after), "nearer") + taken(found.groupdict(""), about)


#: What is said of kings, with its readers.
KINGS: tuple[tuple[str, Reader], ...] = (
    (r"leaves the pawn for now(?:: it cannot be caught)?", _leaves_pawn),
    (rf"comes nearer and {TAKEN}", _nearer_and),
    (rf"{TAKEN}: it has only (?P<only>{SQUARES})", _held_with),
    (rf"stands in the way of the pawn on (?P<square>{SQUARE})", _in_its_way),
    (rf"brings the king up and shuts (?P<taken>{SQUARES})", _nearer_and),
    (rf"guards (?P<goal>{SQUARE}), and the pawn promotes", _to_promote),
    (rf"brings the pawn on: its king stands on the key square (?P<on>{SQUARE})", _key),
    (r"(?:takes the opposition on|stands on) a key square(?:: from here the king leads the pawn in)?", _key),
    (r"takes the opposition, so that (?:White|Black)'s king must give way", _opposition),
    (r"takes the opposition, and the rook stays guarded", _rook_stays),
    (r"takes the (?P<kind>distant|diagonal) opposition, to win the direct one later", _opposition),
    (r"takes the opposition and (?P<way>shuts .*)", _opposition_and_way),
    (rf"takes the (?P<kind>direct|distant|diagonal) opposition(?: and bars (?P<squares>{SQUARES}))?", _bars),
    (
        rf"(?:keeps|bars) (?:White|Black)'s king from (?P<squares>{SQUARES})"
        r"(?:, and without it (?P<alone>.*) cannot mate)?",
        _keeps_from,
    ),
    (
        rf"keeps (?P<side>White|Black)'s king out of (?P<square>{SQUARE})",
        _keeps_out,
    ),
    (_WAY, _way),
    (rf"guards (?P<men>(?:the {MAN} on {SQUARE}(?:, | and )?)+)(?P<from> from (?:White|Black)'s king)?", _guards),
    (
        rf"(?:takes the opposition: the king now )?holds (?P<squares>{SQUARES}), and (?P<men>.*) (?:is|are) free"
        " to move",
        _frees,
    ),
    (r"takes the opposition", _opposition),
    (
        rf"(?:goes for|goes after|comes to help the rook against|hurries to stop|heads for) the (?P<man>{MAN})"
        rf" on (?P<square>{SQUARE})(?P<together>)(?P<steps>, far from its king)?(?:: the king is inside its square)?",
        _nears_man,
    ),
    (
        rf"brings the king up against king and (?P<together>{MAN})(?P<square>)(?P<steps>)",
        _nears_man,
    ),
    (
        rf"(?:attacks the pawn on (?P<hit>{SQUARE}) and )?guards (?P<squares>{SQUARES}) on (?:the pawn's|its) way",
        _stops,
    ),
    (
        rf"(?:brings the king up|comes nearer to (?P<pawn>the pawn)), while the (?P<man>{MAN}) cuts"
        r" (?P<whose>White|Black)'s king off(?P<man_of> from (?:its pawn|it))?"
        r" along (?P<line>rank [1-8]|the [a-h]-file)",
        _king_up_while,
    ),
    (
        rf"brings the king up, while the (?P<man>{MAN}) holds (?P<whose>White|Black)'s king"
        r" on (?P<line>rank [18]|the [ah]-file)",
        _king_up_while_held,
    ),
    (r"comes nearer to (?P<whose>White|Black)'s king", _king_to_king),
    (r"brings the king up(?::| to) (?P<why>(?!if |after |whatever |.* is forced).*)", _king_up),
    (r"brings the king up(?P<why>)", _king_up),
    (r"keeps (?:White|Black)'s king on the edge(?P<reply>)(?P<move>)", _held_on_edge),
    (rf"guards (?P<square>{SQUARE}), where the pawn goes next", _before_pawn),
    (rf"stays close to (?:White|Black)'s king: if (?P<reply>{SAN}), (?P<move>{SAN})", _close),
    (
        r"steps out of the check(?:(?P<nearer> and comes nearer)|(?P<centre> towards the centre)"
        rf"| and attacks (?P<men>the {MAN} on {SQUARE}))",
        _from_check,
    ),
    (
        r"(?:brings the king (?P<how>up|in|towards the centre)|leaves the edge) for the mate"
        rf"(?:: (?P<why>the pawn runs by itself)|: if (?P<reply>{SAN}), (?P<move>{SAN}))?",
        _for_mate,
    ),
    (rf"(?:brings the king towards|heads for) the centre and {TAKEN}", _centre_and),
    (r"(?:(?:brings the king towards|heads for) the centre|leaves the edge)(?::| to) (?P<why>.*)", _to_centre),
    (r"(?:brings the king towards|heads for) the centre(?P<why>)", _to_centre),
    (r"brings the king off the edge", _off_edge),
)

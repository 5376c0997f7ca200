"""Reads what is said of a single move, and holds it against the board; see `spoken`."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.ideas import holes, knights_w
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_range
from tests.witness.ideas.refutation import falls
from tests.witness.spoken import (
    MAN,
    MEN,
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
from tests.witness.spoken_attack import ATTACKS, hole_made
from tests.witness.spoken_beside import BESIDE
from tests.witness.spoken_chances import CHANCES
from tests.witness.spoken_counters import COUNTERS
from tests.witness.spoken_defence import DEFENCES
from tests.witness.spoken_denials import DENIALS
from tests.witness.spoken_draws import TRIES, drawn_for
from tests.witness.spoken_men import (
    Found,
    Reader,
    caged,
    far,
    is_loose,
    kind,
    kinds,
    only_reply,
    size,
)
from tests.witness.spoken_posture import POSTURES
from tests.witness.spoken_reasons import WITH_END, with_end
from tests.witness.spoken_slips import SLIPS, leads, new

_NUMBER = r"(\d+)"
_DRAW = r"(?P<why>.*)"
_BESIDE, _ONLY = (
    "(?:, as (?:(?P<most>most moves do)|(?P<every>every move does)))?",
    "(?P<only>is the only move that draws)",
)


def up_or_nearer(text: str, about: Spoken) -> str:
    """Hold that a king brought nearer, not up, steps down the board, and return the text with "up"."""
    found = re.match("brings the king (up|nearer)", text)
    if found is None or about.before.piece_type_at(about.move.from_square) != chess.KING:
        return text
    ranks = about.move.to_square // 8 - about.move.from_square // 8
    down = ranks < 0 if about.before.turn else ranks > 0
    hold(down or found[1] == "up", "down the board")
    return text.replace("brings the king nearer", "brings the king up", 1)


def deed(text: str, about: Spoken) -> int:
    """Return the claims of what is said of a move."""
    text = re.sub(r"^cuts it off", "cuts the king off", up_or_nearer(text, about))
    for pattern, reader in _DEEDS:
        found = re.fullmatch(pattern, text)
        if found is not None:
            return reader(found, about)
    forced = re.search(rf": (?:(?P<only>{SAN}) is forced, then|then) ", text)
    if forced is not None:  # what follows the only reply, told as what follows one of several
        reply = forced["only"] or about.after.san(next(iter(about.after.legal_moves)))
        return only_reply(reply, about) + deed(text.replace(forced[0], f": if {reply}, ", 1), about)
    found = re.fullmatch(WITH_END, text)
    if found is not None:
        return with_end(found, about)
    if ", and if " in text:  # so after a colon
        return deed(text.replace(", and if ", ": if ", 1), about)
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


def _w_left(found: Found, about: Spoken) -> int:
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    return hold(told is not None and (told["state"], told["man"]) == ("leaves", found[1]), "leaves the W")


def _w_knight(found: Found, about: Spoken) -> int:
    """Hold that the knight stood in the W: where it was to stay, with what it alone held, or where to go on."""
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    assert told is not None
    count, groups = hold((told["state"], told["man"]) == ("leaves", "knight"), "leaves the W"), found.groupdict()
    assert isinstance(told["route"], list)
    route = [chess.parse_square(square) for square in told["route"]]
    if goal := groups.get("next"):
        here = route.index(about.move.from_square)
        count += hold(route[here + 1] == chess.parse_square(goal), "the next square of the W")
    else:
        count += hold(chess.square_name(about.move.from_square) == groups["at"] != goal, "where the knight stood")
    for square in squares_in(groups.get("held") or ""):
        there, was = about.after.attackers(about.attacker, square), about.before.attackers(about.attacker, square)
        count += hold(about.move.from_square in was and not there, "held by the knight alone")
    return count


def _drawn(found: Found, about: Spoken) -> int:
    count = hold(about.told.outcome(about.after) == 0, "drawn")
    groups, moves = found.groupdict(), list(about.before.legal_moves)
    holds = [move for move in moves if about.told.outcome(then(about.before, move)) <= 0]
    if groups.get("most"):
        count += hold(len(moves) > len(holds) > len(moves) / 2, found[0])
    if groups.get("every"):
        count += hold(holds == moves, found[0])
    if groups.get("only"):
        count += hold(holds == [about.move], found[0])
    takes = found.groupdict().get("takes")
    if takes:
        count += deed(takes, about)
    return count + (drawn_for(found["why"], about) if found["why"] else 0)


def _nothing(found: Found, about: Spoken) -> int:
    return 1


def _forced(found: Found, about: Spoken) -> int:
    return hold(about.before.legal_moves.count() == 1, "forced")


def _opens_cage(found: Found, about: Spoken) -> int:
    count = hold(caged(about.before, about) > 0 == caged(about.after, about), "opens the cage")
    if not found["reply"]:
        return count
    reply = legal(about.after, found["reply"])
    if found["leads"] != "gets out":
        return count + new(reply, about) + leads(found["leads"], reply, about)
    out = reply.to_square not in king_range(about.before, about.attacker)
    out = out or reply.to_square in holes.holes(about.after, about.attacker)
    return count + new(reply, about) + hold(out, "gets out")


def _chases(found: Found, about: Spoken) -> int:
    count = hold(about.after.is_check() and size(about.after, about) > size(about.before, about), "chases out")
    goals = {reply.to_square for reply in about.after.legal_moves}
    return count + sum(hold(s in goals, "a way out") for s in squares_in(found["squares"] or ""))


def _open_while_checked(found: Found, about: Spoken) -> int:
    return hold(about.after.is_check(), "check") + hole_made(found, about)


def _to_edge(found: Found, about: Spoken) -> int:
    hold(about.before.piece_type_at(about.move.from_square) == kind(found["man"]), found[0])
    better = about.best
    same = better is not None and about.before.piece_type_at(better.from_square) == kind(found["man"])
    hold(better is None or not same or edge(better.to_square) > 0, "the better move is not")
    return hold(edge(about.move.to_square) == 0 < edge(about.move.from_square), "to the edge")


def _undone(found: Found, about: Spoken) -> int:
    """Hold what a broken condition says of the man that moved; conditions have a witness of their own."""
    moved = about.before.piece_type_at(about.move.from_square)
    return hold(not found["man"] or moved == kind(found["man"]), found[0])


def _blow(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    return 1 + struck(found[0], found.groupdict().get("men"), reply, there, about)


def _pin(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    return 1 + held_fast(f"the {found['man']}", reply, then(about.after, reply))


def held_fast(man: str, reply: chess.Move, there: chess.Board) -> int:
    (named,) = kinds(man)
    on_line = [s for s in there.pieces(named, there.turn) if reply.to_square in there.pin(there.turn, s)]
    return 1 + hold(any(there.is_pinned(there.turn, s) for s in on_line), f"{man} pinned")


def struck(text: str, men: str | None, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    if "mate" in text:
        return hold(there.is_checkmate(), text)
    if "promote" in text:
        return hold(reply.promotion is not None, text)
    hit = [
        there.piece_type_at(s)
        for s in chess.SQUARES
        if there.color_at(s) == about.before.turn and _sees(there, reply, s)
    ]
    if " and behind it " in text:
        front, behind = kinds(men or "")
        seen = [there.piece_type_at(s) for s in there.attacks(reply.to_square)]
        hold(front in seen and behind not in seen, text)
    if "fork" in text:
        squares = [s for s in there.attacks(reply.to_square) if there.color_at(s) == about.before.turn]
        hold(
            all(falls(there, answer, squares, reply.to_square) for answer in there.legal_moves),
            f"{text}: one of them falls",
        )
    return sum(hold(man in hit, f"{text}: {hit}") for man in kinds(men or ""))


def _given_up(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    return hold(about.move.promotion is not None and reply.to_square == about.move.to_square, found[0])


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


def _run_out(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    open_now, was = holes.holes(about.after, about.attacker), king_range(about.before, about.attacker)
    squares = squares_in(found["squares"] or "") or [reply.to_square]
    fresh = reply.to_square not in was
    return sum(hold(s in open_now or (s == reply.to_square and fresh), f"out: {found[0]}") for s in squares)


def _attacked(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    loose = [
        there.piece_type_at(s) for s in chess.SQUARES if far(s, reply.to_square) == 1 and is_loose(there, s, about)
    ]
    return sum(hold(man in loose, found[0]) for man in kinds(found["men"]))


def _took(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    man = chess.PAWN if about.after.is_en_passant(reply) else about.after.piece_type_at(reply.to_square)
    return hold([man] == kinds(found["men"]), found[0])


def _outcome(found: Found, reply: chess.Move, there: chess.Board, about: Spoken) -> int:
    return hold(-about.told.outcome(there) == (1 if found[0] == "wins" else 0), found[0])


def _idle(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    best = lasts(about, then(there, legal(there, found["move"])))
    hold(lasts(about, there) == lasts(about, about.after) - 1, "the best reply")
    return 2 + hold(best == lasts(about, there) - 1, "nothing better")


_DEEDS: tuple[tuple[str, Reader], ...] = (
    *BESIDE,
    *ATTACKS,
    (
        rf"(?P<takes>takes the (?:loose )?{MAN}) and (?:holds the draw{_BESIDE}|{_ONLY}|is stalemate)"
        rf"(?:: {_DRAW})?",
        _drawn,
    ),
    (rf"(?:keeps the draw{_BESIDE}|{_ONLY})(?:: {_DRAW})?", _drawn),
    (rf"leaves it drawn: {_DRAW}", _drawn),
    *TRIES,
    (rf"allows a draw: {_DRAW}", _drawn),
    (r"puts the bishops side by side(?:: two neighbouring diagonals are shut)?", _nothing),
    (r"is the only legal move|is forced: the only legal move", _forced),
    (r"gets out of the cage|changes nothing: .*|does not stop the mate|lasts as long as any", _nothing),
    *COUNTERS,
    *POSTURES,
    *DEFENCES,
    *DENIALS,
    *CHANCES,
    *SLIPS,
    (rf"opens the cage(?:: (?P<reply>{SAN}) (?P<leads>.*))?", _opens_cage),
    (rf"checks while the king has a way out: (?P<squares>{SQUARES}) (?:is|are) open", _open_while_checked),
    (rf"checks too soon(?:: it only chases the king out(?:, to (?P<squares>{SQUARES}))?)?", _chases),
    (rf"breaks off the W: the ({MAN}) leaves its square", _w_left),
    (rf"breaks off the W: from (?P<at>{SQUARE}) the (knight) held (?P<held>{SQUARES})", _w_knight),
    (rf"breaks off the W: the (knight) belongs on (?P<at>{SQUARE}) for now", _w_knight),
    (rf"breaks off the W: the (knight)'s next square is (?P<next>{SQUARE})", _w_knight),
    (
        rf"(?:takes|brings) the (?P<man>{MAN}) (?:out of the centre|from its square of the W|from the W"
        r"|away from (?:the corner|the key squares|the pawn|its rook)"
        r"|from the front of the pawn|from the pawn that it guards|back to the promotion square, or too far away"
        r"|out before the rook covers it|from where it (?:covers its king|cuts the king off) ?.*)",
        _undone,
    ),
    (
        r"takes the bridge down|parts the (?:bishops, which are strongest side|two men, which belong on neighbouring).*"
        r"|leaves (?:a man|the pawn) loose|leaves the way of the pawn unsure|takes the king out of the opposition"
        r"|no longer cuts the king off|gives up the line that held the king on the edge"
        r"|lets (?:the king out of its (?:half of the board|two lines)|the king into the square of the pawn"
        r"|the pawn go on|the king through to its pawn|the other king through to the pawn)(?P<man>)",
        _undone,
    ),
    (r"pushes the pawn too soon: the key squares are now out of the king's reach", _nothing),
    (
        r"takes the (?P<man>king|knight|bishop) to the edge, where it (?:does little|guards few squares)",
        _to_edge,
    ),
    (rf"only gives the pawn up: (?P<reply>{SAN})", _given_up),
    (rf"(?:allows mate by|walks into mate:|lets the pawn promote by) (?P<reply>{SAN})", _blow),
    (rf"allows the fork (?P<reply>{SAN}), which hits (?P<men>.*)", _blow),
    (rf"allows the skewer (?P<reply>{SAN}), which hits (?P<men>{MEN})", _blow),
    (rf"allows (?P<reply>{SAN}), which pins the (?P<man>{MAN}) to its king", _pin),
    (
        r"is stalemate.*|is too slow for .*|lets the position .*|leaves no men to mate with|reaches .*|brings about .*",
        _by_law,
    ),
    (r"loses|loses time", _nothing),
    (rf"comes no nearer: after (?P<reply>{SAN}) there is nothing better than (?P<move>{SAN})", _idle),
)

_PUNISHES: tuple[tuple[str, Callable[[Found, chess.Move, chess.Board, Spoken], int]], ...] = (
    (r"is mate|promotes", lambda f, r, t, a: struck(f[0].replace("promotes", "promote"), None, r, t, a)),
    (rf"attacks (?P<men>{MEN}), which nobody guards", _attacked),
    (rf"(?:forks|attacks) (?P<men>{MEN})", lambda f, r, t, a: struck(f[0], f["men"], r, t, a)),
    (rf"pins (?P<man>the {MAN}) to its king", lambda f, r, t, a: held_fast(f["man"], r, t)),
    (rf"takes (?P<men>{MEN})", _took),
    (rf"gets out(?: towards (?P<squares>{SQUARES}))?", _run_out),
    (r"holds|wins", _outcome),
    (r".*", lambda f, r, t, a: leads(f[0], r, a)),
)

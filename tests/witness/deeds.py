"""Reads what is said of a single move, and holds it against the board; see `spoken`."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.drawn_reasons import claims as reasons_for
from tests.witness.ideas import holes, knights_w
from tests.witness.ideas.denies import passed
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_range
from tests.witness.ideas.meets import pin, takes_again
from tests.witness.ideas.refutation import means
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
from tests.witness.spoken_defence import DEFENCES
from tests.witness.spoken_denials import DENIALS
from tests.witness.spoken_draws import wrong_case
from tests.witness.spoken_men import (
    Found,
    Reader,
    caged,
    far,
    is_loose,
    kind,
    kinds,
    men_stand,
    size,
    their,
)
from tests.witness.spoken_posture import POSTURES
from tests.witness.spoken_slips import SLIPS, leads, new

_NUMBER = r"(\d+)"
_DRAW = r"(?P<why>.*)"


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


def _w_left(found: Found, about: Spoken) -> int:
    told = knights_w.claim(about.before, about.move, about.after, about.attacker)
    return hold(told is not None and (told["state"], told["man"]) == ("leaves", found[1]), "leaves the W")


def _drawn(found: Found, about: Spoken) -> int:
    count = hold(about.told.outcome(about.after) == 0, "drawn")
    if found.groupdict().get("most"):
        moves = list(about.before.legal_moves)
        holds = [move for move in moves if about.told.outcome(then(about.before, move)) <= 0]
        count += hold(len(moves) > len(holds) > len(moves) / 2, found[0])
    takes = found.groupdict().get("takes")
    if takes:
        count += deed(takes, about)
    return count + (_why(found["why"], about) if found["why"] else 0)


def _why(text: str, about: Spoken) -> int:
    """Hold the squares of a reason against the witness of the reasons, and its men against the board."""

    def is_drawn(board: chess.Board) -> bool:
        return about.told.outcome(board) <= 0

    count = men_stand(text, about.after)
    hold(not (fault := wrong_case(text, reasons_for(about.after, about.attacker, is_drawn))), fault)
    if text.endswith("comes too late to lead the pawn in"):
        found = reasons_for(about.after, about.attacker, is_drawn)
        count += hold("inside_the_square" in found, f"the other king is inside the square: {found}")
    strong = about.attacker if about.after.occupied_co[about.attacker].bit_count() > 1 else not about.attacker
    for king in re.finditer(r"(White|Black)'s king( is too far| comes too late| is in time| cannot lead)?", text):
        count += hold(((king[1] == "White") == strong) == (king[2] is not None), f"{text}: whose king")
    bare = re.fullmatch(r"(White|Black) has nothing left to win with", text)
    if bare is not None:
        left = about.after.occupied_co[bare[1] == "White"]
        return count + hold(left.bit_count() == 1 and about.before.is_capture(about.move), text)
    alone = re.match(rf"a ({MAN}) alone cannot mate, (?:even|but)", text)
    if alone is not None:
        stops = reasons_for(about.after, about.attacker, is_drawn)["minor_stops_pawn"]
        hold(stops["minor"] == alone[1], f"{text}: {stops}")
        taken = re.search(rf"even if (it|the {MAN}) takes the pawn", text)
        takes = None if taken is None else alone[1] if taken[1] == "it" else taken[1].removeprefix("the ")
        count += hold(stops["takes"] == takes, f"{text}: {stops}")
        count += hold("king is in time" not in text or bool(stops["king_near"]), text)
    only = re.fullmatch(
        rf"a rook beats a ({MAN}) only by mate on the edge or by winning it, and neither threatens", text
    )
    if only is not None:
        rook = reasons_for(about.after, about.attacker, is_drawn)["minor_holds_rook"]
        beside = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
        hold(kind(only[1]) in beside and bool(rook["looked_ahead"]) and rook["double"] is None, text)
        return count + hold(about.told.outcome(about.after) == 0, text)
    both = re.match(rf"({MAN}) against ({MAN})", text)
    if both is not None:
        here = [p.piece_type for p in about.after.piece_map().values()]
        count += hold(here.count(kind(both[1])) == 2 and both[1] == both[2], text)
    threat = re.match(_THREAT, text)
    if threat is not None and "the safe corner" in text:
        count, text = count + _met(threat, about), text.partition(", and ")[2]
        threat = None
    safe = re.search(rf"no fork or pin wins the ({MAN})", text)
    if threat is not None or safe is not None or _KINGS_PLACE.match(text):
        rook = reasons_for(about.after, about.attacker, is_drawn)["minor_holds_rook"]
        if safe is not None:
            hold(kind(safe[1]) in [p.piece_type for p in about.after.piece_map().values()], text)
            count += hold(bool(rook["looked_ahead"]) and rook["double"] is None, text)
        if threat is not None:
            count += _met(threat, about)
        return count + _edge_steps(text, rook)
    up = re.match(rf"it (?:guards the ({MAN}))?(?: and )?(?:attacks the (rook))?(?=, and |$)", text)
    if up is not None:
        count += _king_steps_up(up[1], up[2], about)
        return count + _edge_steps(text, reasons_for(about.after, about.attacker, is_drawn)["minor_holds_rook"])
    met = re.match(_DOUBLE, text)
    if met is not None:
        double = legal(about.after, met["double"])
        there = then(about.after, double)
        count += struck(text, met["men"] or f"king and {met['pinned']}", double, there, about)
        hold(there.is_check() != bool(met["pinned"]), "a pin gives no check")
        held = then(there, legal(there, met["answer"]))
        beside = [s for s, p in held.piece_map().items() if p.color == about.before.turn and p.piece_type != chess.KING]
        guarded = bool(beside) and far(beside[0], their(about, held)) == 1
        return count + 2 * hold(is_drawn(held) and guarded == (met["how"] == "guards"), text)
    if re.match(r"it (?:forks|skewers)", text):
        how, hit = means(about.before, about.before, about.move, about.attacker)
        names = sorted(about.after.piece_type_at(square) or 0 for square in hit)
        men = kinds(text.partition(", and ")[0])
        hold(sorted(men) == names and how in text and men[0] == max(men), f"the king is named first: {text}")
        falls = reasons_for(about.after, about.attacker, is_drawn)["man_falls"]
        return count + 2 * hold(f"the {falls['man']} falls" in text, text)
    squares = squares_in(re.sub(rf"{MAN} on {SQUARE}", "", text))
    if squares:
        told = str([reasons_for(about.after, side, is_drawn) for side in chess.COLORS])
        count += sum(hold(f"'{chess.square_name(square)}'" in told, f"{text}: {told}") for square in squares)
    return count


_DOUBLE = (
    rf"(?P<double>{SAN}) (?:hits (?P<men>.*)|pins the (?P<pinned>{MAN})), but (?P<answer>{SAN}) (?P<how>guards|holds)"
)
#: What keeps the king from being mated by a rook.
_KINGS_PLACE = re.compile(
    r"king and knight stay together|off the edge the|(?:White|Black)'s king (?:can leave|is too far off to help mate)"
    r"|the (?:bishop|knight) can step between"
)
_THREAT = (
    rf"it (?:avoids (?P<pin>{SAN}), which pins the (?P<man>{MAN})|avoids the (?P<how>mate|fork|skewer) (?P<blow>{SAN})"
    rf"|saves the (?P<victim>{MAN}) from (?P<takes>{SAN})|stops (?P<queens>{SAN})"
    rf"|guards the (?P<kept>{MAN}) against (?P<held>{SAN})|strikes back after (?P<met>{SAN}))"
)


def _king_steps_up(guarded: str | None, hit: str | None, about: Spoken) -> int:
    """Hold that the king, which moved, comes next to a man of its own, or to a rook that it may take."""
    was, now, mover = about.move.from_square, about.move.to_square, about.before.turn
    hold(about.before.piece_type_at(was) == chess.KING and mover != about.attacker, "a step of the defending king")
    for man, colour in ((guarded, mover), (hit, not mover)):
        if man is not None:
            (square,) = about.after.pieces(kind(man), colour)
            hold(far(now, square) == 1 < far(was, square), f"it comes to the {man}")
            hold(colour == mover or not about.after.is_attacked_by(colour, square), f"the {man} may be taken")
    return hold(guarded is not None or hit is not None, "a man") + 1


def _met(found: Found, about: Spoken) -> int:
    """Hold that the attacker would win by a move had the defender passed, and by what."""
    waits = passed(about.before)
    name = next(found[group] for group in ("pin", "blow", "takes", "queens", "held", "met") if found[group])
    reply = legal(waits, name)
    count = 1 + hold(about.told.outcome(then(waits, reply)) < 0, f"{name} would win")
    if found["pin"]:
        return count + hold(pin(waits, reply) == found["man"], found[0])
    if found["takes"] or found["held"] or found["met"]:
        victim, still = found["victim"] or found["kept"], takes_again(about.after, reply)
        hold(not victim or waits.piece_type_at(reply.to_square) == kind(victim), found[0])
        hold(still == (found["takes"] is None), found[0])
        guarded = bool(about.after.attackers(about.before.turn, reply.to_square))
        return count + hold(not still or guarded == (found["held"] is not None), found[0])
    how = means(waits, waits, reply, about.attacker)[0]
    return count + hold(how == (found["how"] or "promotion"), found[0])


def _edge_steps(text: str, found: dict[str, object]) -> int:
    """Hold what keeps the king from mate: no edge, a way off it, its man beside it or in between."""
    named = [chess.square_name(square) for square in squares_in(text.partition("between")[2].partition(", and no")[0])]
    hold("there is no mate" not in text or found["from_edge"] != 0, text)
    hold("leave the edge" not in text or bool(found["off_edge"]), text)
    hold("too far off" not in text or int(str(found["kings_apart"])) > 2, text)
    hold("stay together" not in text or str(found["king_steps"]) in "12", text)
    return sum(hold(name in str(found["between"]), f"{text}: {found}") for name in named)


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
    hold(about.best is None or edge(about.best.to_square) > 0, "the better move is not")
    return hold(edge(about.move.to_square) == 0 < edge(about.move.from_square), "to the edge")


def _undone(found: Found, about: Spoken) -> int:
    """Hold what a broken condition says of the man that moved; conditions have a witness of their own."""
    moved = about.before.piece_type_at(about.move.from_square)
    return hold(not found["man"] or moved == kind(found["man"]), found[0])


def _blow(found: Found, about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    return 1 + struck(found[0], found.groupdict().get("men"), reply, there, about)


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
        rf"(?P<takes>takes the (?:loose )?{MAN}) and (?:holds the draw|is stalemate)"
        rf"(?:: {_DRAW})?",
        _drawn,
    ),
    (rf"keeps the draw(?P<most>, as most moves do)?(?:: {_DRAW})?", _drawn),
    (rf"leaves it drawn: {_DRAW}", _drawn),
    (rf"allows a draw: {_DRAW}", _drawn),
    (r"puts the bishops side by side(?:: two neighbouring diagonals are shut)?", _nothing),
    (r"is the only legal move|is forced: the only legal move", _forced),
    (r"gets out of the cage|changes nothing: .*|does not stop the mate|lasts as long as any", _nothing),
    *POSTURES,
    *DEFENCES,
    *DENIALS,
    *CHANCES,
    *SLIPS,
    (rf"opens the cage(?:: (?P<reply>{SAN}) (?P<leads>.*))?", _opens_cage),
    (rf"checks while the king has a way out: (?P<squares>{SQUARES}) (?:is|are) open", _open_while_checked),
    (rf"checks too soon(?:: it only chases the king out(?:, to (?P<squares>{SQUARES}))?)?", _chases),
    (rf"breaks off the W: the ({MAN}) leaves its square", _w_left),
    (
        rf"(?:takes|brings) the (?P<man>{MAN}) (?:out of the centre|from its square of the W|from the W"
        r"|away from (?:the corner|the key squares|the pawn|its rook)"
        r"|from the front of the pawn|from the pawn that it guards|back to the promotion square, or too far away"
        r"|out before the rook covers it|from where it (?:covers its king|cuts the king off) ?.*)",
        _undone,
    ),
    (
        r"takes the bridge down|parts the (?:bishops, which are strongest side|two men, which belong on neighbouring).*"
        r"|leaves (?:a man|the pawn) loose|leaves the way of the pawn unsure|gives up the opposition"
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
    (rf"(?:forks|attacks) (?P<men>{MEN})", lambda f, r, t, a: struck("hits", f["men"], r, t, a)),
    (rf"takes (?P<men>{MEN})", _took),
    (rf"gets out(?: towards (?P<squares>{SQUARES}))?", _run_out),
    (r"holds|wins", _outcome),
    (r".*", lambda f, r, t, a: leads(f[0], r, a)),
)

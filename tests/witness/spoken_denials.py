"""Reads what a defence denies the attacker, what a shorter one lets in, and what comes next."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import denies, must_first
from tests.witness.ideas.critical import lasts
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, king_range
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.prepares import deed
from tests.witness.ideas.refutation import means
from tests.witness.spoken import MAN, SAN, SQUARE, Fault, Spoken, hold, legal, then
from tests.witness.spoken_men import Found, Reader, kind, stand_alone, their

_THEIRS = r"(?:White|Black)'s king"
_LETS = (
    rf"(?:loses the (?P<man>{MAN}) to (?P<took>{SAN})|allows the (?P<blow>fork|skewer) (?P<strikes>{SAN})"
    rf"|lets the pawn promote with check, (?P<queens>{SAN})"
    rf"|lets (?P<side>White|Black)'s king up by (?P<up>{SAN})(?:, and (?P<alone>.*) cannot mate without it)?"
    rf"|lets (?P<drives>{SAN}) (?P<how>drive {_THEIRS} to|hold {_THEIRS} on) the edge"
    r"(?:, where (?P<there>.*) can mate)?"
    rf"|lets (?P<cuts>{SAN}) (?P<by>pen {_THEIRS} in|box {_THEIRS} in)"
    rf"|lets (?P<shuts>{SAN}) shut {_THEIRS} in (?P<where>on the (?:first|last) two ranks|on rank [18]"
    rf"|on the (?:[ah]-file|a- and b-files|g- and h-files)|by the corner {SQUARE}))"
)
#: What another move would let in.
DENIED = rf"(?P<other>{SAN}) {_LETS}"
_DOES = {
    "makes? the W ready": "W ready",
    "goe?s? on with the W": "W step",
    "shuts? the cage": "shuts",
    "tightens? the cage": "tightens",
    "takes? the opposition": "opposition",
    "shrinks? the box": "shrinks",
    rf"cuts? {_THEIRS} off": "cuts off",
    rf"shuts? {_THEIRS} in a box": "box",
    "brings? its king up": "king up",
    "promotes?": "promotion",
}


def denied(found: Found, about: Spoken) -> int:
    """Hold what another move would let in, and that the move does not."""
    other = legal(about.before, found["other"])
    mine, its = (lasts(about.before, move, about.told) for move in (about.move, other))
    return 1 + hold(its < mine, f"{found['other']} is shorter") + _lets(found, other, about.after, about)


def _conceded(found: Found, about: Spoken) -> int:
    lengths = {move.uci(): lasts(about.before, move, about.told) for move in about.before.legal_moves}
    longest = min(name for name in lengths if lengths[name] == max(lengths.values()))
    hold("loses a move" not in found[0] or lengths[longest] - lengths[about.move.uci()] == 2, "a move")
    return _lets(found, about.move, then(about.before, chess.Move.from_uci(longest)), about)


def _lets(found: Found, other: chess.Move, best: chess.Board, about: Spoken) -> int:
    """Hold what follows another move, and that nothing as good follows the better one."""
    there, side = then(about.before, other), about.attacker
    name = next(found[group] for group in _MOVES if found[group])
    answer = legal(there, name)
    now, after = then(there, answer), [then(best, move) for move in best.legal_moves]
    count = 1 + hold(about.told.outcome(now) < 0, f"{name} wins")
    if found["took"]:
        return count + hold(there.piece_type_at(answer.to_square) == kind(found["man"]), found[0])
    if found["strikes"]:
        return count + hold(means(there, there, answer, side)[0] == found["blow"], found[0])
    if found["queens"]:
        others = [b for m, b in zip(best.legal_moves, after, strict=True) if m.promotion and b.is_check()]
        return count + hold(bool(answer.promotion) and now.is_check() and not others, found[0])
    if found["up"]:
        hold(found["side"] == ("White" if side else "Black"), "whose king")
        steps = [b for b in after if b.king(side) != best.king(side)]
        nearest = min(map(denies.apart, steps), default=8)
        return count + hold(denies.apart(now) < nearest, found[0]) + _alone(found["alone"], about)
    if found["drives"]:
        on_edge = not any(map(edge, _left(now, side)))
        if found["how"].startswith("hold") and not found["there"] and on_edge and _cut_down(now, after, side):
            return count + 1
        started = edge(their(about, there)) > 0
        hold(started == found["how"].startswith("drive"), "where it stood")
        hold(not denies.only_edge(denies.passed(there), side), "it could leave the edge")
        hold(denies.only_edge(now, side) and not any(denies.only_edge(b, side) for b in after), found[0])
        return count + 1 + _alone(found["there"], about)
    if found["shuts"]:
        return count + hold(_lies(found["where"], _left(now, side)) and _cut_down(now, after, side), found[0])
    size = denies.boxed if found["by"].startswith("box") else denies.room
    least = min((size(b, side) for b in after if denies.safe(b, side)), default=64)
    return count + hold(size(now, side) < least, found[0])


_MOVES = ("took", "strikes", "queens", "up", "drives", "cuts", "shuts")


def _left(board: chess.Board, side: bool) -> list[int]:
    """Return where the defending king gets to, without a square on which it is in check."""
    king = {king_of(board, not side)} if board.is_check() else set()
    return sorted(king_range(board, side) - king)


def _cut_down(now: chess.Board, after: list[chess.Board], side: bool) -> bool:
    return denies.room(now, side) < min((denies.room(b, side) for b in after if denies.safe(b, side)), default=64)


def _lies(where: str, squares: list[int]) -> bool:
    """Whether all squares lie in a part of the board."""
    if "on rank" in where:
        return {s // 8 for s in squares} == {int(where[-1]) - 1}
    if "ranks" in where:
        return {s // 8 for s in squares} <= ({0, 1} if "first" in where else {6, 7})
    if "file" in where:
        return {"abcdefgh"[s % 8] for s in squares} <= set(re.findall(r"([a-h])-", where))
    corner = chess.parse_square(where[-2:])
    return all(chess.square_distance(s, corner) <= 3 for s in squares)


def _alone(men: str | None, about: Spoken) -> int:
    return stand_alone(f"{men.replace('two bishops', 'bishop')} cannot mate", about) if men else 0


def denials(text: str, about: Spoken) -> int:
    """Read what stands behind a defence that lasts longest: what it denies, or what the attacker must do first."""
    lets = re.fullmatch(DENIED, text)
    if lets is not None:
        return denied(lets, about)
    at_once = re.fullmatch(AT_ONCE, text)
    if at_once is not None:
        return lets_at_once(at_once, about)
    first = re.fullmatch(rf"(?P<side>White|Black) must first (?P<does>.*) by (?P<reply>{SAN})", text)
    if first is None:
        raise Fault(f"cannot be read: {text}")
    must = must_first.must(about.before, about.move, legal(about.after, first["reply"]).uci(), about.told)
    hold(must, f"{first['reply']} is needed, and not after what lasts less long")
    return hold(first["side"] == ("White" if about.attacker else "Black"), "whose move") + _does(
        first["reply"], first["does"], about
    )


#: What the next best defence lets in at once.
AT_ONCE = (
    rf"(?P<other>{SAN}) lets (?:(?P<side>White|Black)'s king come up by (?P<up>{SAN})|(?P<answer>{SAN}) (?P<does>.*))"
)


def lets_at_once(found: Found, about: Spoken) -> int:
    """Hold what is done against another defence, and that nobody is quickest by that after the move."""
    other = legal(about.before, found["other"])
    mine, its = (lasts(about.before, move, about.told) for move in (about.move, other))
    there = then(about.before, other)
    answer = legal(there, found["answer"] or found["up"])
    count = 2 + hold(its < mine and about.told.outcome(then(there, answer)) < 0, f"{found['other']} is shorter")
    told = deed(there, answer, about.attacker)
    after = [deed(about.after, chess.Move.from_uci(m), about.attacker) for m in quickest(about.after, about.told)]
    hold(told not in after, "after the move it is not done")
    if found["up"]:
        return count + hold(told == "king up" and found["side"] == ("White" if about.attacker else "Black"), found[0])
    takes = re.fullmatch(rf"take the ({MAN})", found["does"])
    if takes is not None:
        return count + hold(there.piece_type_at(answer.to_square) == kind(takes[1]), found[0])
    return count + hold([n for p, n in _DOES.items() if re.fullmatch(p, found["does"])] == [told], found[0])


def comes_next(text: str, about: Spoken) -> int:
    """Hold what the attacker does next."""
    found = re.fullmatch(rf"(?P<reply>{SAN})(?: (?P<does>.*))?", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    return _does(found["reply"], found["does"], about)


def _does(name: str, does: str | None, about: Spoken) -> int:
    reply = legal(about.after, name)
    there = then(about.after, reply)
    count = 1 + hold(about.told.outcome(there) < 0, f"{name} wins")
    if does is None:
        told = deed(about.after, reply, about.attacker)
        bare = (
            told in ("opposition", "shuts", "tightens")
            and chess.popcount(about.after.occupied_co[about.before.turn]) > 1
        )
        return count + hold(bare or told in ("mate", "promotion"), "mate, a new man, what is done to a bare king")
    attacks = re.fullmatch(rf"attacks the (?P<man>{MAN})", does)
    if attacks is not None:
        near = [s for s in chess.SQUARES if chess.square_distance(s, reply.to_square) == 1]
        hit = [there.piece_type_at(s) for s in near if there.color_at(s) != about.attacker]
        return count + hold(there.piece_type_at(reply.to_square) == chess.KING and kind(attacks["man"]) in hit, does)
    if does == "clears the pawn's way":
        ahead = [
            pawn
            for pawn in there.pieces(chess.PAWN, about.attacker)
            if pawn % 8 == reply.from_square % 8 and (reply.from_square > pawn) == about.attacker
        ]
        return count + hold(bool(ahead) and reply.to_square % 8 != reply.from_square % 8, does)
    takes = re.fullmatch(rf"takes? the (?P<man>{MAN})", does)
    if takes is not None:
        return count + hold(about.after.piece_type_at(reply.to_square) == kind(takes["man"]), does)
    if re.fullmatch("brings? the pawn on", does):
        return count + hold(about.after.piece_type_at(reply.from_square) == chess.PAWN, does)
    told, real = (
        next(name for p, name in _DOES.items() if re.fullmatch(p, does)),
        deed(about.after, reply, about.attacker),
    )
    if told == "king up" and real in ("cuts off", "box", "shrinks"):
        king = king_of(about.after, about.attacker)
        return count + hold(reply.from_square == king and denies.apart(there) < denies.apart(about.after), does)
    return count + hold(real == told, does)


_NEXT_IS = rf"next is (?P<line>{SAN}(?: {SAN})*)(?P<won>, and the (?:{MAN} is lost|pawn is through))?"


def _done_next(text: str, about: Spoken) -> int:
    why = r"(?:, since (?P<alone>.*) cannot mate without it)?"
    done = rf"goes on with (?P<plain>{SAN})|(?P<does>.*) by (?P<reply>{SAN}){why}"
    found = re.fullmatch(rf"(?P<side>White|Black) (?:{done})", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose move")
    if found["plain"]:
        there = then(about.after, legal(about.after, found["plain"]))
        return 1 + hold(about.told.outcome(there) < 0, f"{found['plain']} wins")
    by_a_piece = re.search("cuts|box", found["does"]) is not None
    hold(not (by_a_piece and found["reply"][0] == "K"), "it is not the king that cuts off")
    hold(found["alone"] is None or "king up" in found["does"], text)
    return 1 + _does(found["reply"], found["does"], about) + _alone(found["alone"], about)


def comes(text: str, about: Spoken) -> int:
    """Hold what a lost defence does not stop: what is done next, or the moves to where something is lost."""
    found = re.fullmatch(_NEXT_IS, text)
    if found is None:
        return _done_next(text, about)
    board, names = about.after, found["line"].split()
    for name in names:
        move, before = legal(board, name), board
        board = then(board, move)
        mover = before.turn == about.attacker
        told = about.told.mate_plies(board), about.told.mate_plies(before)
        hold(None not in told and (not mover or about.told.outcome(board) < 0), f"{name} wins")
        hold(mover or int(told[0] or 0) == int(told[1] or 0) - 1, f"{name} lasts longest")
    if found["won"] is None:
        return len(names) + hold(board.is_checkmate(), text)
    if "through" in found["won"]:
        return len(names) + hold(move.promotion is not None, text)
    victim = chess.PAWN if before.is_en_passant(move) else before.piece_type_at(move.to_square)
    return len(names) + hold(victim is not None and f"the {chess.piece_name(victim)} is lost" in text, text)


def _runs_into(found: Found, about: Spoken) -> int:
    longest = max(lasts(about.before, move, about.told) for move in about.before.legal_moves)
    hold(longest - lasts(about.before, about.move, about.told) == 2, "a move")
    return 1 + hold(then(about.after, legal(about.after, found["mate"])).is_checkmate(), found[0])


DENIALS: tuple[tuple[str, Reader], ...] = (
    (rf"(?:loses a move: it )?{_LETS}", _conceded),
    (rf"loses a move: it runs into (?P<mate>{SAN})", _runs_into),
    (AT_ONCE, lets_at_once),
    (r"(?:White|Black) must first .*", lambda found, about: denials(found[0], about)),
)

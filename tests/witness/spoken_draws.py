"""Reads why a draw is a draw, and what is tried in one, and holds it against the board and the witness of reasons."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.drawn_reasons import claims as reasons_for
from tests.witness.ideas import sets_problem
from tests.witness.ideas.denies import passed
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.meets import pin, takes_again
from tests.witness.ideas.refutation import means
from tests.witness.ideas.stalemate_trap import stalemating
from tests.witness.spoken import MAN, SAN, SANS, SQUARE, SQUARES, Spoken, hold, legal, moves_in, squares_in, then
from tests.witness.spoken_men import Found, Reader, far, kind, kinds, men_stand, their

_KING = r"(?:the|White's|Black's) king"
#: Words of a case, the reason, and what the witness says of it; where a list is told, whether there is anything in it.
_CASES: tuple[tuple[str, str, dict[str, bool]], ...] = (
    (r"is shut in before its own rook's pawn", "king_before_pawn", {"shut_in": True}),
    (r"holds the corner before the rook's pawn", "king_before_pawn", {"shut_in": False, "rooks_pawn": True}),
    (
        r"the king has the opposition, so",
        "king_before_pawn",
        {"shut_in": False, "rooks_pawn": False, "has_opposition": True},
    ),
    (
        r"the king stands in front of the pawn",
        "king_before_pawn",
        {"shut_in": False, "rooks_pawn": False, "has_opposition": False},
    ),
    (r"never guards .*king holds it$", "wrong_rooks_pawn", {"arrived": True}),
    (r"never guards .*king reaches it$", "wrong_rooks_pawn", {"arrived": False}),
    (r"a bishop's pawn on the seventh", "pawn_on_the_seventh", {"bishops_pawn": True}),
    (r"a rook's pawn on the seventh", "pawn_on_the_seventh", {"bishops_pawn": False}),
    (r"^a .* pawn on the seventh", "pawn_on_the_seventh", {"king_far": False}),
    (r"with .* king too far away a .* pawn on the seventh", "pawn_on_the_seventh", {"king_far": True}),
    (r"the king leads its pawn, .*the rook must be given", "pawn_supported", {"led": True}),
    (r"too far off to help (?:its rook against the pawn|the rook)", "pawn_supported", {"led": False}),
    (r"and then a man falls or it is stalemate", "man_caught", {"stalemates": True}),
    (r"and then a man falls$", "man_caught", {"stalemates": False}),
    (r"every reply loses a man or is stalemate", "man_falls", {"stalemates": True}),
    (r"every reply loses a man$", "man_falls", {"stalemates": False}),
    (r"alone cannot mate, but it stops the pawn at", "minor_stops_pawn", {"held": True}),
    (r"alone cannot mate, but the king holds the pawn by itself", "minor_stops_pawn", {"king_alone": True}),
    (r"alone cannot mate, but it can give itself", "minor_stops_pawn", {"held": False, "gives": True}),
    (r"alone cannot mate, but it is in time", "minor_stops_pawn", {"held": False, "comes": True}),
    (r"but the other king is in time to stop the pawn", "minor_stops_pawn", {"held": False, "king_near": True}),
    (r"alone cannot mate, but the pawn does not get through", "minor_stops_pawn", {"held": False, "comes": False}),
)


def wrong_case(text: str, reasons: dict[str, dict[str, object]]) -> str:
    """Return the case that is told and not so, nothing where what is told is so."""
    for words, reason, case in _CASES:
        if re.search(words, text) and (reason not in reasons or any(bool(reasons[reason][k]) != case[k] for k in case)):
            return f"{text}: {reasons.get(reason)}"
    return ""


def drawn_for(text: str, about: Spoken) -> int:
    """Return the claims of a reason for a draw."""

    def is_drawn(board: chess.Board) -> bool:
        return about.told.outcome(board) <= 0

    strong = about.attacker if about.after.occupied_co[about.attacker].bit_count() > 1 else not about.attacker
    reasons = reasons_for(about.after, strong, is_drawn)
    count = men_stand(text, about.after)
    hold(not (fault := wrong_case(text, reasons)), fault)
    if "inside the square" in text and (case := reasons.get("inside_the_square")) is not None:
        late = int(str(case["king_steps"])) > int(str(case["pawn_moves"]))
        count += hold(late == ("steps inside" in text), f"{text}: {case}")
    if text.endswith("comes too late to lead the pawn in"):
        count += hold("inside_the_square" in reasons, f"the other king is inside the square: {reasons}")
    if (trap := re.fullmatch(rf"(?P<moves>{SANS}) would be stalemate", text)) is not None:
        ending, played = stalemating(about.after), moves_in(trap["moves"])
        return count + sum(hold(legal(about.after, san).uci() in ending, f"{san} stalemates") for san in played)
    for pattern, reader in _LEFT:
        if (found := re.fullmatch(pattern, text)) is not None:
            return count + reader(found, about)
    of_strong = r"(White|Black)'s king( is too far| too far away| comes too late| is in time| cannot lead)?"
    for king in re.finditer(of_strong, text):
        count += hold(((king[1] == "White") == strong) == (king[2] is not None), f"{text}: whose king")
    if "minor_holds_rook" in reasons and (read := _against_rook(text, about, reasons)):
        return count + read
    if text.startswith("it comes nearer to its pawn"):
        (pawn,) = about.after.pieces(chess.PAWN, about.before.turn)
        hold(about.before.piece_type_at(about.move.from_square) == chess.KING, text)
        count += hold(far(about.move.to_square, pawn) < far(about.move.from_square, pawn), text)
    alone = re.match(rf"a ({MAN}) alone cannot mate, but", text)
    if alone is not None:
        stops = reasons["minor_stops_pawn"]
        hold(stops["minor"] == alone[1], f"{text}: {stops}")
        count += hold("king is in time" not in text or bool(stops["king_near"]), text)
    both = re.match(rf"({MAN}) against ({MAN})", text)
    if both is not None:
        here = [p.piece_type for p in about.after.piece_map().values()]
        count += hold(here.count(kind(both[1])) == 2 and both[1] == both[2], text)
    if re.match(r"it (?:forks|skewers)", text):
        how, hit = means(about.before, about.before, about.move, about.attacker)
        names = sorted(about.after.piece_type_at(square) or 0 for square in hit)
        men = kinds(text.partition(", and ")[0])
        hold(sorted(men) == names and how in text and men[0] == max(men), f"the king is named first: {text}")
        return count + 2 * hold(f"the {reasons['man_falls']['man']} falls" in text, text)
    squares = squares_in(re.sub(rf"{MAN} on {SQUARE}", "", text))
    if squares:
        told = str([reasons_for(about.after, side, is_drawn) for side in chess.COLORS])
        count += sum(hold(f"'{chess.square_name(square)}'" in told, f"{text}: {told}") for square in squares)
    return count


def _against_rook(text: str, about: Spoken, reasons: dict[str, dict[str, object]]) -> int:
    """Return the claims of a minor piece that holds against a rook, part by part; 0 where it is another reason."""
    double = re.match(_DOUBLE, text)
    if double is not None:
        return _double(double, text, about)
    count = 0
    for part in re.split(r", and (?!neither)", text):
        found = next(((re.fullmatch(p, part), reader) for p, reader in _PARTS if re.fullmatch(p, part)), None)
        if found is None:
            return 0
        match, reader = found
        assert match is not None
        count += hold(reader(match, about, reasons), part) + len(re.findall(SAN, part))
    return count


def _double(met: Found, text: str, about: Spoken) -> int:
    from tests.witness.deeds import struck

    double = legal(about.after, met["double"])
    there = then(about.after, double)
    count = struck(text, met["men"] or f"king and {met['pinned']}", double, there, about)
    hold(there.is_check() != bool(met["pinned"]), "a pin gives no check")
    held = then(there, legal(there, met["answer"]))
    beside = [s for s, p in held.piece_map().items() if p.color == about.before.turn and p.piece_type != chess.KING]
    own = [s for s, p in about.after.piece_map().items() if p.color == about.before.turn and p.piece_type != chess.KING]
    before = far(own[0], their(about, about.after)) == 1
    hold(bool(met["still"]) == (before and met["how"] == "guards"), "still")
    guarded = bool(beside) and far(beside[0], their(about, held)) == 1
    return count + 2 * hold(about.told.outcome(held) <= 0 and guarded == (met["how"] == "guards"), text)


_DOUBLE = (
    rf"(?P<double>{SAN}) (?:hits (?P<men>.*)|pins the (?P<pinned>{MAN})), but (?P<answer>{SAN})"
    r" (?P<still>still )?(?P<how>guards|holds)"
)
_THREAT = (
    rf"it (?:avoids (?P<pin>{SAN}), which pins the (?P<man>{MAN})|avoids the (?P<how>mate|fork|skewer) (?P<blow>{SAN})"
    rf"|saves the (?P<victim>{MAN}) from (?P<takes>{SAN})|stops (?P<queens>{SAN})"
    rf"|guards the (?P<kept>{MAN}) against (?P<held>{SAN})|strikes back after (?P<met>{SAN}))"
)
Part = Callable[[Found, Spoken, dict[str, dict[str, object]]], bool]


def _rook(reasons: dict[str, dict[str, object]]) -> dict[str, object]:
    return reasons["minor_holds_rook"]


def _king_comes(to: str, about: Spoken) -> bool:
    """Whether the defending king, which moved, comes next to a man of its own, or to a rook that it may take."""
    was, now, mover = about.move.from_square, about.move.to_square, about.before.turn
    hold(about.before.piece_type_at(was) == chess.KING and mover != about.attacker, "a step of the defending king")
    colour = not mover if to == "rook" else mover
    (square,) = about.after.pieces(kind(to), colour)
    may = colour == mover or not about.after.is_attacked_by(colour, square)
    return far(now, square) == 1 < far(was, square) and may


def _from_the_edge(leaves: bool, about: Spoken) -> bool:
    was, now = about.move.from_square, about.move.to_square
    return now == their(about, about.after) and edge(was) < edge(now) and (edge(was) == 0) == leaves


def _came_together(about: Spoken) -> bool:
    """Whether king and knight were three steps apart or more, and are no longer."""
    apart = [
        far(their(about, board), min(board.pieces(chess.KNIGHT, not about.attacker)))
        for board in (about.before, about.after)
    ]
    return apart[0] > 2 >= apart[1]


def _between(found: Found, about: Spoken, reasons: dict[str, dict[str, object]]) -> bool:
    return set(re.findall(SQUARE, found["on"])) <= set(re.findall(SQUARE, str(_rook(reasons)["between"])))


def _minor_there(name: str, about: Spoken) -> bool:
    return bool(about.after.pieces(kind(name), not about.attacker))


#: The parts of which is told how a bishop or a knight holds against a rook.
_PARTS: tuple[tuple[str, Part], ...] = (
    (_THREAT, lambda found, about, reasons: _met(found, about) > 0),
    (
        rf"no (?:other )?fork or pin wins (?:the ({MAN})|it)",
        lambda found, about, reasons: (
            (not found[1] or _minor_there(found[1], about))
            and bool(_rook(reasons)["looked_ahead"])
            and _rook(reasons)["double"] is None
        ),
    ),
    (
        rf"a rook beats a ({MAN}) only by mate on the edge or by winning it, and neither is threatened",
        lambda found, about, reasons: (
            _minor_there(found[1], about) and bool(_rook(reasons)["looked_ahead"]) and _rook(reasons)["double"] is None
        ),
    ),
    (
        rf"the rook can neither mate the king on the edge nor win the ({MAN})",
        lambda found, about, reasons: _minor_there(found[1], about),
    ),
    (
        r"it (?:guards the (bishop|knight))?(?: and )?(?:attacks the (rook))?",
        lambda found, about, reasons: all(_king_comes(man, about) for man in found.groups() if man),
    ),
    (
        r"the king (leaves|gets away from) the edge",
        lambda found, about, reasons: _from_the_edge(found[1] == "leaves", about),
    ),
    (r"king and knight come closer together", lambda found, about, reasons: _came_together(about)),
    (
        r"king and knight stay together|the knight stays near its king",
        lambda found, about, reasons: (
            (_rook(reasons)["minor"], _rook(reasons)["king_steps"]) == ("knight", 2 if "near" in found[0] else 1)
        ),
    ),
    (
        r"off the edge (?:the|White's|Black's) king is safe from mate",
        lambda found, about, reasons: _rook(reasons)["from_edge"] != 0,
    ),
    (rf"{_KING} can still step off the edge", lambda found, about, reasons: bool(_rook(reasons)["off_edge"])),
    (
        r"(?:White|Black)'s king is too far off to help mate",
        lambda found, about, reasons: int(str(_rook(reasons)["kings_apart"])) > 2,
    ),
    (rf"the ({MAN}) can step between on (?P<on>{SQUARE}(?: or {SQUARE})?)", _between),
    (
        r"the knight stands beside its king",
        lambda found, about, reasons: "knight_beside_king" in reasons,
    ),
    (
        rf"the knight on (?P<at>{SQUARE}) stands beside its king(?:, where the rook cannot win it)?",
        lambda found, about, reasons: reasons["knight_beside_king"]["knight"] == found["at"],
    ),
    (r"no fork or pin wins it there", lambda found, about, reasons: "knight_beside_king" in reasons),
    (r"no check or pin wins the bishop", lambda found, about, reasons: "safe_corner" in reasons),
    (
        rf"{_KING} is by the safe corner (?P<at>{SQUARE})(?:, which is not of the bishop's colour)?",
        lambda found, about, reasons: reasons["safe_corner"]["corner"] == found["at"],
    ),
)


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


def _bare(found: Found, about: Spoken) -> int:
    """Hold that a capture, or what a pawn becomes, leaves no side more than a man that alone cannot mate."""
    left = [p for p in about.after.piece_map().values() if p.piece_type != chess.KING]
    hold(about.before.is_capture(about.move) or about.move.promotion is not None, "a capture, or a new man")
    if not found.groupdict().get("man"):
        return hold(not left, found[0])
    hold(0 < len(left) == len({man.color for man in left}), "one man a side")
    names = {chess.piece_name(man.piece_type) for man in left}
    return hold(names == {found["man"]} <= {"bishop", "knight"}, found[0])


def _only_kings(found: Found, about: Spoken) -> int:
    there = then(about.after, legal(about.after, found["reply"]))
    return 2 * hold(about.before.is_capture(about.move) and len(there.piece_map()) == 2, found[0])


def _stops_pawn(found: Found, about: Spoken) -> int:
    bare = about.after.occupied_co[found["side"] == "White"].bit_count() == 1
    return hold(bare and bool(about.after.pawns) and about.told.outcome(about.after) == 0, found[0])


def _falls(found: Found, about: Spoken) -> int:
    """Hold that a pawn's side may lose it for nothing to the man named."""
    stops = reasons_for(about.after, about.attacker, lambda board: about.told.outcome(board) <= 0)["minor_stops_pawn"]
    by = found["by"] if found["by"] in ("bishop", "knight") else "king"
    hold(by != "king" or (found["by"].startswith("White")) == about.attacker, "whose king")
    minor = {p.piece_type for p in about.after.piece_map().values()} - {chess.KING, chess.PAWN}
    return 2 * hold(stops["takes"] == by and minor == {kind(found.groupdict().get("man", by))}, found[0])


def _where_the_king_stands(where: str | None, about: Spoken) -> None:
    """Hold that the king of the lone piece stands in front of the pawn, or is in time to catch it, not led."""
    (pawn,) = about.after.pieces(chess.PAWN, not about.attacker)
    king, led = (next(iter(about.after.pieces(chess.KING, side))) for side in (about.attacker, not about.attacker))
    up = not about.attacker
    way = [square for square in range(pawn % 8, 64, 8) if square != pawn and (square > pawn) == up]
    goal = max(way) if up else min(way)
    if where and where.startswith("stands"):
        hold(king in way, where)
    elif where:
        hold(king not in way and far(king, goal) <= len(way) + 1, where)
        hold(all(far(led, square) > 1 for square in way), "the other king guards its way")


def _held_on_its_way(found: Found, about: Spoken) -> int:
    """Hold how a lone bishop or knight, or its king, keeps the pawn from getting through."""
    stops = reasons_for(about.after, about.attacker, lambda board: about.told.outcome(board) <= 0)["minor_stops_pawn"]
    (minor,) = about.after.pieces(kind(str(stops["minor"])), about.attacker)
    held = re.findall(SQUARE, str(stops["held"]))
    if found["can"]:
        takes = [m for m in about.after.legal_moves if about.after.is_capture(m)]
        hold(any(about.after.piece_type_at(m.from_square) == chess.KING for m in takes), found[0])
        return 1 + hold(bool(stops["king_alone"]) and (found["alone_"] == "White") == about.attacker, found[0])
    if found["alone"]:
        _where_the_king_stands(found["where"], about)
        return hold(bool(stops["king_alone"]) and (found["alone"] == "White") == about.attacker, found[0])
    hold(not stops["king_alone"], "the king holds it without the piece")
    whose = found["whose"] or found["gone"]
    hold(not whose or (whose == "White") == about.attacker, "whose man")
    if found["by"]:
        reply = legal(about.after, found["by"])
        holds = about.told.outcome(then(about.after, reply)) == 0
        return 1 + hold(not held and reply.uci() in str(stops["comes"]) and holds, found[0])
    if found["on"]:
        return 1 + hold(sorted(re.findall(SQUARE, found["on"])) == sorted(held) and minor not in held, found[0])
    if found["stands"]:
        return hold(chess.square_name(minor) in held, found[0])
    if found["king"]:
        return hold(bool(stops["king_near"]) and (found["king"] == "White") == about.attacker, found[0])
    said = "gives" if found["gives"] else "comes" if found["comes"] else ""
    return hold(not held and (bool(stops[said]) if said else not stops["gives"]), found[0])


_WAY = r"(?:its|the pawn's) way"
_MINOR, _PAWN = "'s (?:bishop|knight)", "(?:it|the pawn)"
_HELD = (
    rf"(?:(?P<whose>White|Black){_MINOR} (?:guards (?P<on>{SQUARES}) on|(?P<stands>stands) in) {_WAY}"
    r"(?:, but alone it cannot mate)?"
    rf"|(?P<gone>White|Black){_MINOR} (?:(?P<gives>can give itself) for|(?P<comes>is in time) to stop) {_PAWN}"
    rf"|(?P<by>{SAN}) is in time to stop {_PAWN}"
    rf"|(?P<alone>White|Black)'s king (?:(?P<where>stands in front of {_PAWN}|is inside (?:its|the pawn's) square) and"
    rf" holds it|holds {_PAWN}) by itself|(?P<alone_>White|Black)'s king (?P<can>can take) {_PAWN}"
    rf"|(?P<king>White|Black)'s king is in time to stop {_PAWN}|{_PAWN} can still be stopped)"
)
#: Reasons that are read whole.
_LEFT: tuple[tuple[str, Reader], ...] = (
    (rf"a (?P<man>{MAN}) alone cannot mate", _bare),
    (r"only the kings are left", _bare),
    (rf"(?P<reply>{SAN}) then leaves only the kings", _only_kings),
    (r"(?P<side>White|Black)'s king still stops the pawn", _stops_pawn),
    (r"the pawn falls to the (?P<by>bishop|knight), which alone cannot mate", _falls),
    (rf"the pawn falls to (?P<by>(?:White|Black)'s king), but a (?P<man>{MAN}) alone cannot mate", _falls),
    (_HELD, _held_on_its_way),
)


def _problem(found: Found, about: Spoken) -> int:
    claim = sets_problem.claim(about.before, about.move, about.after, about.attacker, about.told)
    hold(claim is not None, found[0])
    assert claim is not None
    names = sorted(legal(about.after, name).uci() for name in moves_in(found["moves"]))
    count = len(names) * hold(names == claim["holding"], f"{found[0]}: {claim}")
    hold((len(names) == 1) == bool(found["one"]), "one move or several")
    hold("pawn" not in found[0] or bool(about.after.pieces(chess.PAWN, about.before.turn)), found[0])
    held = re.findall(SQUARE, str(claim["held"]))
    if found["squares"]:
        return count + hold(re.findall(SQUARE, found["squares"]) == held, found[0])
    stands = chess.square_name(legal(about.after, moves_in(found["moves"])[0]).to_square)
    return count + hold(bool(found["stands"]) == (stands in held), found[0])


def _tried(found: Found, about: Spoken) -> int:
    """Hold what the side of a lone pawn tries: it goes on, or its king comes nearer to it and to its way."""
    side, move = about.before.turn, about.move
    (pawn,) = about.before.pieces(chess.PAWN, side)
    if found["pawn"]:
        return hold(move.from_square == pawn, found[0]) + _held_on_its_way(found, about)
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn if side else s < pawn)]
    near = [min(far(king, square) for square in way) for king in (move.from_square, move.to_square)]
    hold(about.before.piece_type_at(move.from_square) == chess.KING and near[1] < near[0], found[0])
    hold(far(move.to_square, pawn) < far(move.from_square, pawn), found[0])
    return 1 + _held_on_its_way(found, about)


def _attacked(found: Found, about: Spoken) -> int:
    (square,) = about.after.pieces(kind(found["man"]), about.attacker)
    hold(about.before.piece_type_at(about.move.from_square) == chess.KING, found[0])
    hold(far(about.move.to_square, square) == 1 < far(about.move.from_square, square), found[0])
    reasons = reasons_for(about.after, about.attacker, lambda board: about.told.outcome(board) <= 0)
    alone = bool(reasons["minor_stops_pawn"]["king_alone"])
    return _held_on_its_way(found, about) if found["held"] else hold(not alone, found[0])


#: What is done in a draw.
TRIES: tuple[tuple[str, Reader], ...] = (
    (
        rf"sets a problem: only (?P<moves>{SANS}) (?:(?P<one>stops|holds)|stop|hold)(?: the pawn)?"
        rf"(?:, by guarding (?P<squares>{SQUARES})|, (?P<stands>in its way))?",
        _problem,
    ),
    (rf"(?:(?P<pawn>brings the pawn on)|goes to help the pawn), but {_HELD}", _tried),
    (rf"attacks the (?P<man>bishop|knight), but (?:it still stops the pawn|(?P<held>{_HELD}))", _attacked),
)

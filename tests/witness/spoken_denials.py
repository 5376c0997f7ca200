"""Reads what a defence denies the attacker, what a shorter one lets in, and what comes next."""

from __future__ import annotations

import re

import chess

from tests.witness import spoken_counters
from tests.witness.ideas import denies, must_first
from tests.witness.ideas.critical import lasts
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, king_range
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.prepares import deed
from tests.witness.ideas.refutation import means
from tests.witness.spoken import MAN, SAN, SQUARE, Fault, Spoken, hold, legal, nearer_the_centre, then
from tests.witness.spoken_men import Found, Reader, kind, stand_alone, their

_THEIRS = r"(?:White|Black)'s king"
_LETS = (
    rf"(?:(?:loses|would lose) the (?P<man>{MAN}) to (?P<took>{SAN})"
    rf"|(?:allows|would allow) the (?P<blow>fork|skewer) (?P<strikes>{SAN})"
    rf"|(?:lets|would let) the pawn promote with check, (?P<queens>{SAN})"
    rf"|(?:lets|would let) (?P<side>White|Black)'s king up by (?P<up>{SAN})"
    r"(?:, and (?P<alone>.*) cannot mate without it)?"
    rf"|(?:lets|would let) (?P<drives>{SAN}) (?P<how>drive {_THEIRS} to|hold {_THEIRS} on) the edge"
    r"(?:, where (?P<there>.*) can mate)?"
    rf"|(?:lets|would let) (?P<cuts>{SAN}) (?P<by>pen {_THEIRS} in|box {_THEIRS} in)"
    rf"|(?:lets|would let) (?P<shuts>{SAN}) shut {_THEIRS} in (?P<where>on the (?:first|last) two ranks|on rank [18]"
    rf"|on the (?:[ah]-file|a- and b-files|g- and h-files)|near the corner {SQUARE}))"
)
#: What another move would let in.
DENIED = rf"(?P<other>{SAN})(?P<one>, for one,)? {_LETS}"
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
    _one_of_several(found, mine, about)
    return 1 + hold(its < mine, f"{found['other']} is shorter") + _lets(found, other, about.after, about)


def _one_of_several(found: Found, mine: float, about: Spoken) -> None:
    """Hold that other moves are shorter too, where one is named as one of them."""
    shorter = sum(lasts(about.before, move, about.told) < mine for move in about.before.legal_moves)
    hold(not found["one"] or shorter > 1, "others are shorter too")


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


def in_part(name: str, text: str, about: Spoken) -> int:
    """Hold that a reply shuts the cage or makes it smaller, and in what part of the board the king is left."""
    reply = legal(about.after, name)
    hold(deed(about.after, reply, about.attacker) in ("shuts", "tightens"), text)
    left = _left(then(about.after, reply), about.attacker)
    if text.endswith("on the edge"):
        return 1 + hold(not any(map(edge, left)), text)
    return 1 + hold(_lies(text, left), text)


def _alone(men: str | None, about: Spoken) -> int:
    return stand_alone(f"{men.replace('two bishops', 'bishop')} cannot mate", about) if men else 0


def denials(text: str, about: Spoken) -> int:
    """Read what stands behind a defence that lasts longest: what it denies, or what the attacker must do first."""
    met = re.fullmatch(spoken_counters.LETS, text)
    if met is not None:
        return spoken_counters.lets(met, about)
    lets = re.fullmatch(DENIED, text)
    if lets is not None:
        return denied(lets, about)
    at_once = re.fullmatch(AT_ONCE, text)
    if at_once is not None:
        return lets_at_once(at_once, about)
    worse = re.fullmatch(WORSE, text)
    if worse is not None:
        return _worse(worse, about)
    first = re.fullmatch(rf"(?P<side>White|Black) spends the move (?P<reply>{SAN}) on the (?P<man>{MAN})", text)
    if first is None:
        raise Fault(f"cannot be read: {text}")
    must = must_first.must(about.before, about.move, legal(about.after, first["reply"]).uci(), about.told)
    hold(must, f"{first['reply']} is needed, and not after what lasts less long")
    return hold(first["side"] == ("White" if about.attacker else "Black"), "whose move") + _does(
        first["reply"], f"take the {first['man']}", about
    )


_MATE_AFTER = rf"(?P<mating>{SAN})(?:, with mate (?P<when>next move|two moves later)|(?<=#))"
#: What another defence runs into.
WORSE = (
    rf"(?P<other>{SAN}) (?:allows {_MATE_AFTER}|(?:loses the (?P<man>{MAN}) (?:to|after)"
    rf"|lets the (?P<pawn>pawn) through by) (?P<line>{SAN}(?: {SAN})*))"
)


def _worse(found: Found, about: Spoken) -> int:
    there = then(about.before, legal(about.before, found["other"]))
    mine, its = (about.told.mate_plies(board) or 0 for board in (about.after, there))
    groups = {name: told for name, told in found.groupdict().items() if told}
    count = 1 + hold(its < mine, found[0])
    if "mating" in groups:
        return count + _mates_soon(groups, there, about)
    return count + _along(found["line"].split(), groups, about, there)


def _mates_soon(groups: dict[str, str], board: chess.Board, about: Spoken) -> int:
    """Hold that a move mates, or that it is mate so many moves later whatever is played."""
    there = then(board, legal(board, groups["mating"]))
    if "when" not in groups:
        return hold(there.is_checkmate(), str(groups))
    plies = about.told.mate_plies(there)
    return hold(about.told.outcome(there) < 0 and plies == (2 if "next" in groups["when"] else 4), str(groups))


#: What the next best defence lets in at once.
AT_ONCE = (
    rf"(?P<other>{SAN})(?P<one>, for one,)? (?:lets|would let) (?:(?P<side>White|Black)'s king come up by (?P<up>{SAN})"
    rf"|(?P<answer>{SAN}) (?P<does>.*))"
)


def lets_at_once(found: Found, about: Spoken) -> int:
    """Hold what is done against another defence, and that nobody is quickest by that after the move."""
    other = legal(about.before, found["other"])
    mine, its = (lasts(about.before, move, about.told) for move in (about.move, other))
    _one_of_several(found, mine, about)
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
    if does == "guards the pawn from behind":
        pawns = [pawn for pawn in there.pieces(chess.PAWN, about.attacker) if pawn % 8 == reply.to_square % 8]
        behind = [pawn for pawn in pawns if (pawn > reply.to_square) == about.attacker]
        return count + hold(bool(behind) and there.piece_type_at(reply.to_square) == chess.ROOK, does)
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
    if told == "king up" and real in ("cuts off", "box", "shrinks", "shuts", "tightens"):
        king = king_of(about.after, about.attacker)
        return count + hold(reply.from_square == king and denies.apart(there) < denies.apart(about.after), does)
    return count + hold(real == told, does)


def comes(text: str, about: Spoken) -> int:
    """Hold what is done next."""
    found = re.fullmatch(rf"(?P<side>White|Black) (?P<does>.*) by (?P<reply>{SAN})", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose move")
    if about.best is not None and about.best != about.move:
        there, reply = then(about.before, about.best), legal(about.after, found["reply"])
        as_good = [deed(there, chess.Move.from_uci(m), about.attacker) for m in quickest(there, about.told)]
        hold(deed(about.after, reply, about.attacker) not in as_good, "it is no quickest way after the better move")
    by_a_piece = re.search("cuts|box", found["does"]) is not None
    hold(not (by_a_piece and found["reply"][0] == "K"), "it is not the king that cuts off")
    return 1 + _does(found["reply"], found["does"], about)


#: On whom or what the other king closes in.
_CLOSES = r"(?:closes in on (?:(?P<own_king>White|Black)'s|(?P<at>the pawn))|comes to help (?P<its>its pawn))"
_LOST = rf"cannot (?:save the (?P<man>{MAN})|stop the (?P<pawn>pawn))"
#: What a move does not stop.
_NOT_STOPPED = (
    rf"does not stop (?P<mates>{SAN})",
    rf"does not stop the mate(?:: next comes (?P<plain>{SAN}))?",
    rf"does not stop the mate: after (?P<line>{SAN} {SAN}) comes (?P<last>{SAN}), which (?P<does>.*?)"
    r"(?: round (?P<whose>White|Black)'s king)?",
    rf"cannot stop {_MATE_AFTER}",
    r"cannot keep off the edge for ever, and (?P<only>.*) mates? only there",
    rf"{_LOST}: first (?P<first>{SAN}), (?:then|and if (?P<runs>{SAN}),) (?P<second>{SAN})",
    rf"{_LOST}: it falls after (?P<after>{SAN})",
    rf"{_LOST}: it (?:falls|promotes) in three moves, "
    rf"beginning with (?P<begins>{SAN})",
    rf"(?:cannot save|(?P<gives>gives up)|(?P<loses>loses)) the (?P<man>{MAN}): (?P<reply>{SAN}) takes"
    rf" (?:it|the new (?P<new>{MAN}))",
    rf"(?:(?P<hangs>cannot save)|gives up) the (?P<man>{MAN}): (?P<loose>nothing guards it)",
    rf"cannot save the (?P<man>{MAN}): (?P<fork>{SAN}) forks king and (?P<hit>{MAN})",
    rf"cannot stop the (?P<pawn>pawn): it promotes by (?P<queens>{SAN})",
    rf"cannot stop the (?P<pawn>pawn): (?P<reply>{SAN}) comes(?P<aside>, and the king is not in front of it)?"
    r"(?:, and (?P<helper>White|Black)'s king (?P<helps>escorts it|guards its way))?"
    r"(?:, and the rook cuts (?P<cut>White|Black)'s king off on the (?P<file>[a-h])-file)?"
    r"(?P<behind>, and the rook guards it from behind)?",
    rf"(?:cannot hold out (?P<soon>long): |(?P<stuck>cannot leave the edge), and "
    r"|stays (?P<stays>on the edge|off the edge|near the centre), (?:and|but) "
    r"|(?P<goes>goes to the edge), and )?"
    rf"(?P<side>White|Black)'s king {_CLOSES} by (?P<up>{SAN})",
    rf"cannot keep (?P<side>White|Black)'s king (?P<off>away|from (?:the pawn|helping (?P<its>its pawn))):"
    rf" (?P<up>{SAN}) comes nearer",
    rf"cannot stop (?P<opposed>{SAN}): (?P<side>White|Black) takes the opposition, "
    r"and (?P<own>White|Black) must give way",
    rf"cannot stop (?P<reply>{SAN}), which (?P<cages>shuts|leaves) (?P<whose>White|Black)'s king (?:in|less room)",
    rf"cannot stop (?P<reply>{SAN}), which (?P<part>(?:shuts|holds) (?P<whose>White|Black)'s king (?:in|on) .*)",
    rf"cannot stop (?P<reply>{SAN}), which (?P<does>.*?)(?: round (?P<whose>White|Black)'s king)?",
)


def _closes_in(groups: dict[str, str], about: Spoken) -> int:
    """Hold whose king the other comes nearer to, or that it comes nearer to the one pawn, of either side."""
    step, own = legal(about.after, groups["up"]), not about.attacker
    if "own_king" in groups:
        return hold((groups["own_king"] == "White") == own, "whose king is closed in on")
    if groups.get("off") == "away":
        king = about.after.king(own)
        assert king is not None
        there, here = (chess.square_distance(square, king) for square in (step.to_square, step.from_square))
        return hold(there < here, groups["up"])
    (pawn,) = about.after.pieces(chess.PAWN, about.attacker if "its" in groups else own)
    return hold(
        chess.square_distance(step.to_square, pawn) < chess.square_distance(step.from_square, pawn), groups["up"]
    )


def _is_saved_else(about: Spoken) -> bool:
    """Whether another move that lasts as long leaves no man to be taken, where none lasts longer."""
    plies = {move: lasts(about.before, move, about.told) for move in about.before.legal_moves}
    if plies[about.move] < max(plies.values()):
        return False
    equal = [then(about.before, move) for move, last in plies.items() if last == plies[about.move]]
    return any(not any(map(there.is_capture, there.legal_moves)) for there in equal)


def _forks(groups: dict[str, str], about: Spoken) -> int:
    """Hold that a check that mates as soon as any hits a man, which can be taken for nothing after every reply."""
    reply, man = legal(about.after, groups["fork"]), kind(groups["man"])
    hold(reply.uci() in quickest(about.after, about.told), f"{groups['fork']} mates soonest")
    there = then(about.after, reply)
    hit = [s for s in there.attacks(reply.to_square) if there.piece_type_at(s) == man]
    hold(all(there.color_at(s) == there.turn for s in hit), "whose man")
    hold(there.is_check() and groups["hit"] == groups["man"] and bool(hit), "king and man are hit")
    for answer in there.legal_moves:
        here = then(there, answer)
        men = [answer.to_square if s == answer.from_square else s for s in hit]
        takes = [m for m in here.legal_moves if m.to_square in men and here.color_at(m.to_square) == here.turn ^ True]
        free = [m for m in takes if all(n.to_square != m.to_square for n in then(here, m).legal_moves)]
        hold(bool(free), f"{there.san(answer)} saves the {groups['man']}")
    return 3


def cannot(text: str, about: Spoken) -> int:
    """Hold what a lost defence does not stop: what is done next, or the moves to where something is lost."""
    found = next((m for pattern in _NOT_STOPPED if (m := re.fullmatch(pattern, text))), None)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    groups = {name: told for name, told in found.groupdict().items() if told}
    mate = groups.get("mates")
    if mate:
        return hold(then(about.after, legal(about.after, mate)).is_checkmate(), text)
    if "mating" in groups:
        return _mates_soon(groups, about.after, about)
    if "only" in groups:
        hold(edge(their(about, about.after)) > 0, text)
        return 1 + _alone(groups["only"], about)
    if "last" in groups:
        return _along(f"{groups['line']} {groups['last']}".split(), groups, about)
    if "begins" in groups:
        return _in_three(groups, about)
    if "side" in groups:
        hold(groups["side"] == ("White" if about.attacker else "Black"), text)
        off, stays = edge(their(about, about.after)), groups.get("stays")
        hold(stays is None or {"on": off == 0, "of": off == 1, "ne": off > 1}[stays[:2]], text)
        start = about.move.from_square
        hold("goes" not in groups or (off == 0 < edge(start) and bool(about.before.kings >> start & 1)), text)
        steps = [m.to_square for m in about.before.legal_moves if m.from_square == start]
        hold("stuck" not in groups or not any(map(edge, steps)), text)
        hold("soon" not in groups or (about.told.mate_plies(about.after) or 0) <= 10, text)
        if "opposed" in groups:
            return _does(groups["opposed"], "takes the opposition", about)
        return _closes_in(groups, about) + _does(groups["up"], "brings its king up", about)
    if "first" in groups:
        return _in_two(groups, about)
    if "after" in groups:
        boards = [there for _, there in _longest_replies(then(about.after, legal(about.after, groups["after"])), about)]
        return 1 + hold(any(any(map(there.is_capture, there.legal_moves)) for there in boards), text)
    if "loose" in groups:
        (at,) = about.after.pieces(kind(groups["man"]), not about.attacker)
        king = about.before.king(not about.attacker)
        beside = king == about.move.from_square and chess.square_distance(king, at) == 1
        hold(beside != ("hangs" in groups), "the king has left it")
        takes = [move for move in about.after.legal_moves if move.to_square == at]
        return 1 + hold(any(about.told.outcome(then(about.after, move)) < 0 for move in takes), text)
    if "fork" in groups:
        return _forks(groups, about)
    hold("whose" not in groups or (groups["whose"] == "Black") == about.attacker, "whose king")
    reply = groups.get("reply") or groups.get("queens") or groups.get("plain")
    if reply is None:
        return 1
    there = then(about.after, legal(about.after, reply))
    count = hold(about.told.outcome(there) < 0, f"{reply} wins")
    if "queens" in groups:
        return count + hold(legal(about.after, reply).promotion is not None, text)
    if "part" in groups:
        return count + in_part(reply, groups["part"], about)
    if "cages" in groups:
        return count + _does(reply, "shuts the cage" if groups["cages"] == "shuts" else "tightens the cage", about)
    if "man" in groups:
        goal = legal(about.after, reply).to_square
        taken = groups.get("new") or groups["man"]
        hold("new" not in groups or (goal == about.move.to_square and about.move.promotion is not None), text)
        if "gives" in groups:
            hold(goal == about.move.to_square, "it goes where it is taken")
        else:
            hold("new" in groups or ("loses" in groups) == _is_saved_else(about), "another move as long saves it")
        return count + _does(reply, f"takes the {taken}", about)
    if "pawn" in groups:
        goal, king = legal(about.after, reply).to_square, their(about, about.after)
        ahead = king % 8 == goal % 8 and (king > goal) == about.attacker
        hold(not (ahead and ("aside" in groups or "helper" in groups)), text)
        ranks = range(goal // 8 + 1, 8) if about.attacker else range(goal // 8)
        way = [chess.square(goal % 8, rank) for rank in ranks]
        last = way[-1] if about.attacker else way[0]
        caught = chess.square_distance(king, last) <= len(way) + 1
        hold(ahead or caught == ("aside" not in groups), f"{text}: the square of the pawn, the defender to move")
        if "helper" in groups:
            helper = king_of(about.after, about.attacker)
            near = chess.square_distance(helper, goal) <= 2
            guards = any(chess.square_distance(helper, square) <= 1 for square in way)
            hold((groups["helper"] == "White") == about.attacker, "whose king")
            count += hold(near if groups["helps"] == "escorts it" else guards, text)
        if "cut" in groups:
            (rook,) = about.after.pieces(chess.ROOK, about.attacker)
            between = sorted((king % 8, rook % 8, goal % 8))[1] == rook % 8 not in (king % 8, goal % 8)
            hold((groups["cut"] == "Black") == about.attacker and "abcdefgh"[rook % 8] == groups["file"], text)
            count += hold(between and chess.square_distance(king, rook) > 1, text)
        if "behind" in groups:
            rooks = [s for s in about.after.pieces(chess.ROOK, about.attacker) if s % 8 == goal % 8]
            count += hold(any((rook < goal) == about.attacker for rook in rooks), text)
        return count + _does(reply, "brings the pawn on", about)
    hold("whose" not in groups or (groups["whose"] == "Black") == about.attacker, "whose king")
    return count + (_does(reply, groups["does"], about) if "does" in groups else 0)


def _in_two(groups: dict[str, str], about: Spoken) -> int:
    """Hold that after the first move and a reply that lasts longest the second takes a man or makes one."""
    found = 0
    board = then(about.after, legal(about.after, groups["first"]))
    for reply, there in _longest_replies(board, about):
        if groups.get("runs") not in (None, board.san(reply)):
            continue
        names = {there.san(move).rstrip("+"): move for move in there.legal_moves}
        if groups["second"] in names:
            move = names[groups["second"]]
            made = reply.promotion is not None and reply.to_square == move.to_square
            victim = chess.PAWN if made or there.is_en_passant(move) else there.piece_type_at(move.to_square)
            found += move.promotion is not None if "pawn" in groups else victim == kind(groups["man"])
    return 2 + hold(found > 0, str(groups))


def _along(names: list[str], groups: dict[str, str], about: Spoken, start: chess.Board | None = None) -> int:
    """Hold that moves are the best of both sides and end in mate, a capture, a new man or what else is said."""
    board = about.after if start is None else start
    moves: list[chess.Move] = []
    for name in names:
        moves.append(move := legal(board, name))
        before = board
        board = then(board, move)
        mover = before.turn == about.attacker
        told = about.told.mate_plies(board), about.told.mate_plies(before)
        hold(None not in told and (not mover or about.told.outcome(board) < 0), f"{name} wins")
        hold(mover or int(told[0] or 0) == int(told[1] or 0) - 1, f"{name} lasts longest")
    if "does" in groups:
        named = next(name for p, name in _DOES.items() if re.fullmatch(p, groups["does"]))
        return len(names) + hold(deed(before, move, about.attacker) == named, str(groups))
    if "pawn" in groups:
        return len(names) + hold(move.promotion is not None, str(names))
    made = len(moves) > 1 and moves[-2].promotion is not None and moves[-2].to_square == move.to_square
    victim = chess.PAWN if made or before.is_en_passant(move) else before.piece_type_at(move.to_square)
    return len(names) + hold(victim == kind(groups["man"]), str(names))


def _in_three(groups: dict[str, str], about: Spoken) -> int:
    """Hold that whatever the replies a man can be taken, or a pawn promote, or it is mate, with the third move."""
    start = then(about.after, legal(about.after, groups["begins"]))
    hold(about.told.outcome(start) < 0, "it wins")
    for reply in start.legal_moves:
        there = then(start, reply)
        goes_on = (then(there, move) for move in there.legal_moves)
        done = _done(there, groups, about) or any(
            about.told.outcome(second) < 0
            and all(_done(then(second, answer), groups, about) for answer in second.legal_moves)
            for second in goes_on
        )
        hold(done, f"{groups} after {reply.uci()}")
    return 2


def _done(board: chess.Board, groups: dict[str, str], about: Spoken) -> bool:
    """Whether a winning move takes a man, or promotes, or mates."""
    for move in board.legal_moves:
        there = then(board, move)
        won = move.promotion is not None if "pawn" in groups else board.is_capture(move)
        if there.is_checkmate() or (won and about.told.outcome(there) < 0):
            return True
    return False


def _longest_replies(board: chess.Board, about: Spoken) -> list[tuple[chess.Move, chess.Board]]:
    """Return the replies that last longest, with the boards after them."""
    left = (about.told.mate_plies(board) or 0) - 1
    found = [(reply, then(board, reply)) for reply in board.legal_moves]
    return [(reply, there) for reply, there in found if about.told.mate_plies(there) == left]


def _runs_into(found: Found, about: Spoken) -> int:
    longest = max(lasts(about.before, move, about.told) for move in about.before.legal_moves)
    hold(longest - lasts(about.before, about.move, about.told) == 2, "a move")
    return 1 + hold(then(about.after, legal(about.after, found["mate"])).is_checkmate(), found[0])


def _is_mated(found: Found, about: Spoken) -> int:
    longest = max(lasts(about.before, move, about.told) for move in about.before.legal_moves)
    hold(longest - lasts(about.before, about.move, about.told) == 2, "a move")
    return 1 + _mates_soon({name: told for name, told in found.groupdict().items() if told}, about.after, about)


def _prevents(found: Found, about: Spoken) -> int:
    """Hold that a reply mates soonest, and after the better move none that does is legal and wins."""
    name, best = found["reply"], legal(about.before, found["better"]) if found["better"] else about.best
    assert best is not None
    there, quick = then(about.before, best), quickest(about.after, about.told)
    hold(lasts(about.before, best, about.told) - lasts(about.before, about.move, about.told) == 2, "a move")
    reply = legal(about.after, name)
    hold(reply.uci() in quick and not set(quick) & set(quickest(there, about.told)), f"{name} is the quickest")
    if found["better"]:
        moves = [move for move in map(chess.Move.from_uci, quick) if move in there.legal_moves]
        hold(all(about.told.outcome(then(there, move)) >= 0 for move in moves), f"{found['better']} prevents it")
    if found["guards"]:
        hold(reply.to_square in there.attacks(best.to_square) & {chess.parse_square(found["guards"])}, found[0])
    return 2


def _either_way(found: Found, about: Spoken) -> int:
    """Hold that a man can be taken for nothing, or a pawn not be stopped, after this move and the better one."""
    better = legal(about.before, found["better"])
    hold(lasts(about.before, better, about.told) - lasts(about.before, about.move, about.told) == 2, "a move")
    groups = {"man": found["man"]} if found["man"] else {"pawn": "pawn"}
    if found["central"]:
        nearer_the_centre(about)
    for board in (about.after, then(about.before, better)):
        hold(about.told.outcome(board) > 0 and (not found["man"] or _falls_in(3, board, groups, about)), found[0])
    return 2


def _falls_in(moves: int, board: chess.Board, groups: dict[str, str], about: Spoken) -> bool:
    """Whether a man is taken, or mate comes, in so many moves of the quickest play, whatever the replies."""
    if _done(board, groups, about):
        return True
    taught = about.told.answer(board) if moves > 1 else None
    names = {*quickest(board, about.told), *([taught.uci()] if taught is not None else [])} if moves > 1 else set()
    firsts = [then(board, chess.Move.from_uci(name)) for name in sorted(names)]
    return any(all(_falls_in(moves - 1, then(there, m), groups, about) for m in there.legal_moves) for there in firsts)


DENIALS: tuple[tuple[str, Reader], ...] = (
    (
        rf"loses a move: the (?:(?P<man>{MAN}) falls|pawn promotes) either way, "
        rf"but (?P<better>{SAN})(?:(?P<central>, nearer the centre,) lasts| holds out) longer",
        _either_way,
    ),
    (
        rf"loses a move(?:: it allows| to) (?P<reply>{SAN})(?:, which (?P<better>{SAN}) prevents"
        rf"(?: by guarding (?P<guards>{SQUARE}))?)?",
        _prevents,
    ),
    (rf"(?:loses a move: it )?{_LETS}", _conceded),
    (rf"loses a move: it allows {_MATE_AFTER}", _is_mated),
    (rf"loses a move: it runs into (?P<mate>{SAN})", _runs_into),
    (WORSE, _worse),
    (AT_ONCE, lets_at_once),
    (r"(?:White|Black) spends the move .*", lambda found, about: denials(found[0], about)),
)

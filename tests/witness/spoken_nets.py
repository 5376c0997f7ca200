"""Reads how a good move of the attacker leads to a mate, or to what comes next; one reader a rule."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import leads_to, mating_net, waiting_move
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import shut
from tests.witness.ideas.king_up import nearer
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_men import Found, Reader, far, kind, only_reply, stand_alone, their
from tests.witness.spoken_room import LONG_LINE, squares_of
from tests.witness.spoken_room_left import TAKEN, taken

_MATE_THEN = (
    rf": (?:(?P<only>{SAN}) is forced, (?:and|then)|if (?P<reply>{SAN}),|(?P<then>then)"
    rf"|(?P<whatever>whatever (?:the (?P<man>{MAN}) does|(?P<plays>White|Black) plays),)) "
    rf"(?:(?P<move>{SAN})|the (?P<by>{MAN}) (?P<goes>mates on|goes to) (?P<there>{SQUARE}))"
    r"(?:(?P<next> and mate next)|(?P<mates> mates)|(?<=#)|(?<=mates on [a-h][1-8]))"
)
GUARDED_ON = (
    rf"(?:, guarded by the (?P<guard>{MAN})|(?P<away> away from the king)"
    r"|, while the rook bars (?P<bars>the [a-h]-file)"
    r"|: (?P<outside>(?:White|Black)'s king is outside its square)|: (?P<between>the king keeps \w+'s king away))?"
)
_FOR_MATE = (
    rf"(?:guards (?P<post>{SQUARE}), where the (?P<mating>{MAN}) (?P<sure>will|can) mate"
    rf"|(?:drives the king to (?P<squares>{SQUARES}) and )?covers (?P<guarded>{SQUARES})"
    rf"|shuts (?P<line>{LONG_LINE})|drives the king into the mate"
    rf"|leaves the king only (?P<alone>{SQUARE}), where (?P<mate>{SAN}) mates"
    rf"|forces the king into the opposition(?:: after (?P<faces>{SAN}) comes (?P<side>{SAN}))?)"
)
_LEAD = (
    rf"(?:drives the king (?:to the edge|to (?P<squares>{SQUARES}))|{TAKEN}|brings the king up(?: to help)?"
    rf"|attacks the (?P<victim>{MAN}) on (?P<hit>{SQUARE})(?P<again> a second time)?)"
)
_ALONE = r"(?P<alone>, while the pawn runs by itself)?"
_NEXT_DOES = {
    "shuts (?:the|White's|Black's) king in": "shuts the cage",
    "makes the cage smaller": "tightens the cage",
    "takes the opposition": "takes the opposition",
    "makes the box smaller": "shrinks the box",
    "cuts (?:the|White's|Black's) king off": "cuts the king off",
    "shuts (?:the|White's|Black's) king in a box": "makes a box",
    "brings the king (?:up|nearer)": "brings the king up",
}
_ROOM_NEXT = (
    rf"(?:: (?:(?P<only>{SAN}) is forced, and|if (?P<reply>{SAN}),|(?P<then>then)) (?P<move>{SAN})"
    rf" (?:guards the (?P<kept>{MAN}) and )?(?P<does>{'|'.join(_NEXT_DOES)}))?"
)
_TOWARDS_MATE = (
    rf"(?:drives the king (?:to the edge|to (?P<squares>{SQUARES}))"
    rf"|(?:brings the king up(?: and )?)?(?:{TAKEN})?|closes in|waits|brings the pawn on)"
)


def _net(found: Found, about: Spoken) -> int:
    """Hold that mate follows in time, and what the move has to do with it."""
    said = found.groupdict("")

    def told(group: str) -> str:
        return said.get(group, "")

    what, name = found[0], told("only") or told("reply") or told("faces")
    if told("whatever"):
        return _whatever(said, bool(told("next")), about) + _lead(said, what, about)
    if told("then"):
        name = about.after.san(next(iter(about.after.legal_moves)))
    in_plies, king = lasts(about, about.after), their(about, about.after)
    if not name and not told("alone"):
        return hold(in_plies in (2, 4), "mate soon")
    later = 2 * bool(told("next"))
    hold(in_plies == 2 + later, "mate in so many moves")
    reply = about.after.parse_uci(f"{chess.square_name(king)}{told('alone')}") if not name else legal(about.after, name)
    hold(bool(told("reply")) or about.after.legal_moves.count() == 1, "the only reply")
    there = then(about.after, reply)
    hold(lasts(about, there) == 1 + later, "the longest defence")
    last = then(there, legal(there, told("move") or told("mate") or told("side")))
    shown = bool(told("mates")) or told("move").endswith("#")
    hold(lasts(about, last) == later and (shown != bool(later) or not told("move")), "mate")
    facing = [waiting_move.opposition(board) == "direct" for board in (about.after, there)]
    hold(not told("faces") or facing == [False, True], "opposition")
    driven = about.after.is_check() and reply.from_square == king
    hold(driven or not what.startswith("drives"), "driven")
    stepped = about.after.piece_type_at(about.move.to_square) == chess.KING
    hold(stepped or not what.startswith(("brings the king", "closes")), "the king moves")
    pushed = about.after.piece_type_at(about.move.to_square) == chess.PAWN
    hold(pushed if what.startswith("brings the pawn") else not pushed or not what.startswith("waits"), "the pawn moves")
    squares = mating_net.needed(_mated_at_last(last, about) if later else last, about.move, about.attacker)
    squares_line = re.match(rf"shuts {LONG_LINE}:", what) is not None
    count = 3 + (_lead(said, what, about) if not (told("line") and squares_line) else 0)
    hold(not told("guarded") or squares_in(told("guarded")) == squares, f"guards {squares}")
    hold(not told("post") or (told("sure") == "will") == (about.after.legal_moves.count() == 1), "forced, or not")
    hold(not told("post") or set(squares_in(told("post"))) <= set(squares), "guards the man that mates")
    if squares_line:
        (line,) = mating_net.line_of(about.move.to_square, squares)
        hold(re.sub("^the |-file", "", told("line")) == line.removeprefix("file "), line)
    return count


def _lead(told: dict[str, str], what: str, about: Spoken) -> int:
    """Hold what is said of a move before the line that follows from it."""
    king = their(about, about.after)
    hold(about.after.is_check() or not what.startswith("drives"), "check")
    hold("to the edge" not in what or {edge(move.to_square) for move in about.after.legal_moves} == {0}, "to the edge")
    hold(not what.startswith("brings the king") or nearer(about.before, about.after), "the king comes up")
    if told.get("hit"):
        square = chess.parse_square(told["hit"])
        hold(about.after.piece_type_at(square) == kind(told["victim"]), "the man attacked")
        hitting = about.after.attackers(about.before.turn, square)
        hold(len(hitting) > 1 if told["again"] else bool(hitting), "attacked")
    if told.get("squares"):
        free = [s for s in chess.SQUARES if far(s, king) == 1 and s not in shut(about.after, about.attacker)]
        free = [s for s in free if about.after.color_at(s) != (not about.attacker)]
        hold(sorted(squares_in(told["squares"])) == free, "driven there")
    return 1 + taken(told, about)


def _whatever(told: dict[str, str], later: bool, about: Spoken) -> int:
    """Hold that a move mates, or mates next, after every reply, and that another man makes them all."""
    replies = list(about.after.legal_moves)
    men = {about.after.piece_type_at(reply.from_square) for reply in replies}
    hold(chess.KING not in men and len(replies) > 1, "the king cannot move")
    hold(not told["man"] or men == {kind(told["man"])}, f"the {told['man']} moves")
    hold(not told["plays"] or (told["plays"] == "White") == about.after.turn, "whose move")
    hold(not told["goes"] or later == (told["goes"] == "goes to"), "whether it mates")
    for reply in replies:
        there = then(about.after, reply)
        last = then(there, legal(there, told["move"]) if told["move"] else _moved_there(there, told, about))
        hold(last.is_checkmate() if not later else lasts(about, last) <= 2, "mate")
    return len(replies)


def _moved_there(board: chess.Board, told: dict[str, str], about: Spoken) -> chess.Move:
    """Return the only move of a man of a kind to a square."""
    goal, man = chess.parse_square(told["there"]), kind(told["by"])
    moves = [m for m in board.legal_moves if m.to_square == goal and board.piece_type_at(m.from_square) == man]
    hold(len(moves) == 1, f"the {told['by']} goes to {told['there']}")
    return moves[0]


def _leads_on(found: Found, about: Spoken) -> int:
    from tests.witness.spoken_attack import does

    told = found.groupdict("")
    reply = told["only"] or told["reply"]
    if told.get("then"):
        told["only"] = reply = about.after.san(next(iter(about.after.legal_moves)))
    if not reply:
        return _lead(told, found[0], about) + hold(about.told.outcome(about.after) < 0, "wins")
    count = _lead(told, found[0], about) + (only_reply(reply, about) if told["only"] else 0)
    there = then(about.after, legal(about.after, reply))
    hold(about.told.outcome(about.after) < 0, "wins")
    if told.get("kept"):
        step, men = legal(there, told["move"]), there.pieces(kind(told["kept"]), about.attacker)
        kings = step.to_square, their(about, there)
        near = any(all(chess.square_distance(king, man) == 1 for king in kings) for man in men)
        hold(near and bool(there.kings >> step.from_square & 1), "the man guarded is attacked")
    said = re.sub("shuts the king in(?: on (?:the [a-h]-file|rank [1-8]))?$", "shuts the cage", told["does"])
    if on := re.search("on (the [a-h]-file|rank [1-8])$", told["does"]):
        hold(their(about, there) in squares_of(on[1]), "on that line")
    plain = [said] if said in _NEXT_DOES.values() else []
    does_next = next(iter(plain or (does for text, does in _NEXT_DOES.items() if re.fullmatch(text, told["does"]))))
    back = {"makes a box": "makes a new box"}.get(does_next, does_next)
    if back == "brings the king up":
        return count + 2 + hold(nearer(there, then(there, legal(there, told["move"]))), back)
    return count + 2 + does(back, there, legal(there, told["move"]), about)


def _fork_comes(found: Found, about: Spoken) -> int:
    """Hold that a check leads to one that attacks a man as well, which the queen that gave it takes."""
    ends = leads_to.goal(about.after, about.told)
    hold(about.after.is_check() and ends is not None and ends["does"] == "capture", "checks till a man falls")
    names = [] if ends is None else ends["line"]
    assert isinstance(names, list)
    return 1 + _forked([chess.Move.from_uci(name) for name in names], about)


def _forked(line: list[chess.Move], about: Spoken) -> int:
    """Hold that the man taken at the end of a line was hit by a check before, of the man that takes it."""
    fork = then(about.after, *line[:-2])
    hold(len(line) > 2 and fork.is_check() and line[-3].to_square == line[-1].from_square, "the check before")
    return hold(bool(_hit(fork, line[-1].from_square)), "a fork")


def _to_edge(found: Found, about: Spoken) -> int:
    hold(all(move.from_square == their(about, about.after) for move in about.after.legal_moves), "the king must move")
    goals = {edge(move.to_square) for move in about.after.legal_moves if move.from_square == their(about, about.after)}
    return hold(goals == {0} and edge(their(about, about.after)) > 0, "to the edge")


def _up_and(found: Found, about: Spoken) -> int:
    return hold(nearer(about.before, about.after), "the king comes up") + taken(found.groupdict(""), about)


def _after(found: Found, about: Spoken) -> int:
    theirs = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
    hold(kind(found["goal"]) in theirs and about.told.outcome(about.after) < 0, found[0])
    ends = leads_to.goal(about.after, about.told)
    taken_soon = ends is not None and (ends["does"], ends["man"]) == ("capture", found["goal"])
    taken_soon = taken_soon and leads_to.falls(about.after, about.told, 2)
    hits = [about.after.piece_type_at(s) for s in _hit(about.after, about.move.to_square)]
    return 1 + hold(taken_soon or kind(found["goal"]) in hits, f"{found[0]}: attacked, or taken soon")


def _helps_on(found: Found, about: Spoken) -> int:
    """Hold that another man has moved and the pawn promotes soon by the longest defence."""
    ends = leads_to.goal(about.after, about.told)
    hold(about.after.piece_type_at(about.move.to_square) != chess.PAWN, "another man moves")
    return 1 + hold(ends is not None and ends["does"] == "promotion", found[0])


def _hit(board: chess.Board, man: chess.Square) -> list[chess.Square]:
    """Return the squares of the other side's men that a man attacks."""
    return [s for s in board.attacks(man) if board.color_at(s) is not board.color_at(man)]


def _hits(found: Found, about: Spoken) -> int:
    """Hold that a man comes to attack one that it did not attack, nor any other; a king one that is not guarded."""
    man, (was, now) = kind(found["goal"]), (about.move.from_square, about.move.to_square)
    fresh = [
        s for s in _hit(about.after, now) if about.after.piece_type_at(s) == man and s not in _hit(about.before, was)
    ]
    mine = about.before.turn
    stood = [s for s in fresh if about.before.piece_at(s) == about.after.piece_at(s)]
    again = [s for s in stood if about.before.attackers(mine, s) & about.after.attackers(mine, s)]
    hold(bool(fresh) and bool(again) == bool(found["again"]), f"{found[0]}: attacked already or not")
    if about.after.piece_type_at(now) == chess.KING and not again:
        loose = [s for s in fresh if not about.after.attackers(not about.attacker, s)]
        return 1 + hold(bool(loose), found[0])
    return 1


def _king_to(found: Found, about: Spoken) -> int:
    """Hold that the king comes to stand beside the other side's only man, to the pawn only nearer."""
    man = kind(found["goal"] or found["nearer"])
    (square,) = [s for s, p in about.after.piece_map().items() if p == chess.Piece(man, not about.attacker)]
    hold(about.after.piece_type_at(about.move.to_square) == chess.KING, "the king moves")
    was, now = (far(s, square) for s in (about.move.from_square, about.move.to_square))
    return 1 + hold(now < was and (now == 1 or "nearer" in found[0]), found[0])


def _mated_at_last(board: chess.Board, about: Spoken) -> chess.Board:
    """Return the mate that comes after the longest defence and the move that is taught."""
    rows = [(-lasts(about, then(board, r)), mating_net.natural(board, r), r) for r in board.legal_moves]
    there = then(board, min(rows)[2])
    answer = about.told.answer(there)
    assert answer is not None
    return then(there, answer)


def _leads_to(found: Found, about: Spoken) -> int:
    count, board = _lead(found.groupdict(""), found[0], about), about.after
    count += stand_alone("the pawn runs by itself", about) if found["alone"] else 0
    forced = [next(iter(board.legal_moves))] if not found["reply"] else []
    line = [legal(board, found["reply"] or found["only"] or board.san(forced[0]))]
    hold(line[0] in mating_net.all_longest(board, about.told), "lasts longest")
    hold(bool(found["reply"]) or board.legal_moves.count() == 1, "forced")
    legal(then(board, *line), found["answer"])
    while len(line) < 8:
        last = then(about.after, *line)
        taught = about.told.answer(last)
        assert taught is not None, found[0]
        move = taught
        board = then(last, move)
        line += [move] if board.is_checkmate() else [move, mating_net.longest(board, about.told)]
        if board.is_checkmate() or last.san(move).rstrip("+") == (found["last"] or found["answer"]).rstrip("+"):
            break
    hold(then(about.after, line[0]).san(line[1]) == found["answer"], "the move that is taught")
    pairs = len(line) // 2
    soon = {None: 1, ", and soon": 3, " and": 2, ", then": 2}[found["soon"]] + ("mate soon" in found[0])
    promotes = soon == 3 and pairs == 2 and bool(move.promotion)  # the replies may hold it up
    hold(min(pairs, 3) == soon or promotes, f"after {pairs} moves")
    if "brings the pawn on" in found[0]:
        hold(about.before.piece_type_at(about.move.from_square) == chess.PAWN, "the pawn moves")
        men = [about.after.piece_type_at(s) for s in about.after.attackers(about.attacker, about.move.to_square)]
        hold(not found["guard"] or kind(found["guard"]) in men, "guarded")
    hold("fork" not in found[0] or (about.after.is_check() and _forked(line[: len(line) // 2 * 2], about) > 0), "check")
    if not found["goal"]:
        return count + 3 + hold(board.is_checkmate() or bool(move.promotion), "mate, or a promotion")
    hold(not any(move.to_square == back.to_square for back in board.legal_moves), "not taken back")
    victim = chess.PAWN if last.is_en_passant(move) else last.piece_type_at(move.to_square)
    return count + 3 + hold(victim == kind(found["goal"]), found["goal"])


#: What is said of a man that is wanted, with its readers.
WANTED: tuple[tuple[str, Reader], ...] = (
    (rf"is after the (?P<goal>{MAN})", _after),
    (r"helps the pawn on", _helps_on),
    (rf"attacks the (?P<goal>{MAN})(?P<again> a second time)?", _hits),
    (rf"brings the king to the (?P<goal>{MAN})|comes nearer to the (?P<nearer>pawn)", _king_to),
)
#: What is said of nets and of what comes next, with its readers.
NETS: tuple[tuple[str, Reader], ...] = (
    (r"looks for a fork", _fork_comes),
    (r"drives the king to the edge", _to_edge),
    (rf"brings the king up and {TAKEN}", _up_and),
    (rf"{_FOR_MATE}(?:{_MATE_THEN})?", _net),
    (rf"(?=.*(?:mates|mate next|mates on [a-h][1-8])$){_TOWARDS_MATE}{_MATE_THEN}", _net),
    (rf"{_LEAD}{_ROOM_NEXT}", _leads_on),
    (
        rf"{_LEAD}(?::|, and) (?:after (?P<only>{SAN}), forced,|if (?P<reply>{SAN}),) (?P<move>{SAN}) "
        rf"(?P<does>{'|'.join(_NEXT_DOES.values())}|shuts the king in(?: on (?:the [a-h]-file|rank [1-8]))?)",
        _leads_on,
    ),
    (
        rf"(?=.*(?:, and soon | and mate |(?<! is forced), then | wins the |#$|=[QRBN][+#]?$))(?:{_LEAD}{_ALONE}"
        rf"|is after the {MAN}|attacks the {MAN}(?: a second time)?|looks for a fork|helps the pawn on|forces mate"
        rf"|keeps the cage shut|brings the pawn on{GUARDED_ON})"
        rf": (?:if (?P<reply>{SAN}),|(?:(?P<only>{SAN}) is forced, )?then) (?P<answer>{SAN})"
        rf"(?:(?P<soon>, and soon|, then| and) (?P<last>{SAN}|mate (?:next|soon))(?: wins the (?P<goal>{MAN}))?)?",
        _leads_to,
    ),
)

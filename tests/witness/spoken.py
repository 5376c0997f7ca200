"""Reads sentences about moves and holds every square, man, number and move in them against the board.

Knows python-chess and the other witnesses only; outcomes and distances are asked of whoever is told (`Told`). What it
cannot read is a fault as well, so no sentence slips past it. `deeds` has what is said of a single move, this file what
is said around it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace

import chess

from tests.witness.english import ill_written
from tests.witness.ideas.waiting_move import Told
from tests.witness.spoken_names import missing
from tests.witness.spoken_price import wrong_price

SQUARE = r"[a-h][1-8]"
SAN = rf"(?:(?:[KQRBN][a-h]?[1-8]?x?{SQUARE}|(?:[a-h]x)?{SQUARE}(?:=[QRBN])?)[+#]?)"
SANS = rf"{SAN}(?:, {SAN})*(?: (?:and|or) {SAN})?"
SQUARES = rf"{SQUARE}(?:, {SQUARE})*(?: (?:and|or) {SQUARE})?"
AS_QUICK = rf"(?P<moves>{SAN}(?: and {SAN})?|{SAN} and (?P<more>others)) (?P<verb>is|are) as quick"
AS_GOOD = AS_QUICK.replace(" as quick", " as good")
MAN = r"(?:king|queen|rook|bishop|knight|pawn)"
MEN = rf"the {MAN}(?:, the {MAN})*(?: and (?:behind it )?the {MAN})*"


@dataclass(frozen=True)
class Spoken:
    """What a sentence is about.

    Attributes
    ----------
    before, move, after : the move
    best : the best move where it loses something, else None
    attacker : the side that wins or has the stronger men
    told : asked for outcomes and distances
    """

    before: chess.Board
    move: chess.Move
    after: chess.Board
    best: chess.Move | None
    attacker: chess.Color
    told: Told

    def of(self, move: chess.Move) -> Spoken:
        """Return the same about another move from the position before."""
        return Spoken(self.before, move, then(self.before, move), None, self.attacker, self.told)


class Fault(AssertionError):
    """Something that is said and not so, or cannot be read."""


def then(board: chess.Board, *moves: chess.Move) -> chess.Board:
    """Return the board after moves."""
    board = board.copy(stack=False)
    for move in moves:
        board.push(move)
    return board


def legal(board: chess.Board, name: str) -> chess.Move:
    """Return the move of a name, which must be legal and written as it is written by rule."""
    try:
        move = board.parse_san(name)
    except ValueError as fault:
        raise Fault(f"{name} in {board.fen()}: {fault}") from None
    hold(board.san(move) == name, f"{name} is written {board.san(move)}")
    return move


def hold(holds: bool, what: str) -> int:
    """Count one claim that holds."""
    if not holds:
        raise Fault(what)
    return 1


def squares_in(text: str) -> list[chess.Square]:
    """Return the squares named in a text."""
    return [chess.parse_square(name) for name in re.findall(SQUARE, text)]


def moves_in(text: str) -> list[str]:
    """Return the moves named in a text."""
    return re.findall(SAN, text)


def sentences(line: str) -> list[str]:
    """Return the sentences of a line without the side."""
    return [part.rstrip(".") for part in re.split(r"\. ", line) if part]


def nearer_the_centre(about: Spoken) -> int:
    """Hold that all moves that last longest are steps of the king nearer to the centre than any other of its steps."""
    lengths = {move: lasts(about, then(about.before, move)) for move in about.before.legal_moves}
    steps = {move: length for move, length in lengths.items() if about.before.kings >> move.from_square & 1}
    hold([*lengths.values()].count(max(lengths.values())) == [*steps.values()].count(max(lengths.values())), "the king")
    far = {True: [], False: []}  # type: dict[bool, list[float]]
    for move, length in steps.items():
        file, rank = chess.square_file(move.to_square), chess.square_rank(move.to_square)
        far[length == max(lengths.values())].append(abs(file - 3.5) + abs(rank - 3.5))
    return hold(max(far[True]) < min(far[False]), "nearer the centre")


def lasts(about: Spoken, board: chess.Board) -> int:
    """Return the plies to mate of a position that is won or lost."""
    plies = about.told.mate_plies(board)
    if plies is None:
        raise Fault(f"drawn: {board.fen()}")
    return plies


def claims(text: list[str], about: Spoken) -> int:
    """Return how many claims sentences about a move make; all of them hold.

    Raises
    ------
    Fault
        where one does not hold, or a sentence cannot be read
    """
    whole = ". ".join(text)
    for part in (*text, whole):
        hold(not (fault := ill_written(part) or missing(part, whole, about.before, about.after)), fault)
    outcomes = about.told.outcome(about.before), -about.told.outcome(about.after)
    hold(not (fault := wrong_price(whole, *outcomes)), fault)
    from tests.witness.spoken_apart import none_left_out, told_apart

    told_apart(text, about)
    none_left_out(text, about)
    first, *rest = text
    taught = [_taught(first, about), *_end_of_line(first, about)]
    return _first(first, about) + sum(_further(part.removeprefix("Better: "), about, taught) for part in rest)


def _end_of_line(first: str, about: Spoken) -> list[Spoken]:
    """Return the same about the last move of the line that a slip misses, which a rule may go with; [] without one."""
    board, told = about.before, re.findall(SAN, first.partition(" misses ")[2])
    for name in told[:2]:
        move = next((move for move in board.legal_moves if board.san(move) == name), None)
        if move is None:
            return []
        board = then(board, move)
    last = [move for move in board.legal_moves if board.san(move) in told[2:3]]
    return [replace(about, before=board, move=move, after=then(board, move), best=None) for move in last]


def _taught(first: str, about: Spoken) -> Spoken:
    """Return the same with the better move that is named as the best: it is the one that a rule goes with."""
    found = re.match(rf"{SAN} (?:misses ({SAN}), which |[^:]*: (?:better )?({SAN}),? )", first)
    if found is None or about.best is None:
        return about
    named = [move for move in about.before.legal_moves if about.before.san(move) in found.groups()]
    return next((replace(about, best=move) for move in named if _is_best(then(about.before, move), about)), about)


def _first(text: str, about: Spoken) -> int:
    from tests.witness.deeds import deed
    from tests.witness.spoken_defence import beside_one
    from tests.witness.spoken_denials import DENIED, WORSE, denials, denied
    from tests.witness.spoken_instead import INSTEAD, TIMES, deed_meant, did_instead

    san = about.before.san(about.move)
    if (own := re.fullmatch(rf"(?P<move>{SAN}) loses a move: (?P<comes>(?:White|Black) .*)", text)) is not None:
        gap = lasts(about, about.before) - 1 - lasts(about, about.after)
        return hold((own["move"], gap) == (san, 2), "one move") + _further(own["comes"], about, [about])
    slower = (
        re.fullmatch(
            rf"(?P<move>{SAN}) loses a move: (?:the (?P<falls>{MAN}) falls either way, and )?"
            rf"better is (?P<best>{SAN}), which (?P<deed>.*)",
            text,
        )
        or re.fullmatch(
            rf"(?P<move>{SAN}) loses a move: (?P<best>{SAN})(?P<others>(?:, {SAN})*(?: and {SAN})?)"
            rf"(?: and (?P<more>{'|'.join(_MORE)}) other moves)?(?P<central>, nearer the centre,)? holds? out longer"
            r"(?P<deed>)",
            text,
        )
        or re.fullmatch(rf"(?P<move>{SAN}) loses a move: (?P<best>{SAN}) (?P<deed>.*)", text)
        or re.fullmatch(rf"(?P<move>{SAN}) is one move slower than (?P<best>{SAN})(?P<deed>)", text)
    )
    if slower is not None:
        best = legal(about.before, slower["best"])
        count = hold(slower["move"] == san, san) + hold(best == about.best, "the best move")
        gap = lasts(about, about.after) - lasts(about, then(about.before, best))
        count += hold(abs(gap) == 2, "one move")
        if slower.groupdict().get("falls"):
            piece = about.before.piece_at(about.move.from_square)
            hold(piece is not None and chess.piece_name(piece.piece_type) == slower["falls"], text)
            count += hold(all(map(_falls_in_time, (about.after, then(about.before, best)))), text)
        count += nearer_the_centre(about) if slower.groupdict().get("central") else 0
        count += _others(slower.groupdict().get("more"), about)
        for name in moves_in(slower.groupdict().get("others") or ""):
            one = lasts(about, then(about.before, legal(about.before, name)))
            count += hold(one == lasts(about, then(about.before, best)), f"{name} lasts as long")
        if slower["deed"]:
            one = beside_one(slower["deed"], about.of(best), about.move)
            count += one or deed(slower["deed"], about.of(best))
        return count
    found = re.fullmatch(rf"(?P<move>{SAN}) (?P<deed>.*)", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    count, what = hold(found["move"] == san, f"{found['move']} is {san}"), found["deed"]
    what, _, price = what.partition("; ")
    while price and not _is_price(price):
        more, _, price = price.partition("; ")
        what = f"{what}; {more}"
    count += _price(price, about, what) if price else 0
    missed = re.fullmatch(rf"misses (?P<best>{SAN}), which (?P<deed>.*)", what)
    if missed is not None:
        best = legal(about.before, missed["best"])
        if about.best is None or best == about.best:
            count += hold(best == about.best, "the best move")
        else:
            count += hold(lasts(about, then(about.before, best)) == lasts(about, about.before) - 1, "as good as any")
        return count + deed(missed["deed"], about.of(best))
    for pattern, reader in TIMES:
        given = re.fullmatch(pattern, what)
        if given is not None and (given["side"] or _is_reply(given["reply"], about)):
            return count + reader(given, about)
    did = re.fullmatch(INSTEAD, what)
    if did is not None:
        best = legal(about.before, did["best"])
        hold(lasts(about, then(about.before, best)) == lasts(about, about.before) - 1 or best == about.best, "as good")
        count += did_instead(did["did"], about)
        return count + deed(deed_meant(did["did"], did["deed"], about), about.of(best))
    critical = re.fullmatch(r"(?P<test>is the best defence|holds out longest)(?:: | and )(?P<rest>.*)", what)
    if critical is not None:
        mine = lasts(about, about.after)
        others = [lasts(about, then(about.before, m)) for m in about.before.legal_moves if m != about.move]
        count += hold(all(plies < mine for plies in others), "lasts longest alone")
        much = mine - max(others) >= 4 and not about.before.is_capture(about.move)
        rest = critical["rest"]
        hold(much == ("best" in critical["test"]), "a test where two moves longer and nothing is taken")
        beside = re.fullmatch(DENIED, rest)
        if beside is not None:
            return count + denied(beside, about)
        if re.fullmatch(WORSE, rest):
            return count + denials(rest, about)
        return count + deed(rest.removeprefix("it "), about)
    return count + deed(what, about)


def _is_reply(name: str, about: Spoken) -> bool:
    """Whether a move that may be the better one, or the reply, is the reply: the other is of the other side."""
    moves = [[board.san(move) for move in board.legal_moves] for board in (about.before, about.after)]
    hold((name in moves[0]) != (name in moves[1]), f"{name} may be either side's")
    return name in moves[1]


_PRICE = (
    r"(?P<lost>\d+) moves? lost|the win is gone|(?P<fall>the game is lost)|the draw is gone"
    rf"|mate comes (?P<sooner>\d+) moves? (?P<when>sooner|later)(?: than after (?P<best>{SAN}))?"
)


def _is_price(text: str) -> bool:
    return re.fullmatch(_PRICE, text) is not None


def _price(text: str, about: Spoken, what: str) -> int:
    found = re.fullmatch(_PRICE, text)
    assert found is not None
    had, has = about.told.outcome(about.before), -about.told.outcome(about.after)
    number = found["lost"] or found["sooner"]
    if number is None:
        return hold(has == (-1 if found["fall"] or "draw" in text else 0) and has < had, text)
    if found["best"]:
        hold(legal(about.before, found["best"]) == about.best, "the best move")
    hold(has == had, text)
    gap = lasts(about, about.after) - lasts(about, _counted_from(found["best"] or what, about))
    hold((gap < 0) == (found["when"] == "sooner"), text)
    return hold(abs(gap) == 2 * int(number), text)


def _counted_from(what: str, about: Spoken) -> chess.Board:
    """Return the board after the move that is named as better, or the better one where none is named."""
    named = [about.best] if about.best is not None else []
    told = moves_in(what)
    for name in [] if named and about.before.san(named[0]) in told else told:
        found = [move for move in about.before.legal_moves if about.before.san(move) == name]
        boards = [then(about.before, move) for move in found]
        good = [move for move, board in zip(found, boards, strict=True) if _is_best(board, about)]
        named = [*good, *named]
    return then(about.before, named[0])


def _is_best(board: chess.Board, about: Spoken) -> bool:
    outcome = about.told.outcome(about.before)
    kept = -about.told.outcome(board) == outcome
    return kept and (not outcome or lasts(about, board) == lasts(about, about.before) - 1)


def _further(text: str, about: Spoken, taught: list[Spoken]) -> int:
    """Return the claims of a sentence after the first; a rule is held beside the moves that are taught."""
    from tests.witness.spoken_maxims import maxim

    *others, last = taught
    for one in others:
        with suppress(Fault):
            if (general := maxim(text, one)) is not None:
                return general
    if (general := maxim(text, last)) is not None:
        return general
    for pattern, reader in _FURTHER:
        found = re.fullmatch(pattern, text)
        if found is not None:
            return reader(found, about)
    return _about_another(text, about)


def _about_another(text: str, about: Spoken) -> int:
    """Read a sentence that begins with a move: the refutation after this one, or the best instead of it."""
    from tests.witness.deeds import deed, punished

    found = re.fullmatch(rf"(?P<move>{SAN}) (?P<what>.*)", text)
    if found is None:
        raise Fault(f"cannot be read: {text}")
    name, what = found["move"], found["what"]
    if about.best is not None and about.before.san(about.best) == name:
        praise = re.fullmatch(r"(?P<deed>.*?)(?:(?:^| and )(?:keeps the win|holds the draw))?", what)
        assert praise is not None
        kept = what != praise["deed"]
        if kept:
            outcome = -about.told.outcome(then(about.before, about.best))
            hold(outcome == about.told.outcome(about.before), what)
        return 1 + kept + (deed(praise["deed"], about.of(about.best)) if praise["deed"] else 0)
    return punished(what, legal(about.after, name), about)


def _quicker(found: re.Match[str], about: Spoken) -> int:
    """Hold that a move mates soonest, and sooner than the better one that is told of."""
    quick = then(about.before, legal(about.before, found["move"]))
    assert about.best is not None
    return hold(_is_best(quick, about) and lasts(about, quick) < lasts(about, then(about.before, about.best)), found[0])


def _mate_in(found: re.Match[str], about: Spoken) -> int:
    number, plies = int(found["n"]), lasts(about, about.after)
    winner_moved = -about.told.outcome(about.after) > 0
    moves = (plies + 1 + winner_moved) // 2
    if found["method"] or found["most"]:
        hold(
            not found["method"] or 2 * number > lasts(about, about.before) + 1,
            "the method where it is no shortest mate",
        )
        return hold(number >= moves, "the method is no faster than can be")
    return hold(number == moves, f"mate in {moves}")


def _every_move(found: re.Match[str], about: Spoken) -> int:
    return every_move_lasts(about)


def every_move_lasts(about: Spoken) -> int:
    plies = {lasts(about, then(about.before, move)) for move in about.before.legal_moves}
    return hold(len(plies) == 1, "every move lasts as long")


def _any_other(found: re.Match[str], about: Spoken) -> int:
    others = [lasts(about, then(about.before, move)) for move in about.before.legal_moves if move != about.move]
    by = {(lasts(about, about.after) - plies) // 2 for plies in others}
    hold((len(by) > 1) == bool(found["least"]), "at least, where they differ")
    hold((len(others) == 1) == bool(found["single"]), "the other move, where there is one")
    return hold(min(by) == int(found["n"]), "any other move is mated sooner")


def _as_long(found: re.Match[str], about: Spoken) -> int:
    mine = lasts(about, about.after)
    others = {move: lasts(about, then(about.before, move)) for move in about.before.legal_moves if move != about.move}
    same = sorted(about.before.san(move) for move, plies in others.items() if plies == mine)
    hold(all(plies <= mine for plies in others.values()), "lasts longest")
    if found["count"]:
        count = hold(found["count"] == (_COUNTS[len(same) - 4] if len(same) <= 8 else "Many"), "so many others")
    else:
        names = moves_in(found["moves"])
        hold(names == same, f"{same} last as long")
        count = len(names)
    if found["n"] is None:
        return count
    shorter = [plies for plies in others.values() if plies < mine]
    verb = "is" if len(shorter) == 1 else "are"
    return count + hold(
        found["verb"] == verb and mine - max(shorter) == 2 * int(found["n"]), "the rest are mated sooner"
    )


def _back(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_attack import does

    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    move = legal(there, found["move"])
    keeps = -about.told.outcome(then(there, move)) == about.told.outcome(there) > 0
    return 2 + hold(keeps, "the way back wins") + does(found["does"], there, move, about)


def _holds(found: re.Match[str], about: Spoken) -> int:
    reply = legal(about.after, found["reply"])
    there = then(about.after, reply)
    move = legal(there, found["move"])
    return 2 + hold(about.told.outcome(then(there, move)) == 0, f"{found['move']} holds")


def _queen_falls(found: re.Match[str], about: Spoken) -> int:
    """Hold that after a reply the new queen is taken whatever comes, and that one man beside the king is there."""
    there, man = then(about.after, legal(about.after, found["reply"])), chess.PIECE_NAMES.index(found["man"])
    hold(
        about.move.promotion == chess.QUEEN and there.piece_type_at(about.move.to_square) == chess.QUEEN, "a new queen"
    )
    theirs = {p.piece_type for p in there.piece_map().values() if p.color == about.attacker}
    hold(theirs == {chess.KING, man}, found[0])
    for answer in there.legal_moves:
        board = then(there, answer)
        queens = board.pieces(chess.QUEEN, not about.attacker)
        hold(any(move.to_square in queens for move in board.legal_moves), f"it falls after {answer.uci()}")
    return 3


def _only(found: re.Match[str], about: Spoken) -> int:
    wins = [m for m in about.before.legal_moves if about.told.outcome(then(about.before, m)) < 0]
    named = found[0] if found.groupdict().get("fast") else found["moves"]
    names = [*moves_in(named), about.before.san(about.move)]
    hold(sorted(about.before.san(m) for m in wins) == sorted(names), text := found[0])
    fast = moves_in(found["fast"]) if found.groupdict().get("fast") else names if found["quick"] else []
    mine = lasts(about, about.after)
    as_quick = [m for m in wins if m != about.move and lasts(about, then(about.before, m)) == mine]
    hold(not fast or {*fast} - {about.before.san(about.move)} == {*map(about.before.san, as_quick)}, "as quickly")
    if others := found.groupdict().get("others") or found.groupdict().get("one"):
        hold(("one" in found.groupdict() and bool(found["one"])) == (len(list(about.before.legal_moves)) == 2), text)
        rest = {about.told.outcome(then(about.before, m)) for m in about.before.legal_moves if m not in wins}
        hold(rest == {{"draw": 0, "lose": 1}[word] for word in others.split(" or ")}, text)
    return len(names)


def _only_draws(found: re.Match[str], about: Spoken) -> int:
    keeping = [m for m in about.before.legal_moves if about.told.outcome(then(about.before, m)) <= 0]
    return hold(keeping == [about.move], "the only move that draws")


def _does_not_win(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_draws import drawn_for

    return drawn_for(found["why"], about)


def _every_draws(found: re.Match[str], about: Spoken) -> int:
    outcomes = {about.told.outcome(then(about.before, move)) for move in about.before.legal_moves}
    return hold(max(outcomes) <= 0, found[0])


def _pitfall(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.deeds import struck
    from tests.witness.ideas.prepares import falls

    there = then(about.before, legal(about.before, found["other"]))
    reply = legal(there, found["reply"])
    now = then(there, reply)
    count = 2 * hold(about.told.outcome(now) < 0 == about.told.outcome(about.after), "loses")
    won = found["does"] in (None, "pins") or all(falls(now, last, about.told) for last in now.legal_moves)
    hold(won, "a man falls whatever is replied")
    return count + (struck(found[0], found["men"], reply, now, about) if found["men"] else 0)


def _piece_lost(found: re.Match[str], about: Spoken) -> int:
    """Hold that another move loses, and the one piece whatever is replied, or wherever it goes."""
    from tests.witness.ideas.pitfall import lost

    now = then(about.before, legal(about.before, found["other"]))
    now = then(now, legal(now, found["reply"]))
    hold(about.told.outcome(now) < 0 == about.told.outcome(about.after), "loses")
    return 2 + hold(lost(now) == ([found["man"]], bool(found["shut"])), found[0])


def _next(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_denials import comes_next

    return comes_next(found["next"].removeprefix("comes "), about)


def _comes(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_denials import comes

    return comes(found["what"], about)


def _wins_by(found: re.Match[str], about: Spoken) -> int:
    there = then(about.after, legal(about.after, found["reply"]))
    hold(found["side"] == ("White" if about.after.turn else "Black"), "who wins")
    return 1 + hold(about.told.outcome(there) < 0, found[0])


def _longer(found: re.Match[str], about: Spoken) -> int:
    names, all_lasts = moves_in(found["best"]), [lasts(about, then(about.before, m)) for m in about.before.legal_moves]
    for name in names:
        best = lasts(about, then(about.before, legal(about.before, name)))
        hold(lasts(about, about.after) < best == max(all_lasts), f"{name} lasts longest")
    return len(names) + _others(found["more"], about)


def _falls_in_time(board: chess.Board) -> bool:
    """Whether a man may be taken for nothing."""
    takes = [move for move in board.legal_moves if board.is_capture(move)]
    return any(all(m.to_square != back.to_square for back in then(board, m).legal_moves) for m in takes)


def _others(more: str | None, about: Spoken) -> int:
    """Hold how many beside one last longest."""
    if more is None:
        return 0
    plies = [lasts(about, then(about.before, move)) for move in about.before.legal_moves]
    left = plies.count(max(plies)) - 1
    return hold(more == (_MORE[left - 3] if left <= 8 else "many"), f"{left} others last longest")


def _not_stalemate(found: re.Match[str], about: Spoken) -> int:
    names = moves_in(found["moves"])
    hold(all(then(about.before, legal(about.before, name)).is_stalemate() for name in names), found[0])
    return len(names)


def _left(found: re.Match[str], about: Spoken) -> int:
    capture = legal(about.before, found["capture"])
    gap = lasts(about, then(about.before, capture)) - lasts(about, about.after)
    hold(about.before.is_capture(capture) and not about.before.is_capture(about.move), "left, not taken")
    return 1 + hold(gap == 2 * int(found["n"]), found[0])


def _as_quick(found: re.Match[str], about: Spoken) -> int:
    names, mine = moves_in(found["moves"]), lasts(about, about.after)
    moves = [move for move in about.before.legal_moves if move != about.move]
    alike = [about.before.san(m) for m in moves if _mates_after(about, then(about.before, m)) == mine]
    hold(set(names) <= set(alike), f"{names} are as quick")
    hold(found["more"] is None or len(alike) > 2, "others are as quick")
    return len(names) + hold((found["verb"] == "is") == (len(names) == 1 and not found["more"]), found[0])


def _as_good(found: re.Match[str], about: Spoken) -> int:
    """Hold that moves named beside a slip mate as soon as any, and are no more than are said to be."""
    names, after = moves_in(found["moves"]), {m: _mates_after(about, then(about.before, m)) for m in _legal(about)}
    least = min(plies for plies in after.values() if plies is not None)
    quick = {about.before.san(move) for move, plies in after.items() if plies == least}
    hold(set(names) <= quick - {about.before.san(about.move)}, f"{names} are as good")
    hold(found["more"] is None or len(quick) > 3, "others are as good")
    return len(names) + hold((found["verb"] == "is") == (len(names) == 1 and not found["more"]), found[0])


def _legal(about: Spoken) -> list[chess.Move]:
    return list(about.before.legal_moves)


def _mates_after(about: Spoken, board: chess.Board) -> int | None:
    """Return the plies to mate of a position that the side on move loses, None of another."""
    return lasts(about, board) if about.told.outcome(board) < 0 else None


def _method(found: re.Match[str], about: Spoken) -> int:
    best = legal(about.before, found["best"])
    if found["n"] is None:
        return hold(then(about.before, best).is_checkmate(), found[0])
    gap = lasts(about, about.after) - lasts(about, then(about.before, best))
    return 1 + hold(gap == 2 * int(found["n"]), found[0])


def _answers(found: re.Match[str], about: Spoken) -> int:
    count = 0
    for part in re.split(r"; ", found[0]):
        replies, _, move = re.sub(r"^(?:[Ii]f|After) ", "", part).replace(" comes ", ", ").rpartition(", ")
        for name in moves_in(replies):
            there = then(about.after, legal(about.after, name))
            count += 1 + hold(about.told.outcome(then(there, legal(there, move))) < 0, part)
    return count


def _only_holder(found: re.Match[str], about: Spoken) -> int:
    reply = legal(about.after, found["move"])
    keeping = [m for m in about.after.legal_moves if about.told.outcome(then(about.after, m)) <= 0]
    return hold(keeping == [reply], found[0])


def _hanging(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_men import men_stand

    squares = squares_in(found[0])
    targets = {reply.to_square for reply in about.after.legal_moves if about.after.is_capture(reply)}
    return men_stand(found["men"], about.after, about.before.turn) + hold(set(squares) <= targets, found[0])


def _drawn(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.deeds import deed

    return deed(f"allows a draw: {found['why']}", about)


def _now(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_slips import new

    return new(legal(about.after, found["text"].split()[0]), about) + _about_another(found["text"], about)


def _meanwhile(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.spoken_instead import GAIN, with_the_time

    gain = re.fullmatch(GAIN, found["text"])
    if found["when"] == "Meanwhile":
        return with_the_time(gain, about, "meanwhile") if gain is not None else hold(False, found[0])
    hold(legal(about.before, found["slip"]) == about.move, "after the slip")
    try:  # what one reply punishes, or what all best replies have in common
        return _now(found, about)
    except Fault:
        return with_the_time(gain, about, "now") if gain is not None else hold(False, found[0])


def _aim(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.english import written_in_plans

    hold(about.told.outcome(about.before) > 0, "won")
    return hold(written_in_plans(found["aim"]), found[0])


def _slow(found: re.Match[str], about: Spoken) -> int:
    best = legal(about.before, found["best"])
    there = then(about.before, best)
    last = then(there, legal(there, found["reply"]))
    hold(best == about.best and lasts(about, last) == lasts(about, there) - 1, f"{found['reply']} lasts longest")
    return 3 + hold(lasts(about, then(last, legal(last, found["answer"]))) == lasts(about, last) - 1, found["answer"])


def _it(found: re.Match[str], about: Spoken) -> int:
    from tests.witness.deeds import deed

    return deed(found["deed"], about)


_MORE = ("three", "four", "five", "six", "seven", "eight", "many")
_COUNTS = ("Four", "Five", "Six", "Seven", "Eight", "Many")
_FURTHER = (
    (r"(?:M|Now it is m)ate in (?P<most>at most )?(?P<n>\d+)(?P<method> by the method)?", _mate_in),
    (r"Every move lasts as long", _every_move),
    (r"(?:Every|(?P<single>The)) other move is mated (?P<least>at least )?(?P<n>\d+) moves? sooner", _any_other),
    (
        rf"(?:(?P<count>{'|'.join(_COUNTS)}) other moves|(?P<moves>{SANS})) lasts? as long"
        r"(?:, the rest (?P<verb>is|are) mated (?P<n>\d+) moves? sooner)?",
        _as_long,
    ),
    (rf"(?P<move>{SAN}) is quicker still", _quicker),
    (rf"The way back: after (?P<reply>{SAN}), (?P<move>{SAN}) (?P<does>.*)", _back),
    (rf"If (?P<reply>{SAN}), (?P<move>{SAN}) holds", _holds),
    (rf"(?P<reply>{SAN}) wins the new queen, but a (?P<man>{MAN}) alone cannot mate", _queen_falls),
    (
        r"It is the only move that wins; the (?:others (?P<others>draw|lose|lose or draw)|other (?P<one>draw|lose)s)"
        r"(?P<moves>)(?P<quick>)",
        _only,
    ),
    (rf"Only (?P<moves>{SANS}) wins? too(?P<quick>, as quickly)?(?P<others>)", _only),
    (rf"Only (?P<fast>{SANS}), as quick, and (?P<moves>{SANS}) win too(?P<quick>)(?P<others>)", _only),
    (r"It is the only move that draws", _only_draws),
    (r"Every move draws", _every_draws),
    (r"It does not win: (?P<why>.*)", _does_not_win),
    (rf"Not (?P<other>{SAN}): (?P<reply>{SAN})(?: wins| (?P<does>forks|skewers|pins) (?P<men>.*))?", _pitfall),
    (
        rf"Not (?P<other>{SAN}): (?P<reply>{SAN}) (?:wins|leaves) the (?P<man>{MAN})(?P<shut> no safe square)?",
        _piece_lost,
    ),
    (rf"Next (?P<next>(?:comes )?{SAN}(?: .*)?)", _next),
    (rf"(?P<side>White|Black) wins by (?P<reply>{SAN})", _wins_by),
    (rf"(?P<what>(?:White|Black) .*?{SAN})", _comes),
    (rf"(?P<best>{SANS})(?: and (?P<more>{'|'.join(_MORE)}) other moves)? holds? out longer", _longer),
    (rf"Not (?P<moves>{SANS}): stalemate", _not_stalemate),
    (rf"(?P<capture>{SAN}) takes (?P<n>\d+) moves? longer", _left),
    (AS_QUICK, _as_quick),
    (AS_GOOD, _as_good),
    (
        rf"It follows the method(?: \((?P<stage>.*?)\))?; (?P<best>{SAN}) mates (?:(?P<n>\d+) moves? sooner|at once)",
        _method,
    ),
    (rf"(?:If {SANS}, {SAN}(?:; if {SANS}, {SAN})*|After {SAN} comes {SAN})", _answers),
    (r"Drawn: (?P<why>.*)", _drawn),
    (rf"(?:(?P<when>Meanwhile)|After (?P<slip>{SAN}),) (?P<text>{SAN} .*)", _meanwhile),
    (r"The aim: (?P<aim>.*)", _aim),
    (rf"Better is (?P<best>{SAN}), and if (?P<reply>{SAN}), (?P<answer>{SAN})", _slow),
    (r"It (?P<deed>(?!is the only).*)", _it),
    (rf"The only move that holds is (?P<move>{SAN})", _only_holder),
    (
        rf"(?P<men>[Tt]he {MAN} on {SQUARE}(?:(?:,| and) the {MAN} on {SQUARE})*) may be taken, and it stays drawn",
        _hanging,
    ),
)


def read(line: str) -> Iterator[str]:
    """Yield the squares, moves and numbers of a line, however they are said."""
    yield from re.findall(rf"{SAN}|{SQUARE}|\d+", line)

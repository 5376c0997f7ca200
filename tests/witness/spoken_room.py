"""Reads what is said of cages, boxes and cut-off lines; one reader a rule."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import box, cut_off, holes
from tests.witness.ideas.cage import cage, mating_corners
from tests.witness.ideas.king_range import king_of, shut
from tests.witness.ideas.king_up import closer
from tests.witness.spoken import MAN, SAN, SQUARE, SQUARES, Fault, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_men import NEEDING, Found, Reader, apart, caged, far, is_loose, newly_shut, size, their

_NUMBER = r"(\d+)"
_LINE = r"(?:the [a-h]-file|rank [1-8])"
LONG_LINE = rf"(?:{_LINE}|the diagonal {SQUARE}-{SQUARE})"
_GOES_ON = rf"(?:: if (?P<reply>{SAN}), (?P<move>{SAN}))?"
_PASSES = r"(?P<passes> and passes the move)?"
_PART = (
    r"(?: (?P<part>on the edge|on ranks [1-8] and [1-8]|on the [a-h]- and [a-h]-files"
    rf"|(?:near|around) the {SQUARE} corner))?"
)
_PLACE = rf"(?: by the right corner (?P<corner>{SQUARE})|{_PART})"
_KEPT = rf"guards the (?P<kept>{MAN}) and "
_LINES = rf"(?P<lines>{LONG_LINE}(?: and {LONG_LINE})?)"
_LEFT = (
    r"(?:(?P<next>now (?P<whose>White|Black)'s king can come up)"
    rf"|(?:the (?:other )?king|it) (?:has only|can only step between|must stay on) (?P<only>{SQUARES})(?: left)?"
    r"|(?:the king|it) (?P<none>has no square left|cannot move)|(?P<many>\d+) squares are left)"
)


def _cage_change(found: Found, about: Spoken) -> int:
    was, now = size(about.before, about), size(about.after, about)
    hold(caged(about.before, about) > 0 and caged(about.after, about) > 0, "a cage before and after")
    return hold((int(found[1]), int(found[2])) == (was, now), f"the cage {was} to {now}") * 2


def _shut_ways(found: Found, about: Spoken) -> int:
    """Hold what is said of squares shut, as of a cage, or of ways that the king has no more."""
    try:
        return _cage_shut(found, about)
    except Fault:
        beside = all(far(s, their(about, about.before)) == 1 for s in squares_in(found[0]))
        return newly_shut(found[0], about) * hold(beside, "ways of the king")


def _cage_shut(found: Found, about: Spoken) -> int:
    hold(caged(about.before, about) == 0, "no cage before")
    count, groups = 0, found.groupdict()
    if groups.get("hole"):
        was_open = holes.holes(about.before, about.attacker)
        count += hold(chess.parse_square(groups["last"]) in was_open, f"{groups['last']} was a hole")
    return count + _gate(found, about) + _cage_now(found, about)


def _cage_tightened(found: Found, about: Spoken) -> int:
    hold(0 < caged(about.after, about) < caged(about.before, about), "tightens")
    count = hold(closer(about.before, about.after), "the king comes up") if found["up"] else 0
    return count + _gate(found, about) + _cage_now(found, about)


def _is_wall(name: str, inside: set[int], about: Spoken) -> bool:
    """Whether a rank or file of the man that moved has the whole cage on one side, a square of it next to it."""
    at, ranks = about.move.to_square, name.startswith("rank")
    if not (ranks or name.endswith("-file")) or at not in squares_of(name):
        return False
    of = chess.square_rank if ranks else chess.square_file
    away = [of(s) - of(at) for s in inside]
    return min(map(abs, away)) == 1 and len({number > 0 for number in away}) == 1


def _gate(found: Found, about: Spoken) -> int:
    """Hold that the squares named, or the lines, are newly shut and stand round the cage."""
    inside = cage(about.after, about.attacker) or set[int]()
    was, now = shut(about.before, about.attacker), shut(about.after, about.attacker)
    round_it = now - was - inside - {about.move.from_square}
    gate = {s for s in round_it if any(far(s, other) == 1 for other in inside)}
    groups = found.groupdict()
    if groups.get("kept"):
        mine = [about.after.piece_at(s) for s in gate]
        mine += [about.before.piece_at(s) for s in chess.SQUARES if _could_be_taken(s, about)]
        hold(chess.Piece(chess.PIECE_NAMES.index(found["kept"]), about.attacker) in mine, found[0])
    if groups.get("own"):
        return sum(hold(s in now - was, f"{chess.square_name(s)} is shut now") for s in squares_in(groups["own"]))
    named = groups.get("gate") or groups.get("last")
    if named:
        return hold(set(squares_in(named)) == gate, f"the gate is {gate}") * len(gate)
    if not groups.get("lines"):
        return 0
    lines = {s for name in re.split(r", | and ", found["lines"]) for s in squares_of(name)}
    walls = all(_is_wall(name, inside, about) for name in re.split(r" and ", found["lines"]))
    hold((gate <= lines and len(gate) > 0) or walls, f"the gate lies along {found['lines']}")
    return hold(about.move.to_square in lines, "the man that moved stands on the line") * (
        2 if " and " in found["lines"] else 1
    )


def _could_be_taken(square: chess.Square, about: Spoken) -> bool:
    return far(square, their(about, about.before)) == 1 and is_loose(about.before, square, about)


def squares_of(line: str) -> set[int]:
    """Return the squares of a line told by its name."""
    ends = re.search(rf"({SQUARE})-({SQUARE})", line)
    if ends is None:
        of_rank = line.startswith("rank")
        return {s for s in chess.SQUARES if chess.square_name(s)[of_rank] == (line[-1] if of_rank else line[4])}
    first, last = map(chess.parse_square, ends.groups())
    return {first, last, *chess.SquareSet(chess.between(first, last))}


def all_shut(line: set[int], about: Spoken) -> int:
    """Hold that the defending king can go to no square of the line on which the man that moved stands."""
    open_ = line - shut(about.after, about.attacker) - {about.move.to_square}
    return hold(not open_, f"not shut: {sorted(map(chess.square_name, open_))}")


def _cage_now(found: Found, about: Spoken) -> int:
    groups, room = found.groupdict(), cage(about.after, about.attacker) or set[int]()
    count, king = hold(bool(room), "a cage"), their(about, about.after)
    if groups.get("next"):
        hold((groups["whose"] == "White") == about.attacker, "whose king")
        men = sorted(p.symbol().upper() for p in about.after.piece_map().values())
        mine = sorted(p.piece_type for p in about.after.piece_map().values() if p.color == about.attacker)
        hold([man for man in mine if man != chess.KING] in NEEDING and len(men) == 1 + len(mine), "men that need it")
        hold(apart(about.after) > 2, "the king is far")
    steps = {move.to_square for move in about.after.legal_moves if move.from_square == king}
    if groups.get("none"):
        count += hold(not steps and (about.after.is_check() or room == {king}), groups["none"])
    if groups.get("only"):
        left = steps if about.after.is_check() else room
        count += hold(set(squares_in(groups["only"])) == left, f"only {left}") * len(left)
    if groups.get("many"):
        free = room - ({king} if about.after.is_check() else set())
        count += hold(len(free) == int(groups["many"]), f"{len(free)} squares")
    if groups.get("part"):
        count += hold(set(_inside(groups["part"])) >= room, groups["part"])
    corner = groups.get("corner")
    if corner:
        near = far(king, chess.parse_square(corner))
        count += hold(near <= 3 and corner in mating_corners(about.after, about.attacker), "by the corner")
    return count


def _inside(part: str) -> list[int]:
    """Return the squares of a part of the board."""
    if part == "on the edge":
        return [s for s in chess.SQUARES if {s // 8, s % 8} & {0, 7}]
    if "ranks" in part:
        return [s for s in chess.SQUARES if str(s // 8 + 1) in part]
    if "file" in part:
        return [s for s in chess.SQUARES if f" {chess.FILE_NAMES[s % 8]}-" in part]
    corner = chess.parse_square(part.split()[-2])
    return [s for s in chess.SQUARES if far(s, corner) <= (2 if part.startswith("near") else 3)]


def _box(found: Found, about: Spoken) -> int:
    was, now = box.box(about.before, about.attacker), box.box(about.after, about.attacker)
    barred = box.bars(about.after, about.attacker)
    if found["from"]:
        hold(was == int(found["from"]), "the box before")
    if "shrinks" in found[0] or "moves" in found[0]:
        hold((box.box(about.before, about.attacker) or 0) > (now or 0) > 0, "shrinks")
        walks = [len(box.reached(board, about.attacker)) for board in (about.before, about.after)]
        hold(walks[1] < walks[0], f"squares reached {walks}")
    if found[0].startswith("shuts the king in a box"):
        hold(now is not None and len(barred) == 2, "a box")
    wall = found.groupdict().get("wall")
    if found.groupdict().get("hit"):
        at = about.move.to_square
        goals = [move.to_square for move in about.after.legal_moves]
        hold(any(far(goal, at) == 1 for goal in goals) and is_loose(about.after, at, about), "may be hit")
    if wall:
        piece = box.heavy(about.after, about.attacker)
        assert piece is not None
        line, there = (0, wall[4]) if wall.endswith("file") else (1, wall[-1])
        hold(chess.square_name(piece)[line] == there != chess.square_name(about.move.from_square)[line], wall)
        hold(wall.replace("the ", "") in [bar if "rank" in bar else f"{bar[-1]}-file" for bar in barred], wall)
    if found["knights"]:
        piece = box.heavy(about.after, about.attacker)
        assert piece is not None
        hold(chess.BB_KNIGHT_ATTACKS[piece] >> their(about, about.after) & 1 == 1, "a knight's move")
    return (
        hold(not found["to"] or now == int(found["to"]), f"a box of {now}")
        + bool(found["from"])
        + bool(found["knights"])
    )


def _box_to(found: Found, about: Spoken) -> int:
    """Hold that a box shrinks, which its first and last squares are, and that the king cannot leave it."""
    hold(len(box.bars(about.after, about.attacker)) == 2, "both lines")
    piece, king = box.heavy(about.after, about.attacker), their(about, about.after)
    assert piece is not None
    there = [s for s in chess.SQUARES if _side(s, piece) == _side(king, piece)]
    hold(0 not in _side(king, piece), "on no line of it")
    hold([chess.square_name(s) for s in (min(there), max(there))] == [found["first"], found["last"]], found[0])
    return 1 + _box(found, about)


def _side(square: chess.Square, piece: chess.Square) -> tuple[int, int]:
    files, ranks = square % 8 - piece % 8, square // 8 - piece // 8
    return (files > 0) - (files < 0), (ranks > 0) - (ranks < 0)


def _last_squares(found: Found, about: Spoken) -> int:
    """Hold that the king could go somewhere before, and can go nowhere now, and that its one man can move."""
    passed = about.before.copy(stack=False)
    passed.turn, passed.ep_square = not about.attacker, None
    ways = [{move.from_square for move in board.legal_moves} for board in (passed, about.after)]
    king = their(about, about.after)
    hold(king in ways[0] and king not in ways[1] and not about.after.is_check(), "the last squares")
    hold((found["whose"] == "White") != about.attacker, "whose king")
    kinds = {about.after.piece_type_at(s) for s in ways[1]}
    return 2 + hold(found["man"] is None or kinds == {chess.PIECE_NAMES.index(found["man"])}, "the man that can move")


def _cage_held(found: Found, about: Spoken) -> int:
    sizes = {caged(about.before, about), caged(about.after, about)}
    return hold(len(sizes) == 1 and sizes != {0}, f"the cage {sizes}") + _passes(found, about) + line_on(found, about)


def _passes(found: Found, about: Spoken) -> int:
    """Hold of a move that is said to pass it that the other king has the same squares as it had, and no check."""
    if not found["passes"]:
        return 0
    sides = [board.copy(stack=False) for board in (about.before, about.after)]
    for board in sides:
        board.turn = not about.attacker
    goals = [{move.to_square for move in board.legal_moves} for board in sides]
    return hold(goals[0] == goals[1] and not about.after.is_check(), found[0])


def line_on(found: Found, about: Spoken) -> int:
    """Hold a reply that lasts longest and a move after it that wins, where they are told."""
    if not found["reply"]:
        return 0
    there = then(about.after, legal(about.after, found["reply"]))
    hold(lasts(about, there) == lasts(about, about.after) - 1, "the longest defence")
    return 1 + hold(about.told.outcome(then(there, legal(there, found["move"]))) < 0, "wins")


def _box_held(found: Found, about: Spoken) -> int:
    """Hold that the box is as large as before."""
    boxes = [box.box(board, about.attacker) for board in (about.before, about.after)]
    hold(len(box.bars(about.after, about.attacker)) == 2, "both lines")
    return 1 + hold(boxes[0] == boxes[1] is not None, f"boxes {boxes}") + _passes(found, about) + line_on(found, about)


def _line(found: Found, about: Spoken) -> int:
    """Hold that the line cuts the king off, and that a man that cuts it off moved."""
    hold("cuts" not in found[0] or about.before.piece_type_at(about.move.from_square) != chess.KING, "a man moved")
    name = found["line"]
    line = cut_off.line(about.after, about.attacker)
    if found["its"]:
        (man,) = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != 6]
        hold(about.after.piece_type_at(man) == chess.PIECE_NAMES.index(found["its"]), "its man")
        rank = name.startswith("rank")
        at, *ends = [s // 8 if rank else s % 8 for s in (min(squares_of(name)), man, their(about, about.after))]
        hold(min(ends) < at < max(ends), "on either side of the line")
    if found["other"]:
        at, mine, theirs = about.move.to_square, king_of(about.after, about.attacker), their(about, about.after)
        files = [square % 8 for square in (mine, at, theirs)]
        hold(files[1] not in (files[0], files[2]) and sorted(files)[1] == files[1], "between the files")
        hold(at in squares_of(found["other"]) and "file" in found["other"], "the file")
        hold(at in squares_of(name), "the man that moved stands on the line")
    count = line_on(found, about)
    if found["other"]:
        return count + hold(line in (name, f"file {found['other'][4]}"), f"cut off along {line}")
    return count + hold(line == (name if name.startswith("rank") else f"file {name[4]}"), f"cut off along {line}")


#: What is said of the room left to the king, with its readers.
ROOMS: tuple[tuple[str, Reader], ...] = (
    (rf"shuts (?P<gate>{SQUARES})", _shut_ways),
    (
        rf"shuts (?:(?P<hole>the hole )?(?P<last>{SQUARE}), the last way out"
        rf"|(?:the way out at )?(?P<gate>{SQUARES})|the way out)"
        rf"(?:: (?:{_LEFT}|the king is caged{_PLACE}))?(?:; the W may stop here)?",
        _cage_shut,
    ),
    (
        rf"(?:{_KEPT})?shuts the king in(?:{_PLACE}| behind {_LINES})?(?:: {_LEFT})?(?:; the W may stop here)?",
        _cage_shut,
    ),
    (
        rf"(?:(?P<up>comes nearer and )|{_KEPT})?takes (?:(?P<gate>{SQUARES})|{_LINES})"
        rf"(?: from the king's cage|: {_LEFT})?",
        _cage_tightened,
    ),
    (
        rf"(?:(?P<up>(?:comes nearer|brings the king up) and )|{_KEPT})?(?:makes the cage smaller|tightens the cage"
        rf"|keeps the king{_PLACE})(?:: (?:(?:(?P<gate>{SQUARES})|(?P<lines>{LONG_LINE})) (?:is|are) shut, )?{_LEFT})?",
        _cage_tightened,
    ),
    (rf"(?P<up>brings the king up): {_LEFT}", _cage_tightened),
    (rf"lets the cage grow from {_NUMBER} to {_NUMBER} squares?", _cage_change),
    (rf"keeps the cage shut{_PASSES}{_GOES_ON}", _cage_held),
    (rf"keeps the box shut{_PASSES}{_GOES_ON}", _box_held),
    (
        r"(?:shrinks the box|lets the box grow)(?: from (?P<from>\d+))?(?: to (?P<to>\d+) squares?)?"
        r"(?P<knights>, a knight's move from the king)?",
        _box,
    ),
    (rf"shrinks the box to (?P<first>{SQUARE})-(?P<last>{SQUARE})(?P<from>)(?P<to>)(?P<knights>)", _box_to),
    (
        rf"takes the last squares from (?P<whose>White|Black)'s king(?:: only the (?P<man>{MAN}) can move)?",
        _last_squares,
    ),
    (
        rf"shrinks the box: (?P<wall>{_LINE}) is now barred"
        r"(?P<from>)(?P<to>)(?P<knights>)",
        _box,
    ),
    (r"(?:shuts the king in a box)(?P<from>)(?P<to>)(?P<knights>)", _box),
    (
        rf"(?:cuts the king off(?: from its (?P<its>{MAN}))?|keeps the king cut off)"
        rf" along (?P<line>{_LINE})(?: and (?P<other>{_LINE}))?{_GOES_ON}",
        _line,
    ),
)

"""Reads what is said of a move of the side that is losing; one reader a rule."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.ideas import holes, stands_out
from tests.witness.ideas.cage import mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_range, shut, without_king
from tests.witness.ideas.makes_for import goals
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.stalemate_trap import stalemating
from tests.witness.ideas.waiting_move import opposition
from tests.witness.spoken import (
    MAN,
    SAN,
    SANS,
    SQUARE,
    SQUARES,
    Spoken,
    hold,
    lasts,
    legal,
    moves_in,
    squares_in,
    then,
)
from tests.witness.spoken_denials import cannot, denials
from tests.witness.spoken_instead import best_replies
from tests.witness.spoken_men import (
    NEEDING,
    Found,
    Reader,
    apart,
    far,
    is_guarded,
    kind,
    kinds,
    men_stand,
    pawn_and_goal,
    size,
    stand_alone,
    their,
)

_WORDS = {"no": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_LEFT = rf"(?P<left>{'|'.join(_WORDS)}) squares?"
#: Men that mate with their king's help only.
MATING = r"(?:a queen|a rook|two bishops|bishop and knight)"
_THEIRS = r"(?:White|Black)'s king"


def _through_hole(found: Found, about: Spoken) -> int:
    square = chess.parse_square(found["hole"]) if found["hole"] else about.move.to_square
    hold(square in holes.holes(about.before, about.attacker), "a hole")
    return 1 + hold(far(about.move.to_square, square) == ("heads" in found[0]), "the king is there")


def _stalemate_trap(found: Found, about: Spoken) -> int:
    names = moves_in(found["moves"] or "")
    there = stalemating(about.after)
    return sum(hold(legal(about.after, name).uci() in there, f"{name} stalemates") for name in names)


def _wrong_corner(found: Found, about: Spoken) -> int:
    good = mating_corners(about.after, about.attacker)
    name = found["corner"] or chess.square_name(about.move.to_square)
    corner = chess.parse_square(name)
    hold(bool(good) and name not in good and name in ("a1", "a8", "h1", "h8"), "a wrong corner")
    man = None if corner == about.move.to_square else about.after.piece_at(corner)
    told = found.groupdict().get("man")
    hold((kind(told) if told else None) == (None if man is None else man.piece_type), "who stands there")
    return 1 + hold(far(about.move.to_square, corner) < far(about.move.from_square, corner), "nearer")


def _edge(found: Found, about: Spoken) -> int:
    was, now = edge(about.move.from_square), edge(about.move.to_square)
    hold(about.after.piece_type_at(about.move.to_square) == chess.KING, "the king moves")
    holds = {"leaves": was == 0 < now, "keeps": now == was > 0, "heads": 0 < was < now, "goes": now < was}
    holds["is"] = holds["keeps" if "keeps" in found[0] else "leaves"]
    if "only there" in found[0] or "since" in found[0]:
        lone = [p.piece_type for p in about.after.piece_map().values() if p.color == about.attacker]
        hold(len(about.after.piece_map()) == len(lone) + 1, "nothing but the king is mated")
        hold(sorted(man for man in lone if man != chess.KING) in NEEDING, "men that mate on the edge only")
    if "the one step" in found[0]:
        goals = [m.to_square for m in about.before.legal_moves if m.from_square == about.move.from_square]
        hold([g for g in goals if edge(g)] == [about.move.to_square], "the only way left")
    return hold(holds[found[0].split()[0]], found[0])


def _from_corner(found: Found, about: Spoken) -> int:
    good = [chess.parse_square(name) for name in mating_corners(about.after, about.attacker)]
    was, now = (min(far(s, c) for c in good) for s in (about.move.from_square, about.move.to_square))
    named = not found["corner"] or found["corner"] in mating_corners(about.after, about.attacker)
    away = "nearer" not in found[0]
    return hold(named and (now > was) == away and now != was, found[0])


def _check(found: Found, about: Spoken) -> int:
    return hold(about.after.is_check(), "check")


def _one_way(found: Found, about: Spoken) -> int:
    reply, replies = legal(about.after, found["reply"]), list(about.after.legal_moves)
    wins = [move for move in replies if about.told.outcome(then(about.after, move)) < 0]
    return 1 + hold(about.after.is_check() and wins == [reply] != replies, found[0])


def _one_winning(found: Found, about: Spoken) -> int:
    wins = [m for m in about.after.legal_moves if about.told.outcome(then(about.after, m)) < 0]
    hold(wins == [legal(about.after, found["reply"])], f"{found['reply']} alone wins")
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose move")
    if not found["man"]:
        return 2
    near = [s for s in about.after.attacks(about.move.to_square) if about.after.color_at(s) == about.attacker]
    return 3 * hold(kind(found["man"]) in [about.after.piece_type_at(s) for s in near], found[0])


def _within(found: Found, about: Spoken) -> int:
    rank = chess.square_rank(about.move.to_square)
    hold(about.before.piece_type_at(about.move.from_square) == chess.PAWN, "a pawn")
    if found["left"] is None:
        return 1
    return hold(_WORDS[found["left"]] == (7 - rank if about.before.turn else rank), found[0])


def _kept(about: Spoken, square: int) -> int:
    """Hold that no check hits a man as well so that it is taken for nothing whatever the reply."""
    for check in list(about.after.legal_moves):
        there = then(about.after, check)
        if not there.is_check() or not there.attackers(about.attacker, square):
            continue
        replies = [then(there, reply) for reply in there.legal_moves]
        lost = [any(_for_nothing(board, move, square) for move in board.legal_moves) for board in replies]
        hold(not all(lost) or not lost, f"{about.after.san(check)} wins the man on {chess.square_name(square)}")
    return 1


def _for_nothing(board: chess.Board, move: chess.Move, square: int) -> bool:
    if move.to_square != square or board.color_at(square) != (not board.turn):
        return False
    return all(reply.to_square != square for reply in then(board, move).legal_moves)


def _taken_in_vain(found: Found, about: Spoken) -> int:
    """Hold what is taken, whether it is guarded, and that a pawn alone is left and wins."""
    there = about.after
    hold(about.before.piece_type_at(about.move.to_square) == kind(found["man"]), found[0])
    back = any(reply.to_square == about.move.to_square for reply in there.legal_moves)
    hold(back != bool(found["loose"]), f"{found[0]}: guarded")
    left = [man.piece_type for man in there.piece_map().values() if man.color == about.attacker]
    return 3 + hold(sorted(left) == [chess.PAWN, chess.KING] and about.told.outcome(there) > 0, found[0])


def _hits_and_helps(found: Found, about: Spoken) -> int:
    """Hold that the king comes to attack a man that nobody guards, and helps its own."""
    from tests.witness.deeds import deed

    at, mover = chess.parse_square(found["at"]), about.before.turn
    hold(about.after.piece_at(at) == chess.Piece(kind(found["hit"]), not mover), found[0])
    hold(far(about.move.to_square, at) == 1 < far(about.move.from_square, at), "it comes to it")
    hold(not is_guarded(about.after, at, not mover), "nobody guards it")
    return 3 + deed(found["help"], about)


def _own_man(found: Found, about: Spoken) -> int:
    count = men_stand(f"{found['man']} on {found['square']}", about.after, about.before.turn)
    square, king = chess.parse_square(found["square"]), about.move.to_square
    count += _kept(about, square)
    if found[0].startswith("guards"):
        return count + hold(is_guarded(about.after, square, about.before.turn), "guarded")
    return count + hold(far(king, square) < far(about.move.from_square, square), "nearer")


def saved(man: str, about: Spoken) -> int:
    """Hold that the man that moved was attacked and is no longer, nor lost to a check that hits it as well."""
    was, now, mover = about.move.from_square, about.move.to_square, about.before.turn
    hold(is_guarded(about.before, was, not mover) and not is_guarded(about.after, now, not mover), "out of the attack")
    return hold(about.before.piece_type_at(was) == kind(man), "the man that moved") + _kept(about, now)


def _saved(found: Found, about: Spoken) -> int:
    now, mover, count = about.move.to_square, about.before.turn, saved(found["man"] or found["moved"], about)
    if found.groupdict().get("left"):
        rank = chess.square_rank(now)
        return count + hold(_WORDS[found["left"]] == (7 - rank if mover else rank), "squares from promotion")
    if "king" not in found[0]:
        return count
    return count + hold((far(now, their(about, about.after)) > 3) == bool(found["steps"]), "steps from its king")


def _at_pawn(found: Found, about: Spoken) -> int:
    square = chess.parse_square(found["square"])
    count = men_stand(f"pawn on {found['square']}", about.after, not about.before.turn)
    was, now = about.move.from_square, about.move.to_square
    if found[0].startswith("goes"):
        hold("square" not in found[0] or _inside(about) == ("inside" in found[0]), "the square of the pawn")
        return count + hold(far(now, square) < far(was, square), "nearer")
    _, goal = pawn_and_goal(about)
    if found[0].startswith("gets"):
        return count + hold(now % 8 == square % 8 and far(now, goal) < far(square, goal), "in front")
    hold("caught" not in found[0] or _inside(about), "alone it would be caught")
    return count + hold(far(now, goal) <= far(square, goal) < far(was, goal), "in the square")


def _inside(about: Spoken) -> bool:
    """Whether the king is inside the square of the pawn, the pawn to move; a double step is one move."""
    pawn, goal = pawn_and_goal(about)
    left = far(pawn, goal) - (pawn // 8 == (1 if about.attacker else 6))
    return far(their(about, about.after), goal) <= left


def _late(found: Found, about: Spoken) -> int:
    pawn, goal = pawn_and_goal(about)
    left, steps = far(pawn, goal) - (pawn // 8 == (1 if about.attacker else 6)), far(their(about, about.after), goal)
    hold(steps > left and (found["side"] is not None or left == 1), found[0])
    hold(found["side"] is None or found["side"] == ("Black" if about.attacker else "White"), "whose king")
    way = [s for s in about.after.piece_map() if s % 8 == pawn % 8 and far(s, goal) < far(pawn, goal)]
    return 2 + _longest(found, about) + hold(not way, "nobody in its way")


def _gives_up(found: Found, about: Spoken) -> int:
    """Hold that the man is taken soon, and that other steps guard it where no best reply takes it, and are shorter."""
    ((square, piece),) = [
        (s, p)
        for s, p in about.after.piece_map().items()
        if p.color == about.before.turn and p.piece_type != chess.KING
    ]
    hold(piece.piece_type == kind(found["man"]), found[0])
    for name in moves_in(found["others"]):
        there = then(about.before, legal(about.before, name))
        hold(far(their(about, there), square) == 1 and lasts(about, there) < lasts(about, about.after), name)
        hold(all(chess.parse_square(m[2:4]) != square for m in quickest(there, about.told)), f"{name} keeps it")
    return len(moves_in(found["others"])) + _longest(found, about)


def _guarded(found: Found, about: Spoken) -> int:
    """Hold that the king stands beside its man, and does so after no defence that is shorter."""
    boards = [about.after, *(then(about.before, move) for move in about.before.legal_moves)]
    shorter = [there for there in boards if lasts(about, there) < lasts(about, about.after)]
    return (
        1
        + hold(_beside_king(about.after, about) == [kind(found["man"])], found[0])
        + sum(hold(not _beside_king(there, about), f"{found[0]}: so it is after a shorter one") for there in shorter)
    )


def _beside_king(board: chess.Board, about: Spoken) -> list[chess.PieceType]:
    king, own = their(about, board), [(s, p) for s, p in board.piece_map().items() if p.color != about.attacker]
    return [man.piece_type for square, man in own if man.piece_type != chess.KING and far(square, king) == 1]


def _shortcoming(found: Found, about: Spoken) -> int:
    faults: dict[str, Callable[[int, int], bool]] = {
        "corner": lambda was, now: now in (0, 7, 56, 63),
        "edge": lambda was, now: edge(now) == 0 and ("stays" in found["how"]) == (edge(was) == 0),
        "centre": lambda was, now: _middle(now) > _middle(was),
    }
    last = found["how"].split()[-1]
    if last in ("bishop", "knight"):
        (man,) = about.before.pieces(kind(last), not about.before.turn)
        hold(not any(far(man, king) < 2 for king in about.before.pieces(chess.KING, not about.before.turn)), found[0])
        faults[last] = lambda was, now: far(man, now) > far(man, was)
    has = faults[last]
    hold(has(about.move.from_square, about.move.to_square), found[0])
    mine, names = lasts(about, about.after), moves_in(found["better"])
    for name in names:
        move = legal(about.before, name)
        hold(lasts(about, then(about.before, move)) == mine + 2, f"{name} lasts a move longer")
        hold(not has(move.from_square, move.to_square), found[0])
    return 1 + len(names)


def _middle(square: int) -> int:
    return abs(2 * (square % 8) - 7) + abs(2 * (square // 8) - 7)


def _room(found: Found, about: Spoken) -> int:
    rooms = []
    for move in about.before.legal_moves:
        if about.before.piece_type_at(move.from_square) == chess.KING:
            rooms.append(size(then(about.before, move), about))
    hold(size(about.after, about) == max(rooms) > min(rooms), "most room")
    if not found.groupdict().get("n"):
        return 1
    return 1 + hold((int(found["n"]), int(found["least"])) == (max(rooms), min(rooms)), found[0]) * 2


def _escapes(found: Found, about: Spoken) -> int:
    if "mate" in found["place"]:
        hold(not any(then(about.after, move).is_checkmate() for move in about.after.legal_moves), "no mate at once")
    if not found["other"]:
        return 1
    there = then(about.before, legal(about.before, found["other"]))
    hold("mate" in found["place"] or opposition(there) == "direct", "in opposition")
    return 1 + hold(then(there, legal(there, found["mate"])).is_checkmate(), found[0])


def _from_king(found: Found, about: Spoken) -> int:
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose king")
    others = [m for m in about.before.legal_moves if m != about.move and m.from_square == about.move.from_square]
    return 1 + hold(all(apart(then(about.before, m)) < apart(about.after) for m in others), "farthest")


def _makes_for(found: Found, about: Spoken) -> int:
    was, now = about.move.from_square, about.move.to_square
    hold(about.after.piece_type_at(now) == chess.KING, "the king moves")
    closed, squares = shut(about.after, about.attacker), squares_in(found["squares"])
    for square in squares:
        fresh = far(square, now) == 1 < far(square, was) and square not in closed
        hold(fresh and about.after.piece_at(square) is None, f"{chess.square_name(square)} is open to the king")
    if not found["goal"]:
        return len(squares)
    aim, text = next(aim for pattern, aim in _GOALS.items() if re.fullmatch(pattern, found["goal"])), found["goal"]
    if aim == "centre":
        hold((edge(now) == 0) == ("off the edge" in text), "on the edge")
        if "mate" in text:
            stand_alone(text.removeprefix("since off the edge ").replace("two bishops", "bishop"), about)
    count = men_stand(text, about.after, about.attacker)
    target = re.search(SQUARE, text)
    rows = [(goal, serving) for a, goal, serving in goals(about.after, about.attacker) if a == aim]
    if aim == "own man":
        assert rows[0][0] is not None
        hold(about.after.piece_type_at(chess.parse_square(rows[0][0])) == kinds(text)[0], text)
    serving = [serving for goal, serving in rows if target is None or goal == target[0]]
    return count + sum(hold(any(s in way for way in serving), f"{chess.square_name(s)} {text}") for s in squares)


_GOALS = {
    rf"to attack the {MAN} on {SQUARE}": "man",
    rf"nearer to its {MAN}": "own man",
    rf"nearer to the pawn on {SQUARE}": "pawn",
    rf"on the way to {SQUARE}, the wrong corner": "wrong corner",
    rf"off the edge|since off the edge {MATING} cannot mate|nearer to the centre": "centre",
    rf"out of the corner {SQUARE}": "out of the corner",
}


def _ties(found: Found, about: Spoken) -> int:
    bare, squares = without_king(about.after, about.attacker), squares_in(found["squares"] or "")
    inside = king_range(about.after, about.attacker)
    for square in squares:
        (man,) = bare.attackers(about.attacker, square)
        hold(bare.piece_type_at(man) == kind(found["man"]), f"{found['man']} alone guards it")
        hold(far(square, about.move.to_square) == 1 and square not in inside, "next to the king")
    return len(squares) + 1


def _longest(found: Found, about: Spoken) -> int:
    mine = lasts(about, about.after)
    others = [lasts(about, then(about.before, m)) for m in about.before.legal_moves if m != about.move]
    return hold(mine > max(others) if found["best"] else mine >= max(others, default=0), "lasts longest")


def _cannot(found: Found, about: Spoken) -> int:
    what = found.groupdict().get("what")
    return _longest(found, about) + (cannot(what, about) if what else 0)


def _no_check(found: Found, about: Spoken) -> int:
    """Hold that no capture or check wins the one piece, and that one does after most other moves."""
    others = [then(about.before, move) for move in about.before.legal_moves if move != about.move]
    own = [p.piece_type for p in about.after.piece_map().values() if p.color == about.before.turn]
    hold(sorted(own) == [kind(found["man"]), chess.KING], "the one piece")
    hold(not _wins_piece(about.after), f"the {found['man']} is safe")
    best = [then(about.before, move) for move in best_replies(about.before, about)]
    steps = [_from_own_king(there, kind(found["man"]), about) for there in (about.after, *best)]
    hold(not found["near"] or max(steps) == {"beside": 1, "near": 2}[found["near"]], found[0])
    if found["but"]:
        kept = then(about.before, legal(about.before, found["but"].removeprefix(" but").strip()))
        hold(not _wins_piece(kept), f"the {found['man']} is kept too")
    if found["other"]:
        there = then(about.before, legal(about.before, found["other"]))
        check = then(there, legal(there, found["check"]))
        hold(check.is_check() and not check.is_checkmate() and not _piece_falls(there), found[0])
        hold(not any(map(check.is_capture, check.legal_moves)), f"{found['check']} costs nothing")
        hold(lasts(about, there) < lasts(about, about.after), f"{found['other']} lasts less long")
        hold(all(map(_piece_falls, (then(check, reply) for reply in check.legal_moves))), f"{found['check']} wins it")
        hold(found["check"] in map(there.san, best_replies(there, about)), f"{found['check']} is the best reply")
    lost = sum(map(_wins_piece, others))
    hold(found["all"] != "other" or len(others) == 1, "one other move")
    if found["all"]:
        return 2 + hold(lost == len(others) - bool(found["but"]), found[0])
    return 2 + hold(2 * lost - bool(found["most"]) >= len(others) + 1, found[0])


def _from_own_king(board: chess.Board, man: chess.PieceType, about: Spoken) -> int:
    (place,) = board.pieces(man, not about.attacker)
    return far(place, their(about, board))


def _wins_piece(board: chess.Board) -> bool:
    """Whether a capture wins the piece for nothing, or a check after every answer."""
    if _piece_falls(board):
        return True
    for move in board.legal_moves:
        there = then(board, move)
        if there.is_check() and not there.is_checkmate() and not board.is_capture(move):
            answers = [then(there, answer) for answer in there.legal_moves]
            hits = [s for s, p in there.piece_map().items() if p.color == there.turn and p.piece_type != chess.KING]
            costs = any(map(there.is_capture, there.legal_moves))
            if not costs and there.attackers(board.turn, hits[0]) and all(map(_piece_falls, answers)):
                return True
    return False


def _piece_falls(board: chess.Board) -> bool:
    takes = [move for move in board.legal_moves if board.is_capture(move)]
    return any(all(reply.to_square != m.to_square for reply in then(board, m).legal_moves) for m in takes)


def _as_long_as_any(found: Found, about: Spoken) -> int:
    hold(found["side"] == ("White" if about.attacker else "Black"), "whose move")
    there = then(about.after, legal(about.after, found["reply"]))
    left = about.told.mate_plies(about.after)
    hold(
        about.told.outcome(there) < 0 and about.told.mate_plies(there) == (left or 0) - 1, f"{found['reply']} is quick"
    )
    return 1 + _longest(found, about)


def _longer_than(found: Found, about: Spoken) -> int:
    count = hold(
        lasts(about, about.after) >= max(lasts(about, then(about.before, m)) for m in about.before.legal_moves), ""
    )
    if found["given"]:
        there = about.move.to_square
        hold(about.after.piece_type_at(there) == kind(found["given"]), found[0])
        taken = [then(about.after, m) for m in about.after.legal_moves if m.to_square == there]
        free = [b for b in taken if all(m.to_square != there for m in b.legal_moves)]
        count += hold(bool(free), f"the {found['given']} can be taken for nothing")
    return count + denials(found["rest"].replace(", which ", " ", 1), about)


def _beside_another(found: Found, about: Spoken) -> int:
    other = legal(about.before, found["other"])
    hold(lasts(about, then(about.before, other)) < lasts(about, about.after), found[0])
    return 1 + (beside_one(found["trait"], about, other) or hold(False, found[0]))


#: How the longest defences differ from the rest, by the trait of the witness.
_TRAITS = {
    rf"keeps king and {MAN} together": "together",
    rf"keeps the {MAN} (?:beside|near) its king": "together",
    rf"keeps the {MAN} nearer to its king": "together",
    r"keeps away from the corners of the bishop's colour(?:, where mate is forced)?": "right corner",
    r"(?:keeps (?:out of|away from)|leaves) the corner(?:, where it has fewest squares)?": "corner",
    rf"keeps away from {_THEIRS}(?:, (?:without which {MATING} cannot mate|which must come to help))?": "apart",
    rf"(?:keeps off|leaves) the edge(?:, (?:since {MATING} mates? only there|where it can be mated))?": "centre",
    rf"stays nearest the centre(?:, since {MATING} mates? only on the edge)?": "centre",
    r"stays nearest the centre, away from the edge(?:, where it can be mated)?": "centre",
    rf"stays close to {_THEIRS} and bars its way": "close",
    rf"keeps (?:nearest|nearer) to {SQUARE}, where the pawn promotes(?:, than any shorter move)?": "promotion",
    rf"keeps the {MAN} far from {_THEIRS}, out of its reach": "away",
    rf"keeps {_THEIRS} from coming nearer": "close",
    r"gives the king (?:the most|more) room off the edge(?: than any shorter defence)?": "room",
    rf"keeps nearest to the unguarded {MAN} on {SQUARE}": "loose",
}


def _stands_out(found: Found, about: Spoken, shorter: chess.Move | None = None) -> int:
    """Hold that the trait tells the longest defences from all others, or from one, and that it is told as it is."""
    text, told = found[0], stands_out.separating(about.before, about.move, about.attacker, about.told, shorter)
    name = next(trait for pattern, trait in _TRAITS.items() if re.fullmatch(pattern, text))
    if told is None or told[0] != name:
        hold(name == "centre", text)
        return _edge(found, about)
    _, least, most = told
    numbers = [int(n) for n in re.findall(r"(?<![a-h])\d+", text)]
    hold(not numbers or numbers == [least, most], text)
    side = "White" if about.attacker else "Black"
    hold("'s king" not in text or f"{side}'s king" in text, "whose king")
    hold("out of the corner" not in text or most == 0, text)
    if name in ("together", "away"):
        own = [
            s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING
        ]
        hold(all(_kept(about, square) for square in own), text)
    if name == "centre":
        start = edge(about.move.from_square) if about.before.kings & (1 << about.move.from_square) else 1
        hold(re.match("keeps off|leaves", text) is None or (start == 0) == text.startswith("leaves"), text)
        hold(re.match("keeps off|leaves", text) is None or (least[0] > 0 == most[0]), text)  # type: ignore[index]
    lone = re.search(rf"(?:since|without which) ({MATING})", text)
    if lone is not None:
        stand_alone(f"{lone[1].replace('two bishops', 'bishop')} cannot mate", about)
    man = re.search(rf"(?:king and|the) ({MAN}) (?:together|nearer|far)", text)
    if man is not None:
        hold(
            kind(man[1]) in [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker], text
        )
    loose = re.search(rf"unguarded ({MAN} on {SQUARE})", text)
    hold(loose is None or men_stand(loose[1], about.after, about.attacker) > 0, text)
    hold("the most" not in text or stands_out.most_room(about.before, about.move, about.attacker), text)
    goal = re.search(rf"nearest to ({SQUARE})", text)
    hold(goal is None or chess.parse_square(goal[1]) == pawn_and_goal(about)[1], text)
    return 1 + len(numbers)


def beside_one(text: str, about: Spoken, shorter: chess.Move) -> int:
    """Return the claims of what tells the longest defence from a single shorter one, 0 where it is no such text."""
    found = next((m for pattern in _TRAITS if (m := re.fullmatch(pattern, text))), None)
    of_one = stands_out.separating(about.before, about.move, about.attacker, about.told, shorter)
    of_all = stands_out.separating(about.before, about.move, about.attacker, about.told)
    if found is None or of_one is None or (of_all is not None and (of_all[0] != "close" or "close" in text)):
        return 0  # of a king that faces nobody it is not told that it is close
    return _stands_out(found, about, shorter)


#: Said of a move that lasts longer than every other.
_BEST = "(?:(?P<best>holds out longest), but )?"
DEFENCES: tuple[tuple[str, Reader], ...] = (
    *((pattern, _stands_out) for pattern in _TRAITS),
    (rf"(?:gives up the (?P<given>{MAN}), but )?holds out longer than (?P<rest>{SAN}, which .*)", _longer_than),
    (rf"holds out longer than (?P<other>{SAN}): it (?P<trait>.*)", _beside_another),
    (
        rf"{_BEST}cannot stop the pawn: (?:(?P<side>White|Black)'s king is outside its square|it promotes next move)",
        _late,
    ),
    (
        r"(?P<how>goes (?:into the corner|to the edge|away from the (?:centre|bishop|knight))|stays on the edge)"
        rf"; (?P<better>{SANS}) lasts? a move longer",
        _shortcoming,
    ),
    (
        rf"{_BEST}(?P<what>(?:cannot|(?:loses|gives up) the {MAN}: {SAN} takes|gives up the {MAN}: nothing guards|"
        r"does not stop|cannot hold out long:|stays (?:on|off|near)|goes to the edge, and) .*)",
        _cannot,
    ),
    (
        rf"(?:(?P<best>holds out longest), though it )?gives up the (?P<man>{MAN}): (?P<others>{SANS}) guards? it, "
        r"but (?:is|are) mated sooner",
        _gives_up,
    ),
    (r"(?P<best>holds out longest), but (?P<what>(?:White|Black)'s king (?:closes in|comes to help) .*)", _cannot),
    (rf"keeps its (?P<man>{MAN}) guarded", _guarded),
    (rf"(?P<best>holds out longest); (?P<side>White|Black) now plays (?P<reply>{SAN})", _as_long_as_any),
    (rf"(?P<best>)lasts as long as any move; (?P<side>White|Black) now plays (?P<reply>{SAN})", _as_long_as_any),
    (
        rf"keeps the (?P<man>{MAN})(?: (?P<near>beside|near) its king| where no check wins it)?"
        rf": (?:half the|(?P<most>most)|(?P<all>all other)) moves(?P<but> but {SAN})? lose it(?: at once)?"
        rf"(?:, as (?P<other>{SAN}) does to (?P<check>{SAN}))?",
        _no_check,
    ),
    (
        rf"keeps the (?P<man>{MAN})(?: (?P<near>beside|near) its king| where no check wins it)?"
        rf": (?P<all>only)(?P<but> {SAN}) keeps it too(?P<most>)(?P<other>)(?P<check>)",
        _no_check,
    ),
    (
        rf"keeps the (?P<man>{MAN})(?: (?P<near>beside|near) its king| where no check wins it)?"
        r": the (?P<all>other) move"
        rf"(?P<but>)(?P<most>)(?:, (?P<other>{SAN}),)? loses it (?:at once|to (?P<check>{SAN}))",
        _no_check,
    ),
    (r"(?P<best>holds out longest)", _cannot),
    (rf"steps through the hole (?P<hole>{SQUARE})", _through_hole),
    (rf"heads for the hole (?P<hole>{SQUARE})", _through_hole),
    (rf"sets a trap(?:: (?P<moves>{SANS}) would be stalemate)?", _stalemate_trap),
    (
        rf"runs for (?:the (?P<man>{MAN}) on )?(?P<corner>{SQUARE})(?:, the corner where no mate can be forced)?",
        _wrong_corner,
    ),
    (
        r"goes into the corner where no mate can be forced(?P<corner>)",
        _wrong_corner,
    ),
    (
        r"(?:leaves|keeps off|is the one step (?:that keeps )?off) the edge"
        rf"(?:, (?:since|and) {MATING} mates? only there|, where it can be mated)?",
        _edge,
    ),
    (rf"heads for the centre(?:, since {MATING} mates? only on the edge|, where it is hardest to drive)?", _edge),
    (r"goes (?:to|towards) the edge of its own accord", _edge),
    (rf"gets away from (?:the corners|(?P<corner>{SQUARE})), where mate is forced", _from_corner),
    (rf"goes nearer to (?:a right corner|(?P<corner>{SQUARE})), where mate is forced", _from_corner),
    (r"gives check and gains time", _check),
    (rf"gives check, and only (?P<reply>{SAN}) wins", _one_way),
    (
        rf"(?:attacks the (?P<man>{MAN}) and )?leaves (?P<side>White|Black) one winning move, (?P<reply>{SAN})",
        _one_winning,
    ),
    (rf"runs, {_LEFT} from promotion", _within),
    (rf"brings the pawn to within {_LEFT} of promotion", _within),
    (r"promotes", lambda f, a: hold(a.move.promotion is not None, "promotes")),
    (rf"takes the (?P<loose>loose )?(?P<man>{MAN}), but the pawn still wins", _taken_in_vain),
    (rf"guards its (?P<man>{MAN}) on (?P<square>{SQUARE})", _own_man),
    (
        rf"(?:saves the (?P<man>pawn)|gets the (?P<moved>pawn) away for now)(?:, {_LEFT} from promotion)?(?P<steps>)",
        _saved,
    ),
    (
        rf"saves the (?P<man>{MAN})"
        r"(?:: it stands next to its king|, though it stands (?P<steps>far) from its king)?",
        _saved,
    ),
    (
        rf"attacks the (?P<hit>{MAN}) on (?P<at>{SQUARE}) and (?P<help>comes to the help of its {MAN} on {SQUARE})",
        _hits_and_helps,
    ),
    (
        rf"comes to the help of its (?P<man>{MAN}) on (?P<square>{SQUARE})"
        rf"(?:, since king and {MAN} must stay together)?",
        _own_man,
    ),
    (
        rf"(?:gets in front of|steps into the square of|goes for) the pawn on (?P<square>{SQUARE})"
        r"(?:, inside its square(?:: (?:White|Black)'s king must help it)?|, where it is hardest to pass"
        r"|: the king belongs in front of it|: left alone the pawn would be caught)?",
        _at_pawn,
    ),
    (r"keeps the most room in its cage: (?P<n>\d+) squares?, elsewhere (?P<least>\d+)", _room),
    (r"keeps the most room(?: in its cage|: other steps let a part of the board be shut off)?", _room),
    (
        r"(?P<place>avoids mate on the next move)(?:, since (?P<other>{SAN}) runs into (?P<mate>{SAN}))?".replace(
            "{SAN}", SAN
        ),
        _escapes,
    ),
    (rf"stays out of (?P<place>the opposition)(?:: (?P<other>{SAN}) would allow (?P<mate>{SAN}))?", _escapes),
    (
        rf"keeps farthest from (?P<side>White|Black)'s king(?:, without which {MATING} cannot mate)?",
        _from_king,
    ),
    (rf"makes for (?P<squares>{SQUARES})(?:, (?P<goal>.*))?", _makes_for),
    (rf"ties the (?P<man>{MAN}) down(?:: it alone holds (?P<squares>{SQUARES}))?", _ties),
)

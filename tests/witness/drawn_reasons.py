"""The reasons for a draw worked out anew from piece maps and move lists, each as plainly as can be.

`is_drawn` tells of a position, the stronger side to move, that it does not win. `claims` returns what holds on the
board, by the name of the reason, in the data the program gives: squares by name.
"""

from __future__ import annotations

from collections.abc import Callable

import chess

Data = dict[str, object]
Drawn = Callable[[chess.Board], bool]


def _side(board: chess.Board, colour: bool) -> tuple[str, dict[str, list[int]]]:
    """Return a side's letters without the king, in the order pnbrq, and its squares by letter."""
    found: dict[str, list[int]] = {}
    for square in range(64):
        piece = board.piece_at(square)
        if piece is not None and piece.color == colour:
            found.setdefault(piece.symbol().lower(), []).append(square)
    return "".join(letter * len(found.get(letter, ())) for letter in "pnbrq"), found


def _xy(square: int) -> tuple[int, int]:
    return square % 8, square // 8


def _steps(a: int, b: int) -> int:
    return max(abs(_xy(a)[0] - _xy(b)[0]), abs(_xy(a)[1] - _xy(b)[1]))


def _goal(pawn: int, white: bool) -> int:
    return pawn % 8 + (56 if white else 0)


def _to_go(square: int, white: bool) -> int:
    return 7 - square // 8 if white else square // 8


def _light(square: int) -> bool:
    return sum(_xy(square)) % 2 == 1


def _name(square: int) -> str:
    return "abcdefgh"[square % 8] + "12345678"[square // 8]


def claims(board: chess.Board, white: bool, is_drawn: Drawn) -> dict[str, Data]:
    """Return every reason that holds on a drawn board, `white` telling who has the stronger men."""
    own, mine = _side(board, white)
    theirs, his = _side(board, not white)
    king, foe = mine["k"][0], his["k"][0]
    to_move = board.turn == white
    found: dict[str, Data] = {}
    if not list(board.legal_moves) and not board.is_check():
        found["stalemated"] = {"king": _name(king if to_move else foe)}
    found.update(_men_alone(own, theirs, mine))
    found.update(_falls(board, to_move, is_drawn))
    if not theirs and not to_move:
        found.update(_caught(board, is_drawn))
    found.update(_own_pawn(own, theirs, mine, king, foe, white, to_move, board))
    found.update(_their_pawn(own, theirs, mine, his, king, foe, white, to_move, board, is_drawn))
    if own == "r" and theirs in ("n", "b"):
        (minor,) = his[theirs]
        rim = min(foe // 8, 7 - foe // 8, foe % 8, 7 - foe % 8)
        found["minor_holds_rook"] = {"minor": {"n": "knight", "b": "bishop"}[theirs], "square": _name(minor)} | {
            "king_steps": _steps(minor, foe),
            "from_edge": rim,
            "kings_apart": _steps(king, foe),
        }
        found["minor_holds_rook"] |= (
            _on_the_edge(board, white, foe, minor, is_drawn) if not rim else {"off_edge": [], "between": []}
        )
        found["minor_holds_rook"] |= _double(board, white, to_move, is_drawn)
        if theirs == "n" and _steps(his["n"][0], foe) == 1:
            found["knight_beside_king"] = {"knight": _name(his["n"][0])}
        if theirs == "b" and _steps(king, foe) < 3:
            for corner in (0, 7, 56, 63):
                if _steps(foe, corner) < 2 and _light(corner) != _light(his["b"][0]):
                    found.setdefault("safe_corner", {"corner": _name(corner)})
    return found


def _lines(board: chess.Board, rook: int) -> list[list[int]]:
    """Return the men on each of a rook's four lines, the nearest first."""
    found = []
    for step in (1, -1, 8, -8):
        line, square = [], rook + step
        while 0 <= square < 64 and _steps(square, square - step) == 1:
            if board.piece_at(square) is not None:
                line.append(square)
            square += step
        found.append(line)
    return found


def _doubled(board: chess.Board, white: bool) -> bool:
    """Whether the rook hits both men of the other side, one behind the other too."""
    (rook,) = board.pieces(chess.ROOK, white)
    both = [square for square in chess.SQUARES if board.color_at(square) == (not white)]
    hit = [square for line in _lines(board, rook) for square in _hit(board, line, both)]
    return len(both) == 2 and sorted(hit) == both


def _double(board: chess.Board, white: bool, to_move: bool, is_drawn: Drawn) -> Data:
    """Return the first double attack of the rook that is not taken, and what meets it."""
    found: Data = {"looked_ahead": to_move, "double": None, "answer": None, "guards": False}
    moves = []
    for move in board.legal_moves if found["looked_ahead"] and not _doubled(board, white) else []:
        if board.piece_type_at(move.from_square) == chess.KING:
            continue
        after = board.copy(stack=False)
        after.push(move)
        if _doubled(after, white) and move.to_square not in [r.to_square for r in after.legal_moves]:
            moves.append(move.uci())
    if not moves:
        return found
    double = min(moves)
    there = board.copy(stack=False)
    there.push_uci(double)
    replies = []
    for reply in there.legal_moves:
        after = there.copy(stack=False)
        after.push(reply)
        if is_drawn(after):
            king = after.king(not white)
            other = [s for s in chess.SQUARES if after.color_at(s) == (not white) and s != king]
            assert king is not None
            replies.append((not [s for s in other if _steps(s, king) == 1], reply.uci()))
    answer = min(replies, default=(True, None))
    return found | {"double": double, "answer": answer[1], "guards": not answer[0]}


def _hit(board: chess.Board, line: list[int], both: list[int]) -> list[int]:
    """Return the men hit on a line: the nearest, and the one behind it if both are the other side's."""
    return line[:2] if set(line[:2]) <= set(both) else [s for s in line[:1] if s in both]


def _on_the_edge(board: chess.Board, white: bool, foe: int, minor: int, is_drawn: Drawn) -> Data:
    """Return where the king steps off the edge, and where its man could stand between it and the rook."""
    bare = board.copy()
    bare.remove_piece_at(foe)
    off, between = [], []
    for square in range(64):
        file, rank = _xy(square)
        if _steps(square, foe) != 1:
            continue
        if 0 < file < 7 and 0 < rank < 7:
            if board.color_at(square) == (not white) or bare.is_attacked_by(white, square):
                continue
            passed = board.copy(stack=False)
            passed.turn = not white
            passed.ep_square = None
            passed.push(chess.Move(foe, square))
            if is_drawn(passed):
                off.append(_name(square))
        elif _name(square) in ("a1", "a8", "h1", "h8") or board.color_at(square) == white:
            continue
        elif square == minor or square in board.attacks(minor):
            between.append(_name(square))
    return {"off_edge": sorted(off), "between": sorted(between)}


def _men_alone(own: str, theirs: str, mine: dict[str, list[int]]) -> dict[str, Data]:
    full = {"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen"}
    found: dict[str, Data] = {}
    if own == theirs and own in full and own != "p":
        found["equal_men"] = {"man": full[own]}
    one_colour = own == "bb" and len({_light(square) for square in mine["b"]}) == 1
    weak = theirs == "" and (own in ("", "n", "b", "nn") or one_colour)
    if weak or (own in ("", "n", "b") and theirs in ("n", "b")):
        possible = own == "nn" or (theirs != "" and (own, theirs) != ("b", "b"))
        found["too_few_men"] = {"men": [full[letter] for letter in own], "possible": possible}
    return found


def _caught(board: chess.Board, is_drawn: Drawn) -> dict[str, Data]:
    for square in chess.SQUARES:
        for move in board.legal_moves:
            if move.to_square == square and not board.is_capture(move):
                after = board.copy()
                after.push(move)
                falls = _falls(after, True, is_drawn)
                if falls:
                    falls["man_falls"].pop("capture")
                    return {"man_caught": {**falls["man_falls"], "step": _name(square)}}
    return {}


def _falls(board: chess.Board, to_move: bool, is_drawn: Drawn) -> dict[str, Data]:
    def captures(position: chess.Board) -> list[tuple[int, str]]:
        found = []
        for move in position.legal_moves:
            if position.is_capture(move):
                victim = position.piece_type_at(move.to_square) or chess.PAWN
                after = position.copy()
                after.push(move)
                if is_drawn(after):
                    found.append((victim, move.uci()))
        return found

    if not to_move:
        at_once = captures(board)
        best = max((kind for kind, _ in at_once), default=0)
        moves = [uci for kind, uci in at_once if kind == best]
        told: Data = {"man": chess.PIECE_NAMES[best], "capture": moves, "stalemates": False}
        return {"man_falls": told} if at_once else {}
    kinds, stalemates = set[int](), False
    for move in board.legal_moves:
        after = board.copy()
        after.push(move)
        best = max((kind for kind, _ in captures(after)), default=0)
        if best:
            kinds.add(best)
        elif list(after.legal_moves) or after.is_check():
            return {}
        else:
            stalemates = True
    if not kinds:
        return {}
    man = chess.PIECE_NAMES[kinds.pop()] if len(kinds) == 1 else None
    return {"man_falls": {"man": man, "capture": [None], "stalemates": stalemates}}


def _own_pawn(
    own: str,
    theirs: str,
    mine: dict[str, list[int]],
    king: int,
    foe: int,
    white: bool,
    to_move: bool,
    board: chess.Board,
) -> dict[str, Data]:
    if own not in ("p", "pb", "pn") or theirs:
        return {}
    pawn = mine["p"][0]
    goal, rooks = _goal(pawn, white), pawn % 8 in (0, 7)
    found: dict[str, Data] = {}
    if own == "pb" and rooks and _light(goal) != _light(mine["b"][0]):
        near = _steps(foe, goal)
        if near < 2 or near <= _steps(king, goal):
            found["wrong_rooks_pawn"] = {"corner": _name(goal), "arrived": near < 2}
    if own == "pn" and rooks and _to_go(pawn, white) == 1 and _steps(foe, goal) < 2:
        found["knight_frozen"] = {"pawn": _name(pawn), "knight": _name(mine["n"][0]), "corner": _name(goal)}
    if own != "p":
        return found
    way = [pawn % 8 + 8 * row for row in range(8) if _to_go(row * 8, white) < _to_go(pawn, white)]
    if king not in way:
        moves = 5 if _to_go(pawn, white) == 6 else _to_go(pawn, white)
        if _steps(foe, goal) <= (moves if to_move else moves + 1):
            found["inside_the_square"] = {
                "pawn": _name(pawn),
                "pawn_moves": moves,
                "king_steps": _steps(foe, goal),
            }
    before = foe in way and _to_go(pawn, white) - _to_go(foe, white) in (1, 2)
    corner = rooks and _steps(foe, goal) < 2
    shut = rooks and king in way and abs(foe % 8 - king % 8) == 2 and abs(foe // 8 - king // 8) < 2
    opposite = sorted((abs(foe % 8 - king % 8), abs(foe // 8 - king // 8))) == [0, 2]
    ahead = _to_go(foe, white) <= _to_go(king, white) < _to_go(pawn, white)
    if before or corner or shut or (opposite and to_move and ahead):
        found["king_before_pawn"] = {
            "square": _name(foe),
            "rooks_pawn": corner,
            "has_opposition": opposite and to_move,
            "shut_in": shut,
        }
    return found


def _pawn_taken(board: chess.Board, minor: str) -> str | None:
    """Return the man that takes the pawn for nothing: the other king then takes nothing."""
    kinds = set()
    for move in board.legal_moves:
        if board.is_capture(move):
            after = board.copy()
            after.push(move)
            if not any(after.is_capture(reply) for reply in after.legal_moves):
                kinds.add(board.piece_type_at(move.from_square))
    if chess.KING in kinds and len(kinds) == 1:
        return "king"
    return {"n": "knight", "b": "bishop"}[minor] if kinds else None


def _comes(board: chess.Board, move: chess.Move, pawn: int) -> bool:
    """Whether a man goes where nothing takes it and guards a square of a way, or stands there."""
    after, goal, down = board.copy(), move.to_square, board.turn == chess.WHITE
    after.push(move)
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s < pawn if down else s > pawn)]
    way = [s for s in way if s != _stepped_over(after, pawn)]
    reached = [square for square in way if square == goal or square in after.attacks(goal)]
    return bool(reached) and goal not in [reply.to_square for reply in after.legal_moves]


def _stepped_over(board: chess.Board, pawn: int) -> int | None:
    """Return the square that a pawn at home would go over by a double step for which there is room."""
    up = 8 if board.color_at(pawn) == chess.WHITE else -8
    home = pawn // 8 == (1 if up > 0 else 6)
    free = home and board.piece_at(pawn + up) is None and board.piece_at(pawn + 2 * up) is None
    return pawn + up if free else None


def _their_pawn(
    own: str,
    theirs: str,
    mine: dict[str, list[int]],
    his: dict[str, list[int]],
    king: int,
    foe: int,
    white: bool,
    to_move: bool,
    board: chess.Board,
    is_drawn: Drawn,
) -> dict[str, Data]:
    if theirs != "p":
        return {}
    pawn = his["p"][0]
    goal, to_go = _goal(pawn, not white), _to_go(pawn, not white)
    way = [pawn % 8 + 8 * row for row in range(8) if _to_go(row * 8, not white) <= to_go]
    found: dict[str, Data] = {}
    if own == "q" and to_go == 1 and pawn % 8 in (0, 2, 5, 7) and _steps(foe, goal) < 2:
        corner = goal // 8 * 8 + (0 if pawn % 8 < 4 else 7)
        found["pawn_on_the_seventh"] = {
            "pawn": _name(pawn),
            "bishops_pawn": pawn % 8 in (2, 5),
            "corner": _name(corner),
            "king_far": _steps(king, goal) >= 5,
        }
    if own == "r" and _steps(king, goal) > to_go:
        found["pawn_supported"] = {"pawn": _name(pawn), "ranks_to_go": to_go, "king_steps": _steps(king, goal)}
        found["pawn_supported"]["led"] = any(_steps(foe, square) < 2 for square in way)
    if own in ("n", "b"):
        minor = mine[own][0]
        held = sorted(s for s in way if s != pawn and (s == minor or s in board.attacks(minor)))
        held = [s for s in held if s != _stepped_over(board, pawn)]
        found["minor_stops_pawn"] = {
            "minor": {"n": "knight", "b": "bishop"}[own],
            "held": [_name(square) for square in held],
            "king_near": _steps(king, goal) <= to_go + to_move and _steps(foe, goal) > _steps(king, goal),
            "takes": _pawn_taken(board, own) if to_move else None,
            "gives": to_move and pawn in [m.to_square for m in board.legal_moves if m.from_square == minor],
            "comes": sorted(
                move.uci()
                for move in board.legal_moves
                if to_move and move.from_square == minor and _comes(board, move, pawn)
            ),
            "king_alone": _king_alone(board, minor, to_move, is_drawn),
        }
    if own == "p" and not to_move:
        runner = mine["p"][0]
        catch = _goal(runner, white)
        if _steps(foe, catch) > _to_go(runner, white):
            both = [
                move.to_square
                for move in board.legal_moves
                if move.from_square == foe
                and _steps(move.to_square, catch) < _steps(foe, catch)
                and _steps(move.to_square, goal) < _steps(foe, goal)
            ]
            if both:
                found["both_aims"] = {"side": not white, "steps": [_name(square) for square in sorted(both)]}
    return found


def _king_alone(board: chess.Board, minor: int, to_move: bool, is_drawn: Drawn) -> bool:
    """Return whether the pawn does not win once the piece is gone."""
    men = {square: piece for square, piece in board.piece_map().items() if square != minor}
    bare = chess.Board(None)
    bare.set_piece_map(men)
    bare.turn = board.turn
    if not to_move:
        return is_drawn(bare)
    moves = list(bare.legal_moves)
    if not moves:
        return not bare.is_check()
    for move in moves:
        bare.push(move)
        holds = len(bare.piece_map()) == 2 or is_drawn(bare)
        bare.pop()
        if holds:
            return True
    return False

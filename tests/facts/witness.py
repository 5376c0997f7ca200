"""Checks facts about a move again, from the rules and the definitions, with python-chess only.

Shares no code with the maker of the facts. Values and stages are checked elsewhere; here is what a person could
count on the board.
"""

from __future__ import annotations

import chess

from matebot.facts.move_facts import MoveFacts


def faults(facts: MoveFacts) -> list[str]:
    """Return the names of the facts that the board does not bear out."""
    before = chess.Board(facts.fen)
    move = chess.Move.from_uci(facts.move)
    after = before.copy()
    after.push(move)
    expected: dict[str, object] = {
        **_simple(before, move, after),
        **_lines(facts, after),
    }
    if facts.attacker is not None:
        expected |= _king(facts, before, after)
    found = facts.as_data()
    return [
        name for name, value in expected.items() if found[name] != (list(value) if isinstance(value, tuple) else value)
    ]


def _simple(before: chess.Board, move: chess.Move, after: chess.Board) -> dict[str, object]:
    replies = list(after.legal_moves)
    moved = before.piece_at(move.from_square)
    assert moved is not None
    victim = before.piece_at(move.to_square)
    captured = None if victim is None else chess.piece_name(victim.piece_type)
    return {
        "san": before.san(move),
        "turn": "white" if before.turn else "black",
        "check": after.is_check(),
        "mate": after.is_checkmate(),
        "stalemate": after.is_stalemate(),
        "piece": chess.piece_name(moved.piece_type),
        "captured": "pawn" if before.is_en_passant(move) else captured,
        "victim_guarded": before.is_capture(move) and bool(after.attackers(after.turn, move.to_square)),
        "promoted": chess.piece_name(move.promotion) if move.promotion else None,
        "choices": before.legal_moves.count(),
        "replies": len(replies),
        "only_reply": after.san(replies[0]) if len(replies) == 1 else None,
        "stalemating": _stalemating(before, move),
        "loose": _names(_taken(after, m) for m in replies if after.is_capture(m)),
        "clock_plies": after.halfmove_clock,
        "kings_before": chess.square_distance(_k(before, True), _k(before, False)),
        "kings_after": chess.square_distance(_k(after, True), _k(after, False)),
        "rim_before": _rim(move.from_square),
        "rim_after": _rim(move.to_square),
    }


def _taken(board: chess.Board, capture: chess.Move) -> chess.Square:
    """Return where the man stands that a capture takes; source: FIDE Laws of Chess, article 3.7.3."""
    if board.piece_type_at(capture.to_square) is not None:
        return capture.to_square
    return chess.square(chess.square_file(capture.to_square), chess.square_rank(capture.from_square))


def _stalemating(before: chess.Board, played: chess.Move) -> tuple[str, ...]:
    found = []
    for move in before.legal_moves:
        before.push(move)
        if before.is_stalemate() and move != played:
            found.append(move)
        before.pop()
    return tuple(sorted(map(before.san, found)))


def _king(facts: MoveFacts, before: chess.Board, after: chess.Board) -> dict[str, object]:
    attacker = facts.attacker == "white"
    now = _reachable(after, not attacker)
    then = _reachable(before, not attacker)
    by_attacker = before.turn == attacker
    return {
        "king": chess.square_name(_k(after, not attacker)),
        "flights": _names(now),
        **_race(before, chess.Move.from_uci(facts.move), after, attacker),
        **_ways(before, after, attacker),
        **_corners(before, after, attacker),
        **_key_squares(after, attacker),
        "key_steps_before": _key_steps(before, attacker),
        "key_steps_after": _key_steps(after, attacker),
        "attacker_men": _kinds(after, attacker),
        "defender_men": _kinds(after, not attacker),
        "barred": _barred(before, after, not attacker) if facts.man.piece == "king" and not by_attacker else (),
        "way_shut": _way_shut(before, after, attacker) if by_attacker else (),
        "abreast": _abreast(after, attacker),
        "knights_move_off": _knights_move_off(after, attacker),
        "squares_taken": _names(then - now) if by_attacker else (),
        "squares_given": _names(now - then) if by_attacker else (),
        **(
            _contrast(facts, before, attacker)
            if facts.instead.best and facts.then.ahead and by_attacker
            else _NO_CONTRAST
        ),
    }


_NO_CONTRAST: dict[str, object] = {"left_open": ()}


def _contrast(facts: MoveFacts, before: chess.Board, attacker: chess.Color) -> dict[str, object]:
    """Play the reply after the move, and after the best move if it is legal there."""
    played, best = before.copy(), before.copy()
    played.push_uci(facts.move)
    best.push_uci(facts.instead.best or "")
    reply = played.parse_san(facts.then.ahead[0])
    if reply.from_square != _k(played, not attacker):
        return _NO_CONTRAST
    played.push(reply)
    if not best.is_legal(reply):
        return _NO_CONTRAST
    best.push(reply)
    more = _reachable(played, not attacker) - _reachable(best, not attacker)
    return {"left_open": _names(more)}


def _kind(board: chess.Board, square: chess.Square) -> str:
    piece = board.piece_at(square)
    assert piece is not None
    return chess.piece_name(piece.piece_type)


def _kinds(board: chess.Board, colour: chess.Color) -> tuple[str, ...]:
    order = ("queen", "rook", "bishop", "knight", "pawn")
    own = [_kind(board, s) for s in chess.SquareSet(board.occupied_co[colour])]
    return tuple(kind for kind in order for _ in range(own.count(kind)))


def _barred(before: chess.Board, after: chess.Board, colour: chess.Color) -> tuple[str, ...]:
    """Squares next to the other king that this one touches now and did not touch before."""
    other, here, there = _k(after, not colour), _k(after, colour), _k(before, colour)
    return _names(
        s
        for s in chess.SQUARES
        if chess.square_distance(s, other) == 1 == chess.square_distance(s, here)
        and chess.square_distance(s, there) != 1
    )


def _way_shut(before: chess.Board, after: chess.Board, attacker: chess.Color) -> tuple[str, ...]:
    king, own = _k(after, not attacker), chess.SquareSet(after.occupied_co[attacker])
    return _names(
        s
        for s in chess.SQUARES
        if chess.square_distance(s, king) == 2
        and _rim(s) > _rim(king)
        and s not in own
        and after.attackers(attacker, s)
        and not before.attackers(attacker, s)
    )


def _abreast(board: chess.Board, attacker: chess.Color) -> bool:
    bishops = [chess.square_name(s) for s in board.pieces(chess.BISHOP, attacker)]
    if len(bishops) != 2:
        return False
    files, ranks = (sorted(map(ord, line)) for line in zip(*bishops, strict=True))
    return sorted((files[1] - files[0], ranks[1] - ranks[0])) == [0, 1]


def _knights_move_off(board: chess.Board, attacker: chess.Color) -> bool:
    queen = _single(board, attacker)
    if queen is None or board.piece_type_at(queen) != chess.QUEEN:
        return False
    king = _k(board, not attacker)
    steps = {abs(line(queen) - line(king)) for line in (chess.square_file, chess.square_rank)}
    return steps == {1, 2}


def _key_steps(board: chess.Board, attacker: chess.Color) -> int | None:
    keys = _key_squares(board, attacker)["key_squares"]
    assert isinstance(keys, tuple)
    king = _k(board, attacker)
    return min((chess.square_distance(king, chess.parse_square(name)) for name in keys), default=None)


def _right_corners(board: chess.Board, attacker: chess.Color) -> list[chess.Square]:
    bishops, knights = list(board.pieces(chess.BISHOP, attacker)), board.pieces(chess.KNIGHT, attacker)
    if len(bishops) != 1 or len(knights) != 1:
        return []
    shade = chess.BB_DARK_SQUARES if chess.BB_SQUARES[bishops[0]] & chess.BB_DARK_SQUARES else chess.BB_LIGHT_SQUARES
    return [s for s in (chess.A1, chess.H1, chess.A8, chess.H8) if chess.BB_SQUARES[s] & shade]


def _corners(before: chess.Board, after: chess.Board, attacker: chess.Color) -> dict[str, object]:
    corners = _right_corners(after, attacker)
    then = [chess.square_distance(_k(before, not attacker), s) for s in _right_corners(before, attacker)]
    now = {s: chess.square_distance(_k(after, not attacker), s) for s in corners}
    nearest = [s for s in corners if now[s] == min(now.values())]
    return {
        "corner_steps_before": min(then) if then else None,
        "corner_steps_after": min(now.values()) if now else None,
        "right_corner": chess.square_name(nearest[0]) if len(nearest) == 1 else None,
    }


def _key_squares(after: chess.Board, attacker: chess.Color) -> dict[str, object]:
    """Key squares by rank of the pawn, from the pawn's side (common practice, no source)."""
    own = [s for s in chess.SquareSet(after.occupied_co[attacker]) if after.piece_type_at(s) != chess.KING]
    if len(own) != 1 or after.piece_type_at(own[0]) != chess.PAWN:
        return {"key_squares": (), "on_key_square": False}
    file, rank = chess.square_file(own[0]), chess.square_rank(own[0]) if attacker else 7 - chess.square_rank(own[0])
    ahead = {1: [3], 2: [4], 3: [5], 4: [5, 6], 5: [6, 7], 6: [6, 7]}[rank]
    files = [file - 1, file, file + 1]
    if file in (0, 7):
        ahead, files = [6, 7], [1 if file == 0 else 6]
    keys = {chess.square(f, r if attacker else 7 - r) for r in ahead for f in files}
    return {"key_squares": _names(keys), "on_key_square": _k(after, attacker) in keys}


def _race(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> dict[str, object]:
    """Push the pawn alone, by a double step where it may, and count."""
    nothing: dict[str, object] = {"pawn_moves": None, "catch_steps": None, "pawn_goal": None}
    nothing |= {"runs_alone": False, "clears_way": False}
    own = list(after.pieces(chess.PAWN, attacker))
    if len(own) != 1:
        return nothing
    ahead = [s for s in chess.SQUARES if s % 8 == own[0] % 8 and s != own[0] and (s > own[0]) == attacker]
    attacked = before.turn == attacker
    nothing["clears_way"] = attacked and move.from_square in ahead and move.to_square not in ahead
    at, forward, moves = own[0], 8 if attacker else -8, 0
    if chess.square_rank(at) == (1 if attacker else 6) and after.piece_at(at + forward) is None:
        at, moves = at + forward, 0  # the double step is one move, its first half none
    while 0 < chess.square_rank(at) < 7 or at == own[0]:
        at, moves = at + forward, moves + 1
        if after.piece_at(at) is not None:
            return nothing
    catch = chess.square_distance(_k(after, not attacker), at)
    theirs = chess.SquareSet(after.occupied_co[not attacker])
    nothing["runs_alone"] = attacked and len(theirs) == 1 and catch > moves + 1
    if len(chess.SquareSet(after.occupied_co[attacker])) > 2:
        return nothing
    return nothing | {"pawn_moves": moves, "catch_steps": catch, "pawn_goal": chess.square_name(at)}


def _ways(before: chess.Board, after: chess.Board, attacker: chess.Color) -> dict[str, object]:
    """Walk the pawns to the end of the board and look who guards a square on the way."""
    held, guarded, stopped = set[chess.Square](), set[chess.Square](), set[chess.Square]()
    theirs = [s for s, p in after.piece_map().items() if p.color != attacker and p.symbol() not in "Kk"]
    pawns = list(after.pieces(chess.PAWN, attacker))
    king, was = _k(after, attacker), _k(before, attacker)
    if before.turn == attacker and len(theirs) == 1 and after.piece_at(theirs[0]).symbol() in "Pp":  # type: ignore[union-attr]
        for square in _onward(theirs[0], not attacker):
            earlier, held = held, set()
            led = chess.square_distance(square, _k(after, not attacker)) == 1
            held |= set() if led else {*after.attackers(attacker, square)} - {king}
            held |= {square} if after.color_at(square) == attacker and square != king else set()
            if chess.square_distance(square, theirs[0]) == 1:
                stopped = held
            held = held | earlier
    if before.turn == attacker and king != was and len(pawns) == 1:
        distance = chess.square_distance
        way = _onward(pawns[0], attacker)
        guarded = {s for s in way if distance(s, king) == 1 and distance(s, was) > 1}
    return {"held_from": _names(held), "stopped_by": _names(stopped), "way_guarded": _names(guarded)}


def _onward(pawn: chess.Square, side: chess.Color) -> list[chess.Square]:
    return [s for s in chess.SQUARES if s % 8 == pawn % 8 and s != pawn and (s > pawn) == side]


def _reachable(board: chess.Board, colour: chess.Color) -> set[chess.Square]:
    """Squares a king may step to, found by really putting it there."""
    king, found = _k(board, colour), set()
    for square in chess.SQUARES:
        if chess.square_distance(square, king) != 1 or board.color_at(square) == colour:
            continue
        trial = board.copy(stack=False)
        trial.remove_piece_at(king)
        trial.set_piece_at(square, chess.Piece(chess.KING, colour))
        if not trial.is_attacked_by(not colour, square):
            found.add(square)
    return found


def _lines(facts: MoveFacts, after: chess.Board) -> dict[str, object]:
    """Box and opposition."""
    expected: dict[str, object] = {"box_after": None, "opposition": None}
    if facts.man.piece == "king":
        expected["opposition"] = _opposition(_k(after, True), _k(after, False))
    if facts.attacker is None:
        return expected
    attacker = facts.attacker == "white"
    piece = _single(after, attacker)
    if piece is not None:
        expected["box_after"] = _box(piece, _k(after, not attacker))
    return expected


def _single(board: chess.Board, attacker: chess.Color) -> chess.Square | None:
    own = [s for s in chess.SquareSet(board.occupied_co[attacker]) if board.piece_type_at(s) != chess.KING]
    return own[0] if len(own) == 1 and board.piece_type_at(own[0]) in (chess.ROOK, chess.QUEEN) else None


def _box(piece: chess.Square, king: chess.Square) -> int:
    """Count the squares reachable from the king's without crossing the piece's rank and file."""

    def same_side(square: chess.Square) -> bool:
        for line in (chess.square_rank, chess.square_file):
            to_king, to_square = line(king) - line(piece), line(square) - line(piece)
            if to_king and to_king * to_square <= 0:
                return False
        return True

    return sum(same_side(square) for square in chess.SQUARES)


def _opposition(white: chess.Square, black: chess.Square) -> str | None:
    ranks = abs(chess.square_rank(white) - chess.square_rank(black))
    files = abs(chess.square_file(white) - chess.square_file(black))
    if ranks == files == 2:
        return "diagonal"
    if 0 in (ranks, files) and ranks + files in (2, 4, 6):
        return "direct" if ranks + files == 2 else "distant"
    return None


def _k(board: chess.Board, colour: chess.Color) -> chess.Square:
    square = board.king(colour)
    assert square is not None
    return square


def _rim(square: chess.Square) -> int:
    rank, file = chess.square_rank(square), chess.square_file(square)
    return min(rank, file, 7 - rank, 7 - file)


def _names(squares: object) -> tuple[str, ...]:
    return tuple(chess.square_name(s) for s in sorted(set(squares)))  # type: ignore[call-overload]

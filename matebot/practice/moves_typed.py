"""A move as somebody types it: SAN or long algebraic form, with what else may be typed in its place."""

from __future__ import annotations

import chess

from matebot.wording.practice import illegal_move, not_a_move, several_moves


class Unclear(Exception):
    """A line that is no legal move, or could be several; the text says so in one line."""


def typed_move(board: chess.Board, text: str) -> chess.Move:
    """Return the legal move a text stands for; a man may be written with a small letter.

    Raises
    ------
    Unclear
        saying what was expected
    """
    illegal = False
    for attempt in dict.fromkeys((text, text[:1].upper() + text[1:])):
        try:
            move = board.parse_san(attempt)
        except chess.AmbiguousMoveError:
            raise Unclear(several_moves(text, _candidates(board, attempt))) from None
        except ValueError as fault:
            illegal |= isinstance(fault, chess.IllegalMoveError)
            continue
        if move:
            return move
    try:
        move = board.parse_uci(text.lower())
    except ValueError as fault:
        illegal |= isinstance(fault, chess.IllegalMoveError)
        move = chess.Move.null()
    if not move:
        raise Unclear(illegal_move(text[:40], board.is_check()) if illegal else not_a_move(text[:40]))
    return move


def _candidates(board: chess.Board, text: str) -> list[str]:
    """Return the moves a text could stand for: the same man to the same square."""
    target = text.rstrip("+#!?")[-2:]
    return [
        board.san(move)
        for move in board.legal_moves
        if chess.square_name(move.to_square) == target and board.san(move)[0] == text[0]
    ]


def completions(board: chess.Board, words: list[str], begun: str) -> list[str]:
    """Return everything that may be typed and begins like that: words, moves in SAN and in long algebraic form."""
    moves = list(board.legal_moves)
    known = [*words, *sorted(map(board.san, moves)), *sorted(move.uci() for move in moves)]
    return [text for text in known if text.startswith(begun)]

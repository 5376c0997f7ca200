"""The moves in an engine's lines held against the rules: its answer, the move to ponder on, its last variation.

What only looks wrong is rubbish and costs nothing else; an answer that cannot be played is an illegal move.
"""

from __future__ import annotations

import re

import chess

Faults = list[tuple[str, str]]
_NO_MOVE = ("0000", "(none)", "NULL")
#: A variation goes on as long as words look like moves; others belong to the rest of the line.
_MOVE = re.compile(r"[a-h][1-8][a-h][1-8][a-z]?|0000", re.IGNORECASE)
#: Moves of a variation that are looked at.
_MOST_MOVES = 256


def unplayable(board: chess.Board, answer: str) -> Faults:
    """Return the fault of a ``bestmove`` line that gives no legal move; the case of letters is forgiven here."""
    words = answer.split()
    if words[1:2] == [] or words[1] in _NO_MOVE:
        return [("no move", f"expected a move in {board.fen()!r}, got {answer!r}")]
    legal = _pushed(board.copy(stack=False), words[1].lower())
    return [] if legal else [("illegal move", f"expected a legal move in {board.fen()!r}, got {answer!r}")]


def strange(board: chess.Board, answer: str, variation: str) -> Faults:
    """Return what else is wrong with the moves of an answer that can be played.

    Parameters
    ----------
    board : the position that was asked about
    answer : the ``bestmove`` line
    variation : the last ``info`` line with a variation, "" without one
    """
    words = answer.split()
    texts = []
    if words[1] != words[1].lower():
        texts.append(f"expected a move in lower-case letters, got {answer!r}")
    if words[2:3] == ["ponder"] and not _ponders(board, words):
        texts.append(f"expected a legal move to ponder on, got {answer!r}")
    wrong = _first_illegal(board, variation)
    if wrong is not None:
        texts.append(f"expected a variation of legal moves in {board.fen()!r}, got {wrong!r} in it")
    return [("rubbish", text) for text in texts]


def _ponders(board: chess.Board, words: list[str]) -> bool:
    if words[3:4] == []:
        return False
    after = board.copy(stack=False)
    return words[3] in _NO_MOVE or (_pushed(after, words[1].lower()) and _pushed(after, words[3]))


def _first_illegal(board: chess.Board, variation: str) -> str | None:
    words = variation.split()
    following = words[words.index("pv") + 1 :] if "pv" in words else []
    after = board.copy(stack=False)
    for word in following[:_MOST_MOVES]:
        if not _MOVE.fullmatch(word):
            return None
        if not _pushed(after, word):
            return word
    return None


def _pushed(board: chess.Board, text: str) -> bool:
    """Make a move; whether it is legal."""
    try:
        move = chess.Move.from_uci(text)
    except ValueError:
        return False
    if not board.is_legal(move):
        return False
    board.push(move)
    return True

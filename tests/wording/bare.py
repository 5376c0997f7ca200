"""Facts of a move that a board alone gives, for rules that ask for no more: of men in any number, without values."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, cast

import chess

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.hanging import Hanging


def facts_of(
    fen: str,
    uci: str,
    *hanging: int,
    by_winner: bool = False,
    loose: str = "",
    ahead: Sequence[str] = (),
    **told: object,
) -> MoveFacts:
    """Return them of a move of the side that does not win, or that does.

    Parameters
    ----------
    hanging : squares of men that may be taken for nothing
    loose : the square of a man of the side that moved that may be taken then
    ahead : the best reply and the answer
    told : what no board shows, by its group
    """
    board, move = chess.Board(fen), chess.Move.from_uci(uci)
    assert board.is_legal(move)
    after = board.copy()
    after.push(move)
    winner, piece, taken = after.turn != by_winner, board.piece_at(move.from_square), board.piece_at(move.to_square)
    assert piece is not None
    hangs = Hanging(squares=hanging, men=(chess.ROOK,) * len(hanging), moved=False) if hanging else None
    king = after.king(not winner)
    assert king is not None
    facts = SimpleNamespace(
        fen=fen,
        move=uci,
        turn=chess.COLOR_NAMES[board.turn],
        attacker=chess.COLOR_NAMES[winner],
        by_attacker=by_winner,
        man=SimpleNamespace(
            piece=chess.piece_name(piece.piece_type),
            promoted=None if move.promotion is None else chess.piece_name(move.promotion),
            captured=None if taken is None else chess.piece_name(taken.piece_type),
            victim_guarded=after.is_attacked_by(after.turn, move.to_square),
        ),
        men=SimpleNamespace(attacker_men=_men(after, winner), defender_men=_men(after, not winner)),
        seen=SimpleNamespace(
            answers_check=board.is_check(),
            idea=lambda kind: hangs if kind is Hanging else None,
            contrast=SimpleNamespace(shorter_kings=()),
        ),
        room=SimpleNamespace(king=chess.square_name(king)),
        loose_men=SimpleNamespace(loose=(loose,)),
        then=SimpleNamespace(ahead=tuple(ahead), stops_pawn=False),
        worth=SimpleNamespace(outcome_after=1 if by_winner else -1),
        as_quick=(),
    )
    vars(facts).update(told)
    return cast("MoveFacts", facts)


def facts_with(placed: str, uci: str, *, by_winner: bool = True, **told: Any) -> MoveFacts:
    """Return facts of a move: the ideas by their kinds, what is left to the king, and as told."""
    ideas = told.pop("ideas", {})
    board = chess.Board(f"{placed} - - 0 1")
    king = board.king(not board.turn)
    assert king is not None
    room = {"king": chess.square_name(king), "flights": (), "squares_taken": (), "squares_given": ()}
    room |= {name: told.pop(name) for name in list(told) if name in room}
    seen = {"idea": lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]), "answers_check": False}
    given = {
        "seen": SimpleNamespace(**{**seen, **told.pop("seen", {})}),
        "room": SimpleNamespace(**room),
        "gives": SimpleNamespace(check=told.pop("check", False), mate=False),
        "race": SimpleNamespace(runs_alone=False, **told.pop("race", {})),
        "worth": SimpleNamespace(outcome_after=1, mate_moves=told.pop("mate", 20), **told.pop("worth", {})),
        "then": SimpleNamespace(ahead=told.pop("ahead", ()), goals=(), only_holder=told.pop("only", False)),
        "replies": SimpleNamespace(only_reply=told.pop("only_reply", None)),
        "kings": SimpleNamespace(kings_before=4, kings_after=3, opposition=None),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=by_winner, **given)


def _men(board: chess.Board, colour: chess.Color) -> tuple[str, ...]:
    return tuple(
        chess.piece_name(man.piece_type)
        for man in board.piece_map().values()
        if man.color == colour and man.piece_type != chess.KING
    )

"""What is covered and how a refusal is worded; the only judge of whether a position may be answered."""

from __future__ import annotations

import chess

from matebot.solver.material import ORDER

_STATUS_TEXT: tuple[tuple[chess.Status, str], ...] = (
    (chess.STATUS_NO_WHITE_KING, "white has no king"),
    (chess.STATUS_NO_BLACK_KING, "black has no king"),
    (chess.STATUS_TOO_MANY_KINGS, "there are too many kings"),
    (chess.STATUS_PAWNS_ON_BACKRANK, "a pawn stands on the first or last rank"),
    (chess.STATUS_OPPOSITE_CHECK, "the side that is not to move is in check"),
    (
        chess.STATUS_BAD_CASTLING_RIGHTS,
        "the castling rights do not fit the king and rooks",
    ),
    (
        chess.STATUS_INVALID_EP_SQUARE,
        "the en passant square does not fit a double step just made",
    ),
    (
        chess.STATUS_TOO_MANY_CHECKERS,
        "the king is attacked by more men than one move can bring about",
    ),
    (chess.STATUS_IMPOSSIBLE_CHECK, "no last move can have given these checks"),
)


_MOST_MEN = 5
#: Men with the numbers python-chess has for them, strongest first.
_KINDS = tuple((man, chess.PIECE_SYMBOLS.index(man.lower())) for man in ORDER)


class Refusal(Exception):
    """A position that is not answered.

    Attributes
    ----------
    cause : "men", "castling", "impossible", or "unsolved" for five men that are not solved yet
    """

    def __init__(self, cause: str, text: str) -> None:
        super().__init__(text)
        self.cause = cause


def check(board: chess.Board) -> None:
    """Raise `Refusal` unless a position is one of a covered ending, solved or not; bare kings are."""
    men = chess.popcount(board.occupied)
    if men > _MOST_MEN:
        raise Refusal("men", f"{men} men: at most five are covered")
    status = board.status()
    if status != chess.STATUS_VALID:
        faults = [text for flag, text in _STATUS_TEXT if status & flag]
        raise Refusal(
            "impossible",
            f"impossible: {'; '.join(faults) or status}, in {_as_given(board)!r}",
        )
    if board.castling_rights:
        raise Refusal(
            "castling",
            f"castling rights {_castling(board)!r}: not covered",
        )


def _as_given(board: chess.Board) -> str:
    """Return the FEN with the fields that do not fit, which python-chess would leave out."""
    fields = board.fen(en_passant="fen").split()
    return " ".join([*fields[:2], _castling(board), *fields[3:]])


def _castling(board: chess.Board) -> str:
    squares = {chess.H1: "K", chess.A1: "Q", chess.H8: "k", chess.A8: "q"}
    found = [square for square in squares if board.castling_rights & chess.BB_SQUARES[square]]
    return "".join(squares[square] for square in found) or "-"


def men_of(board: chess.Board, colour: chess.Color) -> str:
    """Return the men of a side beside its king, strongest first, for example ``BN``."""
    return "".join(man * chess.popcount(board.pieces_mask(kind, colour)) for man, kind in _KINDS)

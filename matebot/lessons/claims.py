"""Finds what a remark claims of a position, and holds it against the judge.

What counts as a claim: an outcome ("wins", "White is winning", "drawn", "loses"), a number of moves to mate ("mate in
7"), and "only move". A claim is about the position behind the move the remark follows, or behind the moves named before
it in its sentence ("if Kd8, Ke6 wins"), which may go on from there or replace the move. Without a side it is about the
side that made the last of these moves. Not looked at are questions, what is only wished for ("to win", "tries to draw")
and things won or lost ("wins the knight"). Never changes a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import Enum

import chess

from matebot.laws.referee import Referee
from matebot.laws.verdict import Verdict
from matebot.records import dataclass
from matebot.solver.tables import Tables
from matebot.terms import attacker_moves
from matebot.wording import claims as words


class Kind(Enum):
    """What is claimed."""

    WIN = 1
    DRAW = 0
    LOSS = -1
    MATE_IN = "mate in"
    ONLY_MOVE = "only move"


@dataclass(frozen=True)
class Claim:
    """A claim as found.

    Attributes
    ----------
    text : the coach's words
    moves : SAN named before it in its sentence; of an only move, in the whole sentence
    side : named side, None without
    denied : whether the words say that it is not so
    number : of moves, with `Kind.MATE_IN`
    """

    kind: Kind
    text: str
    moves: tuple[str, ...] = ()
    side: chess.Color | None = None
    denied: bool = False
    number: int = 0


_NUMBERS = [
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
]
# A full stop ends a sentence unless it belongs to a move number.
_SENTENCE = re.compile(r"(?:[^.!?;]|(?<=\d)\.+|[!?]+(?=[,) ]+[a-z(])|(?<=[a-h][1-8])[!?]+)+[.!?;]*")
#: Moves of men, and squares that may be moves of pawns unless a word says that they are squares.
_SAN = re.compile(
    r"(?<![A-Za-z0-9])(?:[KQRBN][a-h]?[1-8]?x?[a-h][1-8]|(?:[a-h]x)?[a-h][18]=[QRBN]|[a-h]x[a-h][1-8]"
    r"|(?<!\bon )(?<!\bto )(?<!\bat )(?<!\bfrom )(?<!\band )(?<!\bor )[a-h][1-8])[+#]?(?!\w)"
)
_MAN = (
    r"(?:the|a|an|his|her|its|another|one|two)\s+(?:\w+\s+)?"
    r"(?:pawn|knight|bishop|rook|queen|piece|man|tempo|move|opposition|square|time|stage)"
    r"|time\b|material\b|[a-h][1-8]\b"
)
_CLAIM = re.compile(
    rf"""
    (?P<only>\bonly\s+(?:\w+\s+)?move\b)
    |(?:\b(?:mates?|checkmates?|mated|mating)\s+in\s+|\#)(?P<number>\d{{1,3}}|{"|".join(_NUMBERS)})\b
    |\b(?P<win>wins|winning|won|win)\b(?!\s+(?:{_MAN}))
    |\b(?P<draw>drawn|draws|draw)\b
    |\b(?P<loss>loses|losing|lost)\b(?!\s+(?:{_MAN}))
    """,
    re.VERBOSE | re.IGNORECASE,
)
_DENIED = re.compile(
    r"\b(?:not|no|never|cannot|nothing|without|no\s+longer)\s+(?:\w+\s+){0,2}$|n't\s+(?:\w+\s+){0,2}$",
    re.IGNORECASE,
)
_WISHED = re.compile(
    r"\b(?:to|tries|try|wants?|hopes?|how|plays?\s+for|the|for\s+a)\s+(?:a\s+|the\s+)?$", re.IGNORECASE
)
#: So many characters around a claim are looked at.
_NEAR = 200
_SIDE = re.compile(r"\b(White|Black)\b", re.IGNORECASE)
_SUBJECT = re.compile(r"\b(White|Black)\s+(?:(?:now|then|can|will|soon|already)\s+)?$", re.IGNORECASE)
_FOR = re.compile(r"\s+(?:for|by)\s+(White|Black)\b", re.IGNORECASE)


def claims(remark: str) -> Iterator[Claim]:
    """Yield the claims of a remark in its order."""
    for sentence in _SENTENCE.findall(remark):
        if sentence.rstrip().endswith("?") and not _SAN.search(sentence[-7:]):
            continue
        for found in _CLAIM.finditer(sentence):
            claim = _claim(sentence, found)
            if claim is not None:
                yield claim


def _claim(sentence: str, found: re.Match[str]) -> Claim | None:
    sentence, start = sentence[max(0, found.start() - _NEAR) : found.end() + _NEAR], min(found.start(), _NEAR)
    before, rest = sentence[:start], sentence[start + len(found[0]) :]
    # "lost for Black" says more than a side named before it.
    behind = _FOR.match(rest)
    sides = [behind[1]] if behind else _SIDE.findall(before)
    side = (sides[-1].casefold() == "white") if sides else None
    named = _SAN.findall(before)
    denied = bool(_DENIED.search(before))
    if found["only"]:
        return Claim(Kind.ONLY_MOVE, found[0], tuple(named or _SAN.findall(sentence)), side, denied)
    if found["number"]:
        text = found["number"].casefold()
        number = int(text) if text.isdecimal() else _NUMBERS.index(text) + 1
        subject = _SUBJECT.search(before)
        side = (subject[1].casefold() == "white") if subject else None
        return Claim(Kind.MATE_IN, found[0], tuple(named), side, denied, number)
    # "a draw" states something, "to draw" and "the win" only name it.
    if _WISHED.search(before) and not re.search(r"\bis\s+a\s+$", before, re.IGNORECASE):
        return None
    kind = Kind.WIN if found["win"] else Kind.DRAW if found["draw"] else Kind.LOSS
    return Claim(kind, found[0], tuple(named), side, denied)


def wrong(claim: Claim, board: chess.Board, tables: Tables) -> str | None:
    """Return what is to be told beside a claim, None where it is true.

    Parameters
    ----------
    board : the position the remark stands behind, with the moves that led to it
    """
    there = _there(claim, board)
    if there is None:
        return words.not_checked(claim.text, claim.moves)
    if claim.kind is Kind.ONLY_MOVE:
        return _only(claim, there, tables)
    verdict = Referee(there, tables).here()
    side = claim.side if claim.side is not None else not there.turn
    here = words.here(chess.COLOR_NAMES[_winner(there, verdict)] if verdict.outcome else None, _moves(there, verdict))
    if claim.kind is Kind.MATE_IN:
        # Of the winner's own move both are said: what is left, and the same with this move.
        own = bool(there.move_stack) and verdict.outcome < 0
        true = verdict.outcome != 0 and verdict.exact and claim.number - (_moves(there, verdict) or 0) in (0, own)
        true = true and claim.side in (None, _winner(there, verdict))
    else:
        true = (verdict.outcome if side == there.turn else -verdict.outcome) == claim.kind.value
    return None if true != claim.denied else words.not_so(claim.text, claim.moves, here)


def _there(claim: Claim, board: chess.Board) -> chess.Board | None:
    """Return the position a claim is about; the moves it names go on from a position or replace the move before it."""
    # Of an only move the last one named is in question: the one just played, the next one, or one instead of it.
    named = claim.moves[-1:] if claim.kind is Kind.ONLY_MOVE else claim.moves
    starts = [board]
    if board.move_stack:
        earlier = board.copy()
        earlier.pop()
        starts = [board, earlier] if not _is_last(board, named) else [earlier, board]
    for start in starts:
        line = start.copy()
        try:
            for san in named:
                _push(line, san.rstrip("+#"))
        except ValueError:
            continue
        return line
    return None


def _push(line: chess.Board, san: str) -> None:
    """Make a move, or pass over the name of a square that is none."""
    try:
        line.push_san(san)
    except ValueError:
        if len(san) > 2:
            raise


def _is_last(board: chess.Board, named: tuple[str, ...]) -> bool:
    """Whether the first of the moves named is the one just played."""
    if not named:
        return False
    earlier = board.copy()
    move = earlier.pop()
    return earlier.san(move).rstrip("+#") == named[0].rstrip("+#")


def _only(claim: Claim, after: chess.Board, tables: Tables) -> str | None:
    if not after.move_stack:
        return words.not_checked(claim.text, claim.moves)
    before = after.copy()
    move = before.pop()
    referee = Referee(before, tables)
    here = referee.here().outcome
    keeping = [other for other in before.legal_moves if -referee.after(other).outcome == here]
    if before.legal_moves.count() == 1:
        keeping = [move]
    true = keeping == [move] and (here > -1 or before.legal_moves.count() == 1)
    if true != claim.denied:
        return None
    others = [before.san(other) for other in keeping if other != move]
    return words.not_only(claim.text, before.san(move), others, move in keeping, here, claim.denied)


def _winner(board: chess.Board, verdict: Verdict) -> chess.Color:
    return board.turn if verdict.outcome > 0 else not board.turn


def _moves(board: chess.Board, verdict: Verdict) -> int | None:
    return None if verdict.mate_plies is None else attacker_moves(verdict.mate_plies, verdict.outcome > 0)

"""Whether the reason told of a move parts it from its rivals: from worse moves, and from those as good that go unnamed.

What is told of a move is read of each of its rivals by the readers of claims, word for word and with the squares and
lines that are the move's own put in place by the rival's. Of a slip the better move is the one that is praised, and
its worse rivals are those that lose at least half of what the slip does. Moves that leave a man to a best reply or
stalemate, and a pawn made into less, are no rivals: a pupil sees by himself what is wrong with them. What other moves
let in, told beside, parts as well, and so does a mate that is shown. That a move as good does not share the reason
counts for nothing in a draw, nor for a capture or a promotion.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import chess

from tests.witness.spoken import MAN, SAN, SQUARE, Spoken, then
from tests.witness.spoken_instead import INSTEAD, deed_meant

_PRICE = (
    r"; (?:\d+ moves? lost|the win is gone|the game is lost|the draw is gone"
    rf"|mate comes \d+ moves? (?:sooner|later)(?: than after {SAN})?)$"
)
#: The kind of what only reads together with what stands beside it.
NOT_READ = "(not read alone)"
#: How the better move is praised beside a slip: by name, with what it does behind it.
_PRAISES = (
    rf"{SAN} misses (?P<best>{SAN}), which (?P<deed>.*)",
    rf"{SAN} loses a move: (?:the [a-z]+ falls either way, and )?better is (?P<best>{SAN}), which (?P<deed>.*)",
    rf"{SAN} {INSTEAD}",
    rf"{SAN} [^:]*: (?P<best>{SAN}) (?P<deed>.*)",
    rf"(?:Better: )?(?P<best>{SAN}) (?P<deed>.*)",
)
_LEADS = r"(?:is the best defence|holds out longest)(?:: it |: | and )"
#: What only says what comes, or how long it takes, and claims no reason.
_PLAIN = re.compile(
    rf"holds? out|cannot|does not|is met by|is soon|lasts? |loses|keeps the (?:win|draw)(?:$|: if)|{SAN}|walks on"
    rf"|brings the {MAN} round|is (?:forced|checkmate|the only|stalemate)|leaves it drawn|would |waits, for|leaves only"
    r"|takes the .* and (?:holds|is )|changes nothing|steps out of the check(?:$|: if)|wins for"
)
#: What goes on behind a reason: what comes next, and what another move would let in.
_TAIL = rf"(?:: (?:if |then |{SAN})(?!.*mate).*|, but .*)$"
_ALL_NAMED = re.compile(
    r"(?:(?:every|other) moves?|others) (?:(?:is|are) as (?:fast|quick|good|soon)|lasts? as long)", re.I
)
#: That most rivals lack the reason, told with it.
_TOLD_WORSE = re.compile(
    rf", as {SAN} does to {SAN}$|, which (?:most|half the) moves lose at once$"
    rf"|: (?:most moves|all other moves but {SAN}(?: and {SAN})?) lose it(?: at once)?$"
    rf"|: only {SAN} keeps it too$"
)


@dataclass(frozen=True)
class Weighed:
    """What is told of a move, and which of its rivals it holds of.

    Attributes
    ----------
    kind : the reason without squares, men and numbers
    shared : worse moves that it holds of word for word
    alike : worse moves that it holds of with their own squares in place of the move's
    unlike : moves as good that it does not hold of in either way, and that are not named
    """

    kind: str
    move: str
    shared: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()


def weigh(text: list[str], about: Spoken, slip: bool) -> Weighed | None:
    """Return what is told of a move held beside its rivals, None where no reason is told that can be read alone."""
    told = _told(text, about, slip)
    if told is None:
        return None
    praised, deed, beside = told
    if not _does(deed, praised):
        return Weighed(NOT_READ, deed)
    whole = " ".join(text)
    named = set(re.findall(SAN, whole))
    worse, equal = _rivals(praised, about if slip else None)
    alike = {move: _does(_put(deed, praised.move, move), praised.of(move)) for move in (*worse, *equal)}
    shared = {move: _does(deed, praised.of(move)) for move in (*worse, *equal)}
    name = praised.before.san
    open_to = [] if beside else worse
    plain = praised.before.is_capture(praised.move) or praised.move.promotion or not worth_of(praised.after, about)[0]
    as_good = [] if plain or _ALL_NAMED.search(whole) else [move for move in equal if name(move) not in named]
    return Weighed(
        kind_of(deed),
        name(praised.move),
        tuple(name(move) for move in open_to if shared[move]),
        tuple(name(move) for move in open_to if alike[move] and not shared[move]),
        tuple(name(move) for move in as_good if not shared[move] and not alike[move]),
    )


def lacking(text: list[str], about: Spoken) -> list[str]:
    """Return the moves as good that do not do what is told of a move; none where it cannot be read of others."""
    told = _told(text, about, slip=False)
    if told is None or not _does(told[1], about):
        return []
    head = told[1].partition(": ")[0]
    deed = head if _does(head, about) else told[1]
    _, equal = _rivals(about, None)
    return [about.before.san(move) for move in equal if not _alike(deed, about, move)]


def _alike(deed: str, praised: Spoken, rival: chess.Move) -> bool:
    """Whether what is said of a move is read of a rival too, as it is or with the rival's square put in place."""
    return any(_does(text, praised.of(rival)) for text in (deed, _put(deed, praised.move, rival)))


def kind_of(deed: str) -> str:
    """Return a reason without what is of one position."""
    text = re.sub(rf"\b{SAN}(?!-file)", "M", re.sub(rf"\b{SQUARE}\b", "S", deed))
    text = re.sub(r"the [a-h]-file|rank [1-8]|ranks [1-8] and [1-8]|the [a-h]- and [a-h]-files", "LINE", text)
    text = re.sub(r"\b(?:White|Black)(?='s|\b)", "W", re.sub(r"\b\d+\b", "N", text))
    text = re.sub(r"S(?:, S)*(?: (?:and|or) S)?", "S", text)
    return re.sub(rf"\b{MAN}\b", lambda found: "king" if found[0] == "king" else "P", text)


def _told(text: list[str], about: Spoken, slip: bool) -> tuple[Spoken, str, bool] | None:
    """Return who is praised, for what, and whether another move is told beside it with what it lets in."""
    if slip:
        for part in text:
            for pattern in _PRAISES:
                found = re.fullmatch(pattern, re.sub(_PRICE, "", part))
                move = found and _named(found["best"], about)
                if found and move and move != about.move:
                    did = found.groupdict().get("did")
                    return _reason(deed_meant(did, found["deed"], about) if did else found["deed"], about.of(move))
        return None
    found = re.fullmatch(rf"{SAN} (?:{_LEADS})?(?P<deed>.*)", text[0])
    return None if found is None else _reason(found["deed"], about)


def _reason(deed: str, praised: Spoken) -> tuple[Spoken, str, bool] | None:
    deed, _, beside = deed.partition("; ")
    if _PLAIN.match(deed):
        return None
    head = re.sub(_TAIL, "", deed)
    return praised, (head if _does(head, praised) else deed), bool(beside or _TOLD_WORSE.search(deed))


def _named(name: str, about: Spoken) -> chess.Move | None:
    return next((move for move in about.before.legal_moves if about.before.san(move) == name), None)


def _does(deed: str, about: Spoken) -> bool:
    """Whether what is said of a move is read of another without a fault."""
    from tests.witness.deeds import deed as read

    try:
        return read(deed, about) > 0
    except (AssertionError, LookupError, StopIteration, TypeError, ValueError):
        return False


def _put(deed: str, move: chess.Move, rival: chess.Move) -> str:
    """Put a rival's square, file and rank in place of the move's own."""
    was, now = chess.square_name(move.to_square), chess.square_name(rival.to_square)
    text = re.sub(rf"\b{was}\b", now, deed)
    text = text.replace(f"the {was[0]}-file", f"the {now[0]}-file")
    return text.replace(f"rank {was[1]}", f"rank {now[1]}")


def worth_of(board: chess.Board, about: Spoken) -> tuple[int, int]:
    """Return what a position is worth to the side that has just moved: better is greater."""
    outcome = -about.told.outcome(board)
    return outcome, -outcome * (about.told.mate_plies(board) or 0)


def _rivals(praised: Spoken, slip: Spoken | None) -> tuple[list[chess.Move], list[chess.Move]]:
    """Return the moves that are worse than one, and those as good; beside a slip such as lose half of what it does."""
    mine, worse, equal = worth_of(praised.after, praised), [], []
    bad = None if slip is None else worth_of(slip.after, praised)
    for move in praised.before.legal_moves:
        there = then(praised.before, move)
        worth = worth_of(there, praised)
        if (move.from_square, move.to_square) == (praised.move.from_square, praised.move.to_square):
            continue
        if worth == mine:
            equal.append(move)
        elif worth < mine and (bad is None or _half(worth, mine, bad)) and not _spoilt(there, praised):
            worse.append(move)
    return worse, equal


def _half(worth: tuple[int, int], best: tuple[int, int], bad: tuple[int, int]) -> bool:
    """Whether a move loses at least half of what a slip does."""
    if bad[0] < best[0] or worth[0] < best[0]:
        return worth[0] < best[0]
    return 2 * (best[1] - worth[1]) >= best[1] - bad[1]


def _spoilt(there: chess.Board, about: Spoken) -> bool:
    """Whether a move stalemates, or leaves a man that a best reply takes."""
    return there.is_stalemate() or any(there.is_capture(reply) for reply in _best_replies(there, about))


def _best_replies(there: chess.Board, about: Spoken) -> Iterator[chess.Move]:
    worth = {reply: worth_of(then(there, reply), about) for reply in there.legal_moves}
    return (reply for reply, its in worth.items() if its == max(worth.values()))

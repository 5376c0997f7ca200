"""Reads the rules that stand beside what is said of a move, and holds that there is what they are about."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.ideas import safe_here
from tests.witness.ideas.box import box
from tests.witness.ideas.denies import passed
from tests.witness.ideas.holes import holes
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.saved import endangered
from tests.witness.ideas.stalemate_trap import stalemating
from tests.witness.ideas.waiting_move import opposition
from tests.witness.parting import worth_of
from tests.witness.spoken import MAN, Spoken, hold, lasts, then
from tests.witness.spoken_men import NEEDING, ahead, apart, caged, far, is_guarded, kind, their

_Holds = Callable[[Spoken], bool]


def _mine(about: Spoken, board: chess.Board) -> list[chess.PieceType]:
    return sorted(p.piece_type for p in board.piece_map().values() if p.color == about.attacker)


def _theirs(about: Spoken, board: chess.Board) -> list[chess.PieceType]:
    return sorted(p.piece_type for p in board.piece_map().values() if p.color != about.attacker)


def _king_before_pawn(about: Spoken) -> bool:
    """Whether the king of a lone piece stands before the other side's pawn."""
    king, up = about.after.king(about.attacker) or 0, not about.attacker
    pawns = about.after.pieces(chess.PAWN, up)
    return any(king % 8 == pawn % 8 and (king > pawn) == up for pawn in pawns)


def _far_from_king(about: Spoken, pawn: bool) -> bool:
    """Whether the defender's one man, a pawn or not, stands three steps or more from its king."""
    board, side = about.after, not about.attacker
    men = [s for s, p in board.piece_map().items() if p.color == side and p.piece_type != chess.KING]
    kinds = [about.before.piece_type_at(s) for s in chess.SQUARES if about.before.color_at(s) == side]
    return len(men) == 1 and far(men[0], their(about, board)) >= 3 and pawn == (chess.PAWN in kinds)


def _all(about: Spoken) -> list[chess.Move]:
    return list(about.before.legal_moves)


def _best(about: Spoken) -> chess.Move:
    return about.best or about.move


def _replies(about: Spoken) -> list[chess.Move]:
    return list(about.after.legal_moves)


def _takes(about: Spoken) -> bool:
    return any(
        about.before.is_capture(move)
        and not is_guarded(then(about.before, move), move.to_square, not about.before.turn)
        for move in (_best(about), *(one.move for one in _as_good(about)))
    )


def _lets_go(about: Spoken) -> bool:
    """Whether a man that slides has moved, or the king has stepped before one."""
    slides = {chess.BISHOP, chess.ROOK, chess.QUEEN}
    return about.before.piece_type_at(about.move.from_square) in slides or bool(slides & set(_mine(about, about.after)))


def _pin_in_corner(about: Spoken) -> bool:
    """Whether some square beside the cornered king lets a bishop pinned there by a rook leave no move at all."""
    king, rival = their(about, about.after), about.after.king(about.attacker)
    near = [s for s in chess.SQUARES if chess.square_distance(s, king) == 1]
    for square in (s for s in near if chess.square_rank(s) == chess.square_rank(king) or s % 8 == king % 8):
        board = chess.Board(None)
        board.turn = not about.attacker
        step = square - king
        rook = square + 2 * step
        board.set_piece_at(king, chess.Piece(chess.KING, not about.attacker))
        board.set_piece_at(square, chess.Piece(chess.BISHOP, not about.attacker))
        if rival is None or rival in (square, rook, square + step):
            continue
        board.set_piece_at(rival, chess.Piece(chess.KING, about.attacker))
        board.set_piece_at(rook, chess.Piece(chess.ROOK, about.attacker))
        if board.is_stalemate():
            return True
    return False


def _promotes(about: Spoken) -> bool:
    return _best(about).promotion is not None


def _later_than_queen(about: Spoken) -> bool:
    """Whether a queen in place of the man made would mate sooner."""
    queen = chess.Move(about.move.from_square, about.move.to_square, chess.QUEEN)
    return lasts(about, then(about.before, queen)) < lasts(about, about.after)


def _given(about: Spoken, by_king: bool) -> bool:
    return any(
        about.after.is_capture(m) and (about.after.piece_type_at(m.from_square) == chess.KING) == by_king
        for m in _replies(about)
    )


def _mated_on_the_edge(about: Spoken) -> bool:
    men = [man for man in _mine(about, about.after) if man != chess.KING]
    return men in NEEDING and len(about.after.piece_map()) == 2 + len(men)


def _king_moves(about: Spoken) -> bool:
    return about.before.piece_type_at(about.move.from_square) == chess.KING


def _as_good(about: Spoken) -> list[Spoken]:
    """Return the moves that mate as soon as any, each as the one spoken of."""
    plies = about.told.mate_plies(about.before)
    found = [about.of(move) for move in _all(about)]
    return [one for one in found if plies is not None and about.told.mate_plies(one.after) == plies - 1]


def _no_later(about: Spoken) -> list[Spoken]:
    """Return the moves that mate as soon as the move, or the better one, each as the one spoken of."""
    mine = worth_of(then(about.before, _best(about)), about)
    return [about.of(move) for move in _all(about) if worth_of(then(about.before, move), about) >= mine]


def _worse(about: Spoken) -> list[Spoken]:
    """Return the moves that come to less, each as the one spoken of."""
    mine = worth_of(about.after, about)
    return [about.of(move) for move in _all(about) if worth_of(then(about.before, move), about) < mine]


def _queen_can_be_checked(after: chess.Board) -> bool:
    """Whether a pawn can promote, and be answered by a check."""
    queened = [then(after, reply) for reply in after.legal_moves if reply.promotion]
    return any(there.gives_check(move) for there in queened for move in there.legal_moves)


def _far_man(about: Spoken) -> bool:
    king = their(about, about.before)
    men = [s for s, p in about.before.piece_map().items() if p.color != about.attacker and s != king]
    return any(far(s, king) > 2 for s in men)


def _has_man(about: Spoken) -> bool:
    men = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING]
    rival = about.after.king(about.attacker)
    return len(men) == 1 and rival is not None and far(men[0], rival) > 2


def _keeping(about: Spoken) -> list[chess.Move]:
    """Return the moves that lose no outcome."""
    had = about.told.outcome(about.before)
    return [m for m in about.before.legal_moves if had > -1 and -about.told.outcome(then(about.before, m)) == had]


def _hit_now(about: Spoken) -> list[chess.Square]:
    """Return the squares of the defender's men that the attacker's men attack after the move."""
    men = [s for s, p in about.after.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING]
    return [s for s in men if is_guarded(about.after, s, about.attacker)]


def _takes_guarded(about: Spoken) -> bool:
    """Whether the better move takes a man attacked oftener than it is guarded, and nobody can take back."""
    at, side = _best(about).to_square, about.before.turn
    guards, attackers = (about.before.attackers(of, at) for of in (not side, side))
    back = any(move.to_square == at for move in then(about.before, _best(about)).legal_moves)
    return about.before.is_capture(_best(about)) and not back and 0 < len(guards) < len(attackers)


def _pinned_men(board: chess.Board, attacker: chess.Color) -> list[chess.Square]:
    """Return the defender's men without which its king would be in check, one at a time."""
    men = [s for s, p in board.piece_map().items() if p.color != attacker and p.piece_type != chess.KING]
    found = []
    for square in men:
        bare = board.copy(stack=False)
        bare.remove_piece_at(square)
        found += [square] if bare.is_check() and not board.is_check() else []
    return found


def _opposed_next(board: chess.Board) -> bool:
    """Whether after a reply a step brings the kings into the direct opposition."""
    after = [then(board, reply) for reply in board.legal_moves]
    return any(opposition(then(there, move)) == "direct" for there in after for move in there.legal_moves)


def _king_leads(about: Spoken) -> bool:
    """Whether the attacking king stands on a higher rank of his than the pawn moved."""
    ranks = king_of(about.after, about.attacker) // 8 - about.move.to_square // 8
    return ranks > 0 if about.attacker else ranks < 0


#: What a pawn may become that mates with its king.
_MADE = ("queen", "rook")
#: What is said, and what must hold for it to be to the point. That the rules are good ones: handbooks, from memory.
_MAXIMS: dict[str, _Holds] = {
    "Queen at once, unless it is stalemate": _promotes,
    "A pinned man cannot run": lambda about: bool(_pinned_men(about.after, about.attacker)),
    "Hunt a man that has no square": lambda about: len(_theirs(about, about.after)) > 1,
    "Attack a man once more than it is guarded": lambda about: (
        any(len(about.after.attackers(about.before.turn, s)) > 1 for s in _hit_now(about)) or _takes_guarded(about)
    ),
    "An unguarded man is a target": lambda about: any(
        not is_guarded(about.after, s, not about.attacker) for s in _hit_now(about)
    ),
    "The king leads, the pawn follows": lambda about: (
        about.after.piece_type_at(about.move.to_square) == chess.PAWN and _king_leads(about)
    ),
    "An escorted pawn gets through": lambda about: (
        chess.PAWN in _mine(about, about.after) and any(map(_king_moves, (about, *_as_good(about))))
    ),
    "Look at every capture first": lambda about: any(
        about.before.is_capture(move)
        for move in (_best(about), *(one.move for one in _as_good(about)), *_keeping(about))
    ),
    "A man next to the king needs a guard": lambda about: (
        _takes(about) and far(_best(about).to_square, king_of(about.before, about.attacker)) == 1
    ),
    "Look along every line for loose men": lambda about: (
        _takes(about) and far(_best(about).to_square, _best(about).from_square) > 2
    ),
    "Save an attacked man before all else": lambda about: bool(endangered(about.before, about.attacker)),
    "Look at every check first": lambda about: (
        then(about.before, _best(about)).is_checkmate()
        or (about.before.gives_check(_best(about)) and _keeping(about) == [_best(about)])
    ),
    "The king goes before the pawn": lambda about: _king_moves(about) and chess.PAWN in _mine(about, about.after),
    "A man far from its king can be hunted": _far_man,
    "A minor piece needs its king beside it": lambda about: _far_man(about) or _has_minor(about),
    "A cage must only get smaller": lambda about: caged(about.after, about) > 0,
    "Shut the last hole, then check": lambda about: caged(about.after, about) > 0,
    "King and men belong together": lambda about: len(_mine(about, about.before)) > 1,
    "A check that hits a second man wins it": lambda about: about.after.is_check(),
    "Only on the edge can it be mated": _mated_on_the_edge,
    "Mate is forced only in a corner of the bishop's colour": lambda about: (
        _mine(about, about.after) == [chess.KNIGHT, chess.BISHOP, chess.KING]
    ),
    "Keep the king on the edge": lambda about: edge(their(about, about.after)) == 0,
    "A king in the middle cannot be mated": _mated_on_the_edge,
    "A king in the corner must stay there": lambda about: _corner_steps(about) == 0,
    "A king by the corner must stay there": lambda about: 0 < _corner_steps(about) <= 2,
    "Keep the king out of the wrong corner": lambda about: (
        _mine(about, about.after) == [chess.KNIGHT, chess.BISHOP, chess.KING]
    ),
    "Keep the king from the pawn": lambda about: chess.PAWN in _mine(about, about.after),
    "The king must help to take squares": _king_moves,
    "The king holds, so that the men can move": _king_moves,
    "Shut the king in line by line": lambda about: (
        caged(about.after, about) > 0
        or any(box(one.after, about.attacker) is not None for one in (about, about.of(_best(about))))
    ),
    "The fewer squares the king has, the better": lambda about: True,
    "A quick mate is worth more than a man": lambda about: lasts(about, about.after) <= 2 * 7,
    "A king before the pawn stops it": _king_moves,
    "First bar the pawn's way, then take it": lambda about: chess.PAWN in _theirs(about, about.after),
    "A doomed man can wait": lambda about: len(_mine(about, about.after)) > 1,
    "Relieve a tied man, and it can move": lambda about: len(_mine(about, about.before)) > 1,
    "Move a free man, not a tied one": lambda about: len(_mine(about, about.before)) > 1,
    "The box must only get smaller": lambda about: not _king_moves(about) or len(_mine(about, about.after)) > 1,
    "The cage must only get smaller": lambda about: caged(about.after, about) > 0,
    "Keep the king out of the centre": _mated_on_the_edge,
    "Hold the line": lambda about: _lets_go(about),
    "A rook belongs behind the pawn": lambda about: (
        about.before.piece_type_at(_best(about).from_square) == chess.ROOK
        and chess.PAWN in _theirs(about, about.before)
    ),
    "Take a man's squares before you hunt it": lambda about: len(_theirs(about, about.after)) > 1,
    "A king does most in the middle": lambda about: (
        _king_moves(about) and edge(about.move.to_square) > edge(about.move.from_square)
    ),
    "Shut the way out": lambda about: any(m.from_square == their(about, about.after) for m in _replies(about)),
    "Just make a queen": _promotes,
    "A pawn that nobody can stop queens now or later": lambda about: (
        _promotes(about) and any(move.promotion is None for move in (one.move for one in _as_good(about)))
    ),
    "When many moves win, keep the queen safe and leave no stalemate": lambda about: (
        len(_as_good(about)) >= 5 and chess.QUEEN in _mine(about, about.after)
    ),
    "First the squares, then the king": lambda about: len(_theirs(about, about.before)) == 2,
    "Take room from the king": lambda about: True,
    "First the king": lambda about: any(map(_king_moves, (about.of(_best(about)), *_as_good(about)))),
    "First the pawn": lambda about: chess.PAWN in _mine(about, about.before),
    "Bring pawn or king nearer the goal each time": lambda about: (
        {chess.PAWN, chess.KING} <= {about.before.piece_type_at(one.move.from_square) for one in _no_later(about)}
    ),
    "Keep out of your own pawn's way": lambda about: (
        any(
            about.before.piece_type_at(move.from_square) == chess.PAWN and about.move.to_square in ahead(about, move)
            for move in (_best(about), *_keeping(about), *(one.move for one in _as_good(about)))
        )
        or _clears(about)
    ),
    "Two bishops force mate in a corner": lambda about: (
        _mine(about, about.after) == [chess.BISHOP, chess.BISHOP, chess.KING]
    ),
    "Keep the king by the corner where it mates": lambda about: (
        _king_moves(about) and edge(their(about, about.after)) == 0
    ),
    "Look for checks that hit a second man": lambda about: then(about.before, _best(about)).is_check(),
    "Push a pawn that can run": lambda about: (
        chess.PAWN in _mine(about, about.before)
        and (not about.before.is_check() or about.before.piece_type_at(_best(about).from_square) == chess.PAWN)
    ),
    "A threat to promote must be met": lambda about: any(move.promotion for move in passed(about.after).legal_moves),
    "Before each move look for forks": lambda about: len(_mine(about, about.after)) > 1,
    "A cage once shut must stay shut": lambda about: caged(about.before, about) > 0,
    "Keep the line that holds the king": lambda about: (
        _lets_go(about) or (about.best is None and bool(safe_here.lines(about.after, about.attacker)))
    ),
    "Attack with king and men together": lambda about: _king_moves(about) or any(map(_king_moves, _as_good(about))),
    "Tighten the cage, but leave the king a square": lambda about: (
        caged(about.after, about) > 0 and not about.after.is_stalemate()
    ),
    "Stop the pawn before all else": lambda about: chess.PAWN in _theirs(about, about.before),
    "A king cut off stops no pawn": lambda about: chess.PAWN in _mine(about, about.after),
    "Take room first, check later": lambda about: True,
    "In the middle a man guards more": lambda about: 0 in map(edge, (about.move.from_square, about.move.to_square)),
    "First the line, then the king": lambda about: (
        bool(safe_here.lines(about.after, about.attacker))
        and far(king_of(about.after, about.attacker), their(about, about.after)) > 2
    ),
    "Cut the king off, then bring yours up": lambda about: (
        not all(_king_moves(one) for one in (about.of(_best(about)), *_as_good(about)))
        or (about.best is None and _king_moves(about) and bool(safe_here.lines(about.after, about.attacker)))
    ),
    "No check while a way out is open": lambda about: about.after.is_check(),
    "A check gains time": lambda about: then(about.before, _best(about)).is_check(),
    "Shut the way out before all else": lambda about: any(
        m.from_square == their(about, about.after) for m in _replies(about)
    ),
    "Leave it a move, or give check": lambda about: (
        about.after.is_stalemate() or any(then(about.before, m).is_stalemate() for m in about.before.legal_moves)
    ),
    "Beware of the check that hits a second man": lambda about: bool(
        {chess.ROOK, chess.QUEEN} & set(_mine(about, about.after))
    ),
    "The defender's best hope is stalemate": lambda about: bool(stalemating(about.after)),
    "In the safe corner a pin on the bishop beside the king is stalemate": _pin_in_corner,
    "Draw the square: it saves counting moves": lambda about: bool(about.after.pawns),
    "In opposition the side to move must give way": lambda about: any(
        opposition(board) is not None for board in [about.after, *(then(about.before, m) for m in _all(about))]
    ),
    "Kings face to face on the edge: a check from the side mates": lambda about: any(
        opposition(board) is not None and any(then(board, reply).is_checkmate() for reply in board.legal_moves)
        for board in (then(about.before, m) for m in _all(about))
    ),
    "Look for men that nobody guards": lambda about: any(
        not is_guarded(about.after, s, about.attacker)
        for s, p in about.after.piece_map().items()
        if p.color == about.attacker and p.piece_type != chess.KING
    ),
    "Keep the other king away as long as you can": lambda about: len(about.before.piece_map()) > 2,
    "The king belongs in front of the pawn": lambda about: (
        chess.PAWN in _mine(about, about.after) or _king_before_pawn(about)
    ),
    "A man far from its king soon falls": lambda about: _far_from_king(about, pawn=False),
    "A pawn far from its king soon falls": lambda about: _far_from_king(about, pawn=True),
    "A queen cannot mate without its king": lambda about: _mine(about, about.after) == [chess.QUEEN, chess.KING],
    "A rook cannot mate without its king": lambda about: _mine(about, about.after) == [chess.ROOK, chess.KING],
    "Two minor pieces cannot mate without their king": lambda about: (
        _mine(about, about.after)
        in ([chess.KNIGHT, chess.BISHOP, chess.KING], [chess.BISHOP, chess.BISHOP, chess.KING])
    ),
    "Once shut in, keep away from the corner": lambda about: (
        min(chess.square_distance(about.after.king(not about.attacker) or 0, corner) for corner in (0, 7, 56, 63)) > 0
    ),
    "Keep as much of the board as you can": lambda about: len(about.before.piece_map()) > 2,
    "Stay off the edge as long as you can": lambda about: (
        any(edge(their(about, then(about.before, m))) == 0 for m in _all(about)) or edge(their(about, about.after)) <= 1
    ),
    "Before each move look at the checks it allows": lambda about: any(
        then(there, reply).is_checkmate()
        for there in (then(about.before, move) for move in _all(about))
        for reply in there.legal_moves
    ),
    "Leave no man where it can be taken": lambda about: any(
        there.is_capture(reply)
        for there in (then(about.before, move) for move in _all(about))
        for reply in there.legal_moves
    ),
    "Face the king that wants to pass": lambda about: apart(about.after) == 2,
    "Keep your man where no king comes near it": _has_man,
    "A king on a key square wins, whoever is to move": lambda about: (
        _mine(about, about.after) == [chess.PAWN, chess.KING]
    ),
    "Against the new queen stay in the middle, since it mates only on the edge": lambda about: (
        len(about.after.piece_map()) == 3 and bool(about.after.pawns) and edge(their(about, about.after)) > 0
    ),
    "As a rule only a pawn about to promote holds a queen": lambda about: (
        _mine(about, about.after) == [chess.QUEEN, chess.KING] and chess.PAWN in _theirs(about, about.after)
    ),
    "When lost, leave only one way to win": lambda about: (
        sum(about.told.outcome(then(about.after, reply)) < 0 for reply in _replies(about)) == 1
    ),
    "A cage with a hole is no cage": lambda about: bool(holes(about.before, about.attacker)),
    "A queen mates only on the edge": lambda about: _mine(about, about.after) == [chess.QUEEN, chess.KING],
    "Two minor pieces mate only on the edge": _mated_on_the_edge,
    "A rook mates only on the edge": lambda about: _mine(about, about.after) == [chess.ROOK, chess.KING],
    "The king must lead its pawn": lambda about: chess.PAWN in _theirs(about, about.after),
    "Push while no man guards the pawn's way": lambda about: (
        about.before.piece_type_at(about.move.from_square) == chess.PAWN and not _on_its_way(about)
    ),
    "A bishop alone cannot mate": lambda about: _mine(about, about.after) == [chess.BISHOP, chess.KING],
    "A knight alone cannot mate": lambda about: _mine(about, about.after) == [chess.KNIGHT, chess.KING],
    "Bishops stop pawns from afar": lambda about: (
        chess.BISHOP in _mine(about, about.after) and chess.PAWN in _theirs(about, about.after)
    ),
    "A new queen with check gains a move": lambda about: about.move.promotion == chess.QUEEN and about.after.is_check(),
    "A capture may answer a check": lambda about: about.before.is_check() and about.before.is_capture(about.move),
    "A king may take what nobody guards": lambda about: _king_moves(about) and about.before.is_capture(about.move),
    "A king's own men may shut it in": lambda about: (
        about.after.is_checkmate() and any(far(s, their(about, about.after)) == 1 for s in _own_others(about))
    ),
    "A threat of mate leaves no time": lambda about: about.told.outcome(about.after) < 0 and not about.after.is_check(),
    "Together they guard both colours": lambda about: (
        _mine(about, about.after) == [chess.KNIGHT, chess.BISHOP, chess.KING]
        and len({sum(divmod(s, 8)) % 2 for s in _minors(about)}) == 1
    ),
    "Two bishops side by side make a wall": lambda about: any(
        far(a, b) == 1 for a in _minors(about) for b in _minors(about)
    ),
    "A waiting move can be the strongest": lambda about: not about.before.is_capture(about.move),
    "Mate comes in the bishop's corner": lambda about: (
        _mine(about, about.after) == [chess.KNIGHT, chess.BISHOP, chess.KING]
    ),
    "Step out of a check towards the king": lambda about: about.before.is_check() and _king_moves(about),
    "Before each step see which checks follow": lambda about: about.before.is_check() and _king_moves(about),
    "First the king, then the fork": lambda about: (
        _mine(about, about.after) == [chess.QUEEN, chess.KING]
        and _theirs(about, about.after) == [chess.ROOK, chess.KING]
        and any(map(_king_moves, (about, *_as_good(about))))
    ),
    "A rook belongs behind its pawn": lambda about: (
        about.after.piece_type_at(about.move.to_square) == chess.ROOK and chess.PAWN in _mine(about, about.after)
    ),
    "An attacked man must move or be guarded": lambda about: bool(endangered(about.before, about.attacker)),
    "The double step gains a move": lambda about: abs(about.move.to_square - about.move.from_square) == 16,
    "Count the race move by move": lambda about: chess.PAWN in _mine(about, about.after),
    "Promote before it can be stopped": lambda about: _promotes(about) and len(_theirs(about, about.before)) > 1,
    "A man without its king is easy prey": lambda about: (
        about.before.is_capture(about.move) and far(about.move.to_square, their(about, about.after)) > 2
    ),
    "First bring all the men into play": lambda about: (
        len(_mine(about, about.after)) == 3 and _king_moves(about if about.best is None else about.of(_best(about)))
    ),
    "Opposed kings bar three squares": lambda about: opposition(about.after) == "direct" or _opposed_next(about.after),
    "First drive the king to the edge": lambda about: edge(their(about, about.after)) > 0,
    "Two heavy pieces need no king": lambda about: (
        about.after.is_checkmate()
        and len({chess.ROOK, chess.QUEEN} & set(_mine(about, about.after))) > 0
        and len(_mine(about, about.after)) > 2
    ),
    "First the opposition, then the check": lambda about: opposition(about.after) == "direct",
    "In the corner a king has least room": lambda about: (
        (_mated_by_now(about) and _corner_steps(about) == 0)
        or (_mine(about, about.after) == [chess.BISHOP, chess.BISHOP, chess.KING] and _to_corner(about))
    ),
    "On the edge a king has little room": lambda about: _mated_by_now(about) and edge(their(about, about.after)) == 0,
    "First each man on its post, then the W": lambda about: (
        _mine(about, about.after) == [chess.KNIGHT, chess.BISHOP, chess.KING]
    ),
    "Hold the promotion square, then push": lambda about: (
        about.after.piece_type_at(about.move.to_square) == chess.PAWN
        and is_guarded(about.after, about.move.to_square % 8 + (56 if about.attacker else 0), about.attacker)
    ),
    "A guarded pawn may go on": lambda about: (
        about.after.piece_type_at(about.move.to_square) == chess.PAWN
        and is_guarded(about.after, about.move.to_square, about.attacker)
    ),
    "Push the pawn while it is safe": lambda about: any(
        about.before.piece_type_at(one.move.from_square) == chess.PAWN
        and (
            is_guarded(one.after, one.move.to_square, about.attacker)
            or not is_guarded(one.after, one.move.to_square, not about.attacker)
        )
        for one in _as_good(about)
    ),
    "Guard a man before it is attacked": lambda about: any(
        is_guarded(about.after, s, about.attacker) and not is_guarded(about.before, s, about.attacker)
        for s, p in about.after.piece_map().items()
        if p.color == about.attacker and far(s, their(about, about.after)) <= 2
    ),
    "First the squares, then the mate": lambda about: (about.told.mate_plies(about.after) or 0) <= 10,
    "Check only where it drives the king your way": lambda about: about.after.is_check(),
    "Kings opposed: check from the side": lambda about: _mated_soon(about) and not about.after.is_check(),
    "Leave the king one move, and have the mate ready": lambda about: (
        _mated_soon(about) and about.after.legal_moves.count() == 1
    ),
    "First the king to the centre": lambda about: any(
        _king_moves(one) and edge(one.move.to_square) * way > edge(one.move.from_square) * way
        for one, way in ((about, -1), *((other, 1) for other in (about, *_as_good(about))))
    ),
    "First the cage, then the check": lambda about: caged(about.after, about) > 0,
    "First the cage, then the king": lambda about: caged(about.after, about) > 0,
    "Once the cage stands, bring the king": lambda about: any(
        _king_moves(one) and caged(one.after, one) > 0 for one in _as_good(about)
    ),
    "Look what stands behind the king": lambda about: (
        any(
            one.after.is_check() or _queen_can_be_checked(one.after)
            for one in (about.of(_best(about)), *_as_good(about))
        )
        and len(_theirs(about, about.before)) > 1
    ),
    "Kings face to face: check from the side": lambda about: _mated_by_line(about) and far(*(_edge_kings(about))) == 2,
    "A king on the edge: look for mate first": lambda about: (
        edge(their(about, about.before)) == 0 and _near_mate(about)
    ),
    "Guard the square the king wants": lambda about: any(
        m.from_square == their(about, about.after) for m in _replies(about)
    ),
    "Guard the pawn before you go on": lambda about: any(
        about.after.is_capture(m) and about.after.piece_type_at(m.to_square) == chess.PAWN for m in _replies(about)
    ),
    "Close checks need a guard": lambda about: about.after.is_check() and _given(about, by_king=True),
    "Before you take, see what takes back": lambda about: (
        about.before.is_capture(about.move) and any(m.to_square == about.move.to_square for m in _replies(about))
    ),
    "When a man is attacked, save it first": lambda about: any(
        about.after.is_capture(m) and m.to_square != about.move.to_square for m in _replies(about)
    ),
    "Do not move the only guard of a man": lambda about: (
        (_king_moves(about) and _given(about, by_king=True)) or _left_by_guard(about)
    ),
    "Before each move see what can be taken": lambda about: _given(about, by_king=False) or _left(about),
    "First see what the king can take": lambda about: (
        _takes(about) and about.before.king(about.attacker) == _best(about).from_square
    ),
    "Leave no man loose near a king": lambda about: any(_loose_beside(reply, about) for reply in _replies(about)),
    "Before each move see what can be attacked": lambda about: any(
        _comes_to_hit(reply, one) for one in map(about.of, _all(about)) for reply in _replies(one)
    ),
    "Clear the way for the pawn": lambda about: chess.PAWN in _mine(about, about.before),
    "A pinned man soon falls": lambda about: _pins(then(about.before, _best(about)), about),
}
#: Rules that are said in fewer words as well.
_SHORTER = {
    "Make a queen": "Queen at once, unless it is stalemate",
    "Guard your men": "King and men belong together",
    "See what can be taken": "Before each move see what can be taken",
    "Save it first": "When a man is attacked, save it first",
    "Guard the pawn": "Guard the pawn before you go on",
    "Stay on guard": "Do not move the only guard of a man",
    "Hunt a man left alone": "A man far from its king can be hunted",
    "A pinned man falls": "A pinned man soon falls",
    "Lead it to the bishop's corner": "Mate is forced only in a corner of the bishop's colour",
    "Keep the king out": "A king in the middle cannot be mated",
    "Keep the king there": "Keep the king on the edge",
    "Leave no man loose": "Leave no man loose near a king",
    "First cut the king off": "Cut the king off, then bring yours up",
    "Look for mate first": "A king on the edge: look for mate first",
}


def _loose_beside(reply: chess.Move, about: Spoken) -> bool:
    """Whether the other king stands near a man that nobody guards after a reply."""
    there = then(about.after, reply)
    mine = [s for s, p in there.piece_map().items() if p.color == about.attacker and p.piece_type != chess.KING]
    return any(far(s, their(about, there)) <= 2 and not is_guarded(there, s, about.attacker) for s in mine)


def _comes_to_hit(reply: chess.Move, about: Spoken) -> bool:
    """Whether a reply comes to attack a man that it did not attack before."""
    there = then(about.after, reply)
    fresh = set(there.attacks(reply.to_square)) - set(about.after.attacks(reply.from_square))
    return any(there.color_at(s) == about.attacker and there.piece_type_at(s) != chess.KING for s in fresh)


def _mated_by_now(about: Spoken) -> bool:
    """Whether it is mate, or soon after a defence, or after another."""
    if about.after.is_checkmate() or about.after.turn != about.attacker:
        return about.after.is_checkmate()
    return any(lasts(about, then(about.before, move)) <= 5 for move in _all(about))


def _on_its_way(about: Spoken) -> bool:
    """Whether a man of the other side guards a square before the pawn that moved, or stands there."""
    pawn, up = about.move.to_square, about.before.turn
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn if up else s < pawn)]
    men = [s for s, p in about.after.piece_map().items() if p.color != up and p.piece_type != chess.KING]
    return any(s in about.after.attacks(man) or s == man for s in way for man in men)


def _left(about: Spoken) -> bool:
    """Whether a man that did not move may be taken."""
    return any(about.after.is_capture(m) and m.to_square != about.move.to_square for m in _replies(about))


def _pins(board: chess.Board, about: Spoken) -> bool:
    return any(board.is_pinned(not about.attacker, s) for s in chess.SquareSet(board.occupied_co[not about.attacker]))


def _minors(about: Spoken) -> list[chess.Square]:
    board = about.after
    return [*board.pieces(chess.BISHOP, about.attacker), *board.pieces(chess.KNIGHT, about.attacker)]


def _own_others(about: Spoken) -> list[chess.Square]:
    king = their(about, about.after)
    return [s for s, p in about.after.piece_map().items() if p.color != about.attacker and s != king]


def _mated_soon(about: Spoken) -> bool:
    return about.told.mate_plies(about.after) in (2, 4)


def _near_mate(about: Spoken) -> bool:
    plies = about.told.mate_plies(about.before)
    return plies is not None and plies <= 5


def _mates(about: Spoken) -> list[chess.Board]:
    """Return the boards after the better move, the reply to it and the mate."""
    there = then(about.before, _best(about))
    replied = [then(there, m) for m in there.legal_moves]
    return [last for board in replied for m in board.legal_moves if (last := then(board, m)).is_checkmate()]


def _mated_by_line(about: Spoken) -> bool:
    return any(_edge_line(board, about) for board in _mates(about))


def _edge_line(board: chess.Board, about: Spoken) -> bool:
    king, mine = their(about, board), board.king(about.attacker) or 0
    along = [s for s in board.checkers() if board.piece_type_at(s) in (chess.ROOK, chess.QUEEN)]
    across = chess.square_file(king) == chess.square_file(mine), chess.square_rank(king) == chess.square_rank(mine)
    lines = [
        (chess.square_rank(s) == chess.square_rank(king), chess.square_file(s) == chess.square_file(king))
        for s in along
    ]
    return any(across) and far(king, mine) == 2 and edge(king) == 0 and across in lines


def _edge_kings(about: Spoken) -> tuple[chess.Square, chess.Square]:
    board = next(board for board in _mates(about) if _edge_line(board, about))
    return their(about, board), board.king(about.attacker) or 0


def _has_minor(about: Spoken) -> bool:
    theirs = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
    return chess.BISHOP in theirs or chess.KNIGHT in theirs


def _corner_steps(about: Spoken) -> int:
    return min(far(their(about, about.after), corner) for corner in (0, 7, 56, 63))


def _to_corner(about: Spoken) -> bool:
    """Whether a check, or the lack of another square, drives the king nearer to a corner."""
    goals = [m.to_square for m in _replies(about) if m.from_square == their(about, about.after)]
    nearer = all(min(far(goal, corner) for corner in (0, 7, 56, 63)) < _corner_steps(about) for goal in goals)
    return about.after.is_check() or (bool(goals) and nearer)


def _clears(about: Spoken) -> bool:
    """Whether the man that moved leaves the file before its pawn."""
    was, now, mine = about.move.from_square, about.move.to_square, about.before.turn
    behind = [s for s in about.before.pieces(chess.PAWN, mine) if s % 8 == was % 8 and (s < was) == mine]
    return bool(behind) and now % 8 != was % 8


def _left_by_guard(about: Spoken) -> bool:
    """Whether a reply takes a man that the one that moved alone had guarded, and nobody takes back."""
    takes = [m for m in _replies(about) if about.after.is_capture(m) and m.to_square != about.move.to_square]
    left = [m for m in takes if list(about.before.attackers(about.attacker, m.to_square)) == [about.move.from_square]]
    return any(not is_guarded(then(about.after, m), m.to_square, about.attacker) for m in left)


def _hit_alone(man: chess.PieceType, about: Spoken) -> bool:
    """Whether a best reply comes to attack a man of the defender's, not beside its king, that nobody guards."""
    side, plies = not about.attacker, about.told.mate_plies(about.after)
    for there in (then(about.after, reply) for reply in _replies(about)):
        if plies is not None and about.told.mate_plies(there) == plies - 1:
            hit = [s for s in there.pieces(man, side) if is_guarded(there, s, about.attacker)]
            if any(far(s, their(about, there)) > 1 and not is_guarded(there, s, side) for s in hit):
                return True
    return False


def _near_men(about: Spoken) -> list[chess.PieceType | None]:
    """Return the kinds of the defender's men up to two steps from its king."""
    king, board = their(about, about.after), about.after
    men = [s for s, p in board.piece_map().items() if p.color != about.attacker and p.piece_type != chess.KING]
    return [board.piece_type_at(s) for s in men if far(s, king) <= 2]


def maxim(text: str, about: Spoken) -> int | None:
    """Return one claim for a rule that is to the point, None where the text is none."""
    text = _SHORTER.get(text, text)
    if text in _MAXIMS:
        beside = (about, about.of(about.move), about.of(_best(about)))
        return hold(any(_MAXIMS[text](one) for one in beside), text)
    found = re.fullmatch(rf"First win the ({MAN})(?:, then mate)?", text)
    if found is not None:
        return hold(sorted((kind(found[1]), chess.KING)) == _theirs(about, about.after), text)
    found = re.fullmatch(rf"The king holds, the ({MAN}) mates", text)
    if found is not None:
        soon = any(_king_moves(one) and _mated_soon(one) for one in (about, about.of(_best(about))))
        mine = _mine(about, about.before)
        return hold(soon and (kind(found[1]) in mine or (found[1] in _MADE and chess.PAWN in mine)), text)
    found = re.fullmatch(rf"Attack with king and ({MAN}) together", text)
    if found is not None:
        alone = _mine(about, about.before) == sorted((kind(found[1]), chess.KING))
        steps = any(map(_king_moves, (about, about.of(_best(about)), *_as_good(about))))
        return hold(alone and steps, text)
    found = re.fullmatch(rf"King and ({MAN}) belong together", text)
    if found is not None:
        near = any(_near_men(one) == [kind(found[1])] for one in (about, about.of(_best(about))))
        return hold(near or any(_hit_alone(kind(found[1]), one) for one in (about, *_worse(about))), text)
    found = re.fullmatch(rf"Keep a loose ({MAN}) away from the king", text)
    if found is not None:
        return hold(
            about.after.piece_type_at(about.move.to_square) == kind(found[1]) and _given(about, by_king=True), text
        )
    found = re.fullmatch(rf"(?:Take room while the|King and) ({MAN}) (?:is safe|mate only together)", text)
    if found is not None and _mine(about, about.after) == [chess.PAWN, chess.KING]:
        return hold(found[1] == "queen" and _king_moves(about), text)
    if found is not None:
        lone = "only together" in text and {*_mine(about, about.after)} - {chess.PAWN} == {kind(found[1]), chess.KING}
        return hold(kind(found[1]) in _mine(about, about.after) and (lone or _mated_on_the_edge(about)), text)
    found = re.fullmatch(rf"A ({MAN}) works best from afar", text)
    if found is not None:
        return hold(about.after.piece_type_at(about.move.to_square) == kind(found[1]), text)
    found = re.fullmatch(rf"Next to a king the ({MAN}) needs a guard", text)
    if found is not None:
        at = about.move.to_square
        by_it = about.after.piece_type_at(at) == kind(found[1]) and far(at, their(about, about.after)) == 1
        guarded = is_guarded(about.after, at, about.attacker)
        mates = about.after.is_checkmate() and guarded
        given = about.after.is_check() and not guarded and _given(about, by_king=True)
        return hold(by_it and (mates or given), text)
    found = re.fullmatch(rf"(?:Look (?:along|where|what)|Mind) the ({MAN})(?:'s .*| can .*)", text)
    if found is not None:
        takers = {about.after.piece_type_at(m.from_square) for m in _replies(about) if about.after.is_capture(m)}
        return hold(kind(found[1]) in takers, text)
    found = re.fullmatch(rf"A queen mates sooner than a ({MAN})", text)
    if found is not None:
        best, made = _best(about), about.move.promotion
        return hold(made == kind(found[1]) and (best.promotion == chess.QUEEN or _later_than_queen(about)), text)
    if text == "Keep them off one line":
        return hold(len(_mine(about, about.before)) > 1 or len(_theirs(about, about.before)) > 1, text)
    found = re.fullmatch(rf"Keep king and ({MAN}) off one line", text)
    if found is not None:
        either = {*_mine(about, about.before), *_theirs(about, about.before), about.move.promotion}
        return hold(kind(found[1]) in either, text)
    if re.fullmatch(rf"Keep the {MAN} from the king", text):
        return hold(_given(about, by_king=True), text)
    if text == "Keep them apart":
        return hold(len(_theirs(about, about.after)) > 1, text)
    found = re.fullmatch(rf"Part the king from its ({MAN})", text)
    if found is None:
        return None
    theirs = [p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker]
    return hold(kind(found[1]) in theirs, text)

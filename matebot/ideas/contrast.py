"""What a defence does that the ones that last less long do not.

Definition. A shorter defence *shares* an idea when it shows one of the same kind about the same man, square or goal, by
the attributes listed here; no idea is a reason for a move that it does not tell from a shorter one. It is *common* when
every other defence that lasts as long shows it as well. Read off the board after a shorter defence: whether it gives
check, where its king stands, what that guards, and the opposition it is in. The attacker's best replies are those that
mate soonest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.ends_in import is_forced, promotes_in
from matebot.ideas.falling import is_lost, is_taken, whatever
from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.kept_piece import KeptPiece
from matebot.ideas.prepares import Next
from matebot.ideas.quick_board import to_move
from matebot.ideas.shorter import as_long, longest, shorter, soonest
from matebot.ideas.squares import (
    after_move,
    flood,
    from_edge,
    gives_check,
    in_order,
    is_king_step,
    king_goals,
    king_steps,
    men_of,
    opposition,
    shut_mask,
)
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.truth import Truth

#: What tells two ideas of a kind apart; those that are not listed are always told.
_ABOUT = {
    "at_pawn": ("reach", "pawn"),
    "attacks_man": ("squares",),
    "cage": ("change",),
    "escapes_mate": (),
    "from_king": ("after",),
    "keeps_room": ("squares",),
    "makes_for": ("goal", "target"),
    "stalemate_trap": ("deed",),
    "stands_by": ("help", "man"),
    "threatens": ("threat", "man"),
    "through_hole": ("hole",),
    "ties_man": ("square",),
    "trapped": ("square",),
    "wrong_corner": ("deed", "corner"),
}
#: From so many moves on it is hard to find the one that wins.
_MANY = 6
#: So many plies are looked ahead for a promotion.
_FAR_AHEAD = 15
SeenOf = Callable[[str, chess.Move, chess.Board], Idea | None]


class Contrast:
    """A lost defence beside those that last less long, each thing looked for when it is asked for.

    Parameters
    ----------
    before, move, after : the boards and the move; without a truth nothing is shorter and no reply is known
    attacker : the side that wins
    truth : knows how long each move lasts, None where that is not known
    seen : returns the idea of a kind in a move, given the board after it
    """

    def __init__(
        self,
        before: chess.Board,
        move: chess.Move,
        after: chess.Board,
        attacker: chess.Color,
        truth: Truth | None,
        seen: SeenOf,
    ) -> None:
        self._before, self._move, self._after = before, move, after
        self._attacker, self._truth, self._seen = attacker, truth, seen
        self._found: dict[tuple[str, chess.Move], Idea | None] = {}

    @cached_property
    def _shorter(self) -> list[tuple[chess.Move, chess.Board]]:
        if self._truth is None or self._before.turn == self._attacker:
            return []
        return shorter(self._before, self._move, self._truth)

    @cached_property
    def _as_long(self) -> list[tuple[chess.Move, chess.Board]]:
        if self._truth is None or self._before.turn == self._attacker:
            return []
        return as_long(self._before, self._move, self._truth)

    @cached_property
    def _replies(self) -> set[chess.Move]:
        if self._truth is None or self._before.turn == self._attacker:
            return set()
        return soonest(self._after, self._truth)

    def shares(self, idea: Idea) -> bool:
        """Whether a shorter defence shows the idea too."""
        about = _ABOUT.get(idea.kind)
        if about is None:
            return False
        return any(self._alike(idea, about, move, there) for move, there in self._shorter)

    def common(self, idea: Idea) -> bool:
        """Whether every other defence that lasts as long shows the idea too, while others are shorter."""
        about = _ABOUT.get(idea.kind, ())
        return all(self._alike(idea, about, move, there) for move, there in self._as_long) and bool(self._shorter)

    def _alike(self, idea: Idea, about: tuple[str, ...], move: chess.Move, there: chess.Board) -> bool:
        """Whether another defence shows the same; what takes long to see is asked last, and once."""
        if isinstance(idea, Threatens) and idea.threat is Threat.CAPTURE and not self._hits(there, idea.man):
            return False
        key = idea.kind, move
        if key not in self._found:
            self._found[key] = self._seen(idea.kind, move, there)
        found = self._found[key]
        return found is not None and all(getattr(found, name) == getattr(idea, name) for name in about)

    def _hits(self, board: chess.Board, man: chess.PieceType) -> bool:
        """Whether the defender attacks a man of a kind."""
        squares = chess.scan_forward(board.pieces_mask(man, self._attacker))
        return any(board.is_attacked_by(not self._attacker, square) for square in squares)

    def off_edge(self, steps: int) -> bool:
        """Whether the king stands so many steps or more from the edge after a shorter defence."""
        return any(from_edge(self._king(there)) >= steps for _, there in self._shorter)

    @cached_property
    def shorter_kings(self) -> list[chess.Square]:
        """Where the king stands after each shorter defence."""
        return [self._king(there) for _, there in self._shorter]

    def edge_tells(self, steps: int) -> bool:
        """Whether the king stands so far from the edge after no shorter defence; without any, after all of them."""
        if self._shorter:
            return not self.off_edge(steps)
        return all(from_edge(king) >= steps for king in self.equal_kings)

    @cached_property
    def leaves_man(self) -> bool:
        """Whether a shorter step of the king leaves a man to be taken, and no shorter defence leaves it beside one."""
        steps = any(is_king_step(self._before, move) and bool(hanging(there)) for move, there in self._shorter)
        return steps and not any(self._beside_man(there) for _, there in self._shorter)

    def _beside_man(self, board: chess.Board) -> bool:
        """Whether the king stands next to a man of its own."""
        men = board.occupied_co[not self._attacker] & ~board.kings
        return bool(chess.BB_KING_ATTACKS[self._king(board)] & men)

    @cached_property
    def on_edge(self) -> bool:
        """Whether the king stands on the edge, and no legal step of it leads off."""
        king = men_of(self._before).king(not self._attacker)
        return not from_edge(king) and not _off_edge(self._before)

    @cached_property
    def ways_off(self) -> set[chess.Square]:
        """The squares off the edge to which the king could step if it moved on."""
        return set(_off_edge(to_move(self._after, not self._attacker)))

    def stopped(self, reply: chess.Move) -> list[chess.Square]:
        """Return these where a reply leaves the king none of them; nothing elsewhere."""
        return [] if self.ways_off.intersection(_off_edge(after_move(self._after, reply))) else sorted(self.ways_off)

    @cached_property
    def equal_kings(self) -> list[chess.Square]:
        """Where the king stands after each other defence that lasts as long."""
        return [self._king(there) for _, there in self._as_long]

    def farther(self, corner: chess.Square, steps: int) -> bool:
        """Whether the king stands farther than so many steps from a corner and the opposite one after a shorter one."""
        kings = [self._king(there) for _, there in self._shorter]
        return any(min(king_steps(king, corner), king_steps(king, corner ^ 63)) > steps for king in kings)

    def bars(self, squares: int) -> bool:
        """Whether the king guards all of some squares, as bits, after a shorter defence."""
        return any(not squares & ~chess.BB_KING_ATTACKS[self._king(there)] for _, there in self._shorter)

    def keeps_out(self, square: chess.Square) -> bool:
        """Whether the king guards a square after the move and all that last as long, and after no shorter defence."""
        longest = [self._after, *(there for _, there in self._as_long)]
        return all(king_steps(self._king(there), square) == 1 for there in longest) and not self.bars(1 << square)

    def opposes(self, kind: str) -> bool:
        """Whether a shorter defence leaves the kings in an opposition of a kind."""
        return any(opposition(men_of(there)) == kind for _, there in self._shorter)

    @cached_property
    def only_win(self) -> chess.Move | None:
        """The attacker's one move that still wins, of many, where shorter defences leave him more; None without."""
        if self._truth is None or self._before.turn == self._attacker:
            return None
        worth = self._truth.after(self._after)
        wins = [reply for reply, (outcome, _) in worth.items() if outcome < 0]
        if len(wins) != 1 or len(worth) < _MANY:
            return None
        return wins[0] if all(_wins_easily(there, self._truth) for _, there in self._shorter) else None

    @cached_property
    def one_way(self) -> chess.Move | None:
        """The attacker's one reply of several that still wins; None without."""
        worth = {} if self._truth is None or self._before.turn == self._attacker else self._truth.after(self._after)
        wins = [reply for reply, (outcome, _) in worth.items() if outcome < 0]
        return wins[0] if len(wins) == 1 < len(worth) else None

    @cached_property
    def delays_pawn(self) -> bool:
        """Whether a pawn promotes after each shorter defence, and later or not at all after the move."""
        if self._truth is None or not self._shorter:
            return False
        mine = promotes_in(self._after, self._truth, _FAR_AHEAD)
        within = _FAR_AHEAD if mine is None else mine - 1
        return all(promotes_in(there, self._truth, within) is not None for _, there in self._shorter)

    def falls(self, square: chess.Square) -> bool:
        """Whether a best reply takes the man on a square."""
        return any(reply.to_square == square for reply in self._replies)

    def forked(self, square: chess.Square) -> bool:
        """Whether a check hits the man on a square as well, and whatever the reply it is taken there for nothing."""
        for reply in self._after.generate_legal_moves():
            if not gives_check(self._after, reply):
                continue
            there = after_move(self._after, reply)
            if there.attackers_mask(self._attacker, square) and whatever(there, is_taken, square):
                return True
        return False

    @cached_property
    def guards_else(self) -> list[chess.Move]:
        """Shorter steps of the king beside its only man, which no best reply takes then."""
        own = self._before.occupied_co[not self._attacker] & ~self._before.kings
        man = own.bit_length() - 1
        if self._truth is None or own.bit_count() != 1:
            return []
        beside = [
            (move, there)
            for move, there in self._shorter
            if is_king_step(self._before, move) and king_steps(move.to_square, man) == 1
        ]
        return [m for m, there in beside if all(reply.to_square != man for reply in soonest(there, self._truth))]

    @cached_property
    def saved_else(self) -> bool:
        """Whether after another defence that lasts as long no man can be taken."""
        return any(not any(there.generate_legal_captures()) for _, there in self._as_long)

    @cached_property
    def hang_else(self) -> bool:
        """Whether after every shorter defence a man may be taken for nothing."""
        return all(hanging(there) for _, there in self._shorter)

    def is_best(self, reply: chess.Move) -> bool:
        """Whether a reply mates soonest."""
        return reply in self._replies

    def is_attacked(self, square: chess.Square) -> bool:
        """Whether a man of the attacker attacks a square after the move."""
        return self._after.is_attacked_by(self._attacker, square)

    @cached_property
    def one_reply(self) -> bool:
        """Whether one reply alone mates soonest."""
        return len(self._replies) == 1

    def best_after_longest(self, reply: chess.Move) -> tuple[bool, bool]:
        """Whether a reply mates soonest after all moves that last longest, and after one of them."""
        if self._truth is None:
            return False, False
        best = [reply in soonest(there, self._truth) for there in longest(self._before, self._truth)]
        return all(best), any(best)

    @cached_property
    def kept(self) -> KeptPiece:
        """The defender's only piece, as it is kept by this defence and by others."""
        return KeptPiece(self._before, self._after, self._attacker, self._truth, (self._shorter, self._as_long))

    def is_forced(self, does: Next, plies: int) -> bool:
        """Whether a capture, or a promotion, or mate comes in so many plies at most, whatever the replies."""
        return self._truth is not None and is_forced(self._after, does, self._truth, plies)

    @cached_property
    def fork(self) -> tuple[chess.Move, chess.PieceType] | None:
        """A best reply that checks and hits a man, which then falls whatever comes, and its kind; None without."""
        own = self._after.occupied_co[not self._attacker] & ~self._after.kings
        for reply in sorted(self._replies, key=chess.Move.uci) if own else ():
            if not gives_check(self._after, reply) or self._after.is_capture(reply):
                continue
            there = after_move(self._after, reply)
            hit = own & there.attacks_mask(reply.to_square)
            for square in chess.scan_forward(hit):
                if whatever(there, is_lost if own.bit_count() == 1 else is_taken, square):
                    return reply, there.piece_type_at(square) or chess.PAWN
        return None

    def shuts_off(self, man: chess.Square, steps: Iterable[chess.Square]) -> bool:
        """Whether a best reply neither moves nor guards the man on a square, and lets the king step to none of some."""
        for reply in self._replies:
            there = after_move(self._after, reply)
            if reply.from_square == man or there.is_attacked_by(self._attacker, man):
                continue
            king = men_of(there).king(not self._attacker)
            if not any(there.is_legal(chess.Move(king, step)) for step in steps):
                return True
        return False

    @cached_property
    def takes_else(self) -> bool:
        """Whether another man could have been taken."""
        return any(move.to_square != self._move.to_square for move in self._before.generate_legal_captures())

    @cached_property
    def room(self) -> Squares:
        """The squares that the king can get to after the move without taking a man."""
        men = men_of(self._after)
        ways = ~(shut_mask(men, self._attacker) | men.of(self._attacker))
        return in_order(flood(chess.BB_SQUARES[men.king(not self._attacker)], ways))

    @cached_property
    def caged(self) -> bool:
        """Whether the king stands in a cage after the move."""
        return bool(cage_mask(men_of(self._after), self._attacker))

    def leaves(self, man: chess.Square, squares: int) -> bool:
        """Whether a best reply moves the man on a square so that it no longer guards all of some squares, as bits."""
        for reply in self._replies:
            if reply.from_square == man:
                there = after_move(self._after, reply)
                if squares & ~there.attacks_mask(reply.to_square):
                    return True
        return False

    def _king(self, board: chess.Board) -> chess.Square:
        return men_of(board).king(not self._attacker)


def _off_edge(board: chess.Board) -> list[chess.Square]:
    """Return the squares off the edge to which the king of the side to move may step."""
    return [step for step in in_order(king_goals(board)) if from_edge(step)]


def _wins_easily(board: chess.Board, truth: Truth) -> bool:
    """Whether the side to move has more than one move that wins, or one that stands out: a check or a capture."""
    wins = [move for move, (outcome, _) in truth.after(board).items() if outcome < 0]
    return len(wins) > 1 or any(board.is_capture(move) or gives_check(board, move) for move in wins)

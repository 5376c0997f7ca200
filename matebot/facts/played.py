"""A legal move with what its facts are made of: the boards before and after it, and what it is held against."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import islice
from weakref import ref

import chess

from matebot.facts.standard import Standard
from matebot.ideas.blame import Blame, blame
from matebot.ideas.hanging import hanging
from matebot.ideas.prepares import Next, deed
from matebot.ideas.seeing import Seen
from matebot.ideas.squares import after_move
from matebot.method.standing import Standing
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, as_good

#: The reply and the move after it.
_BACK = 2
#: Equally good replies that are compared.
_REPLIES_LOOKED_AT = 4
#: More plies than any mate takes.
_NEVER = 1 << 20


class Played:
    """A legal move of a judged position.

    Attributes
    ----------
    standard : the best moves of the position
    before, after : the boards; they stay as they are
    attacker, defender : the side that wins or has the stronger men, and the other; None when the men are equal
    ranked : what the move is worth
    """

    def __init__(self, standard: Standard, move: chess.Move) -> None:
        self.standard, self.judged, self.before, self.move = standard, standard.judged, standard.board, move
        self.after = after_move(self.before, move)
        self.attacker, self.by_attacker = standard.attacker, standard.attacks
        self.defender = None if self.attacker is None else not self.attacker
        self.ranked = self.judged.item(move)
        self._seen: ref[Seen] | None = None

    @property
    def piece(self) -> chess.PieceType:
        """Kind of the man moved."""
        return self.before.piece_type_at(self.move.from_square) or chess.PAWN

    @cached_property
    def replies(self) -> list[chess.Move]:
        """The legal replies."""
        return list(self.after.generate_legal_moves())

    @cached_property
    def better(self) -> Ranked | None:
        """The move recommended instead, None where this one loses nothing."""
        return self.standard.recommended(self.ranked)

    def beside(self, move: chess.Move) -> Played:
        """Return another legal move of the same position."""
        return Played(self.standard, move)

    @cached_property
    def clearly_better(self) -> tuple[chess.Move, ...]:
        """The move recommended, then all that keep an outcome this one loses, or else lose less than half as much."""
        if self.better is None:
            return ()
        best, others = self.standard.ranking[0], [item for item in self.standard.ranking if item is not self.better]
        if self.ranked.outcome < best.outcome:
            found = [item.move for item in others if item.outcome == best.outcome]
        elif self.standard.ranked_exactly and self.ranked.exact:
            found = [item.move for item in others if 2 * _lag(item, best) < _lag(self.ranked, best)]
        else:
            found = []
        return (self.better.move, *found)

    @cached_property
    def best_moves(self) -> tuple[chess.Move, ...]:
        """The moves as good as the best one, the move recommended first where there is one."""
        ranking = self.standard.ranking
        best = [item.move for item in ranking if item is not self.better and as_good(item, ranking[0])]
        return tuple(best) if self.better is None else (self.better.move, *best)

    @cached_property
    def no_better(self) -> tuple[chess.Move, ...]:
        """The other moves of the same man that come to no more, and leave no man to be taken for nothing.

        After a move that gives no check none that does.
        """
        if self.better is None or not self.by_attacker or not self.ranked.exact:
            return ()
        ranking, mine = self.standard.ranking, self.ranked
        lag = _lag(mine, ranking[0])
        found = [item.move for item in ranking if item.exact and item.outcome == mine.outcome]
        same_man = [move for move in found if move.from_square == self.move.from_square and move != self.move]
        late = [move for move in same_man if _lag(self.judged.item(move), ranking[0]) >= lag]
        # A check is another fault, unless the move gives check as well.
        quiet = [move for move in late if self.after.is_check() or not self.before.gives_check(move)]
        return tuple(move for move in quiet if _is_sound(self.before, move))

    @cached_property
    def as_quick(self) -> tuple[chess.Move, ...]:
        """The other moves after which a win takes exactly as long, those of the same man first."""
        if self.ranked.outcome <= 0 or not self.ranked.exact:
            return ()
        alike = (item.move for item in self.standard.ranking if as_good(item, self.ranked))
        start = self.move.from_square
        return tuple(sorted((move for move in alike if move != self.move), key=lambda move: move.from_square != start))

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Where the position after the move stands in each ladder; empty when the attacker does not win."""
        if not self.ranked.outcome:
            return ()
        return self.judged.library.standings_of(self.judged.referee.steps[self.move].child)

    @property
    def seen(self) -> Seen:
        """The ideas of the move, the same ones as long as somebody holds them: they hold this."""
        seen = None if self._seen is None else self._seen()
        if seen is None:
            seen = self._see()
            self._seen = ref(seen)
        return seen

    def _see(self) -> Seen:
        """Return the ideas; what needs the truth only where neither clock nor history changes it."""
        standard, ranked, referee = self.standard, self.ranked, self.judged.referee
        value, outcome = standard.verdict.value, ranked.verdict.value.outcome
        plain = standard.verdict.outcome == value.outcome and referee.plain(value, self.before.halfmove_clock)
        told = plain and standard.ranked_exactly and ranked.exact and ranked.outcome == -outcome
        drawn = standard.truth if ranked.outcome == outcome == 0 else None
        stages = None
        if self.judged.standings and self.standings:
            stages = self.judged.standings[0].at, self.standings[0].at
        truth = standard.truth if told else None
        boards = self.before, self.move, self.after
        return Seen(*boards, self.attacker, truth, stages, drawn, lambda: self.blame, lambda: self.back)

    @cached_property
    def method_moves(self) -> int | None:
        """Moves to mate by the method, where that is the style in force and the move follows it."""
        return self.standard.method_moves(self.ranked)

    @cached_property
    def line(self) -> tuple[chess.Move, ...]:
        """A best reply and the best move after it; among equal replies the one that leaves least choice.

        In a draw replies after which a man may be taken are looked at last.
        Where the move loses something and the move that would have been better still is as good as any, that one.
        Where a distance is only a bound no reply is known to be best, so there is nothing to tell.
        """
        there = self.judged.after(self.move)
        if not self.ranked.exact or not there.best:
            return ()
        replies = list(islice(self._best_replies(there), _REPLIES_LOOKED_AT))
        reply = min(replies, key=lambda reply: _choice(there.after(reply))) if len(replies) > 1 else replies[0]
        replied = there.after(reply)
        after = () if replied.board.is_insufficient_material() else replied.best
        wanted = [move for move in after if self._is_better(move)]
        return (reply, (wanted or after)[0]) if after else (reply,)

    @property
    def answer(self) -> Played | None:
        """The move after the best reply, None where none is told."""
        if len(self.line) < _BACK:
            return None
        judged = self.judged.after(self.move).after(self.line[0])
        return Played(Standard(judged, "method" if self.standard.by_method else "shortest"), self.line[1])

    def _best_replies(self, there: Judged) -> Iterator[chess.Move]:
        """Yield the best replies; in a draw those after which a man may be taken last."""
        drawn, giving = there.referee.after(there.best[0]).outcome == 0, list[chess.Move]()
        for move in there.best:
            if drawn and any(after_move(there.board, move).generate_legal_captures()):
                giving.append(move)
            else:
                yield move
        yield from giving

    def _is_better(self, move: chess.Move) -> bool:
        return self.better is not None and move == self.better.move

    @cached_property
    def blame(self) -> Blame | None:
        """What a move of the attacker lets in by a best reply, and the best move would not."""
        if self.better is None or not self.by_attacker or not self.line:
            return None
        there = self.judged.after(self.move)
        choices = [self.clearly_better[1:], self.best_moves[1:]]
        if self.ranked.outcome < self.standard.ranking[0].outcome:
            del choices[1]  # what any move that keeps the outcome lets in is no reason
        replies = list(self._best_replies(there))
        # Where a single reply saves the game, what it does is the reason, whatever other moves come to.
        saves = len(replies) == 1 and self.ranked.outcome < self.standard.ranking[0].outcome
        beside = tuple if saves else lambda: self.no_better
        return blame(self.before, self.move, self.better.move, replies, choices, beside)

    @cached_property
    def back(self) -> Next | None:
        """What the move after the best reply does, where the move of the attacker loses something; None without."""
        if self.better is None or not self.by_attacker or len(self.line) < _BACK:
            return None
        board = after_move(self.after, self.line[0])
        return deed(board, self.line[1], board.turn)


def _lag(item: Ranked, best: Ranked) -> int:
    """Return how many plies a move lies behind the best; more than any mate takes where its outcome is another."""
    if item.outcome != best.outcome:
        return _NEVER
    return abs((item.mate_plies or 0) - (best.mate_plies or 0))


def _choice(judged: Judged) -> int:
    """Return how many moves keep the outcome of a position, none where nobody can mate."""
    return 0 if judged.board.is_insufficient_material() else judged.referee.count_keeping()


def _is_sound(board: chess.Board, move: chess.Move) -> bool:
    """Whether a move leaves a reply, and no man that may be taken for nothing."""
    there = after_move(board, move)
    return not hanging(there) and any(there.generate_legal_moves())

"""Looks over the moves of a game: what there is to remark at each covered position, and what is counted.

Every position is judged with the clock and the history the game gave it. Never reads or writes PGN.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field

import chess

from matebot.commentary import LEVELS
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.facts.standard import attacker_of, colour_name
from matebot.games.demonstrate import change_of, outcome_text
from matebot.games.tally import Position, Tally
from matebot.laws import CLAIM_PLIES, Referee
from matebot.method.library import Library
from matebot.method.standing import Standing
from matebot.play.judged import Judged
from matebot.play.line import shortest_line
from matebot.play.ranking import rank_with
from matebot.solver.coverage import Refusal
from matebot.terms import Cause, Mistake, attacker_moves, moves_left
from matebot.wording import clock
from matebot.wording.moves import line, sentences_of
from matebot.wording.phrases import listed, sentence

#: Numeric annotation glyphs of the PGN standard: a changed outcome, two or more moves lost, one move lost.
OUTCOME_CHANGED, MOVES_LOST, MOVE_LOST = 4, 2, 6
REVIEW_LEVELS = LEVELS[1:]
_LINE_PLIES = 4
_SPARE_MOVES = 5
#: What was said of so many moves is not said again.
_REMEMBERED = 4
_MEN = 5


@dataclass(slots=True)
class Remark:
    """What is said behind a move, or before the first one.

    Attributes
    ----------
    nag : numeric annotation glyph, None without
    sentences : in the order in which they are read
    better : a better line instead of the move, SAN
    """

    nag: int | None = None
    sentences: list[str] = field(default_factory=list)
    better: list[str] = field(default_factory=list)


@dataclass(slots=True)
class _Said:
    """What has been said of the game and need not be said again."""

    ending: str = ""
    claimable: bool = False
    clock_draw: bool = False
    tight: bool = False
    stages: set[str] = field(default_factory=set)
    recent: deque[frozenset[str]] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))


class Reviewer:
    """Looks over games.

    Parameters
    ----------
    sides : the sides whose moves are remarked on and counted
    tally : counts what the moves of all games cost
    level : how much is said: brief a line on a move; full also where a stage begins; hints also the next moves
    """

    def __init__(
        self, library: Library, sides: frozenset[chess.Color], tally: Tally, level: str = REVIEW_LEVELS[1]
    ) -> None:
        self.library = library
        self.level = level
        self.sides = sides
        self.tally = tally

    def remarks(self, start: chess.Board, moves: Sequence[chess.Move]) -> dict[int, Remark]:
        """Return remarks by the number of moves before them; 0 is before the first move."""
        board, found, said = start.copy(), dict[int, Remark](), _Said()
        for number, move in enumerate([*moves, None]):
            if move is not None and not move:
                break  # a null move is none of the game's
            self._look(board, number, move, found, said)
            if move is not None:
                board.push(move)
                _forget(board)
        self.tally.end_game(board)
        return {number: remark for number, remark in found.items() if remark.sentences or remark.nag}

    def _look(
        self, board: chess.Board, number: int, move: chess.Move | None, found: dict[int, Remark], said: _Said
    ) -> None:
        if move is not None and said.ending and board.halfmove_clock > CLAIM_PLIES:
            self.tally.stay()  # since the last look nothing was captured, and nothing can be won any more
            return
        referee = self._referee(board)
        if referee is None:
            self.tally.leave()
            return
        standings = self.library.standings(board) if referee.here().outcome else ()
        position = self._position(referee, standings)
        here = found.setdefault(number, Remark())
        if position.ending != said.ending:
            if not said.ending and any(board.generate_legal_moves()):
                here.sentences += [outcome_text(referee.board, referee.here()), *self._begun(standings, said)]
            said.ending = position.ending
        here.sentences += _trouble(referee, said)
        if move is None:
            self.tally.stand(position)
            return
        mine = board.turn in self.sides and not said.claimable
        if not mine or self._is_plain(referee, standings, move):
            self.tally.kept(position, attacker_of(board, referee.here()) == board.turn, mine)
            return
        maker = FactMaker(Judged(self.library, referee))
        facts = maker.facts(move, ahead=_falls_short(maker, move))
        self.tally.move(position, facts)
        found[number + 1] = self._remark(maker, facts, said)

    def _referee(self, board: chess.Board) -> Referee | None:
        """Return a referee for a covered position, else None."""
        if chess.popcount(board.occupied) > _MEN:
            return None
        try:
            self.library.tables.check(board)
        except Refusal:
            return None
        return Referee(board, self.library.tables)

    def _is_plain(self, referee: Referee, standings: tuple[Standing, ...], move: chess.Move) -> bool:
        """Whether a move is as good as any and changes neither men nor stage: then nothing is said, and at little cost.

        Most moves of a good game are such; all others have their facts made.
        """
        board, here, after = referee.board, referee.here(), referee.after(move)
        if referee.is_over or not here.exact or not after.exact or after.outcome != -here.outcome:
            return False
        if here.mate_plies is not None and (after.mate_plies is None or after.mate_plies != here.mate_plies - 1):
            return False
        if after.mate_plies == 0 or move.promotion or board.is_capture(move):
            return False
        if not standings:
            return True
        board.push(move)
        later = self.library.standings(board)
        board.pop()
        return not later or (later[0].ladder, later[0].stage) == (standings[0].ladder, standings[0].stage)

    def _position(self, referee: Referee, standings: tuple[Standing, ...]) -> Position:
        material = self.library.tables.stand_of(referee.board)[0].material
        ending = "KK" if material is None else material.name
        won = referee.here().outcome != 0
        if not standings:
            return Position(ending, 0, "won" if won else "drawn", won)
        return Position(ending, standings[0].stage, standings[0].title, won)

    def _remark(self, maker: FactMaker, facts: MoveFacts, said: _Said) -> Remark:
        if facts.cost.mistake is not Mistake.NONE:
            return self._slip(maker, facts, said)
        if facts.gives.mate:
            return Remark(sentences=[self._line(facts, None, said)])
        if not _stage_changes(facts):
            return Remark()
        return Remark(sentences=[self._line(facts, None, said), *self._now(facts, said)])

    def _line(self, facts: MoveFacts, better: MoveFacts | None, said: _Said, beside: Sequence[str] = ()) -> str:
        """Return a line on a move without the side, and without what was said of the last ones."""
        recent = frozenset[str]().union(*said.recent)
        text = line(facts, better, self.level == "hints", recent, beside).partition(": ")[2]
        said.recent.append(frozenset(sentences_of(text)))
        return text

    def _now(self, facts: MoveFacts, said: _Said) -> list[str]:
        """Tell the stage in which the game goes on."""
        return [] if facts.worth.outcome_after == 0 else self._begun(facts.places.standings_after, said)

    def _begun(self, standings: Sequence[Standing], said: _Said) -> list[str]:
        """Tell a stage in which the game is now: what is reached, what is next, how you will know; once in a game."""
        if self.level == "brief":
            return []
        return [text for standing in standings[:1] for text in change_of(standing, said.stages)]

    def _slip(self, maker: FactMaker, facts: MoveFacts, said: _Said) -> Remark:
        changed = facts.worth.outcome_after < facts.worth.outcome_before
        nag = None
        if facts.cost.mistake.is_slip:
            nag = OUTCOME_CHANGED if changed else MOVES_LOST if (facts.cost.moves_lost or 0) > 1 else MOVE_LOST
        beside = []
        if changed and facts.worth.outcome_before == 0 and facts.stalemates.stalemating:
            beside.append(sentence(f"{listed(facts.stalemates.stalemating, 'or')} would have been stalemate"))
        sentences = [self._line(facts, maker.better(facts), said, beside)]
        if not changed and _stage_changes(facts):
            sentences += self._now(facts, said)
        return Remark(nag, sentences, self._better(maker.board, facts) if nag else [])

    def _better(self, board: chess.Board, facts: MoveFacts) -> list[str]:
        """Return a few plies of best play, beginning with the best move."""
        if facts.instead.best is None:
            return []
        line = board.copy()
        names = [line.san_and_push(chess.Move.from_uci(facts.instead.best))]
        while len(names) < _LINE_PLIES and not line.is_insufficient_material():
            referee = Referee(line, self.library.tables)
            verdict = referee.here()
            if verdict.outcome and referee.plain(verdict.value, line.halfmove_clock):
                mate = shortest_line(self.library.tables, *self.library.tables.stand(line), _LINE_PLIES - len(names))
                return [*names, *map(line.san_and_push, mate)]
            replies = rank_with(referee)
            if not replies:
                break
            names.append(line.san_and_push(replies[0].move))
        return names


def _forget(board: chess.Board) -> None:
    """Forget moves that matter no more, since every copy of a board takes them along.

    Nothing that was before a capture or a pawn move comes back, and after fifty moves repetitions change nothing.
    """
    if board.halfmove_clock == 0 or board.halfmove_clock > CLAIM_PLIES:
        board.clear_stack()


def _falls_short(maker: FactMaker, move: chess.Move) -> bool:
    """Whether a move does not achieve all that could be achieved."""
    played = next(item for item in maker.ranking if item.move == move)
    return played.outcome < maker.ranking[0].outcome or bool(maker.moves_lost(move))


def _stage_changes(facts: MoveFacts) -> bool:
    """Whether the game goes on in another stage, or another ladder, of a win that is still one."""
    before, after = facts.places.standings_before[:1], facts.places.standings_after[:1]
    if not before or not after or facts.worth.outcome_after == 0:
        return bool(facts.man.promoted or facts.man.captured) and not facts.gives.mate
    return (before[0].ladder, before[0].stage) != (after[0].ladder, after[0].stage)


def _trouble(referee: Referee, said: _Said) -> list[str]:
    """Say, once each time, that a draw may be claimed, or that the count of fifty moves decides or comes near."""
    board, verdict = referee.board, referee.here()
    if board.halfmove_clock == 0:
        said.clock_draw = said.tight = said.claimable = False
    cause, value = Cause(verdict.cause), verdict.value
    winner = None if value.outcome == 0 else board.turn if value.outcome > 0 else not board.turn
    shortest = attacker_moves(value.dtm_plies or 0, board.turn == winner)
    if referee.is_over and cause in (Cause.FIFTY_MOVES, Cause.REPETITION) and not said.claimable:
        said.claimable = True
        return [clock.claimable(cause, colour_name(winner), shortest)]
    if said.claimable or winner is None or cause in (Cause.CHECKMATE, Cause.REPETITION):
        return []
    left = moves_left(board.halfmove_clock, board.turn == winner)
    name = chess.COLOR_NAMES[winner]
    if cause is Cause.FIFTY_MOVES:
        begins, said.clock_draw = not said.clock_draw, True
        return [clock.too_late(name, shortest, left)] if begins else []
    moves = attacker_moves(verdict.mate_plies or 0, board.turn == winner)
    if said.tight or left > moves + _SPARE_MOVES:
        return []
    said.tight = True
    return [clock.tight(left, moves, verdict.exact)]

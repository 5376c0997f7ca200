"""Looks over the moves of a game: what there is to remark at each covered position, and what is counted.

Every position is judged with the clock and the history the game gave it. Never reads or writes PGN.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import chess

from matebot.commentary import LEVELS
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.facts.standard import attacker_of, colour_name
from matebot.games.demonstrate import change_of, outcome_text
from matebot.games.tally import Tally, TallyPlace
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.method.standing import Standing
from matebot.play.judged import Judged
from matebot.play.line import best_line
from matebot.solver.coverage import Refusal, men_of
from matebot.solver.material import Material
from matebot.terms import CLAIM_PLIES, Cause, Mistake, attacker_moves, moves_left
from matebot.wording import clock
from matebot.wording.anew import leading, told_anew
from matebot.wording.moves import distance, line, one_line, sentences_of
from matebot.wording.phrases import listed, sentence

#: Numeric annotation glyphs of the PGN standard: a changed outcome, two or more moves lost, one move lost.
OUTCOME_CHANGED, MOVES_LOST, MOVE_LOST = 4, 2, 6
REVIEW_LEVELS = LEVELS[1:]
_LINE_PLIES = 4
_SPARE_MOVES = 5
#: What was said of so many moves is not said again: four of each side.
_REMEMBERED_PLIES = 8
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
    once: set[str] = field(default_factory=set)
    lately: deque[frozenset[str]] = field(default_factory=lambda: deque(maxlen=_REMEMBERED_PLIES))

    @property
    def all(self) -> frozenset[str]:
        """What was said of the last moves, or is said once in a game."""
        return frozenset(self.once).union(*self.lately)

    def told(self, lately: Iterable[str], once: Iterable[str] = ()) -> None:
        """Take in what was said of a move."""
        self.lately.append(frozenset(lately))
        self.once.update(once)


class Reviewer:
    """Looks over games.

    Parameters
    ----------
    sides : the sides whose moves are remarked on and counted
    tally : counts what the moves of all games cost
    level : how much is said: brief a line on a move; full also where a stage begins; hints also the next moves

    Attributes
    ----------
    unsolved : positions passed over because their ending, of five men, is not solved, by that ending
    """

    def __init__(
        self, library: Library, sides: frozenset[chess.Color], tally: Tally, level: str = REVIEW_LEVELS[1]
    ) -> None:
        self.library = library
        self.level = level
        self.sides = sides
        self.tally = tally
        self.unsolved: Counter[Material] = Counter()

    def remarks(self, start: chess.Board, moves: Sequence[chess.Move]) -> dict[int, Remark]:
        """Return remarks by the number of moves before them; 0 is before the first move."""
        board, found, said = start.copy(), dict[int, Remark](), _Said()
        here: Judged | None = None
        for number, move in enumerate([*moves, None]):
            if move is not None and not move:
                break  # a null move is none of the game's
            if said.ending and board.halfmove_clock > CLAIM_PLIES:
                here = None
                self.tally.stay()  # since the last look nothing was captured, and nothing can be won any more
            else:
                here = here or self._judged(board)
                self._look(here, number, move, found, said)
            if move is not None:
                board.push(move)
                _forget(board)
                here = None if here is None else here.after(move)
        self.tally.end_game(board)
        return {number: remark for number, remark in found.items() if remark.sentences or remark.nag}

    def _look(
        self, judged: Judged | None, number: int, move: chess.Move | None, found: dict[int, Remark], said: _Said
    ) -> None:
        if judged is None:
            self.tally.leave()
            return
        position, here = _position(judged), found.setdefault(number, Remark())
        if position.ending != said.ending:
            if not said.ending and judged.referee.steps:
                verdict = judged.referee.here()
                here.sentences += [outcome_text(judged.board, verdict), *self._begun(judged.standings, said)]
            said.ending = position.ending
        here.sentences += _trouble(judged.referee, said)
        if move is None:
            self.tally.stand(position)
            return
        if judged.board.turn not in self.sides or said.claimable:
            attacks = attacker_of(judged.board, judged.referee.here()) == judged.board.turn
            self.tally.kept(position, attacks, judged.board.turn in self.sides and not said.claimable)
            said.lately.append(frozenset())
            return
        maker = FactMaker(judged)
        facts = maker.facts(move)
        self.tally.move(position, facts)
        found[number + 1] = self._remark(maker, facts, said)

    def _judged(self, board: chess.Board) -> Judged | None:
        """Return a covered position judged, None for others; those that wait for an ending to be solved are counted."""
        if chess.popcount(board.occupied) > _MEN:
            return None
        try:
            return Judged.of(self.library, board.copy())
        except Refusal as refusal:
            if refusal.cause == "unsolved":
                self.unsolved[Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0]] += 1
            return None

    def _remark(self, maker: FactMaker, facts: MoveFacts, said: _Said) -> Remark:
        if facts.cost.mistake is not Mistake.NONE:
            return self._slip(maker, facts, said)
        if facts.gives.mate or (facts.worth.outcome_after == 0 and _stage_changes(facts)):
            return Remark(sentences=[self._line(facts, None, said)])
        return Remark(sentences=self._good(facts, said))

    def _good(self, facts: MoveFacts, said: _Said) -> list[str]:
        """Tell a good move by what was not told of the last ones, how far it is to mate where another stage begins."""
        told, changes = told_anew(facts, self.level == "hints", said.all), _stage_changes(facts)
        now = self._now(facts, said) if changes else []
        sentences = [*told.sentences, *([sentence(distance(facts))] if now or (changes and told.sentences) else [])]
        line = [_behind_move(one_line(facts.turn, sentences, said.all))] if sentences else []
        said.told([*told.lately, *told.sentences[1:]], told.once)
        return [*line, *now]

    def _line(self, facts: MoveFacts, better: MoveFacts | None, said: _Said, beside: Sequence[str] = ()) -> str:
        """Return a line on a move without the side, and without what was said of the last ones."""
        text = _behind_move(line(facts, better, self.level == "hints", said.all, beside))
        said.told([*sentences_of(text), *(() if facts.cost.mistake.is_slip else leading(facts))])
        return text

    def _now(self, facts: MoveFacts, said: _Said) -> list[str]:
        """Tell the stage in which the game goes on; where the next move mates there is none to play."""
        ends = facts.worth.outcome_after == 0 or (facts.worth.mate_plies_after or 0) <= 1
        return [] if ends else self._begun(facts.places.standings_after, said)

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
        return Remark(nag, sentences, _better(maker.judged, facts) if nag else [])


def _position(judged: Judged) -> TallyPlace:
    material = judged.referee.stand.material
    ending = "KK" if material is None else material.name
    won = judged.referee.here().outcome != 0
    if not judged.standings:
        return TallyPlace(ending, 0, "won" if won else "drawn", won)
    return TallyPlace(ending, judged.standings[0].stage, judged.standings[0].title, won)


def _better(judged: Judged, facts: MoveFacts) -> list[str]:
    """Return a few plies of best play, beginning with the best move."""
    if facts.instead.best is None:
        return []
    board = judged.board.copy(stack=False)
    return [
        board.san_and_push(move) for move in best_line(judged, chess.Move.from_uci(facts.instead.best), _LINE_PLIES)
    ]


def _behind_move(text: str) -> str:
    """Return a line on a move without the side: it stands behind the move."""
    return text.partition(": ")[2]


def _forget(board: chess.Board) -> None:
    """Forget moves that matter no more, since every copy of a board takes them along.

    Nothing that was before a capture or a pawn move comes back, and after fifty moves repetitions change nothing.
    """
    if board.halfmove_clock == 0 or board.halfmove_clock > CLAIM_PLIES:
        board.clear_stack()


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

"""Looks over the moves of a game: what there is to remark at each covered position, and what is counted.

Every position is judged with the clock and the history the game gave it. Never reads or writes PGN.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import chess

from matebot.games.demonstrate import outcome_text
from matebot.games.tally import Position, Tally
from matebot.laws import Referee, Verdict
from matebot.method.facts import MoveFacts, moves_left_in_count
from matebot.method.library import Library
from matebot.method.making import FactMaker
from matebot.play.ranking import rank_with, ranked
from matebot.solver.coverage import Refusal
from matebot.wording.moves import is_slip, told
from matebot.wording.outlook import heading
from matebot.wording.phrases import counted, listed, sentence

#: Numeric annotation glyphs of the PGN standard: a changed outcome, two or more moves lost, one move lost.
OUTCOME_CHANGED, MOVES_LOST, MOVE_LOST = 4, 2, 6
_LINE_PLIES = 4
_SPARE_MOVES = 5
_MEN = 4


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
    clock_draw: bool = False
    tight: bool = False
    repeated: bool = False


class Reviewer:
    """Looks over games.

    Parameters
    ----------
    sides : the sides whose moves are remarked on and counted
    tally : counts what the moves of all games cost
    """

    def __init__(self, library: Library, sides: frozenset[chess.Color], tally: Tally) -> None:
        self.library = library
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
        self.tally.end_game(board)
        return {number: remark for number, remark in found.items() if remark.sentences or remark.nag}

    def _look(
        self, board: chess.Board, number: int, move: chess.Move | None, found: dict[int, Remark], said: _Said
    ) -> None:
        maker = self._maker(board)
        if maker is None:
            self.tally.leave()
            return
        position = self._position(maker)
        here = found.setdefault(number, Remark())
        if position.ending != said.ending:
            here.sentences += self._arrival(maker) if maker.ranking and not said.ending else []
            said.ending = position.ending
        here.sentences += _trouble(board, maker.verdict, said)
        if move is None:
            self.tally.stand(position)
            return
        mine = board.turn in self.sides
        facts = maker.facts(move)
        self.tally.move(position, facts, mine)
        if mine:
            found[number + 1] = self._remark(maker, move, facts)

    def _maker(self, board: chess.Board) -> FactMaker | None:
        """Return a maker of facts for a covered position, else None."""
        if chess.popcount(board.occupied) > _MEN:
            return None
        try:
            self.library.tables.check(board)
            referee = Referee(board, self.library.tables)
            return FactMaker(self.library, referee, rank_with(referee))
        except Refusal:
            return None

    def _position(self, maker: FactMaker) -> Position:
        material = self.library.tables.stand(maker.board)[0].material
        ending = "KK" if material is None else material.name
        won = maker.verdict.outcome != 0
        standing = maker.standings[0] if maker.standings and won else None
        if standing is None:
            return Position(ending, 0, "won" if won else "drawn", won)
        return Position(ending, standing.stage, standing.title, won)

    def _arrival(self, maker: FactMaker) -> list[str]:
        standings = maker.standings[:1] if maker.verdict.outcome else ()
        return [outcome_text(maker.board, maker.verdict), *(sentence(heading(standing)) for standing in standings)]

    def _remark(self, maker: FactMaker, move: chess.Move, facts: MoveFacts) -> Remark:
        if is_slip(facts):
            return self._slip(maker, move)
        if facts.mate:
            return Remark(sentences=told(facts))
        if not _stage_changes(facts):
            return Remark()
        sentences = told(facts)
        return Remark(sentences=sentences if _names_stage(facts) else [*sentences, *_now(facts)])

    def _slip(self, maker: FactMaker, move: chess.Move) -> Remark:
        facts = maker.facts(move, ahead=True)
        changed = facts.outcome_after < facts.outcome_before
        nag = OUTCOME_CHANGED if changed else MOVES_LOST if (facts.moves_lost or 0) > 1 else MOVE_LOST
        sentences = told(facts, maker.better(facts))
        if changed and facts.outcome_before == 0 and facts.stalemating:
            sentences.append(sentence(f"{listed(facts.stalemating, 'or')} would have been stalemate"))
        if not changed and _stage_changes(facts) and not _told_back(facts):
            sentences += _now(facts)
        return Remark(nag, sentences, self._better(maker.board, facts))

    def _better(self, board: chess.Board, facts: MoveFacts) -> list[str]:
        """Return a few plies of best play, beginning with the best move."""
        if facts.best is None:
            return []
        line = board.copy()
        names = [line.san_and_push(chess.Move.from_uci(facts.best))]
        while len(names) < _LINE_PLIES and not line.is_insufficient_material():
            replies = ranked(line, self.library.tables)
            if not replies:
                break
            names.append(line.san_and_push(replies[0].move))
        return names


def _now(facts: MoveFacts) -> list[str]:
    """Name the stage in which the game goes on."""
    if facts.outcome_after == 0:
        return []
    return [sentence(f"now {heading(standing).replace('Stage', 'stage', 1)}") for standing in facts.standings_after[:1]]


def _stage_changes(facts: MoveFacts) -> bool:
    """Whether the game goes on in another stage, or another ladder, of a win that is still one."""
    before, after = facts.standings_before[:1], facts.standings_after[:1]
    if not before or not after or facts.outcome_after == 0:
        return bool(facts.promoted or facts.captured) and not facts.mate
    return (before[0].ladder, before[0].stage) != (after[0].ladder, after[0].stage)


def _names_stage(facts: MoveFacts) -> bool:
    """Whether the words on a good move already say which stage begins."""
    before, after = facts.standings_before[:1], facts.standings_after[:1]
    if not facts.by_attacker or not before or not after:
        return False
    return after[0].ladder == before[0].ladder and after[0].stage > before[0].stage


def _told_back(facts: MoveFacts) -> bool:
    """Whether the words on a slip already say to which stage it leads back."""
    before, after = facts.standings_before[:1], facts.standings_after[:1]
    if not facts.by_attacker or not before or not after:
        return False
    return after[0].ladder == before[0].ladder and after[0].stage < before[0].stage


def _trouble(board: chess.Board, verdict: Verdict, said: _Said) -> list[str]:
    """Say, once each time, that the count of fifty moves or a repetition decides or comes near."""
    if verdict.value.outcome == 0 or verdict.cause == "checkmate":
        return []
    if board.halfmove_clock == 0:
        said.clock_draw = said.tight = said.repeated = False
    winner = board.turn if verdict.value.outcome > 0 else not board.turn
    name = chess.COLOR_NAMES[winner].capitalize()
    left = moves_left_in_count(board.halfmove_clock)
    if verdict.cause == "repetition":
        # Where it can only be forced, that was said of the move that allows it.
        begins = board.is_repetition() and not said.repeated
        said.repeated |= begins
        if not begins:
            return []
        return [sentence(f"the third repetition may be claimed as a draw, though the men win for {name}")]
    if verdict.cause == "fifty moves":
        begins, said.clock_draw = not said.clock_draw, True
        if not begins:
            return []
        shortest = ((verdict.value.dtm_plies or 0) + (board.turn == winner)) // 2
        if left == 0:
            return [
                sentence(f"fifty moves are reached and a draw may be claimed; the men win for {name} in {shortest}")
            ]
        return [
            sentence(
                f"the men win for {name} in {shortest}, but the fifty-move rule leaves only {counted(left, 'move')}"
            )
        ]
    moves = ((verdict.mate_plies or 0) + (board.turn == winner)) // 2
    if said.tight or left > moves + _SPARE_MOVES:
        return []
    said.tight = True
    bound = "" if verdict.exact else "at most "
    return [sentence(f"the fifty-move rule leaves {counted(left, 'move')}; mate takes {bound}{moves}")]

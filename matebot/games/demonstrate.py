"""A game of the engine against itself, move by move with what there is to say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import chess
import chess.pgn

from matebot.laws import Referee, Verdict
from matebot.method.facts import MoveFacts
from matebot.method.library import Library
from matebot.method.making import FactMaker
from matebot.play.choice import Style, choose
from matebot.play.line import announced_plies
from matebot.play.promises import Promises
from matebot.play.ranking import rank_with
from matebot.terms import Cause, Mistake
from matebot.wording import outlook
from matebot.wording.moves import told
from matebot.wording.outlook import heading

RESULTS = {"white": "1-0", "black": "0-1", None: "1/2-1/2"}


@dataclass(frozen=True, slots=True)
class Played:
    """One move of a demonstration.

    Attributes
    ----------
    board : the position before the move
    facts : what the move does
    sentences : the same in words
    stage : the heading of the stage where one begins with this move, else None
    """

    board: chess.Board
    move: chess.Move
    facts: MoveFacts
    sentences: tuple[str, ...]
    stage: str | None

    def explained(self, level: str) -> tuple[str, ...]:
        """Return what is said of the move: off nothing, brief only of the attacker's moves and slips, full always."""
        worse = self.facts.mistake is not Mistake.NONE
        told_of = level in ("full", "hints") or (level == "brief" and (self.facts.by_attacker or worse))
        return self.sentences if told_of else ()


def demonstration(library: Library, board: chess.Board, style: Style) -> Iterator[Played]:
    """Play a covered position to its end under the laws and yield every move.

    Ends with mate, stalemate, a dead position, or when the game is drawn by claim or by the position.
    """
    board = board.copy()
    title, promises = None, Promises()
    while True:
        referee = Referee(board, library.tables)
        verdict = referee.here()
        ranking = rank_with(referee)
        if not ranking or verdict.outcome == 0:
            return
        promises.bind(referee)
        maker = FactMaker(library, referee, ranking, style.attack)
        chosen = choose(library, referee, ranking, style)
        facts = maker.facts(chosen.move, ahead=True)
        standing = facts.standings_before[0] if facts.standings_before else None
        begins = heading(standing) if standing is not None and heading(standing) != title else None
        title = title if standing is None else heading(standing)
        sentences = tuple(told(facts, maker.better(facts)))
        promises.keep(board, chosen.move, announced_plies(library, referee, chosen, style.attack))
        yield Played(board.copy(), chosen.move, facts, sentences, begins)
        board.push(chosen.move)


def as_game(start: chess.Board, played: list[Played], level: str) -> chess.pgn.Game:
    """Return a demonstration as a game, explained as far as the level wants; with off there are no comments at all."""
    game = chess.pgn.Game()
    game.headers.update({"Event": "demonstration", "White": "matebot", "Black": "matebot"})
    game.setup(start)
    node: chess.pgn.GameNode = game
    for step in played:
        node = node.add_variation(step.move)
        if level != "off":
            said = step.explained(level)
            # The first sentence about an attacker's move names its stage itself.
            lead = [f"{step.stage}."] if step.stage and not any(text.startswith("Stage ") for text in said) else []
            node.comment = " ".join([*lead, *said])
    game.headers["Result"] = RESULTS[winner_of(node.board())]
    return game


def winner_of(board: chess.Board) -> str | None:
    """Return the side that has mated, None otherwise."""
    return chess.COLOR_NAMES[not board.turn] if board.is_checkmate() else None


def outcome_text(board: chess.Board, verdict: Verdict) -> str:
    """Say in words what a position is worth to whom."""
    men = [chess.piece_name(man.piece_type) for man in board.piece_map().values() if man.piece_type != chess.KING]
    turn = chess.COLOR_NAMES[board.turn]
    return outlook.position(turn, verdict.outcome, Cause(verdict.cause), verdict.mate_plies, verdict.exact, men)

"""A game of the engine against itself, move by move with what there is to say, in the words of a session."""

from __future__ import annotations

import re
from collections.abc import Iterator

import chess
import chess.pgn

from matebot.commentary import Commentator
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.laws.referee import judge
from matebot.laws.verdict import Verdict
from matebot.method.library import Library
from matebot.method.standing import Standing
from matebot.play.choice import Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.line import announced_plies
from matebot.play.promises import Promises
from matebot.play.ranking import Ranked
from matebot.records import dataclass
from matebot.terms import Cause, Mistake
from matebot.wording import outlook, stages
from matebot.wording.moves import distance, told
from matebot.wording.phrases import sentence

#: A word that may be the name of a move.
_MOVE = re.compile(r"[\w+#=-]+")
RESULTS = {"white": "1-0", "black": "0-1", None: "1/2-1/2"}


@dataclass(frozen=True, slots=True)
class DemonstratedMove:
    """One move of a demonstration.

    Attributes
    ----------
    board : the position before the move
    facts : what the move does
    said : what is said of it at the level asked for, empty where nothing is
    sentences : all there is to say of it
    stage : the stage the game has come to after the move where it is another than before, else None
    change : what is said of that: all where the stage begins for the first time
    """

    board: chess.Board
    move: chess.Move
    facts: MoveFacts
    said: str
    sentences: tuple[str, ...]
    stage: Standing | None
    change: tuple[str, ...]

    @property
    def after(self) -> chess.Board:
        """The position after the move, with the game behind it."""
        board = self.board.copy()
        board.push(self.move)
        return board


@dataclass(frozen=True, slots=True)
class Opening:
    """What is said of the first position: what it is worth, and the stage in which the game begins, if any.

    Attributes
    ----------
    title, change : of the stage; empty without one, or where nothing is to be said
    """

    outcome: str
    title: str = ""
    change: tuple[str, ...] = ()


def opening_of(library: Library, board: chess.Board, level: str) -> Opening:
    """Return what is said of the first position of a demonstration."""
    verdict = judge(board, library.tables)
    text = outcome_text(board, verdict)
    standings = library.standings(board) if verdict.outcome else ()
    if not standings or level == "off":
        return Opening(text)
    return Opening(text, titled(standings[0]), tuple(stages.change(standings[0])))


def titled(stage: Standing) -> str:
    """Return the title of a stage as a heading."""
    return f"{stage.title[:1].upper()}{stage.title[1:]}"


def demonstration(library: Library, board: chess.Board, style: Style, level: str) -> Iterator[DemonstratedMove]:
    """Play a covered position to its end under the laws and yield every move.

    Ends with mate, stalemate, a dead position, or when the game is drawn by claim or by the position.

    Parameters
    ----------
    level : off tells nothing; brief the attacker's moves and the defender's slips; full and hints every move
    """
    board, promises = board.copy(), Promises()
    commentator = Commentator(library, level, style.attack)
    known = {opened.title} if (opened := commentator.begun(library.standings(board))) is not None else set[str]()
    told_last = ""
    while True:
        judged = Judged.of(library, board)
        if not judged.ranking or judged.referee.here().outcome == 0:
            return
        promises.bind(judged.referee)
        maker = FactMaker(judged, style.attack)
        chosen = _as_told(judged, choose(judged, style), style, told_last)
        facts = maker.facts(chosen.move)
        promises.keep(board, chosen.move, announced_plies(judged, chosen, style.attack))
        said = ""
        if _is_told(facts, level):
            # How far it is to mate stands beside the move.
            said = commentator.line(maker, facts, {sentence(distance(facts))}).partition(": ")[2]
        stage = (
            commentator.begun(facts.places.standings_after)
            if facts.worth.outcome_after and not facts.gives.mate
            else None
        )
        change = () if stage is None or level == "off" else change_of(stage, known)
        sentences = tuple(told(facts, maker.better(facts)))
        yield DemonstratedMove(board, chosen.move, facts, said, sentences, stage, change)
        told_last, board = sentences[0], board.copy()
        board.push(chosen.move)


def _as_told(judged: Judged, chosen: Ranked, style: Style, told_last: str) -> Ranked:
    """Return the winning move as good as the chosen one that was named as the reply to expect, else the chosen one.

    What is told does not hang on the level, so the game is the same whatever is shown of it.
    """
    names, plies = _MOVE.findall(told_last), announced_plies(judged, chosen, style.attack)
    if plies is None or judged.name(chosen.move) in names:
        return chosen
    followed = style.attack == "method" and on_ladder(judged, chosen) is not None
    for item in judged.ranking:
        as_good = announced_plies(judged, item, style.attack) == plies
        if judged.name(item.move) in names and as_good and (not followed or on_ladder(judged, item) is not None):
            return item
    return chosen


def _is_told(facts: MoveFacts, level: str) -> bool:
    worse = facts.cost.mistake is not Mistake.NONE
    return level in ("full", "hints") or (level == "brief" and (facts.by_attacker or worse))


def change_of(stage: Standing, known: set[str]) -> tuple[str, ...]:
    """Return what is said where a stage begins: all the first time; `known` are the titles told of, and grows."""
    first = stage.title not in known
    known.add(stage.title)
    return tuple(stages.change(stage)) if first else (stages.again(stage),)


def as_game(start: chess.Board, opening: Opening, played: list[DemonstratedMove], level: str) -> chess.pgn.Game:
    """Return a demonstration as a game, explained as far as the level wants; with off there are no comments at all."""
    game = chess.pgn.Game()
    game.headers.update({"Event": "demonstration", "White": "matebot", "Black": "matebot"})
    game.setup(start)
    node: chess.pgn.GameNode = game
    node.comment = "" if level == "off" else " ".join(opening.change)
    for step in played:
        node = node.add_variation(step.move)
        if level != "off":
            node.comment = " ".join(part for part in (step.said, *step.change) if part)
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

"""The partner behind the UCI session: takes options, positions and questions, and answers with exact values.

Speaks in the data of `matebot.uci.partnership` and never in text of the protocol; owns no input or output.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from random import SystemRandom

import chess

from matebot.answers import estimated_line, exact_line, finished, without_move
from matebot.commentary import Commentator
from matebot.errors import UserError
from matebot.facts.making import FactMaker
from matebot.laws.history import with_history
from matebot.laws.verdict import Verdict
from matebot.method.behind import LibraryBehind
from matebot.method.ladder import Rung
from matebot.play.ahead import rank_ahead
from matebot.play.choice import Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.line import best_line, method_line
from matebot.play.promises import Promises
from matebot.play.ranking import Ranked
from matebot.play.unsolved import find_move
from matebot.position import UnknownPosition, play_moves, read_fen
from matebot.practice.watch import Onlooker
from matebot.profiles import read_profile
from matebot.solver.behind import TablesBehind
from matebot.solver.coverage import Refusal
from matebot.solver.offer import is_large
from matebot.solver.store import default_folder, read_folder
from matebot.solver.tables import Stopped
from matebot.terms import CLAIM_PLIES
from matebot.uci.pace import Pace
from matebot.uci.partnership import Answer, Line, Question, Report, Watch
from matebot.wording import notices
from matebot.wording.outlook import repeatable

#: Moves kept behind a position: more than the fifty-move rule needs, less than would slow a question down.
_REMEMBERED_PLIES = 400


#: How long the end of the session may wait until what was asked for is kept, and what nobody has asked for.
_KEEPING_SECONDS, _REST_SECONDS = 2.0, 0.1
_NO_POSITION = "expected a position before go, got none"


class MatePartner:
    """Plays, judges and refuses.

    Parameters
    ----------
    settings : option values to begin with, by option name
    """

    def __init__(self, settings: Mapping[str, str | int | bool] | None = None) -> None:
        self.multipv = 1
        self.style = Style()
        self._seed = 0
        self._budget = 0  # MiB for the table folder, 0 for no limit
        self._level = "off"
        self._board: chess.Board | None = None
        self._asked: tuple[str | None, tuple[str, ...]] | None = None
        self._judged: Judged | None = None  # the position in the last answer
        self._answered: tuple[str | None, tuple[str, ...]] | None = None  # and how it was asked for
        self._played: chess.Move | None = None  # the move of the last answer
        self._past: Judged | None = None  # no longer needed: letting go of it is put off till the answer is out
        self._seed_told = False
        self._reason_told = False
        self._told: set[str] = set()  # kinds of notices in the game in hand
        self._promises = Promises()
        self._later: list[str] = []  # what came up while nothing was asked
        self._onlooker = Onlooker(self._later.append, lambda: self.tables.folder)
        self._keep_tables(default_folder())
        for name, value in (settings or {}).items():
            self._later += self.set_option(name, value)

    def _keep_tables(self, folder: Path | None, largest: int = 4) -> None:
        self.tables = TablesBehind(folder, largest)
        self.tables.notice = self._later.append
        self.tables.set_budget(self._budget)
        self.library = LibraryBehind(self.tables)
        self._judged = None
        self.commentator = Commentator(self.library, self._level, self.style.attack)

    def set_option(self, name: str, value: str | int | bool) -> list[str]:
        """Take an option whose value the session has checked; return what there is to say about it."""
        if name == "MultiPV":
            self.multipv = int(value)
        elif name == "Attack":
            self.style = replace(self.style, attack=str(value))
            self.commentator.attack = self.style.attack
        elif name == "Defence":
            self.style = replace(self.style, defence=str(value))
        elif name == "Defence Margin":
            self.style = replace(self.style, margin_plies=int(value))
        elif name == "Seed":
            self._seed, self._seed_told = int(value), False
        elif name == "Explanations":
            self._level = self.commentator.level = str(value)
        elif name == "Pupil":
            return self._onlooker.set_pupil(str(value))
        elif name == "Table Folder":
            self.tables.close()
            self._keep_tables(read_folder(str(value)) if value else default_folder(), self.tables.largest)
            return [remark for remark in [self.tables.folder_remark()] if remark is not None]
        elif name == "Largest Ending":
            self.tables.largest = int(value)
        elif name == "Table Budget":
            self._budget = int(value)
            self.tables.set_budget(self._budget)
        elif name == "Profile" and value != "none":
            return self._take_profile(str(value))
        return []

    def _take_profile(self, name: str) -> list[str]:
        try:
            profile = read_profile(name)
        except UserError as fault:
            return [str(fault)]
        said = [text for option, value in profile.values.items() for text in self.set_option(option, value)]
        chosen = ", ".join(f"{option} {value}" for option, value in profile.values.items())
        return [f"profile {profile.name}: {chosen}", *said]

    def rest(self, wanted: Callable[[], bool]) -> None:
        """Use the time between two questions: note the game, keep what has been solved, look ahead in the game."""
        self._past = None
        if self._moves_since_answer() is None:
            self._judged = None
        self._onlooker.hand_over()
        self.tables.keep_behind()
        board = self._board
        if board is None or board.halfmove_clock >= CLAIM_PLIES:
            return

        def heartbeat(layers: int) -> None:
            if wanted():
                raise Stopped

        self.tables.impatient = wanted
        try:
            stand, _ = self.tables.stand(board)
            if stand.material is not None and self.tables.is_ready(stand.material):
                self.tables.ways.look_ahead(stand, CLAIM_PLIES - board.halfmove_clock, heartbeat)
                if is_large(stand.material) and self._judged and self._played and self._answered == self._asked:
                    rank_ahead(self._judged, self._played, wanted)
        except (Stopped, Refusal):
            pass
        finally:
            self.tables.impatient = _never

    def finish(self, seconds: float = _KEEPING_SECONDS) -> None:
        """Keep what has been noted and solved, and solve what was asked for last, as far as that is done in time."""
        self._onlooker.finish()
        self.tables.finish(seconds, _REST_SECONDS)

    def new_game(self) -> None:
        """Forget the game in hand."""
        self._asked, self._seed_told = None, False
        self._told.clear()
        self.commentator.forget()
        self._promises.forget()
        self._onlooker.new_game()

    def set_position(self, fen: str | None, moves: Sequence[str]) -> str | None:
        """Take a position; return why it is refused, or None. A question about it does not say so again."""
        self._reason_told = True
        try:
            read = self._read(fen, tuple(moves))
        except UnknownPosition as fault:
            self._board, self._asked = None, None
            return str(fault)
        if self._asked is None or self._asked[0] != fen:
            self._told.clear()
        self._board = read.copy(stack=_REMEMBERED_PLIES)
        self._asked = (fen, tuple(moves))
        self._onlooker.placed(fen, self._asked[1])
        try:
            self.tables.check(self._board)
        except Refusal as refusal:
            return str(refusal)
        return None

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        """Answer a question about the position; never raises for a position that is refused."""
        answer = self._go(question, report, watch)
        self._onlooker.answered(answer.best, question.ponder, question.infinite)
        return answer

    def _go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        board = self._board
        pace = Pace(question, board is None or board.turn, watch)
        if board is None:
            return without_move([] if self._reason_told else [_NO_POSITION], pace.elapsed_ms())
        with self._paced(pace, report):
            try:
                if any(board.generate_legal_moves()):
                    return self._answer(board, question, pace)
                self.tables.check(board)
                return finished(board, pace.elapsed_ms())
            except Refusal:
                return without_move([], pace.elapsed_ms())
            except Stopped:
                return self._unsolved(board, question, pace)

    @contextmanager
    def _paced(self, pace: Pace, report: Callable[[Report], None]) -> Iterator[None]:
        """Let the tables mind the time of a question and speak to whoever asked it."""
        said = [self._later.pop(0) for _ in range(len(self._later))]  # other threads may add to it meanwhile
        if said:
            report(Report(tuple(said)))
        self.tables.notice = self.tables.progress = lambda text: report(Report((text,), ()))
        self.tables.stopped, self.tables.impatient = pace.is_due, pace.is_due_unsolved
        try:
            yield
        finally:
            self.tables.notice, self.tables.progress = self._later.append, _ignore
            self.tables.stopped = self.tables.impatient = self.tables.cut = _never

    def _read(self, fen: str | None, moves: tuple[str, ...]) -> chess.Board:
        if self._asked is not None and self._board is not None:
            known_fen, known = self._asked
            if known_fen == fen and moves[: len(known)] == known:
                return play_moves(with_history(self._board), moves[len(known) :])
        return play_moves(read_fen(fen), moves)

    def _answer(self, board: chess.Board, question: Question, pace: Pace) -> Answer:
        before, judged = self._judge(board)
        referee, moves = judged.referee, judged.ranking
        verdict = referee.here()
        self._promises.bind(referee)
        value = verdict.value.outcome, verdict.value.dtm_plies
        why = notices.reason(verdict.cause, verdict.outcome, verdict.mate_plies, value, referee.delays)
        said = self._unless_told(why)
        wanted = set(_wanted(board, question, said)) if question.search_moves else referee.steps.keys()
        chosen = [item for item in moves if item.move in wanted]
        first = self._first(judged, chosen, self._present_style(said, verdict))
        ordered = [first, *(item for item in chosen if item is not first)][: self.multipv]
        self.tables.cut = pace.is_overdue
        lines, played = list[Line](), list[chess.Move]()
        for item in ordered:
            shown, variation = self._variation(judged, item)
            lines.append(exact_line(shown, variation, len(moves), pace.elapsed_ms()))
            played = played or variation
            if pace.is_due():
                break
        if (claim := referee.claim) is not None:
            said += self._unless_told(notices.claim(claim))
            lines = [replace(line, score_kind="cp", score_value=0, bound=None, pv=line.pv[:2]) for line in lines]
            played = played[:2]
        if self.commentator.level != "off":
            said += self._explained(board, before, judged, played, pace)
        best, self._played = lines[0].pv, chess.Move.from_uci(lines[0].pv[0])
        self._keep_promise(board, lines[0])
        return Answer(best[0], best[1] if len(best) > 1 else None, Report(tuple(said), tuple(lines)))

    def _unless_told(self, notice: notices.Notice | None) -> list[str]:
        """Return a notice the first time in a game that it is called for."""
        if notice is None or notice.kind in self._told:
            return []
        self._told.add(notice.kind)
        return [notice.text]

    def _judge(self, board: chess.Board) -> tuple[Judged | None, Judged]:
        """Return the position and, where a game goes on, the one before it, both judged.

        They are made of the position in the last answer, unless there was no time for it or it is too far back.
        """
        before, judged, self._past, self._judged, self._played = None, self._judged, self._judged, None, None
        since = self._moves_since_answer()
        if judged is None or judged.referee.given_up or since is None:
            judged, since = Judged.of(self.library, board.copy()), ()
        else:
            self.tables.check(board)
        for text in since:
            before, judged = judged, judged.after(chess.Move.from_uci(text))
        self._judged, self._answered = judged, self._asked
        return before, judged

    def _moves_since_answer(self) -> tuple[str, ...] | None:
        """Return up to two moves that were made since the last answer, None where the game did not go on like that."""
        if self._asked is None or self._answered is None:
            return None
        (fen, moves), (old_fen, known) = self._asked, self._answered
        since = moves[len(known) :]
        return since if fen == old_fen and moves[: len(known)] == known and len(since) <= 2 else None

    def _first(self, judged: Judged, chosen: list[Ranked], style: Style) -> Ranked:
        """Return the move to play; the best one where there is no time for the ladder the style asks for."""
        try:
            return choose(judged, style, chosen)
        except Stopped:
            return chosen[0]

    def _explained(
        self, board: chess.Board, before: Judged | None, judged: Judged, line: list[chess.Move], pace: Pace
    ) -> list[str]:
        """Return the explanations, without a ladder there is no time to solve; none where there is no time at all."""
        said: list[str] = []
        parts: tuple[Callable[[], list[str]], ...] = (
            lambda: self.commentator.before_own(board, before),
            lambda: self.commentator.own(FactMaker(judged, self.style.attack), line),
        )
        for part in parts:
            try:
                self.tables.stopped = pace.is_due_unsolved
                said += part()
            except Stopped:
                said += self._without_ladder(part, pace)
            if said[-1:] == [notices.shortened()]:
                break
        return said

    def _without_ladder(self, part: Callable[[], list[str]], pace: Pace) -> list[str]:
        """Return explanations as far as they need no ladder but those that have been solved."""
        self.tables.stopped = pace.is_overdue
        try:
            with self.library.only_solved():
                return part()
        except Stopped:
            return [notices.shortened()]

    def _unsolved(self, board: chess.Board, question: Question, pace: Pace) -> Answer:
        """Look for a move where the ending is not solved in time; it is solved behind for the next question."""
        said: list[str] = []
        wanted = _wanted(board, question, said)
        end = pace.search_end()
        found = find_move(
            board, wanted, self.tables.known, lambda: time.monotonic() >= end, question.depth, question.nodes
        )
        said.append(notices.unsolved(found.depth, found.mate_plies is not None))
        line = estimated_line(found, pace.elapsed_ms())
        self._keep_promise(board, line)
        return Answer(line.pv[0], line.pv[1] if len(line.pv) > 1 else None, Report(tuple(said), (line,)))

    def _keep_promise(self, board: chess.Board, line: Line) -> None:
        if line.score_kind == "mate" and line.score_value > 0:
            self._promises.keep(board, chess.Move.from_uci(line.pv[0]), 2 * line.score_value - 1)

    def _present_style(self, notices: list[str], verdict: Verdict) -> Style:
        """Settle the seed of a changing defence, and tell it once a game."""
        if self.style.defence != "changing" or verdict.outcome >= 0:
            return self.style
        if not self._seed_told:
            self._seed_told = True
            seed = self._seed or SystemRandom().randrange(1, 2_147_483_648)
            self.style = replace(self.style, seed=seed)
            notices.append(repeatable(seed))
        return self.style

    def _variation(self, judged: Judged, item: Ranked) -> tuple[Ranked, list[chess.Move]]:
        """Return one line of play: by the method where that is followed, else best play; a move where time is up."""
        try:
            rung = self._rung(judged, item) if self.style.attack == "method" and item.outcome > 0 else None
            if rung is None:
                return item, best_line(judged, item.move)
            line = [item.move, *method_line(self.library, judged.after(item.move).board)]
            return item._replace(outcome=1, mate_plies=rung.plies + 1, exact=True), line
        except Stopped:
            return item, [item.move]

    def _rung(self, judged: Judged, item: Ranked) -> Rung | None:
        try:
            return on_ladder(judged, item)
        except Stopped:  # the move was not chosen by the ladder then
            return None


def _never() -> bool:
    return False


def _ignore(text: str) -> None:
    pass


def _wanted(board: chess.Board, question: Question, said: list[str]) -> list[chess.Move]:
    """Return the moves a question allows, all where it names none that is legal, which is then said."""
    legal = list(board.legal_moves)
    wanted = [move for move in legal if move.uci() in question.search_moves]
    if question.search_moves and not wanted:
        said.append(f"expected legal moves to search, got {' '.join(question.search_moves)!r}")
    return wanted or legal

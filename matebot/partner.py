"""The partner behind the UCI session: takes options, positions and questions, and answers with exact values.

Speaks in the data of `matebot.uci.partnership` and never in text of the protocol; owns no input or output.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from random import SystemRandom

import chess

from matebot.commentary import Commentator
from matebot.errors import UserError
from matebot.laws import Referee, Verdict
from matebot.method.library import Library
from matebot.method.making import FactMaker
from matebot.play.choice import Style, choose, on_ladder
from matebot.play.line import method_line, principal_variation
from matebot.play.ranking import Ranked, rank_with
from matebot.profiles import read_profile
from matebot.solver.coverage import Refusal
from matebot.solver.store import default_folder, read_folder
from matebot.solver.tables import Stopped, Tables
from matebot.uci.partnership import Answer, Line, Question, Report
from matebot.wording.outlook import repeatable

_FEN_FIELDS = (
    "piece placement",
    "side to move",
    "castling rights",
    "en passant square",
    "halfmove clock",
    "move number",
)


#: Moves kept behind a position: more than the fifty-move rule needs, less than would slow a question down.
_REMEMBERED_PLIES = 400


class UnknownPosition(Exception):
    """A position that could not be read; the text says why."""


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
        self._level = "off"
        self._board: chess.Board | None = None
        self._asked: tuple[str | None, tuple[str, ...]] | None = None
        self._refusal = "expected a position before go, got none"
        self._seed_told = False
        self._keep_tables("")
        for name, value in (settings or {}).items():
            self.set_option(name, value)

    def _keep_tables(self, folder: str) -> None:
        self.tables = Tables(read_folder(folder) if folder else default_folder())
        self.library = Library(self.tables)
        self.commentator = Commentator(self.library, self._level)

    def set_option(self, name: str, value: str | int | bool) -> list[str]:
        """Take an option whose value the session has checked; return what there is to say about it."""
        if name == "MultiPV":
            self.multipv = int(value)
        elif name == "Attack":
            self.style = replace(self.style, attack=str(value))
        elif name == "Defence":
            self.style = replace(self.style, defence=str(value))
        elif name == "Defence Margin":
            self.style = replace(self.style, margin_plies=int(value))
        elif name == "Seed":
            self._seed, self._seed_told = int(value), False
        elif name == "Explanations":
            self._level = self.commentator.level = str(value)
        elif name == "Table Folder":
            self.tables.close()
            self._keep_tables(str(value))
            return [remark for remark in [self.tables.folder_remark()] if remark is not None]
        elif name == "Profile" and value != "none":
            return self._take_profile(str(value))
        return []

    def _take_profile(self, name: str) -> list[str]:
        try:
            profile = read_profile(name)
        except UserError as fault:
            return [str(fault)]
        for option, value in profile.values.items():
            self.set_option(option, value)
        chosen = ", ".join(f"{option} {value}" for option, value in profile.values.items())
        return [f"profile {profile.name}: {chosen}"]

    def rest(self, wanted: Callable[[], bool]) -> None:
        """Use the time between two questions to keep what has been solved."""
        self.tables.keep_behind()

    def new_game(self) -> None:
        """Forget the game in hand."""
        self._asked, self._seed_told = None, False
        self.commentator.forget()

    def set_position(self, fen: str | None, moves: Sequence[str]) -> str | None:
        """Take a position; return why it is refused, or None."""
        try:
            read = self._read(fen, tuple(moves))
        except UnknownPosition as fault:
            self._board, self._asked = None, None
            self._refusal = str(fault)
            return self._refusal
        self._board = read.copy(stack=_REMEMBERED_PLIES)
        self._asked = (fen, tuple(moves))
        try:
            self.tables.check(self._board)
        except Refusal as refusal:
            return str(refusal)
        return None

    def go(
        self,
        question: Question,
        report: Callable[[Report], None],
        stopped: Callable[[], bool],
    ) -> Answer:
        """Answer a question about the position; never raises for a position that is refused."""
        started = time.monotonic()
        board = self._board
        if board is None:
            return _without_move(self._refusal, started)
        self.tables.notice = lambda text: report(Report((text,), ()))
        self.tables.stopped = stopped
        try:
            self.tables.check(board)
            return self._answer(board, question, started, _hurried(question, started, stopped))
        except Refusal as refusal:
            return _without_move(str(refusal), started)
        except Stopped:
            return _stopped_early(board, started)

    def _read(self, fen: str | None, moves: tuple[str, ...]) -> chess.Board:
        if self._asked is not None and self._board is not None:
            known_fen, known = self._asked
            if known_fen == fen and moves[: len(known)] == known:
                return _play(self._board.copy(), moves[len(known) :])
        return _play(read_fen(fen), moves)

    def _answer(self, board: chess.Board, question: Question, started: float, hurried: Callable[[], bool]) -> Answer:
        referee = Referee(board.copy(), self.tables)
        verdict = referee.here()
        moves = rank_with(referee)
        if not moves:
            score = ("mate", 0) if verdict.cause == "checkmate" else ("cp", 0)
            return _without_move(verdict.cause, started, *score)
        wanted = set(question.search_moves)
        chosen = [item for item in moves if item.move.uci() in wanted] if wanted else moves
        notices = list(_reasons(verdict))
        if not chosen:
            notices.append(f"expected legal moves to search, got {' '.join(question.search_moves)!r}")
            chosen = moves
        first = choose(self.library, referee, chosen, self._present_style(notices, verdict))
        ordered = [first, *(item for item in chosen if item is not first)][: self.multipv]
        lines = []
        for item in ordered:
            lines.append(self._line(referee, item, len(moves), started))
            if hurried():
                break
        if referee.is_over:
            notices.append("a draw may be claimed; what follows holds if it is not")
            lines = [replace(line, score_kind="cp", score_value=0, bound=None, pv=line.pv[:2]) for line in lines]
        if self.commentator.level != "off":
            notices += self.commentator.before_own(board)
            notices += self.commentator.own(FactMaker(self.library, referee, moves), first.move)
        best = lines[0].pv
        return Answer(best[0], best[1] if len(best) > 1 else None, Report(tuple(notices), tuple(lines)))

    def _present_style(self, notices: list[str], verdict: Verdict) -> Style:
        """Settle the seed of a varied defence, and tell it once a game."""
        if self.style.defence != "varied" or verdict.outcome >= 0:
            return self.style
        if not self._seed_told:
            self._seed_told = True
            seed = self._seed or SystemRandom().randrange(1, 2_147_483_648)
            self.style = replace(self.style, seed=seed)
            notices.append(repeatable(seed))
        return self.style

    def _line(self, referee: Referee, item: Ranked, judged: int, started: float) -> Line:
        """Return one line of play: by the method where that is followed, else best play."""
        if self.style.attack == "method" and item.outcome > 0:
            rung = on_ladder(self.library, referee, item)
            if rung is not None:
                after = referee.board.copy(stack=False)
                after.push(item.move)
                variation = [item.move, *method_line(self.library, *self.tables.stand(after))]
                by_method = Ranked(item.move, 1, rung.plies + 1, True, item.cause, item.verdict)
                return _line(by_method, variation, judged, started)
        variation = principal_variation(referee.board, self.tables, item.move)
        return _line(item, variation, judged, started)


def read_fen(fen: str | None) -> chess.Board:
    """Return the position of a FEN with four, five or six fields; the first position of the game for None.

    Raises
    ------
    UnknownPosition
        naming the field that is wrong
    """
    if fen is None:
        return chess.Board()
    fields = fen.split()
    if not 4 <= len(fields) <= 6:
        raise UnknownPosition(f"expected a FEN of four to six fields, got {fen!r}")
    fields += ["0", "1"][len(fields) - 4 :]
    for count, name in enumerate(_FEN_FIELDS, start=1):
        try:
            chess.Board(" ".join(fields[:count]))
        except ValueError as fault:
            detail = str(fault).split(":")[0]
            raise UnknownPosition(
                f"expected a FEN with a valid {name} ({detail}), got {fields[count - 1]!r} in {fen!r}"
            ) from None
    return chess.Board(" ".join(fields))


def _play(board: chess.Board, moves: Sequence[str]) -> chess.Board:
    for number, text in enumerate(moves, start=1):
        try:
            move = chess.Move.from_uci(text)
        except ValueError:
            raise UnknownPosition(f"expected move {number} in long algebraic form, got {text!r}") from None
        if not board.is_legal(move):
            kind = "a null move" if not move else repr(text)
            raise UnknownPosition(f"expected move {number} to be legal in {board.fen()!r}, got {kind}")
        board.push(move)
    return board


def _hurried(question: Question, started: float, stopped: Callable[[], bool]) -> Callable[[], bool]:
    """Return a question whether no more lines should be worked out."""
    if question.movetime_ms is None:
        return stopped
    end = started + question.movetime_ms / 1000
    return lambda: stopped() or time.monotonic() > end


def _stopped_early(board: chess.Board, started: float) -> Answer:
    """Give some legal move where the truth could not be waited for, and say so."""
    move = next(iter(board.legal_moves), None)
    reason = "stopped before the ending was solved"
    refused = _without_move(f"{reason}: this is just a legal move" if move else reason, started)
    return refused if move is None else replace(refused, best=move.uci())


def _milliseconds(started: float) -> int:
    return int((time.monotonic() - started) * 1000)


def _without_move(reason: str, started: float, kind: str = "cp", value: int = 0) -> Answer:
    line = Line(
        depth=0,
        seldepth=None,
        score_kind=kind,
        score_value=value,
        bound=None,
        time_ms=_milliseconds(started),
        nodes=0,
        tbhits=0,
        pv=(),
    )
    return Answer(None, None, Report((reason,), (line,)))


def _line(item: Ranked, variation: list[chess.Move], judged: int, started: float) -> Line:
    kind, value = score(item.outcome, item.mate_plies)
    bound = None if item.exact else "lowerbound" if item.outcome > 0 else "upperbound"
    looked_up = judged + len(variation)
    return Line(
        depth=max(1, item.mate_plies or 1),
        seldepth=len(variation),
        score_kind=kind,
        score_value=value,
        bound=bound,
        time_ms=_milliseconds(started),
        nodes=looked_up,
        tbhits=looked_up,
        pv=tuple(move.uci() for move in variation),
    )


def score(outcome: int, mate_plies: int | None) -> tuple[str, int]:
    """Return the score of the UCI protocol: ("mate", moves, negative when mated) or ("cp", 0)."""
    if mate_plies is None:
        return "cp", 0
    moves = (mate_plies + 1) // 2
    return "mate", moves if outcome > 0 else -moves


def _reasons(verdict: Verdict) -> list[str]:
    """Say why a position is drawn where the men alone would win."""
    value = verdict.value
    if verdict.outcome == 0 and value.dtm_plies is not None:
        side = "the side to move" if value.outcome > 0 else "the other side"
        moves_to_mate = (value.dtm_plies + 1) // 2
        why = {
            "fifty moves": "the fifty-move rule comes first",
            "repetition": "the third repetition comes first",
        }[verdict.cause]
        return [f"drawn: {side} would mate in {moves_to_mate}, but {why}"]
    if verdict.outcome == 0 and verdict.cause != "balance":
        return [f"drawn: {verdict.cause}"]
    if verdict.outcome and verdict.mate_plies != value.dtm_plies:
        return ["the fifty-move rule or a repetition rules out the shortest mate: a longer one is played"]
    return []

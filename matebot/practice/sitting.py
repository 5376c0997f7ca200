"""One practice game, line by line: the pupil's moves and words in, the board, the engine's moves and explanations out.

Owns no input or output: lines come from `read`, go to `say`; what is to be kept goes to `keep` after every move.
"""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

import chess

from matebot.commentary import Commentator
from matebot.facts.making import FactMaker
from matebot.games.demonstrate import outcome_text
from matebot.games.diagram import board_text
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.line import announced_plies, line_of
from matebot.play.promises import Promises
from matebot.practice.judging import Judge, method_moves
from matebot.practice.moves_typed import Unclear, typed_move
from matebot.practice.notebook import Notebook
from matebot.practice.notes import Result
from matebot.wording import practice as words
from matebot.wording.moves import told
from matebot.wording.outlook import aim, heading, trap

Read = Callable[[chess.Board], str | None]
Say = Callable[[str], None]


class Sitting:
    """A game of the pupil against the engine.

    Parameters
    ----------
    notebook : the game, with the pupil to move
    style, level : how the engine plays, and how much it explains
    read : returns the next line, None when there are no more
    say : takes a line to show
    keep : takes the notebook whenever there is something new in it
    clock : seconds that pass
    """

    def __init__(
        self,
        library: Library,
        notebook: Notebook,
        style: Style,
        level: str,
        read: Read,
        say: Say,
        keep: Callable[[Notebook], None],
        clock: Callable[[], float] = monotonic,
        flip: bool = False,
    ) -> None:
        self.library, self.notebook, self.style, self.level = library, notebook, style, level
        self._read, self._say, self._keep, self._clock = read, say, keep, clock
        self._judge, self._promises = Judge(library), Promises()
        self._commentator = Commentator(library, level, style.attack)
        self._below = notebook.colour != flip
        self._over = self._helped = False
        self._hints_here = 0
        self._explained: list[str] = []
        self._words: dict[str, Callable[[], None]] = {
            "hint": self._hint,
            "back": self._back,
            "board": self._board,
            "flip": self._flip,
            "why": self._why,
            "resign": self._resign,
            "quit": self._quit,
            "help": self._help,
        }

    def play(self) -> Result:
        """Play until the game is over or the pupil leaves it."""
        self._say(outcome_text(self.notebook.board, Referee(self.notebook.board.copy(), self.library.tables).here()))
        self._board()
        while not self._over:
            before = self._clock()
            line = self._read(self.notebook.board)
            if line is None:
                self._quit()
            elif (text := line.strip()) and not self._take_word(text):
                self._take_move(text, self._clock() - before)
        self.notebook.closed = True
        self._keep(self.notebook)
        return self.notebook.result()

    def _take_word(self, text: str) -> bool:
        action = self._words.get(text.casefold())
        if action is not None:
            action()
        return action is not None

    def _take_move(self, text: str, seconds: float) -> None:
        board = self.notebook.board
        try:
            move = typed_move(board, text)
        except Unclear as fault:
            self._say(str(fault))
            return
        before = board.copy()
        self.notebook.play(move, round(seconds, 1), self._helped)
        self._helped, self._hints_here = False, 0
        self.notebook.judge(self._judge)
        self._explained = self._full(before, move)
        self._show_comments(self._commentator.before_own(self.notebook.board))
        self._keep(self.notebook)
        if not self._ended():
            self._reply()

    def _reply(self) -> None:
        before = self.notebook.board.copy()
        judged = Judged.of(self.library, before)
        self._promises.bind(judged.referee)
        chosen = choose(judged, self.style)
        move = chosen.move
        self._promises.keep(before, move, announced_plies(judged, chosen, self.style.attack))
        maker = FactMaker(judged, self.style.attack)
        dots = "." if before.turn else "..."
        self._say(f"{before.fullmove_number}{dots} {before.san(move)}")
        self._show_comments(self._commentator.own(maker, line_of(judged, chosen, self.style.attack)))
        self._explained += self._full(before, move)
        self.notebook.play(move)
        if not self._ended():
            self._board()

    def _ended(self) -> bool:
        self._over = self.notebook.result() not in (Result.OPEN, Result.NEARLY)
        if self._over:
            self._board()
        return self._over

    def _show_comments(self, comments: list[str]) -> None:
        for comment in comments:
            self._say(f"    {comment.partition(': ')[2]}")  # who it is about is plain from where it stands

    def _full(self, board: chess.Board, move: chess.Move) -> list[str]:
        maker = self._commentator.maker(board)
        if maker is None:
            return []
        facts = maker.facts(move)
        return told(facts, maker.better(facts))

    def _board(self) -> None:
        self._say(f"\n{board_text(self.notebook.board, self._below)}\n")

    def _flip(self) -> None:
        self._below = not self._below
        self._board()

    def _help(self) -> None:
        for line in words.help_lines():
            self._say(line)

    def _hint(self) -> None:
        """Tell the aim of the stage, then the move; only the move is counted as help."""
        judged = Judged.of(self.library, self.notebook.board.copy())
        maker = FactMaker(judged)
        move = choose(judged, Style(attack="method")).move
        self.notebook.hints += 1
        self._hints_here += 1
        if self._hints_here > 1:
            self._helped = True
            self._say(words.hint_move(self.notebook.board.san(move)))
            return
        if maker.judged.standings and maker.verdict.outcome > 0:
            standing = maker.judged.standings[0]
            self._say(f"{heading(standing)}. {aim(standing)} {trap(standing)}")
            return
        facts = maker.facts(move)
        moves = method_moves(facts)
        side = "attack" if facts.by_attacker else "defence"
        self._say(words.HINT_DRAWN if moves is None else words.hint_distance(moves, side))

    def _back(self) -> None:
        if self.notebook.plies < 2:
            self._say(words.NOTHING_BACK)
            return
        self.notebook.take_back(2)
        self._explained, self._helped, self._hints_here = [], False, 0
        self._keep(self.notebook)
        self._board()

    def _why(self) -> None:
        for line in self._explained or [words.NOTHING_WHY]:
            self._say(line)

    def _resign(self) -> None:
        self.notebook.resigned = self._over = True

    def _quit(self) -> None:
        self._over = True

"""The sheet of a coach's own lesson: pictures where they are marked or a stage begins, the words as they are.

What a remark claims and does not hold is told beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import chess
import chess.pgn

from matebot import __version__
from matebot.games.demonstrate import outcome_text
from matebot.laws.referee import judge
from matebot.lessons.claims import claims, wrong
from matebot.lessons.coach_pgn import PICTURE
from matebot.lessons.marking import marked
from matebot.lessons.sheet import Columns, Section, Sheet, Shown, Words
from matebot.method.library import Library
from matebot.quoting import shown
from matebot.solver.coverage import Refusal
from matebot.wording import claims as told
from matebot.wording import lesson as words

_MOST_TITLE, _MOST_DEPTH, _MEN = 80, 12, 4
#: Suffixes of moves and their glyphs; PGN standard, section 10, numbers 1 to 6.
_SUFFIXES = {1: "!", 2: "?", 3: "!!", 4: "??", 5: "!?", 6: "?!"}


@dataclass
class _Page:
    """What has been put on the page, and what has been counted; without `checking` claims are left alone."""

    library: Library
    checking: bool = True
    blocks: list[Words | Shown] = field(default_factory=list)
    line: list[str] = field(default_factory=list)
    found: int = 0
    wrong: int = 0
    stage: tuple[str, int] | None = None
    shown: set[tuple[str, int]] = field(default_factory=set)

    def begins(self, board: chess.Board) -> bool:
        """Whether a stage begins in a position: in a coach's lesson each time, in a finished game the first time."""
        stage = _stage(self.library, board, between=not self.checking)
        if stage is None or stage == self.stage:
            return False
        self.stage = stage
        fresh = self.checking or stage not in self.shown
        self.shown.add(stage)
        return fresh

    def flush(self, inner: bool = False) -> None:
        """Put down the moves so far."""
        if self.line:
            self.blocks.append(Words(" ".join(self.line), strong=not inner, inner=inner))
        self.line = []

    def remark(self, text: str, board: chess.Board, inner: bool = False) -> None:
        """Put down a remark and what does not hold of it."""
        if not text.strip():
            return
        self.flush(inner)
        self.blocks.append(Words(text.strip(), inner=inner))
        for claim in claims(text) if self.checking else ():
            self.found += 1
            beside = wrong(claim, board, self.library.tables)
            if beside is not None:
                self.wrong += 1
                self.blocks.append(Words(beside, told=True))

    def picture(self, node: chess.pgn.GameNode, caption: str) -> None:
        """Put down the position of a node."""
        board = node.board()
        attacker = _attacker(board, self.library)
        played = node.move if isinstance(node, chess.pgn.ChildNode) else None
        both = all(chess.popcount(board.occupied_co[colour]) > 1 for colour in chess.COLORS)
        self.blocks.append(Shown(marked(board.copy(stack=False), caption, attacker, played, bare=both)))


def coach_sheet(library: Library, games: list[chess.pgn.Game]) -> Sheet:
    """Return the sheet of a lesson whose positions are all covered, a section a game."""
    sections, found, wrong_ones = [], 0, 0
    for game in games:
        page = _Page(library)
        _game(page, game)
        heading = _names(game) if len(games) > 1 else ""
        sections.append(Section(heading, (Words(_opening(library, game)), Columns(tuple(page.blocks)))))
        found, wrong_ones = found + page.found, wrong_ones + page.wrong
    event = games[0].headers.get("Event", "?")
    title = words.COACH_TITLE if event in ("?", "") else shown(event, _MOST_TITLE)
    lead = _names(games[0]) if len(games) == 1 else ""
    checked = told.count(found, wrong_ones)
    return Sheet(title, lead, tuple(sections), f"{checked} {words.coach_source(__version__)}", checked)


def finished_section(library: Library, game: chess.pgn.Game) -> Section:
    """Return a finished game with its remarks, pictures where a covered stage begins; nothing is checked."""
    page = _Page(library, checking=False)
    _game(page, game)
    return Section(_names(game), (Columns(tuple(page.blocks)),))


def _covered(library: Library, board: chess.Board) -> bool:
    if chess.popcount(board.occupied) > _MEN:
        return False
    try:
        library.tables.check(board)
    except Refusal:
        return False
    return True


def _names(game: chess.pgn.Game) -> str:
    players = [shown(game.headers.get(side, "?"), _MOST_TITLE) for side in ("White", "Black")]
    return "" if players == ["?", "?"] else " - ".join(players)


def _opening(library: Library, game: chess.pgn.Game) -> str:
    board = game.board()
    return outcome_text(board, judge(board, library.tables))


def _game(page: _Page, game: chess.pgn.Game) -> None:
    """Put down the main line with its remarks and variations."""
    if _covered(page.library, game.board()):
        page.begins(game.board())
        title = _stage_title(page, game.board())
        page.picture(game, words.position_caption(title, game.board().fullmove_number, None))
    page.remark(game.comment, game.board())
    node: chess.pgn.GameNode = game
    while node.variations:
        child, parent = node.variations[0], node
        page.line.append(_move(child, first=not page.line))
        _marked_picture(page, child, main=True)
        page.remark(child.comment, child.board())
        for side_line in parent.variations[1:]:
            page.flush()
            _variation(page, side_line, 1)
        node = child
    page.flush()


def _variation(page: _Page, first: chess.pgn.ChildNode, depth: int) -> None:
    """Put down a variation, the variations within it after each of their moves."""
    page.remark(first.starting_comment, first.parent.board(), inner=True)
    node: chess.pgn.ChildNode = first
    while True:
        page.line.append(_move(node, first=not page.line))
        if PICTURE in node.nags:
            page.flush(inner=True)
            _marked_picture(page, node, main=False)
        page.remark(node.comment, node.board(), inner=True)
        if node is not first:
            for other in node.parent.variations[1:] if depth < _MOST_DEPTH else ():
                page.flush(inner=True)
                _variation(page, other, depth + 1)
        if not node.variations:
            break
        node = node.variations[0]
    page.flush(inner=True)


def _marked_picture(page: _Page, node: chess.pgn.ChildNode, main: bool) -> None:
    """Put down a picture where it is marked, or where a stage begins in the main line."""
    board = node.board()
    if not _covered(page.library, board):
        return
    begins = main and page.begins(board)
    if begins or PICTURE in node.nags:
        page.flush()
        number = node.parent.board().fullmove_number
        title = _stage_title(page, board) if begins else None
        page.picture(node, words.position_caption(title, number, _move(node, first=True)))


def _stage(library: Library, board: chess.Board, between: bool) -> tuple[str, int] | None:
    """Return ladder and stage of a position with the winner to move, or `between` his moves as well; else None."""
    outcome = judge(board, library.tables).outcome
    if not outcome or (outcome < 0 and not between):
        return None
    standings = library.standings(board)
    return (standings[0].ladder, standings[0].stage) if standings else None


def _stage_title(page: _Page, board: chess.Board) -> str | None:
    standings = page.library.standings(board)
    return standings[0].title if standings else None


def _attacker(board: chess.Board, library: Library) -> chess.Color:
    outcome = judge(board, library.tables).outcome
    if outcome:
        return board.turn if outcome > 0 else not board.turn
    return chess.popcount(board.occupied_co[chess.WHITE]) >= chess.popcount(board.occupied_co[chess.BLACK])


def _move(node: chess.pgn.ChildNode, first: bool) -> str:
    """Return a move with its number where it needs one, and the coach's signs."""
    before = node.parent.board()
    number = f"{before.fullmove_number}{'.' if before.turn else '...'} " if before.turn or first else ""
    return f"{number}{node.san()}{''.join(_SUFFIXES[n] for n in sorted(node.nags) if n in _SUFFIXES)}"

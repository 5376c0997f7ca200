"""Sheets of games: a demonstration move by move, and finished games as they were annotated."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence

import chess
import chess.pgn

from matebot import __version__
from matebot.games.demonstrate import DemonstratedMove, Opening, titled
from matebot.games.showing import practise_lines, slip_lines, summary_rows
from matebot.games.summary import Summary
from matebot.games.tally import Tally
from matebot.lessons.coach import finished_section
from matebot.lessons.coach_pgn import Builder
from matebot.lessons.marking import marked
from matebot.lessons.sheet import Columns, Grid, Part, Section, Sheet, Shown, Words
from matebot.method.library import Library
from matebot.wording import games as told
from matebot.wording import lesson as words

#: So many finished games are put on one page.
MOST_GAMES = 20


def demonstration_sheet(
    start: chess.Board,
    end: chess.Board,
    played: list[DemonstratedMove],
    opening: Opening,
    outcome: str,
    summed: Summary,
) -> Sheet:
    """Return a demonstration: a picture where a stage begins, the moves beside it with what is said of them.

    Parameters
    ----------
    start, end : the first and the last position
    opening : what is said of the first
    outcome : what the last is worth, in words
    """
    caption = opening.title or words.position_caption(None, start.fullmove_number, None)
    parts = [(_picture(start, caption, played[0] if played else None, opening.change), list[str]())]
    for step in played:
        parts[-1][1].append(_move(step))
        if step.stage is not None and step.change:
            parts.append((_picture(step.after, titled(step.stage), step, step.change), []))
    blocks = [Part(shown, tuple(moves), wordy=True) for shown, moves in parts]
    last = Shown(marked(end.copy(stack=False), outcome, bare=True))
    game = Section("", (Columns((*blocks, last)),))
    sections = (game, summary_section(summed)) if played else (game,)
    return Sheet(words.DEMONSTRATION, opening.outcome, sections, words.made_by(__version__))


def _picture(board: chess.Board, caption: str, step: DemonstratedMove | None, said: Sequence[str]) -> Shown:
    """Return a position of a demonstration with what is said of it; nothing is marked where nobody attacks."""
    under = tuple(Words(text) for text in said)
    if step is None or (not step.facts.by_attacker and step.facts.worth.outcome_before == 0):
        return Shown(marked(board.copy(stack=False), caption, bare=True), under)
    attacker = step.board.turn if step.facts.by_attacker else not step.board.turn
    return Shown(marked(board.copy(stack=False), caption, attacker), under)


def _move(step: DemonstratedMove) -> str:
    """Return a move with its number and what is said of it, its name once where the words begin with it."""
    number = f"{step.board.fullmove_number}{'.' if step.board.turn else '...'}"
    if step.said.startswith(f"{step.facts.san} "):
        return f"{number} {step.said}"
    return f"{number} {step.facts.san}{f': {step.said}' if step.said else ''}"


def summary_section(summed: Summary) -> Section:
    """Return the sum of a game: its stages beside the method, the slips, what to practise."""
    head, *rows = summary_rows(summed)
    below = [Words(text) for text in (*slip_lines(summed.slips), *practise_lines(summed))]
    return Section(told.SUMMARY, (Grid(head, tuple(rows)), *below))


def annotated_sheet(library: Library, texts: Iterable[str], left_out: int, tally: Tally) -> Sheet:
    """Return finished games as they were annotated, pictures where a covered stage begins.

    Parameters
    ----------
    texts : a game in PGN each
    left_out : how many more games there were
    tally : what the moves of all games cost
    """
    sections = []
    for text in texts:
        game = chess.pgn.read_game(io.StringIO(text), Visitor=Builder)
        if game is not None and game.variations:
            sections.append(finished_section(library, game))
    if tally.counts:
        head = tuple(" ".join(filter(None, lines)) for lines in told.TABLE_HEAD)
        below = [Words(text) for text in tally.below()]
        sections.append(Section(told.SUMMARY, (Grid(head, tuple(tally.rows())), *below)))
    lead = words.left_out(left_out) if left_out else ""
    return Sheet(words.ANNOTATED, lead, tuple(sections), words.annotated_source(__version__))

"""Sheets of games: a demonstration move by move, and finished games as they were annotated."""

from __future__ import annotations

import io
from collections.abc import Iterable

import chess
import chess.pgn

from matebot import __version__
from matebot.games.demonstrate import Played
from matebot.lessons.coach import finished_section
from matebot.lessons.coach_pgn import Builder
from matebot.lessons.marking import marked
from matebot.lessons.sheet import Columns, Part, Section, Sheet, Shown
from matebot.method.library import Library
from matebot.wording import lesson as words

#: So many finished games are put on one page.
MOST_GAMES = 20


def demonstration_sheet(end: chess.Board, played: list[Played], level: str, opening: str, outcome: str) -> Sheet:
    """Return a demonstration: a picture where a stage begins, the moves beside it with what is said of them.

    Parameters
    ----------
    end : the last position
    level : how much is said, see `Played.explained`
    opening, outcome : what the first and the last position are worth, in words
    """
    parts: list[tuple[Shown, list[str]]] = []
    for step in played:
        if not parts or step.stage is not None:
            attacker = step.board.turn if step.facts.by_attacker else not step.board.turn
            caption = step.stage or words.position_caption(None, step.board.fullmove_number, None)
            bare = not step.facts.by_attacker and step.facts.outcome_before == 0
            parts.append((Shown(marked(step.board.copy(stack=False), caption, attacker, bare=bare)), []))
        dots = "." if step.board.turn else "..."
        said = " ".join(step.explained(level))
        parts[-1][1].append(f"{step.board.fullmove_number}{dots} {step.facts.san}{'. ' if said else ''}{said}")
    blocks = [Part(shown, tuple(moves), wordy=True) for shown, moves in parts]
    last = Shown(marked(end.copy(stack=False), outcome, bare=True))
    return Sheet(words.DEMONSTRATION, opening, (Section("", (Columns((*blocks, last)),)),), words.made_by(__version__))


def annotated_sheet(library: Library, texts: Iterable[str], left_out: int) -> Sheet:
    """Return finished games as they were annotated, pictures where a covered stage begins.

    Parameters
    ----------
    texts : a game in PGN each
    left_out : how many more games there were
    """
    sections = []
    for text in texts:
        game = chess.pgn.read_game(io.StringIO(text), Visitor=Builder)
        if game is not None and game.variations:
            sections.append(finished_section(library, game))
    lead = words.left_out(left_out) if left_out else ""
    return Sheet(words.ANNOTATED, lead, tuple(sections), words.annotated_source(__version__))

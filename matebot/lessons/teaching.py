"""Makes what is taught of a ladder: from a game by the method, from what is well known, and from moves drawn by lot."""

from __future__ import annotations

from collections.abc import Iterator

import chess

from matebot.ideas import waiting_move
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply, model_games, turned
from matebot.lessons.pawn_pictures import pawn_pictures
from matebot.lessons.slips import slips_taught
from matebot.lessons.stage_pictures import stages_taught
from matebot.lessons.taught import Example, ExampleKind, Taught
from matebot.lessons.textbook_pictures import textbook_pictures
from matebot.lessons.traps import near_mate, stalemates
from matebot.lessons.w_pictures import w_pictures
from matebot.method.library import Library
from matebot.method.plan import Figures, Plan
from matebot.method.proved import proved_figures
from matebot.play.truth import TableTruth
from matebot.wording import lesson as words

SEED = 1
_STALEMATES = 2


def teach(
    library: Library, plan: Plan, figures: Figures | None = None, seed: int = SEED, mirror: bool = False
) -> Taught:
    """Return what is taught of a ladder.

    Parameters
    ----------
    figures : of a proof; those proved for this version where there are none
    seed : repeats the choice of everything
    mirror : turn everything left to right
    """
    followed = ByLadder(library, plan)
    figures = figures or proved_figures(plan)
    games = model_games(followed, seed, mirror)
    known = [turned(chess.Board(fen), mirror) for fen in plan.well_known]
    stages = stages_taught(followed, games, known, figures)
    examples = tuple(_examples(followed, games, seed, mirror))
    return Taught(plan, figures, stages, examples, slips_taught(followed, seed, mirror), tuple(games[0]))


def _examples(library: ByLadder, games: list[list[Ply]], seed: int, mirror: bool) -> Iterator[Example]:
    """Yield what to know by heart: what belongs to the ending, the game's moments, the stalemates, the mate last.

    A waiting move and stalemates that the first game does not show are looked for in the others.
    """
    game, own = games[0], list[Example]()
    if library.plan.ending == "KBNK":
        own += w_pictures(library, mirror)
    if library.plan.ending == "KPK":
        own += pawn_pictures(library, game[0].before, mirror)
    else:
        own += textbook_pictures(library, mirror)
    yield from own
    *found, mate = _moments(library, game)
    # Where the ending has pictures of its own they show the cage already; a king that has a man need not move itself.
    waits = not library.material.has_pawns and not library.material.black
    yield from (moment for moment in found if not own or (waits and moment.kind is ExampleKind.WAITING))
    if waits and not any(moment.kind is ExampleKind.WAITING for moment in found):
        yield from _waiting(library, games[1:])
    shown = stalemates(library, [ply.before for game in games for ply in reversed(game)], _STALEMATES)
    yield from shown or stalemates(library, near_mate(library, seed, mirror), _STALEMATES)
    yield mate


def _waiting(library: ByLadder, games: list[list[Ply]]) -> list[Example]:
    """Return a waiting move of some games, if there is one: the nearest to mate of the first that has any."""
    truth = TableTruth(library)
    for game in games:
        for ply in reversed(game):
            before, move, after = ply.before, ply.move, ply.after
            if before.turn == chess.WHITE and waiting_move.seen(before, move, after, chess.WHITE, truth):
                return [_of(library, ply, ExampleKind.WAITING, words.waiting_caption(ply.san))]
    return []


def _of(library: ByLadder, ply: Ply, kind: ExampleKind, caption: str) -> Example:
    """Return a move of a game as an example; the last stage goes on where the ending has been left."""
    stage = len(library.plan.stages) if ply.stage is None else ply.stage + 1
    return Example(kind, stage, marked(ply.after, caption, played=ply.move))


def _moments(library: ByLadder, game: list[Ply]) -> list[Example]:
    """Return the moves of the game that show something for the first time, in its order, the mate last."""
    found: dict[ExampleKind, Example] = {}
    shown: set[str] = set()
    for ply in game:
        if ply.before.turn == chess.BLACK:
            continue
        for kind, caption in _captions(ply):
            if kind not in found and ply.after.fen() not in shown:
                found[kind] = _of(library, ply, kind, caption)
                shown.add(ply.after.fen())
    return list(found.values())


def _captions(ply: Ply) -> Iterator[tuple[ExampleKind, str]]:
    for idea in ply.ideas:
        if isinstance(idea, Cage) and idea.change is CageChange.SHUTS:
            yield ExampleKind.CAGE, words.cage_caption(ply.san, idea.size_after)
        elif isinstance(idea, Box) and idea.change is BoxChange.SHRINKS and idea.after is not None:
            yield ExampleKind.BOX, words.box_caption(ply.san, idea.after)
        elif idea.kind == "waiting_move":
            yield ExampleKind.WAITING, words.waiting_caption(ply.san)
        elif idea.kind == "mates":
            yield ExampleKind.MATE, words.mate_caption(ply.san)

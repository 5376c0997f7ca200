"""``matebot practise``: a practice game on the terminal, of what is due or what is asked for."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from secrets import randbelow

from matebot.commands.endings import known
from matebot.commands.playing import add_flip, add_table_folder, ask_for, library_of
from matebot.commands.pupils import add_pupil, today, warn_plainly
from matebot.errors import UserError
from matebot.play.choice import Style
from matebot.practice.choosing import Asked, choose_exercise, position_for
from matebot.practice.completing import complete
from matebot.practice.course import name_of
from matebot.practice.due import ExerciseStanding, standings
from matebot.practice.judging import Judge
from matebot.practice.keeping import GameKeeper
from matebot.practice.names import name_key
from matebot.practice.notebook import Notebook
from matebot.practice.prompt import reader
from matebot.practice.reading import pupils, reviews, slips
from matebot.practice.record import NoRecord
from matebot.practice.sitting import Sitting
from matebot.practice.summary import due_lines, summary
from matebot.profiles import read_profile
from matebot.wording import practice as words

_SEEDS = 2**31


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_pupil(parser, "who practises; the game is kept in the record (without a name nothing is kept)")
    parser.add_argument(
        "--ending",
        metavar="KBNK",
        help="the ending, by its men or its name; the side named first wins (default: what is due)",
    )
    parser.add_argument("--stage", metavar="N|NAME", help="a stage of its method: its number, title or part of it")
    parser.add_argument("--as", dest="side", choices=("attack", "defence"), help="the side to take (default attack)")
    parser.add_argument("--profile", metavar="NAME|FILE", help="how the engine plays and explains")
    parser.add_argument("--seed", type=int, metavar="N", help="repeats the same position (default: by lot)")
    add_flip(parser)
    add_table_folder(parser)
    lines = [f"{word}: {meaning}" for word, meaning in words.WORDS.items()]
    parser.epilog = "During the game, besides moves: " + "; ".join(lines) + "."


def run(namespace: Namespace) -> int:
    """Play one game and close it with its summary."""
    ending = None if namespace.ending is None else known(namespace.ending)
    name = None if ending is None else ending.material.name
    asked = Asked(name, namespace.stage, namespace.side, ending is not None and ending.turned)
    if asked.stage is not None and asked.ending is None:
        raise UserError(f"expected --ending with --stage, got only {asked.stage!r}")
    seed = _seed(namespace.seed)
    style, level = _manner(namespace.profile, seed)
    keeper = None if namespace.pupil is None else GameKeeper(namespace.pupil, namespace.record, warn_plainly)
    library = library_of(namespace)
    if ending is not None:
        ask_for(ending.material, library)
    if keeper is not None:
        _complete(keeper, Judge(library))
    choice = choose_exercise(asked, None if keeper is None else _known(keeper), today(), seed)
    position = position_for(library, choice, seed)
    exercise = Judge(library).exercise(position.board) or choice.exercise
    print(words.opening(name_of(exercise), choice.reason))
    white = position.board.turn
    print(words.task("white" if white else "black", exercise.side, white != namespace.flip))
    notebook = Notebook("" if keeper is None else keeper.pupil, "practise", position.board, position.board.turn)
    keep = (lambda notebook: None) if keeper is None else keeper.keep
    sitting = Sitting(library, notebook, style, level, reader(list(words.WORDS)), _say, keep, flip=namespace.flip)
    try:
        sitting.play()
    except KeyboardInterrupt:
        notebook.closed = True
        keep(notebook)
        raise
    _close(notebook, keeper)
    library.tables.keep()
    return 0


def _say(text: str) -> None:
    print(text, flush=True)


def _seed(asked: int | None) -> int:
    if asked is not None and not 0 <= asked < _SEEDS:
        raise UserError(f"expected a seed from 0 to {_SEEDS - 1}, got {asked!r}")
    return randbelow(_SEEDS) if asked is None else asked


def _manner(profile: str | None, seed: int) -> tuple[Style, str]:
    """Return how the engine plays and how much it explains."""
    values = {} if profile is None else read_profile(profile).values
    style = Style(
        attack=str(values.get("Attack", "shortest")),
        defence=str(values.get("Defence", "longest")),
        margin_plies=int(values.get("Defence Margin", 4)),
        seed=int(values.get("Seed", 0)) or seed,
    )
    return style, str(values.get("Explanations", "brief"))


def _known(keeper: GameKeeper) -> list[ExerciseStanding]:
    """Return how everything stands with the pupil; nothing for a new one or without a record."""
    if keeper.record is None:
        return []
    try:
        for pupil in pupils(keeper.record):
            if name_key(pupil.name) == name_key(keeper.pupil):
                return standings(reviews(keeper.record, pupil), slips(keeper.record, pupil), today())
    except NoRecord as fault:
        warn_plainly(words.not_kept(str(fault)))
        keeper.record = None
    return []


def _complete(keeper: GameKeeper, judge: Judge) -> None:
    """Judge what a session had no time for, so that it counts."""
    try:
        if keeper.record is not None:
            complete(keeper.record, lambda: judge)
    except NoRecord as fault:
        warn_plainly(words.not_kept(str(fault)))
        keeper.record = None


def _close(notebook: Notebook, keeper: GameKeeper | None) -> None:
    game = notebook.game()
    for line in summary(game):
        print(line)
    if keeper is None or keeper.record is None:
        return
    if game.moves:
        for line in due_lines(game, _known(keeper), today()):
            print(line)
        print(words.kept_as(keeper.pupil))
    else:
        print(words.NOTHING_KEPT)
    keeper.close()

"""What is said in practice and about it: the exercise, help, the end of a game, what is due.

Takes plain values as they stand in the record; kinds it does not know are shown as they are.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import date

from matebot.wording.phrases import counted, listed, sentence

_MEN = {"Q": "queen", "R": "rook", "B": "bishop", "N": "knight", "P": "pawn"}
_NUMBERS = {2: "two", 3: "three"}
#: Names shown at most where a pupil is not found among them.
_NAMES = 4
_CODE = re.compile(f"K([{''.join(_MEN)}]{{1,3}})K([{''.join(_MEN)}]{{0,2}})")
#: Kind of slip in the record -> one of them, several of them.
SLIPS = {
    "lost": ("win or draw turned into a loss", "wins or draws turned into losses"),
    "man and outcome lost": ("man lost and the result with it", "men lost and the result with them"),
    "stalemate": ("stalemate", "stalemates"),
    "outcome lost": ("win or draw let go", "wins or draws let go"),
    "too slow for fifty moves": ("move too slow for the fifty-move rule", "moves too slow for the fifty-move rule"),
    "repetition": ("third repetition", "third repetitions"),
    "draw missed": ("draw given away", "draws given away"),
    "man lost": ("man lost", "men lost"),
    "W left": ("W broken off", "Ws broken off"),
    "driven out of the corner": ("king driven out of its corner", "times the king was driven out of its corner"),
    "chased out by a check": ("king chased out by a check", "times the king was chased out by a check"),
    "king left the corner": ("king away from the corner too early", "times the king left the corner too early"),
    "stage lost": ("stage lost", "stages lost"),
    "cage opened": ("cage opened", "cages opened"),
    "way out left": ("way out left", "ways out left"),
    "slow": ("slow move", "slow moves"),
    "mated sooner": ("move that is mated sooner", "moves that are mated sooner"),
}
_GRADES = {
    ("attack", 1): "not won",
    ("attack", 2): "something was lost on the way, or help was needed",
    ("attack", 3): "won slowly",
    ("attack", 4): "won within two moves of the method",
    ("defence", 1): "the draw given away, or resigned",
    ("defence", 2): "held out, but many moves were lost or help was needed",
    ("defence", 3): "held out, some moves too short",
    ("defence", 4): "held out to within two moves of the longest",
}
_RESULTS = {
    "won": "you have won",
    "mate in one reached": "mate in one reached",
    "drawn": "the game is drawn",
    "lost": "you are checkmated",
    "resigned": "you resigned",
    "broken off": "broken off",
}
WORDS = {
    "hint": "the aim of the stage; once more, the move",
    "back": "take your last move back",
    "board": "show the board",
    "flip": "turn the board round",
    "why": "explain the last moves in full",
    "resign": "give the game up",
    "quit": "end here; the game is kept as broken off",
    "help": "these words",
}


def ending_name(ending: str) -> str:
    """Return the name of an ending in words; what is no ending's code as it is.

    >>> ending_name("KRRK"), ending_name("KRPKR")
    ('two rooks', 'rook and pawn against rook')
    """
    found = _CODE.fullmatch(ending)
    return ending if found is None else " against ".join(_men_named(men) for men in found.groups() if men)


def _men_named(men: str) -> str:
    each = Counter(_MEN[man] for man in men)
    return " and ".join(name if number == 1 else f"{_NUMBERS[number]} {name}s" for name, number in each.items())


def exercise_name(ending: str, stage: int, side: str, title: str = "") -> str:
    """Return an exercise in words: ``bishop and knight, stage 3 (from the wrong corner to the right one), attack``."""
    part = f", stage {stage}" + (f" ({title})" if title else "") if stage else ""
    return f"{ending_name(ending)}{part}, {side}"


def slip_name(slip: str, times: int = 1) -> str:
    """Return a kind of slip, one or several of them."""
    one, many = SLIPS.get(slip, (slip, slip))
    return one if times == 1 else many


def slips_counted(slips: Sequence[tuple[str, int]]) -> str:
    """Return slips with their numbers: ``2 stages lost, 1 slow move``."""
    return ", ".join(f"{times} {slip_name(slip, times)}" for slip, times in slips)


def grade_name(side: str, grade: int | None) -> str:
    """Return a grade in words."""
    return "not finished" if grade is None else _GRADES[side, grade]


def result_text(result: str) -> str:
    """Return how a game ended, to the pupil."""
    return sentence(_RESULTS.get(result, result))


def day_text(day: date, today: date) -> str:
    """Return a day beside today: ``today``, ``tomorrow``, ``in 9 days, 2026-03-01``."""
    days = (day - today).days
    if days == 0:
        return "today"
    if days in (1, -1):
        return "tomorrow" if days == 1 else "yesterday"
    ahead = f"in {days} days" if days > 0 else f"{-days} days ago"
    return f"{ahead}, {day.isoformat()}"


def due_text(day: date, today: date, finished: bool) -> str:
    """Return when an exercise is due, and why at once where no game of it was finished."""
    if day > today:
        return day_text(day, today)
    return "now" if finished else "now: no game was finished"


def reason_due(overdue_days: int, slips: Sequence[tuple[str, int]]) -> str:
    """Say why an exercise is chosen that is due."""
    since = "due today" if overdue_days <= 0 else f"due for {counted(overdue_days, 'day')}"
    return f"{since}; lately: {slips_counted(slips)}" if slips else since


REASON_NEW = "new: the next one of the course"
REASON_ASKED = "as asked"
REASON_LOT = "by lot, since no pupil is named"


def reason_early(day: date, today: date) -> str:
    """Say why an exercise is chosen that is not due."""
    return f"nothing is due; this one comes next, {day_text(day, today)}"


def opening(exercise: str, reason: str) -> str:
    """Return the first line of a practice game."""
    return f"Practice: {exercise} ({reason})."


def task(colour: str, side: str, below: bool) -> str:
    """Say what the pupil is to do, and how; also where White is not `below` on the board, as it is by habit."""
    does = "You mate" if side == "attack" else "You hold out, or draw if you can,"
    seen = "" if below else " The board is seen from Black's side; flip turns it."
    return f"{does} with {colour.capitalize()}.{seen} Type moves such as Kd3 or e2d3, or help."


def help_lines() -> list[str]:
    """Return the words that are understood."""
    width = max(map(len, WORDS))
    return [f"  {word:<{width}}  {meaning}" for word, meaning in WORDS.items()]


def not_a_move(text: str) -> str:
    """Say that a line is neither a legal move nor a word; a move that is legal would be taken for advice."""
    return f"expected a legal move, written like Kd3 or e2d3, or help, got {text!r}"


def illegal_move(text: str, in_check: bool) -> str:
    """Say that a move is written well but cannot be played."""
    return f"expected a move that {'gets out of check' if in_check else 'can be played here'}, got {text!r}"


def several_moves(text: str, examples: Sequence[str]) -> str:
    """Say that a move could be several."""
    return f"expected one move, {listed(examples, 'or')}, got {text!r}"


NOTHING_BACK = "expected a move to take back, got none"
NOTHING_WHY = "expected a move to explain, got none yet"


def hint_move(san: str) -> str:
    """Tell the move."""
    return f"Play {san}."


def hint_distance(moves: int, side: str) -> str:
    """Tell the distance, where there is no stage to speak of."""
    return f"Mate in {moves} is possible." if side == "attack" else f"You can hold out for {counted(moves, 'move')}."


HINT_DRAWN = "The position is drawn: keep it so."


def not_kept(why: str) -> str:
    """Say that the game goes on without a record."""
    return f"{why}; play goes on without a record"


CLERK_GONE = "expected the process that keeps the record to stay, got its end"


def lost_text(moves: float | None, decimals: int = 0) -> str:
    """Return a number of moves lost."""
    return "unknown" if moves is None else f"{moves:.{decimals}f}"


def best_heading(side: str) -> str:
    """Return the heading for what could have been done at best."""
    return "by the method" if side == "attack" else "possible"


def slips_line(slips: Sequence[tuple[str, int]]) -> str:
    """Return the slips of a game on a line."""
    return f"Slips: {slips_counted(slips)}." if slips else "No slips."


def due_again(exercise: str, day: date, today: date) -> str:
    """Say when an exercise is due again."""
    return f"Due again: {exercise}: {day_text(day, today)}."


def kept_as(name: str) -> str:
    """Say under whose name the game is kept."""
    return f"Kept in the record of {name}."


PROGRESS_HEAD = ("exercise", "last", "games", "won or held out", "moves lost a game", "commonest slip", "due")
COACH_HEAD = ("pupil", "last", "games", "won or held out", "due", "practise next")
NOTHING_YET = "Nothing has been practised yet."
NOTHING_KEPT = "No move was made, so nothing is kept."


def progress_title(name: str, games: int, done: int) -> str:
    """Return the heading over one pupil's progress."""
    return f"{name}: {counted(games, 'game')}, {done} won or held out"


def coach_words(
    due: Sequence[tuple[str, Sequence[tuple[str, int]], int]],
    new: str | None,
    soonest: tuple[str, date] | None,
    weakest: tuple[str, float] | None,
    today: date,
) -> list[str]:
    """Return for a coach what to practise next and why, in at most three sentences.

    Parameters
    ----------
    due : what is due in the order in which to practise it: its name, recent slips, days overdue
    new : the next exercise of the course
    soonest : what is due next where nothing is now, and when
    weakest : the exercise in which most moves are lost, and how many a game
    """
    said = []
    if due:
        name, slips, days = due[0]
        more = f"; {len(due) - 1} more {'is' if len(due) == 2 else 'are'} due" if len(due) > 1 else ""
        said.append(f"Practise next: {name} ({reason_due(days, slips)}{more}).")
    elif new is not None:
        said.append(f"Nothing is due. Practise next: {new} ({REASON_NEW}).")
    elif soonest is not None:
        said.append(f"Nothing is due. Next comes {soonest[0]}, {day_text(soonest[1], today)}.")
    if due and new is not None:
        said.append(f"After that, new: {new}.")
    if weakest is not None:
        said.append(f"Most moves are lost in {weakest[0]}: {weakest[1]:.1f} a game.")
    return said


def nothing_due(new: str | None, soonest: tuple[str, date] | None, today: date) -> str:
    """Say that nothing is due, and what comes next."""
    return " ".join(coach_words([], new, soonest, None, today)) or NOTHING_YET


def due_heading(name: str, number: int) -> str:
    """Return the heading over what is due for one pupil."""
    return f"{name}: {counted(number, 'exercise')} due"


def due_line(number: int, exercise: str, reason: str) -> str:
    """Return one exercise that is due."""
    return f"{number:>3}  {exercise}: {reason}"


def clock_behind(name: str, day: date, today: date) -> str:
    """Say that the record is ahead of the clock."""
    return (
        f"expected no games of {name} after today, {today.isoformat()}, got some up to {day.isoformat()}: "
        "has the clock been set back? they count as today's"
    )


def forgotten(name: str, games: int) -> str:
    """Say that a pupil was forgotten."""
    return f"{name} is forgotten, with {counted(games, 'game')}."


def record_line(name: str, games: int) -> str:
    """Return a line about one pupil in the record."""
    return f"  {name}: {counted(games, 'game')}"


def game_line(number: int, day: date, exercise: str, result: str, moves: int) -> str:
    """Return a line about one game in the record: ``12  2026-03-01  rook, stage 2, attack: won, 14 moves``."""
    return f"{number:>6}  {day.isoformat()}  {exercise}: {result}, {counted(moves, 'move')}"


def no_game(numbers: Sequence[int], name: str) -> str:
    """Say which games of a pupil there are, in short."""
    some = f"{numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else "".join(map(str, numbers)) or "none"
    return f"expected the number of a game of {name} ({some}; --games lists them)"


def removed(number: int, name: str) -> str:
    """Say that a game was removed."""
    return f"game {number} of {name} is removed."


OTHER_POSITION = "a position of no ending with stages"
PLOT_LOST = "moves lost a game"
PLOT_SHARE = "share won or held out"
PLOT_NOTE = (
    "A dot is the mean of a week or month, a larger one of more games; its bar spans the middle half of the games."
)
PAGE_TITLE = "Progress"
PAGE_ALL = "All pupils"


def plot_title(ending: str) -> str:
    """Return the heading over the plots of an ending."""
    return ending_name(ending)[:1].upper() + ending_name(ending)[1:]


def taken(name: str, counts: Mapping[str, int], others: Collection[str] = ()) -> str:
    """Say how many games were taken into the record, and why the others were not.

    Parameters
    ----------
    others : names in the tags of games in which the pupil's was not
    """
    said = [f"{counted(counts.get('kept', 0), 'game')} of {name} taken into the record"]
    reasons = {
        "known": "there already",
        "empty": "without a covered move of the pupil",
        "other": "without the pupil in the tags (--player names them, --side tells the side)",
    }
    said += [f"{counts[kind]} {reason}" for kind, reason in reasons.items() if counts.get(kind)]
    named = f"; names there: {listed([repr(name) for name in sorted(others)[:_NAMES]])}" if others else ""
    return ", ".join(said) + named

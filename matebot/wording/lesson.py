"""The words of lesson sheets: titles, the job, why it is done where it is done, conditions, captions and headings."""

from __future__ import annotations

import re

from matebot.method.condition import Condition
from matebot.wording.phrases import counted, listed, sentence
from matebot.wording.practice import slip_name

CONDITIONS = {
    Condition.KING_IN_CENTRE: "king in the centre",
    Condition.KING_OFF_EDGE: "king off the edge",
    Condition.BISHOP_OFF_RIM: "bishop off the edge",
    Condition.KNIGHT_OFF_RIM: "knight off the edge",
    Condition.BISHOP_WELL_PLACED: "bishop off the edge, or on its square of the W",
    Condition.DEFENDER_ON_EDGE: "other king on the edge",
    Condition.DEFENDER_NEAR_EDGE: "other king on the edge or next to it",
    Condition.KING_AT_W: "king at its post for the W",
    Condition.BISHOP_AT_W: "bishop at its post for the W",
    Condition.KNIGHT_AT_W: "knight at the start of the W",
    Condition.IN_LARGE_TRIANGLE: "other king in the large triangle of a right corner",
    Condition.IN_MATING_TRIANGLE: "other king in the triangle of the right corner",
    Condition.IN_SMALL_TRIANGLE: "other king in the small triangle of the right corner",
    Condition.CAGE_SHUT: "cage shut",
    Condition.BY_A_CORNER: "other king by a corner",
    Condition.KING_AT_CORNER: "king near that corner",
    Condition.BISHOPS_ABREAST: "bishops side by side",
    Condition.MEN_SAFE: "no man can be taken",
    Condition.BOX_OF_28: "box of at most 28 squares",
    Condition.BOX_OF_8: "box of at most 8 squares",
    Condition.CUT_OFF: "other king cut off",
    Condition.OPPOSITION: "kings in opposition",
    Condition.EDGE_HELD: "line next to the edge held",
    Condition.SHUT_IN_HALF: "other king shut in on half the board",
    Condition.SHUT_IN_TWO: "other king shut in on two lines",
    Condition.NEIGHBOURING_LINES: "the two men on neighbouring lines",
    Condition.KING_AT_HAND: "king at hand",
    Condition.KING_ON_KEY_SQUARE: "king on a key square",
    Condition.OUTSIDE_SQUARE: "other king outside the square of the pawn",
    Condition.KING_IN_FRONT: "king in front of the pawn",
    Condition.PAWN_ON_SEVENTH: "pawn on the seventh rank",
    Condition.PAWN_SAFE: "pawn guarded, or the other king outside its square",
    Condition.WAY_SURE: "king at the promotion square, or the other king outside the square of the pawn",
    Condition.KING_GUARDS_PAWN: "king next to the pawn, the knight free",
    Condition.CORNER_HELD: "no rook's pawn, or the bishop holds the corner",
    Condition.PAWN_BLOCKED: "a man on the square before the pawn",
    Condition.PAWN_HELD: "pawn held: check, pin, a man before it or the next square guarded",
    Condition.KING_NEAR_PROMOTION_SQUARE: "king within four steps of the promotion square",
    Condition.KING_AT_PROMOTION_SQUARE: "king within two steps of the promotion square",
    Condition.KING_BY_PAWN: "king within two steps of the pawn",
    Condition.KING_IN_SQUARE: "king in the square of the pawn",
    Condition.CUT_FROM_PAWN: "other king cut off from its pawn",
    Condition.MAN_AWAY: "rook away from its king",
    Condition.FORKED: "king and rook attacked at once",
    Condition.DEFENDER_BEFORE_PAWN: "other king in front of its pawn",
    Condition.PAWN_FALLS: "pawn can be taken",
    Condition.KING_BEFORE_PAWN: "king on its pawn's promotion square or next to it",
    Condition.CUT_BY_FILE: "the rook's file between pawn and other king",
    Condition.ROOK_READY: "rook on its fourth or fifth rank",
    Condition.ROOK_HELPS: "rook on its fourth, fifth or last rank",
    Condition.KING_OUT: "king off the promotion square, within two files of the pawn, above a rook that is not on the "
    "last rank",
    Condition.KING_DOWN: "king on its fifth or sixth rank, within two files of the pawn",
    Condition.ROOK_BRIDGES: "rook cuts off the other king, or covers its own: on the pawn's file or below its king",
    Condition.BRIDGE_BUILT: "rook on the pawn's file or below its king",
}
HEADINGS = {
    "stages": "The stages, and how you know them",
    "pictures": "Pictures to know by heart",
    "budget": "The budget",
    "exercises": "Exercises: White to move",
    "slips": "Five slips and how they are punished",
    "game": "A game by the method",
    "solutions": "Solutions",
}
BUDGET_HEAD = ("stage", "at most, moves")
#: What the marks mean, by the names the pictures give them.
LEGEND = {
    "reach": "hatched: squares the king can reach",
    "cage": "framed: a shut cage",
    "guards": "letters: who guards a square next to it",
    "holes": "dashed ring: a hole, the square to shut",
    "stars": "diamond: a square to know: a key square, a corner of the square of the pawn, one that is near enough",
    "arrows": "arrow: the move just played, or the way of a man",
    "replies": "dashed arrow: the answer",
}


def legend(marks: set[str]) -> str:
    """Return the meaning of the marks that are used."""
    return " ".join(sentence(text) for name, text in LEGEND.items() if name in marks)


def example_caption(text: str, turn: str, won: bool) -> str:
    """Return the words under an example of pawn play: what it is, whose move, and what comes out."""
    return f"{sentence(text)} {turn.capitalize()} to move: {'White wins' if won else 'drawn'}."


def near_enough_caption(text: str) -> str:
    """Return the words under a picture of the squares from which the king is near enough."""
    return f"{sentence(text)} White to move wins with the king on a square marked; from elsewhere it is a draw."


def stalemate_caption(san: str) -> str:
    """Return the words under a stalemate."""
    return f"Not {san}: stalemate."


def task_caption(number: int, title: str, moves: int, last: bool) -> str:
    """Return the words under an exercise: its stage, and in how many moves the method is through with it."""
    goal = f"Mate in {moves}." if last else f"Done in {counted(moves, 'move')}."
    return f"{number}. {title[:1].upper()}{title[1:]}. {goal}"


def stage_caption(number: int, title: str) -> str:
    """Return the words under the picture of a stage."""
    return f"{number}. {title[:1].upper()}{title[1:]}"


def alternative(men: dict[str, list[str]], side: str, caption: str) -> str:
    """Return a picture in words: the men of each side by name, whose move it is, and what is shown."""
    sides = [f"{name}: {listed(places)}" for name, places in men.items()]
    return f"{'; '.join(sides)}; {side} to move. {caption}"


def budget_foot(total: int, longest: int, mean: float) -> str:
    """Say what the stages add up to, and what the method takes at most beside the fifty moves."""
    worst = f"the method takes at most {longest} moves in all, {mean:.1f} on average"
    return sentence(f"each stage at its longest adds up to {total}, but {worst}; the fifty-move rule allows 50")


def start_words(moves: int) -> str:
    """Say how far it is to mate from the start of the model game."""
    return sentence(f"White mates by the method in {moves}")


def solution(number: int, line: str, left: int) -> str:
    """Return the solution of an exercise: the moves of its stage, and how far the mate is then."""
    return f"Exercise {number}: {line}{'' if left == 0 else f'; then mate in {left}'}."


def ready_caption(knight: str, bishop: str, king: str) -> str:
    """Return the words under the picture of the W before its first step."""
    return f"The W: knight {knight}, bishop {bishop}, king {king}, the other king on the edge."


def answer_caption(san: str, reply: str, answer: str) -> str:
    """Return the words under a reply and the answer to it."""
    return f"After {san}, if {reply}, then {answer}."


def cage_caption(san: str, squares: int) -> str:
    """Return the words under a cage that has just been shut."""
    return f"{san} shuts the cage: {counted(squares, 'square')} left to the king."


def waiting_caption(san: str) -> str:
    """Return the words under a waiting move."""
    return f"{san} waits: the king has the same squares as before, but now it must move."


def mate_caption(san: str) -> str:
    """Return the words under the mate."""
    return f"{san}: mate. No square is left."


def box_caption(san: str, squares: int) -> str:
    """Return the words under a smaller box."""
    return f"{san}: the box has {counted(squares, 'square')} now."


def key_caption(squares: list[str]) -> str:
    """Return the words under the key squares of a pawn."""
    return f"Key squares of the pawn: {listed(squares)}."


def source(version: str, ladder: str, seed: int) -> str:
    """Return the last line of a sheet: who made it, and how to have it again."""
    return f"Made by matebot {version}: ladder {ladder!r}, seed {seed}. Every number is computed."


COACH_TITLE, DEMONSTRATION, ANNOTATED, LADDERS = "A lesson", "A demonstration", "Annotated games", "The method"


def made_by(version: str) -> str:
    """Return the last line of a sheet without words of others."""
    return f"Made by matebot {version}. Every number is computed."


def annotated_source(version: str) -> str:
    """Return the last line of annotated games."""
    return f"Annotated by matebot {version}; what stood in the games before stands there as it was."


def left_out(games: int) -> str:
    """Say that a page does not hold all games."""
    return f"The first games of the file; {counted(games, 'more game')} not shown."


def ladder_heading(heading: str, ladder: str) -> str:
    """Return the heading of a ladder."""
    return f"{heading}: {ladder}"


def trap(number: int, text: str) -> str:
    """Say what to beware of in a stage."""
    return f"Beware in stage {number}: {text}."


def coach_source(version: str) -> str:
    """Return the last line of a coach's own sheet: whose words are whose."""
    return f"Pictures and what is set apart by a bar are by matebot {version}; all other words are the author's."


def position_caption(stage: str | None, number: int, move: str | None) -> str:
    """Return the words under a position of a game: after which move, and the stage where one begins."""
    where = f"After {move}" if move else f"Before move {number}"
    return f"{where}: {stage}." if stage else f"{where}."


def slip_caption(kind: str) -> str:
    """Return the words under a slip: its kind, since what is said of it begins with the move."""
    return sentence(slip_name(kind))


def square_of_pawn(near: str, far: str) -> str:
    """Name the square of the pawn by two opposite corners."""
    return f"the square of the pawn, {near} to {far}"


#: What the signs on a printed board mean, by the signs.
SIGNS = {"+": "the king can go there", "o": "a hole", "*": "a square to know", ":": "from here the man came"}
#: Words of the trade that a pupil may not know, by what they look like in a lesson.
TERMS = {
    r"\bW\b": "the W: the knight's way along the edge, to a8 by f7-e5-d7-c5-b7, while bishop and king help",
    r"\bcage\b": "cage: the squares that the other king can reach and cannot leave",
    r"\btriangle\b": "triangle: a corner of the bishop's colour and what a long diagonal cuts off with it",
    r"\bbox\b": "box: the part of the board that the rook's rank and file leave the other king",
    r"\bopposition\b": "opposition: the kings face each other with one square between, and the other side must move",
    r"\bkey squares?\b": "key square: one from which the king brings its pawn through, whoever is to move",
}
SHOWN = "Each stage is shown where its work is done, or nearly."
TICK_OFF, KNOW, BEWARE = "Tick off:", "Know by heart:", "Beware"
TICKED, UNTICKED = "[x]", "[ ]"


def signs(found: set[str]) -> str:
    """Return the meaning of the signs that are used on printed boards."""
    return f"On the boards: {', '.join(f'{sign} {text}' for sign, text in SIGNS.items() if sign in found)}."


def terms(text: str) -> str:
    """Return what the words of the trade in a text mean, nothing where there are none."""
    found = [meaning for pattern, meaning in TERMS.items() if re.search(pattern, text)]
    return f"Words: {'; '.join(found)}." if found else ""


def stage_heading(number: int, stages: int, title: str, most: int) -> str:
    """Return the heading of a stage in a lesson on the terminal."""
    return f"Stage {number} of {stages}: {title} (at most {counted(most, 'move')})"


def to_move(side: str) -> str:
    """Say whose move it is."""
    return f"{side.capitalize()} to move."


def beware(text: str) -> str:
    """Say what goes wrong most often."""
    return sentence(f"{BEWARE}: {text}")


def slip_heading(caption: str, stage: int) -> str:
    """Return the kind of a slip with its stage."""
    return f"{caption.rstrip('.')} (stage {stage}):"


def practise_command(ending: str, stage: int | None, side: str) -> str:
    """Return the command that practises an ending or one of its stages."""
    return f"matebot practise --ending {ending}{f' --stage {stage}' if stage else ''} --as {side}"


def practise_it(command: str) -> str:
    """Say how to practise what was taught."""
    return f"Practise it: {command}"


def another_ladder(ending: str, ladder: str) -> str:
    """Say that there is another ladder, and how to have it taught."""
    return f"Another way: matebot method {ending} --ladder {ladder!r}"


def proved(version: str, positions: int) -> str:
    """Say over how much the figures were proved."""
    return f"Proved by matebot {version} over {positions:,} won positions with the attacker to move."

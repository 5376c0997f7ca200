"""What a move of the attacker does, and what is worth knowing beside it: the most telling first."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.facts import MoveFacts, Standing
from matebot.wording.phrases import counted, listed, mate_in, other, rule_leaves, side, takes_clause

_SPARE_MOVES = 5
_FEW = 3

Rule = Callable[[MoveFacts], str]


def king(facts: MoveFacts) -> str:
    """Name the defending king."""
    return f"{side(other(facts.attacker or facts.turn))}'s king"


def gives(facts: MoveFacts) -> str:
    """Say which squares a move lets the defending king have."""
    return f"lets {king(facts)} have {listed(facts.squares_given)}"


def squares_clause(facts: MoveFacts) -> str:
    """Say what a move takes from the defending king, and what it gives it instead."""
    if not facts.squares_taken:
        return gives(facts) if facts.squares_given else ""
    text = f"takes {listed(facts.squares_taken)} from {king(facts)}"
    return f"{text}, giving it {listed(facts.squares_given)}" if facts.squares_given else text


def first(standings: tuple[Standing, ...]) -> Standing | None:
    """Return where a position stands in the ladder that is told of."""
    return standings[0] if standings else None


def _promotes(facts: MoveFacts) -> str:
    return f"{facts.san} makes a {facts.promoted}{_leaving(facts)}" if facts.promoted else ""


def _captures(facts: MoveFacts) -> str:
    if not facts.captured:
        return ""
    return f"{facts.san} {takes_clause(facts.captured, facts.victim_guarded)}{_leaving(facts)}"


def _leaving(facts: MoveFacts) -> str:
    """Name the ending that is left."""
    own, theirs = ("king" + "".join(f", {kind}" for kind in men) for men in (facts.attacker_men, facts.defender_men))
    return f": now it is {_and_last(own)} against {_and_last(theirs)}"


def _and_last(names: str) -> str:
    return listed(names.split(", "))


def _walks_the_w(facts: MoveFacts) -> str:
    if facts.w_step is None:
        return ""
    route = "-".join(facts.w_route)
    text = f"{facts.san} is step {facts.w_step} of 4 of the knight's W route {route} to the right corner"
    clause = squares_clause(facts)
    return f"{text}; it {clause}" if clause else text


def _waits(facts: MoveFacts) -> str:
    if not facts.waiting:
        return ""
    only = f" and has only {facts.only_reply}" if facts.only_reply else ""
    defender = side(other(facts.turn))
    return f"{facts.san} is a waiting move: the king's squares stay as they were, but {defender} must move{only}"


def _boxes(facts: MoveFacts) -> str:
    before, after = facts.box_before, facts.box_after
    if facts.piece not in ("rook", "queen") or before is None or after is None or after >= before:
        return ""
    shrunk = f"from {before} to {counted(after, 'square')}"
    if facts.knights_move_off:
        return f"{facts.san} stands a knight's move from {king(facts)} and shrinks its box {shrunk}"
    return f"{facts.san} shrinks the box of {king(facts)} {shrunk}"


def _rescues(facts: MoveFacts) -> str:
    if not facts.rescued:
        return ""
    text = f"{facts.san} saves the attacked {listed(facts.rescued)}"
    return f"{text} and {squares_clause(facts)}" if facts.squares_taken else text


def _runs(facts: MoveFacts) -> str:
    moves, catch = facts.pawn_moves, facts.catch_steps
    if facts.piece != "pawn" or moves is None or catch is None or catch <= moves + 1:
        return ""
    needs = f"the pawn needs {counted(moves, 'more move')} to {facts.pawn_goal}, the king {catch}"
    return f"{facts.san} runs, for {king(facts)} is outside the square of the pawn: {needs}"


def _checks(facts: MoveFacts) -> str:
    if not facts.check:
        return ""
    if facts.only_reply:
        return f"{facts.san} is check, and the only reply is {facts.only_reply}"
    if facts.squares_taken:
        return f"{facts.san} is check and {squares_clause(facts)}"
    return f"{facts.san} is check; the king may go to {listed(facts.flights, 'or')}"


def _reaches_key_square(facts: MoveFacts) -> str:
    if facts.piece != "king" or not facts.on_key_square:
        return ""
    return f"{facts.san} stands on a key square of the pawn ({listed(facts.key_squares)})"


def _opposes(facts: MoveFacts) -> str:
    counts = facts.opposition is not None and (facts.opposition == "direct" or "pawn" in facts.attacker_men)
    if not counts or facts.piece != "king" or facts.corner_steps_after is not None:
        return ""
    text = f"{facts.san} takes the {facts.opposition} opposition"
    clause = squares_clause(facts)
    return f"{text} and {clause}" if clause else text


def _heads_for_key_squares(facts: MoveFacts) -> str:
    before, after = facts.key_steps_before, facts.key_steps_after
    if facts.piece != "king" or before is None or after is None or after >= before:
        return ""
    return f"{facts.san} heads for the key squares {listed(facts.key_squares)}: {counted(after, 'more step')}"


def _takes_squares(facts: MoveFacts) -> str:
    if not facts.squares_taken:
        return ""
    ahead = ""
    if _shuts(facts) and not facts.squares_given:
        ahead = f" and guards {listed(facts.way_shut[:_FEW])} on that king's way {_whither(facts)}"
    return f"{facts.san} {squares_clause(facts)}{ahead}"


def _shuts_the_way(facts: MoveFacts) -> str:
    if not _shuts(facts):
        return ""
    text = f"{facts.san} guards {listed(facts.way_shut)} on the way of {king(facts)} {_whither(facts)}"
    return f"{text}, though it {gives(facts)}" if facts.squares_given else text


def _shuts(facts: MoveFacts) -> bool:
    """Whether squares on the king's way count: against a pawn it wants elsewhere."""
    return bool(facts.way_shut) and "pawn" not in facts.attacker_men


def _whither(facts: MoveFacts) -> str:
    """Name where a king wants to go: once it is on the edge, out is enough."""
    standing = first(facts.standings_before)
    return "to the centre" if standing is None or standing.stage <= 2 else "out"


def _approaches(facts: MoveFacts) -> str:
    if facts.piece == "king" and facts.kings_after < facts.kings_before:
        own = f"{side(facts.turn)}'s king"
        text = f"{facts.san} brings {own} nearer to the other, from {facts.kings_before} steps to {facts.kings_after}"
    elif facts.piece == "pawn":
        text = f"{facts.san} brings the pawn nearer to promotion"
    elif facts.rim_after > facts.rim_before and _in_first_stage(facts):
        where = "off the edge" if facts.rim_before == 0 else "towards the centre"
        text = f"{facts.san} brings the {facts.piece} {where}"
    else:
        return ""
    return f"{text}, though it {gives(facts)}" if facts.squares_given else text


def _in_first_stage(facts: MoveFacts) -> bool:
    standing = first(facts.standings_before)
    return standing is None or standing.stage == 1


def _prepares(facts: MoveFacts) -> str:
    if len(facts.ahead) < 2 or facts.outcome_after == 0 or facts.as_good_at_once:
        return ""
    text = f"{facts.san} prepares {facts.ahead[1]} after {facts.ahead[0]}"
    return f"{text}, though it {gives(facts)}" if facts.squares_given else text


def _regroups(facts: MoveFacts) -> str:
    if facts.squares_given:
        return f"{facts.san} {gives(facts)}"
    text = f"{facts.san} changes no square of {king(facts)}"
    return f"{text}; {facts.ahead[1]} is as good at once" if facts.as_good_at_once else text


#: What a move of the attacker does, the most telling first.
DEEDS: tuple[Rule, ...] = (
    _promotes,
    _captures,
    _rescues,
    _walks_the_w,
    _waits,
    _runs,
    _boxes,
    _checks,
    _reaches_key_square,
    _opposes,
    _heads_for_key_squares,
    _takes_squares,
    _approaches,
    _shuts_the_way,
    _prepares,
    _regroups,
)
#: Deeds that say too little to praise a move for.
VAGUE = (_prepares, _regroups)


def _few_moves_left(facts: MoveFacts) -> str:
    if facts.mate_moves is None or facts.moves_left > _SPARE_MOVES + facts.mate_moves:
        return ""
    return rule_leaves(facts.moves_left) if facts.clock_plies else ""


def _by_the_method(facts: MoveFacts) -> str:
    """Say what the method costs, where it is followed and is not the shortest way."""
    if not facts.method_moves or not facts.moves_lost or not facts.best_san:
        return ""
    if facts.best_moves == 1:
        return f"it follows the method; {facts.best_san} mates at once"
    return f"it follows the method; {facts.best_san} mates {counted(facts.moves_lost, 'move')} sooner"


def _only_way(facts: MoveFacts) -> str:
    if facts.keeping == facts.choices:
        return ""
    if facts.keeping == 1:
        outcomes = {0: "draw", -1: "lose"}
        others = (
            f"{'all' if len(facts.others) == 1 else 'the'} others {listed([outcomes[o] for o in facts.others], 'or')}"
        )
        return f"it is the only move that wins; {others}"
    return f"only {listed(facts.keepers)} win" if facts.keeping <= _FEW else ""


def _avoids_stalemate(facts: MoveFacts) -> str:
    if not facts.stalemating:
        return ""
    return f"not {listed(facts.stalemating[:2], 'or')}, which would be stalemate"


def _single_reply(facts: MoveFacts) -> str:
    if facts.only_reply and not facts.check and not facts.waiting:
        return f"the only reply is {facts.only_reply}"
    return ""


def _walls(facts: MoveFacts) -> str:
    if facts.abreast and facts.piece == "bishop":
        return "the bishops stand side by side and hold two neighbouring diagonals"
    if not facts.wall_bishop or facts.piece not in ("bishop", "knight"):
        return ""
    return (
        f"bishop and knight on squares of one colour guard both colours next to the king: the bishop "
        f"{listed(facts.wall_bishop)}, the knight {listed(facts.wall_knight)}"
    )


def _cuts_off(facts: MoveFacts) -> str:
    if facts.cut_off is None or facts.piece not in ("rook", "queen") or facts.loose or facts.defender_men:
        return ""
    return f"{king(facts)} cannot cross the {facts.cut_off}"


#: What is worth knowing beside it; the first that applies is said.
ASIDES: tuple[Rule, ...] = (
    _by_the_method,
    _few_moves_left,
    _only_way,
    _avoids_stalemate,
    _single_reply,
    _walls,
    _cuts_off,
)


def distance(facts: MoveFacts) -> str:
    """Say how far it is to mate, by the method where that is followed; nothing in a draw or after mate."""
    if facts.method_moves:
        return f"{mate_in(facts.method_moves, True)} by the method"
    if facts.mate_moves is None or facts.mate:
        return ""
    return mate_in(facts.mate_moves, facts.exact_after)


def told_by(rules: tuple[Rule, ...], facts: MoveFacts) -> str:
    """Return the text of the first rule that has one, else nothing."""
    return next((text for rule in rules if (text := rule(facts))), "")

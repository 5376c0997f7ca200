"""What a move did, in at most three short sentences, right for either colour and any corner.

Each sentence states facts of `MoveFacts` only. The first says what the move does and which stage it serves, the
second what to know beside it, the third how far it is to mate.
"""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.facts import MoveFacts, Standing, moves_left_in_count
from matebot.wording.phrases import counted, listed, other, sentence, side

_MAX_SENTENCES = 3
_SPARE_MOVES = 5


def told(facts: MoveFacts, better: MoveFacts | None = None) -> list[str]:
    """Return one to three sentences about a move, good or bad.

    Parameters
    ----------
    better : the facts of the best move, where this one loses something
    """
    if is_slip(facts):
        return _slip(facts, better)
    if facts.by_attacker:
        return _attack(facts)
    return _defence(facts)


def is_slip(facts: MoveFacts) -> bool:
    """Whether a move gave away its outcome or made the mate come later (attack) or sooner (defence)."""
    return facts.outcome_after < facts.outcome_before or facts.moves_lost > 0


def _attack(facts: MoveFacts) -> list[str]:
    if facts.mate:
        return [sentence(f"{facts.san} is checkmate: {_king(facts)} on {facts.king} has no square left")]
    if facts.outcome_before == facts.outcome_after == 0:
        return _still_drawn(facts)
    head = stage_lead(facts)
    deed = next(text for rule in _DEEDS if (text := rule(facts)))
    sentences = [sentence(head + deed)]
    sentences += [sentence(text) for rule in _ASIDES if (text := rule(facts))][:1]
    return [*sentences, *_distance(facts)][:_MAX_SENTENCES]


def _still_drawn(facts: MoveFacts) -> list[str]:
    if facts.cause_after == "dead position":
        return [sentence(f"{facts.san} changes nothing: these men cannot mate, whatever is played")]
    return [sentence(f"{facts.san} leaves the position drawn: with best play no mate can be forced")]


def stage_lead(facts: MoveFacts) -> str:
    """Return the words that name the stage a move of the attacker serves; empty without a ladder."""
    before, after = _first(facts.standings_before), _first(facts.standings_after)
    if before is None:
        return ""
    if after is not None and after.ladder == before.ladder and after.stage > before.stage:
        return f"Stage {after.stage} of {after.stages}, {after.title}, can begin: "
    return f"Stage {before.stage} of {before.stages}, {before.title}: "


def _first(standings: tuple[Standing, ...]) -> Standing | None:
    return standings[0] if standings else None


def _king(facts: MoveFacts) -> str:
    return f"{side(other(facts.attacker or facts.turn))}'s king"


def _squares_clause(facts: MoveFacts) -> str:
    parts = []
    if facts.squares_taken:
        parts.append(f"takes {listed(facts.squares_taken)} from {_king(facts)}")
    if facts.squares_given:
        parts.append(f"lets it have {listed(facts.squares_given)}" if parts else _gives(facts))
    return " but ".join(parts)


def _gives(facts: MoveFacts) -> str:
    return f"lets {_king(facts)} have {listed(facts.squares_given)}"


def _promotes(facts: MoveFacts) -> str:
    return f"{facts.san} makes a {facts.promoted}" if facts.promoted else ""


def _captures(facts: MoveFacts) -> str:
    return f"{facts.san} takes the {facts.captured}" if facts.captured else ""


def _walks_the_w(facts: MoveFacts) -> str:
    if facts.w_step is None:
        return ""
    route = "-".join(facts.w_route)
    text = f"{facts.san} is step {facts.w_step} of 4 of the knight's W route {route} to the right corner"
    clause = _squares_clause(facts)
    return f"{text}; it {clause}" if clause else text


def _waits(facts: MoveFacts) -> str:
    if not facts.waiting:
        return ""
    defender = side(other(facts.turn))
    only = f" and has only {facts.only_reply}" if facts.only_reply else ""
    return f"{facts.san} is a waiting move: the king's squares stay as they were, but {defender} must move{only}"


def _boxes(facts: MoveFacts) -> str:
    before, after = facts.box_before, facts.box_after
    if facts.piece not in ("rook", "queen") or before is None or after is None or after >= before:
        return ""
    return f"{facts.san} shrinks the box of {_king(facts)} from {before} to {counted(after, 'square')}"


def _rescues(facts: MoveFacts) -> str:
    if not facts.rescued:
        return ""
    clause = _squares_clause(facts) if facts.squares_taken else ""
    text = f"{facts.san} saves the attacked {listed(facts.rescued)}"
    return f"{text} and {clause}" if clause else text


def _runs(facts: MoveFacts) -> str:
    steps, catch = facts.pawn_steps, facts.catch_steps
    if facts.piece != "pawn" or steps is None or catch is None or catch <= steps + 1:
        return ""
    needs = f"the pawn needs {counted(steps, 'more move')}, {_king(facts)} {catch} to its last square"
    return f"{facts.san} runs: {needs}"


def _checks(facts: MoveFacts) -> str:
    if not facts.check:
        return ""
    if facts.only_reply:
        return f"{facts.san} is check, and the only reply is {facts.only_reply}"
    clause = _squares_clause(facts)
    text = f"{facts.san} is check; the king may go to {listed(facts.flights, 'or')}"
    return f"{facts.san} is check and {clause}" if clause else text


def _opposes(facts: MoveFacts) -> str:
    if facts.opposition is None or facts.piece != "king" or facts.corner_steps_after is not None:
        return ""
    clause = _squares_clause(facts)
    text = f"{facts.san} takes the {facts.opposition} opposition"
    return f"{text} and {clause}" if clause else text


def _reaches_key_square(facts: MoveFacts) -> str:
    if facts.piece != "king" or not facts.on_key_square:
        return ""
    return f"{facts.san} stands on a key square of the pawn ({listed(facts.key_squares)})"


def _takes_squares(facts: MoveFacts) -> str:
    return f"{facts.san} {_squares_clause(facts)}" if facts.squares_taken else ""


def _approaches(facts: MoveFacts) -> str:
    if facts.piece == "king" and facts.kings_after < facts.kings_before:
        text = f"{facts.san} brings {side(facts.turn)}'s king nearer"
    elif facts.piece == "pawn":
        text = f"{facts.san} brings the pawn nearer to promotion"
    elif facts.rim_after > facts.rim_before and _in_first_stage(facts):
        text = f"{facts.san} brings the {facts.piece} towards the centre"
    else:
        return ""
    return f"{text}, though it {_gives(facts)}" if facts.squares_given else text


def _in_first_stage(facts: MoveFacts) -> bool:
    standing = _first(facts.standings_before)
    return standing is None or standing.stage == 1


def _prepares(facts: MoveFacts) -> str:
    if len(facts.ahead) < 2 or facts.outcome_after == 0:
        return ""
    text = f"{facts.san} prepares {facts.ahead[1]} after {facts.ahead[0]}"
    return f"{text}, though it {_gives(facts)}" if facts.squares_given else text


def _regroups(facts: MoveFacts) -> str:
    if facts.squares_given:
        return f"{facts.san} {_gives(facts)}"
    return f"{facts.san} changes no square of {_king(facts)}"


#: What a move of the attacker does, the most telling first.
_DEEDS: tuple[Callable[[MoveFacts], str], ...] = (
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
    _takes_squares,
    _approaches,
    _prepares,
    _regroups,
)


#: Deeds that say too little to praise a move for.
_VAGUE = (_prepares, _regroups)


def _avoids_stalemate(facts: MoveFacts) -> str:
    if not facts.stalemating:
        return ""
    return f"not {listed(facts.stalemating[:2], 'or')}, which would be stalemate"


def _few_moves_left(facts: MoveFacts) -> str:
    left = moves_left_in_count(facts.clock_plies)
    if facts.mate_plies_after is None or left > _SPARE_MOVES + facts.mate_plies_after // 2:
        return ""
    return f"the fifty-move rule leaves {counted(left, 'move')}" if facts.clock_plies else ""


def _walls(facts: MoveFacts) -> str:
    if not facts.wall_bishop or facts.piece not in ("bishop", "knight"):
        return ""
    return (
        f"bishop and knight on squares of one colour guard both colours next to the king: the bishop "
        f"{listed(facts.wall_bishop)}, the knight {listed(facts.wall_knight)}"
    )


def _cuts_off(facts: MoveFacts) -> str:
    if facts.cut_off is None or facts.piece not in ("rook", "queen"):
        return ""
    return f"the {facts.piece} on the {facts.cut_off} keeps the kings apart"


def _single_reply(facts: MoveFacts) -> str:
    if facts.only_reply and not facts.check and not facts.waiting:
        return f"the only reply is {facts.only_reply}"
    return ""


def _only_way(facts: MoveFacts) -> str:
    return "it is the only move that wins" if facts.keeping == 1 < facts.choices else ""


#: What is worth knowing beside it; the first that applies is said.
_ASIDES: tuple[Callable[[MoveFacts], str], ...] = (
    _few_moves_left,
    _only_way,
    _avoids_stalemate,
    _single_reply,
    _walls,
    _cuts_off,
)


def _distance(facts: MoveFacts) -> list[str]:
    if facts.mate_plies_after is None:
        return ["The position is drawn."] if facts.outcome_after == 0 else []
    moves = facts.mate_plies_after // 2 if facts.by_attacker else (facts.mate_plies_after + 1) // 2
    bound = "" if facts.exact else "at most "
    return [sentence(f"mate in {bound}{moves}")] if moves else []


def _defence(facts: MoveFacts) -> list[str]:
    if facts.mate:
        return [sentence(f"{facts.san} is checkmate")]
    if facts.outcome_after == 0:
        return [*_draw(facts)][:_MAX_SENTENCES]
    if facts.outcome_after > 0:
        return [sentence(f"{facts.san} wins for {side(facts.turn)}"), *_distance(facts)]
    deed = _defence_deed(facts)
    return [sentence(deed), *_distance(facts)][:_MAX_SENTENCES]


def _defence_deed(facts: MoveFacts) -> str:
    if facts.choices == 1:
        return f"{facts.san} is the only legal move"
    text = f"{facts.san} holds out longest"
    if facts.equals == facts.choices:
        text = f"{facts.san} holds out as long as any move"
    elif facts.equals > 1:
        text = f"{facts.san} is one of {facts.equals} moves that hold out longest"
    if facts.attacked:
        return f"{text} and attacks {listed(facts.attacked)}"
    before, after = facts.corner_steps_before, facts.corner_steps_after
    if before is not None and after is not None:
        corner = f"{facts.right_corner}, a corner" if facts.right_corner else "the corners"
        if after > before:
            return f"{text}; the king gets away from {corner} of the bishop's colour"
        if after < before:
            return f"{text}, though it goes nearer to {corner} of the bishop's colour, where mate is forced"
    return text


def _draw(facts: MoveFacts) -> list[str]:
    why = {
        "stalemate": f"{facts.san} is stalemate",
        "dead position": f"{facts.san} leaves no men to mate with",
        "fifty moves": f"{facts.san} reaches the fifty-move rule in time",
        "repetition": f"{facts.san} brings about the third repetition in time",
    }.get(facts.cause_after, f"{facts.san} keeps the draw")
    taken = f" and takes the {facts.captured}" if facts.captured and facts.cause_after != "dead position" else ""
    return [sentence(why + taken), "The position is drawn."]


def _slip(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Say what it cost, why the best move was better, how to recover."""
    sentences = [sentence(_cost(facts))]
    reason = _reason(better) if better is not None else ""
    if facts.outcome_after < facts.outcome_before and facts.best_san:
        did = "kept the win" if facts.outcome_before > 0 else "held the draw"
        before = facts.mate_plies_before
        mate = f", mate in {(before + 1) // 2}" if before and facts.outcome_before > 0 else ""
        sentences.append(sentence(f"{facts.best_san} {did}{mate}{f'; it {reason}' if reason else ''}"))
    elif reason:
        sentences.append(sentence(f"{facts.best_san} {reason}"))
    return [*sentences, *_recovery(facts)][:_MAX_SENTENCES]


def _reason(better: MoveFacts) -> str:
    """Say what the best move does, without its name."""
    if not better.by_attacker:
        return ""
    if better.mate:
        return "is checkmate"
    deed = next((text for rule in _DEEDS if rule not in _VAGUE and (text := rule(better))), "")
    return deed.removeprefix(f"{better.san} ")


def _cost(facts: MoveFacts) -> str:
    if facts.outcome_after < facts.outcome_before:
        return _outcome_lost(facts)
    before, after = facts.mate_plies_before or 0, facts.mate_plies_after or 0
    lost = counted(facts.moves_lost, "move")
    if not facts.by_attacker:
        best = f"in {before // 2} after {facts.best_san}"
        return f"{facts.san} shortens the defence by {lost}: mate in {(after + 1) // 2} now, {best}"
    best_mate = (before + 1) // 2 - 1
    instead = f"in {best_mate} after {facts.best_san}" if best_mate else f"at once by {facts.best_san}"
    text = f"{facts.san} costs {lost}: mate in {after // 2} now, {instead}"
    stood, stands = _first(facts.standings_before), _first(facts.standings_after)
    if stood and stands and stands.ladder == stood.ladder and stands.stage < stood.stage:
        return f"{text}; back from stage {stood.stage} to stage {stands.stage}, {stands.title}"
    return f"{text}; it {_gives(facts)}" if facts.squares_given else text


def _outcome_lost(facts: MoveFacts) -> str:
    lost = "the win is gone" if facts.outcome_before > 0 else "the draw is gone"
    if facts.outcome_after < 0:
        return f"{facts.san} loses: {lost}"
    reasons = {
        "stalemate": f"{facts.san} is stalemate: {_king(facts)} has no move and is not in check",
        "fifty moves": f"{facts.san} is too slow for the fifty-move rule",
        "repetition": f"{facts.san} lets the position be repeated a third time",
        "dead position": f"{facts.san} leaves no men to mate with",
    }
    if facts.cause_after in reasons:
        return f"{reasons[facts.cause_after]}; {lost}"
    if facts.loose and facts.ahead and "x" in facts.ahead[0]:
        return f"{facts.san} loses a man to {facts.ahead[0]}; {lost}"
    return f"{facts.san} lets the other side hold the draw; {lost}"


def _recovery(facts: MoveFacts) -> list[str]:
    if not facts.ahead:
        return []
    if facts.by_attacker and facts.outcome_after > 0 and len(facts.ahead) == 2 and facts.moves_lost:
        reply, back = facts.ahead
        return [sentence(f"the way back: after {reply} play {back}")]
    if facts.cause_after == "balance" and "x" not in facts.ahead[0]:
        return [sentence(f"the drawing move is {facts.ahead[0]}")]
    return []

"""What a slip gives away: the man lost, what is had for it, and by what move it would have been kept."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.saved import Saved
from matebot.ideas.squares import king_steps
from matebot.terms import Mistake
from matebot.wording import maxims
from matebot.wording.said import (
    by_minors,
    defender,
    goal_of,
    kind_signed,
    man,
    moves_lost,
    own_king,
    parse_square,
    stands,
    stood,
)

#: A slip of so few moves is a small one.
_FEW = 2


def lost(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man a slip gives away, and by what it is taken; nothing where none is lost."""
    if facts.cost.loses is None:
        return ""
    _, reply = _taken(facts)
    if facts.man.promoted and not facts.by_attacker:
        return f"only gives the pawn up: {reply}"
    if promotes_instead(facts, better):
        return f"gives {defender(facts)} time for {reply}"
    if facts.cost.retaken is not None:
        return f"gives the {_named(facts)} for the {kind_signed(reply)}: {reply} {facts.cost.retaken}"
    if both_hang(facts):
        other = next(at for at in facts.loose_men.loose if at != goal_of(reply))
        return f"leaves {_both(facts)} hanging: {reply} or Kx{other}"
    left = "does not save the {}" if facts.cost.loose_before else "leaves the {} hanging"
    does = "gives the {} away" if parse_square(goal_of(reply)) == stands(facts) else left
    return f"{does.format(_named(facts))}: {reply}{left_over(facts)}"


def _both(facts: MoveFacts) -> str:
    """Name the only two men."""
    one, two = facts.men.attacker_men
    return f"both {one}s" if one == two else f"both {one} and {two}"


def promotes_instead(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether the pawn lost could have promoted."""
    return (
        better.man.promoted is not None
        and facts.cost.loses == "pawn"
        and not facts.man.promoted
        and stood(better) == parse_square(goal_of(_taken(facts)[1]))
    )


def kept_by(facts: MoveFacts, better: MoveFacts) -> str:
    """Say by which move a man attacked is kept; nothing where the slip itself brought it into danger."""
    saved = better.seen.idea(Saved)
    if saved is None or not facts.cost.loose_before or facts.cost.retaken is not None or better.man.captured:
        return ""  # what is taken is told already
    same = man(saved.man) == f"the {facts.cost.loses}"
    return f"{better.san} keeps it" if same else ""


def maxim(facts: MoveFacts, better: MoveFacts) -> str:
    """Return what a man that is taken teaches: by whom, and whether it moved there or was left."""
    name, reply = _taken(facts)
    if promotes_instead(facts, better):
        return maxims.QUEEN_AT_ONCE
    if facts.cost.loose_before and facts.cost.mistake is not Mistake.OUTCOME and moves_lost(facts) <= _FEW:
        return ""  # there was more to do than to save it
    if both_hang(facts):
        stayed = (square for square in map(parse_square, facts.loose_men.loose) if square != stands(facts))
        let_go = any(map(facts.seen.lets_go, stayed))
        return maxims.STAY_ON_GUARD if let_go else maxims.SAVE_FIRST
    if facts.cost.loose_before:
        return maxims.SAVE_FIRST
    if not reply.startswith("K"):
        return maxims.STRIKES[kind_signed(reply)]
    if name == "pawn":
        return maxims.GUARD_THE_PAWN
    if parse_square(goal_of(reply)) == stands(facts):
        if facts.gives.check and name in ("queen", "rook"):
            return maxims.NEXT_TO_IT.format(man=name)
        return maxims.KEEP_AWAY.format(man=name)
    guarded = king_steps(own_king(facts), parse_square(goal_of(reply))) == 1
    return maxims.STAY_ON_GUARD if guarded else maxims.WHAT_CAN_BE_TAKEN


def left_over(facts: MoveFacts) -> str:
    """Say what the men left can do without the man given away, or those of the other side."""
    left, theirs, after = list(facts.men.attacker_men), facts.men.defender_men, facts.worth.outcome_after
    if not facts.by_attacker or facts.cost.loses not in left or "=" in f"{facts.cost.loses_to}":
        return ""
    left.remove(facts.cost.loses)
    alone = [*left, *theirs] if len(left) + len(theirs) == 1 else [""]
    if not (left or theirs or facts.cost.loses == "pawn"):
        return ", and bare kings are left"
    if not after and alone[0] in ("bishop", "knight"):
        return f", and a {alone[0]} alone cannot mate"
    if not after and left == ["pawn"] and not theirs:
        return ", and the pawn alone does not win"
    if after < 0 and alone[0]:
        return f", and the {alone[0]} wins"
    return f", but the {alone[0]} still wins" if after > 0 and alone[0] else ""


def both_hang(facts: MoveFacts) -> bool:
    """Whether a bare king may take either of two bishops, or bishop and knight."""
    both = len(facts.loose_men.loose) == len(facts.men.attacker_men) == _FEW
    return both and by_minors(facts) and not facts.men.defender_men and facts.cost.mistake is Mistake.OUTCOME


def _taken(facts: MoveFacts) -> tuple[str, str]:
    """Return which man is lost, and the reply that takes it, of a move that loses one."""
    name, reply = facts.cost.loses, facts.cost.loses_to
    assert name is not None
    assert reply is not None
    return name, reply


def _named(facts: MoveFacts) -> str:
    """Name the man lost, with its square where another of its kind stands."""
    name, by = _taken(facts)
    still = parse_square(goal_of(by)) != stands(facts)  # the move has named it else
    two = facts.by_attacker and still and facts.men.attacker_men.count(name) > 1 and "=" not in by
    return f"{name} on {goal_of(by)}" if two else name

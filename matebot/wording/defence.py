"""What a move of the side that is losing, or holds the draw, tries: one rule an idea, the most telling first."""

from __future__ import annotations

from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.bars_king import BarsKing
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.critical import Critical
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.to_centre import ToCentre
from matebot.ideas.trapped import Trapped
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.method.facts import MoveFacts
from matebot.terms import Cause
from matebot.wording.draws import why_drawn
from matebot.wording.phrases import counted, listed, other, sentence, side, takes_clause
from matebot.wording.said import Rule, by_minors, men_on, of, squares

#: Mate is forced in the right corner: from so near it the king wants to get away.
_NEAR_CORNER_STEPS = 3
_MOST_PURPOSES = 2


def _captures(facts: MoveFacts) -> str:
    return takes_clause(facts.captured, facts.victim_guarded) if facts.captured else ""


def _hole(idea: ThroughHole, facts: MoveFacts) -> str:
    if not by_minors(facts):
        return ""
    if idea.reached:
        return f"runs out through the hole {square_name(idea.hole)}"
    return f"heads for the hole {square_name(idea.hole)}"


def _leaves_cage(idea: Cage, facts: MoveFacts) -> str:
    return "gets out of the cage" if idea.change is CageChange.LEAVES else ""


def _attacks(idea: AttacksMan, facts: MoveFacts) -> str:
    on = men_on(idea.men, idea.squares)
    return f"attacks {on.replace('the ', 'the unguarded ', 1) if idea.loose == idea.squares else on}"


def _traps(idea: Trapped, facts: MoveFacts) -> str:
    return f"traps the {man_name(idea.man)} on {square_name(idea.square)}"


def _stalemate(idea: StalemateTrap, facts: MoveFacts) -> str:
    if idea.deed is not StalemateDeed.SETS or facts.seen.move is None:
        return ""
    names = [facts.seen.name(facts.seen.move, reply) for reply in idea.moves[:2]]
    return f"goes for stalemate: {listed(names, 'or')} would be it"


def _wrong_corner(idea: WrongCorner, facts: MoveFacts) -> str:
    if idea.deed is not CornerDeed.RUNS:
        return ""
    return f"runs for {square_name(idea.corner)}, the corner where no mate can be forced"


def _opposition(facts: MoveFacts) -> str:
    if facts.piece != "king" or facts.opposition is None:
        return ""
    if facts.opposition != "direct" and "pawn" not in facts.attacker_men:
        return ""
    bars = f" and bars {listed(facts.barred)}" if facts.barred else ""
    return f"takes the {facts.opposition} opposition{bars}"


def _bars(idea: BarsKing, facts: MoveFacts) -> str:
    return f"bars {squares(idea.squares)} to {side(other(facts.turn))}'s king"


def _centre(idea: ToCentre, facts: MoveFacts) -> str:
    if idea.stays_out:
        return "keeps away from the edge" if idea.after else "stays where it is least driven"
    return "leaves the edge" if idea.before == 0 else "makes for the centre"


def _from_corner(facts: MoveFacts) -> str:
    before, after = facts.corner_steps_before, facts.corner_steps_after
    if facts.piece != "king" or before is None or after is None or not before < after or before > _NEAR_CORNER_STEPS:
        return ""
    return f"gets away from {facts.right_corner or 'the corners'}, where mate is forced"


def _barred(facts: MoveFacts) -> str:
    return f"bars {listed(facts.barred)} to {side(other(facts.turn))}'s king" if facts.barred else ""


def _checks(facts: MoveFacts) -> str:
    return "gives check and gains time" if facts.check else ""


#: What a move of the defender tries.
PURPOSES: tuple[Rule, ...] = (
    _captures,
    of(Cage, _leaves_cage),
    of(ThroughHole, _hole),
    of(AttacksMan, _attacks),
    of(Trapped, _traps),
    of(StalemateTrap, _stalemate),
    of(WrongCorner, _wrong_corner),
    _opposition,
    of(BarsKing, _bars),
    of(ToCentre, _centre),
    _from_corner,
    _barred,
    _checks,
)


def purposes(facts: MoveFacts) -> list[str]:
    """Return what a move of the defender tries, the most telling first, without its name; no thing twice."""
    found = [text for rule in PURPOSES if (text := rule(facts))]
    if len(found) > 1 and found[1].startswith("bars") and "bars" in found[0]:
        del found[1]
    return found[:_MOST_PURPOSES]


def has_reason(facts: MoveFacts) -> bool:
    """Whether a free defence is explained by more than how long it lasts."""
    return bool(purposes(facts)) or facts.seen.idea(Critical) is not None


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position tries, and how it compares."""
    if facts.choices == 1:
        return [sentence(f"{facts.san} is forced: the only legal move")]
    tries = purposes(facts)
    critical = facts.seen.idea(Critical)
    if critical is not None and critical.alone:
        lead = f"{facts.san} is the critical test"
        by = f"any other move is mated {counted(critical.longer_by, 'move')} sooner"
        return [
            sentence(f"{lead}: it {listed(tries)}" if tries else f"{lead}: {by}"),
            *([sentence(by)] if tries else []),
        ]
    text = f"{facts.san} {listed(tries)}" if tries else ""
    compared = _compared(facts, critical)
    if not text:
        return [sentence(f"{facts.san} {compared[1]}")]
    return [sentence(text), *([sentence(compared[0])] if compared[0] else [])]


def _compared(facts: MoveFacts, critical: Critical | None) -> tuple[str, str]:
    """Return how a defence compares with the others: as a sentence of its own, and after its name."""
    if not facts.ranked_exactly:
        return "", "does not stop the mate"
    if facts.equals == facts.choices:
        return "every move lasts as long", "changes nothing: every move lasts as long"
    if critical is not None:
        by = counted(critical.longer_by, "move")
        return (
            f"no move lasts longer; other tries lose {by} sooner" if critical.longer_by else "no move lasts longer",
            f"lasts longest with {listed(facts.others_as_good)}; the rest lose {by} sooner",
        )
    return "no move lasts longer", "lasts as long as any"


def drew(facts: MoveFacts) -> list[str]:
    """Return how a move draws, and why it is a draw."""
    how = {
        Cause.STALEMATE: "is stalemate",
        Cause.FIFTY_MOVES: "reaches the fifty-move rule in time",
        Cause.REPETITION: "brings about the third repetition in time",
    }.get(facts.cause_after, "keeps the draw")
    if facts.captured:
        how = f"{takes_clause(facts.captured, facts.victim_guarded)} and {how.replace('keeps', 'holds')}"
    why = why_drawn(facts) if facts.cause_after in (Cause.BALANCE, Cause.DEAD_POSITION) else ""
    text = f"{facts.san} {how}{': ' + why if why else ''}"
    return [sentence(text), *_alone(facts), *_shown(facts, why), *_hanging(facts)]


def _alone(facts: MoveFacts) -> list[str]:
    lost = facts.choices - facts.keeping
    if facts.keeping == 1 < facts.choices:
        return [sentence("it is the only move that draws")]
    return [sentence(f"{lost} of the {facts.choices} moves {'loses' if lost == 1 else 'lose'}")] if lost else []


def _shown(facts: MoveFacts, why: str) -> list[str]:
    """Show by moves that nothing is to be won, where no reason is known."""
    if why or facts.cause_after is not Cause.BALANCE or not facts.ahead:
        return []
    return [sentence(f"after {' '.join(facts.ahead)} it is still drawn")]


def _hanging(facts: MoveFacts) -> list[str]:
    idea = facts.seen.idea(Hanging)
    if idea is None or facts.cause_after is not Cause.BALANCE:
        return []
    return [sentence(f"{men_on(idea.men, idea.squares)} may be taken, and it stays drawn")]

"""What a reply does against a lost defence, in words: it takes squares from the king, drives it, or comes at a man."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters, Does
from matebot.ideas.idea import man_name
from matebot.ideas.outlasts import Outlasts
from matebot.ideas.squares import from_edge
from matebot.wording.counsel import FEWER, KEEP_AWAY, about_pawn, belong_together, keep_away, off_the_edge, only_there
from matebot.wording.pawn_comes import king_after
from matebot.wording.phrases import other, side
from matebot.wording.said import mated_within, needs_king, rivals_men, squares

#: So near the mate none of this matters.
_NEAR_MATE = 4
_PAWN = 1
#: What a reply does, as a verb without its ending and what follows it.
_DEEDS = {
    Does.DRIVES: ("drive", "{king} to the edge"),
    Does.PARTS: ("drive", "{king} away from its {man}"),
    Does.HITS: ("attack", "the {man}"),
    Does.SAVES: ("save", "the {man}"),
    Does.TAKES: ("take", "{squares} from {king}"),
    Does.NEARS: ("bring", "{rival} nearer"),
}


def meets(idea: Counters, facts: MoveFacts) -> str:
    """Say what the best reply does: ``Kd2 takes e2 and e3 from White's king``; nothing where a man is what matters."""
    verb, rest = _deed(idea, facts)
    return f"{facts.seen.name_after(idea.reply)} {verb}s {rest}" if verb else ""


def met_by(idea: Counters, facts: MoveFacts) -> str:
    """Say to what reply a shorter defence loses a move: as the reason where that tells it from the better ones."""
    verb, rest = _deed(idea, facts)
    if not verb:
        return ""
    reply = facts.seen.name_after(idea.reply)
    if facts.seen.contrast.best_after_longest(idea.reply)[1]:
        return ""  # it does not tell the move from a better one
    if idea.apart and idea.does is not Does.DRIVES:
        return f": it lets {reply} {verb} {rest}"
    return f" and is met by {reply}, which {verb}s {rest}"


def hit(facts: MoveFacts) -> str:
    """Say what a reply teaches that comes to attack the one piece: to the move itself, or to the next best one."""
    seen = [one for one in (facts.seen.idea(Counters), facts.seen.idea(Outlasts)) if one is not None]
    return next((taught(one, facts) for one in seen if one.does is Does.HITS and _deed(one, facts)[0]), "")


def taught(idea: Counters | Outlasts, facts: MoveFacts) -> str:
    """Say what a reply teaches by what it does."""
    if idea.does is Does.DRIVES:
        return off_the_edge(facts)
    if mated_within(facts, _NEAR_MATE):
        return ""
    if idea.does is Does.TAKES:
        if len(idea.squares) > 1:
            return FEWER
        # Of a king that stands on the edge it would speak against the move.
        return only_there(facts) if needs_king(facts) and from_edge(king_after(facts)) else ""
    if idea.does in (Does.HITS, Does.PARTS) and idea.man is not None:
        return (about_pawn(facts) if idea.man == _PAWN else "") or belong_together(man_name(idea.man))
    if idea.does is not Does.NEARS:
        return ""
    return keep_away(facts) if isinstance(idea, Counters) else KEEP_AWAY  # the other is what this move does not let in


def outlasted(idea: Outlasts, facts: MoveFacts) -> str:
    """Say what the next best defence lets in: ``Kf3 lets Kd2 take e2 and e3 from White's king``."""
    verb, rest = _deed(idea, facts)
    if idea.does is Does.DRIVES or (idea.does is Does.TAKES and len(idea.squares) == 1):
        return ""  # what holds the king on the edge `denials` tells; one square is little
    if idea.does is Does.SAVES and not any(map(facts.seen.attacked, rivals_men(facts))):
        return ""  # the man need not be saved from this move
    name, reply = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.reply)
    return f"{name} lets {reply} {verb} {rest}" if verb else ""


def _deed(idea: Counters | Outlasts, facts: MoveFacts) -> tuple[str, str]:
    if "pawn" in facts.men.attacker_men and idea.does not in (Does.DRIVES, Does.SAVES):
        return "", ""  # what matters is the pawn
    verb, rest = _DEEDS[idea.does]
    man = "" if idea.man is None else man_name(idea.man)
    king, rival = f"{side(facts.turn)}'s king", f"{side(other(facts.turn))}'s king"
    return verb, rest.format(king=king, rival=rival, man=man, squares=squares(idea.squares))

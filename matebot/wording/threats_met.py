"""The threat that a drawing move meets, and the pitfall beside it."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.wording.phrases import listed


def met_threat(idea: Meets, facts: MoveFacts) -> str:
    """Say what threat a move meets: ``it gets out of the fork Rb2+``."""
    name, men = facts.seen.name(idea.reply), listed([man_name(kind) for kind in idea.men])
    if idea.means is None:
        return f"it avoids {name}, which pins the {men}"
    if idea.means is Means.CAPTURE and idea.still:
        return f"it guards the {men} against {name}" if idea.guarded else f"it strikes back after {name}"
    return {
        Means.MATE: f"it avoids the mate {name}",
        Means.CAPTURE: f"it saves the {men} from {name}",
        Means.PROMOTION: f"it stops {name}",
        Means.FORK: f"it avoids the fork {name}",
        Means.SKEWER: f"it avoids the skewer {name}",
    }[idea.means]


def king_first(men: tuple[int, ...]) -> str:
    """Name men hit at once, the dearest first."""
    return listed([man_name(kind) for kind in sorted(men, reverse=True)])


def pitfall(idea: Pitfall, facts: MoveFacts) -> str:
    """Warn of a move that loses: ``not Kb2: Rb3+ forks king and knight``."""
    if idea.means is Means.CAPTURE:
        return ""  # a man given away teaches nothing
    other, reply = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.reply)
    if idea.means is None:
        return f"not {other}: {reply} pins the {man_name(idea.men[0])}"
    if idea.means in (Means.FORK, Means.SKEWER):
        does = " forks " if idea.means is Means.FORK else " skewers "
        return f"not {other}: {reply}{does}{king_first(idea.men)}"
    if idea.shut:
        return f"not {other}: {reply} leaves the {man_name(idea.men[0])} no safe square"
    if "#" in reply:
        return f"not {other}: {reply}"
    # That a reply wins is no reason without what is lost.
    return f"not {other}: {reply} wins the {man_name(idea.men[0])}" if idea.means is Means.NONE and idea.men else ""

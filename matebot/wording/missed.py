"""Chances that passed with a slip: a mate, a loose man, a new queen, a fork, a pawn that could run."""

from __future__ import annotations

from collections.abc import Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name
from matebot.ideas.mates import Mates
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.squares import from_edge
from matebot.terms import Mistake
from matebot.wording import maxims
from matebot.wording.lapses import at_pawn, before_pawn, best_ones, in_way, told_from
from matebot.wording.phrases import listed
from matebot.wording.said import (
    defender,
    goal_of,
    moves_lost,
    of,
    own_king,
    parse_square,
    rival_king,
    squares,
    stands,
    walks_away,
)
from matebot.wording.undone import edge_line

_FEW, _BOTH = 3, 2


def missed(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which chance passed: one that every move as good takes, or that is gone for good."""
    text = passed(facts, better)
    if text.startswith("overlooks the loose ") and _as_good_without(facts):
        return text.replace("overlooks the ", f"misses {better.san}, which takes the ").partition(": ")[0]
    if not text:
        found = ((passed(facts, other), other) for other in best_ones(facts))
        told, other = next(((told, other) for told, other in found if told.startswith(_TELLING)), ("", better))
        taken = told.startswith(_TELLING[-1]) and _as_good_without(facts)
        return f"misses {other.san}, which takes the loose {other.man.captured}" if taken else told
    return text if text.startswith(_GONE) or told_from(passed, facts, best_ones(facts)) else ""


def _as_good_without(facts: MoveFacts) -> bool:
    """Whether a few moves are lost, and a move that takes nothing loses none of them."""
    few = facts.cost.mistake is not Mistake.OUTCOME and moves_lost(facts) < _FEW
    return few and any(other.man.captured is None for other in best_ones(facts))


def loose_left(facts: MoveFacts) -> str:
    """Say which piece could have been taken for nothing by a move that keeps the outcome; the strongest one."""
    if facts.man.captured:
        return ""
    takes = {one.man.captured: one for one in reversed(facts.held_against) if not one.man.victim_guarded}
    if any(one.gives.mate for one in facts.held_against):
        return ""
    one = next((takes[piece] for piece in _STRONGEST if piece in takes), None)
    return "" if one is None else f"overlooks the loose {one.man.captured}: {one.san} takes it"


def edge_left(facts: MoveFacts) -> str:
    """Return the line that held the king on the edge and that its man has left; "" where a sound move of it keeps it.

    A move that comes to no more and keeps the line shows that it matters little.
    """
    king, replies = parse_square(facts.room.king), facts.then.ahead[:1]
    inwards = any(move[0] == "K" and from_edge(parse_square(goal_of(move))) > from_edge(king) for move in replies)
    line = edge_line(facts) if inwards and facts.man.piece in ("queen", "rook") else ""
    return line if line and all(map(edge_line, facts.no_better)) else ""


#: Chances of the best move that are worth telling whatever else was as good.
_GONE = ("overlooks ", "makes ", "stands in its ", "loses time: ", "walks away from ", "gives ", "misses mate in two")


_FORK = "misses the fork "
#: Chances that are told even of another of the best moves.
_TELLING = (_FORK, "misses the skewer ", "overlooks the loose ")


def passed(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which chance passed: a mate, a loose man, a new queen."""
    if better.gives.mate:
        return f"overlooks mate in one: {better.san}{_helped(better)}"
    if facts.man.captured and not facts.man.promoted:
        return ""
    if better.man.victim_guarded and _in_two(facts, better) and (mate := of(Prepares, mate_in_two)(better)):
        return f"misses mate in two{mate}"
    if better.man.captured and not facts.man.captured:
        if better.man.victim_guarded:
            return f"misses {better.san}, which takes the {better.man.captured}"
        line = facts.then.ahead
        soon = len(line) == _BOTH and "x" in line[1] and parse_square(goal_of(line[1])) == stands(better)
        if soon and facts.cost.mistake is not Mistake.OUTCOME:
            if moves_lost(facts) > _FEW:
                return ""  # there was more to it than to take the man
            return f"loses time: {better.san} takes the loose {better.man.captured} at once"
        return f"overlooks the loose {better.man.captured}: {better.san} takes it"
    if better.man.promoted and facts.man.promoted:
        return _makes(facts, better)
    if _in_two(facts, better):
        return f"misses mate in two{of(Prepares, mate_in_two)(better) or _mate_after(better)}"
    if text := of(Prepares, _blow)(better):
        saved = facts.seen.idea(Saved)
        saves = f"saves the {facts.man.piece}, but " if saved is not None and saved.moved else ""
        return f"{saves if text.startswith(_FORK) else ''}{text}"
    if better.seen.idea(PawnRuns) is not None and stands(facts) != stands(better):
        return _ran(facts, better)
    if better.man.promoted and facts.cost.mistake is Mistake.OUTCOME and facts.then.ahead:
        reply = facts.then.ahead[0]
        stops = ", which stops the pawn" if facts.then.stops_pawn and "x" not in reply else ""
        return f"gives {defender(facts)} time for {reply}{stops}"
    if better.man.promoted:
        return _puts_off(facts, better)
    return ""


def _blow(idea: Prepares, better: MoveFacts) -> str:
    """Say that the better move forks or skewers, and what it hits."""
    if not (idea.forks or idea.skewers):
        return ""
    assert idea.man is not None  # what is hit beside the king
    man = man_name(idea.man)
    if idea.forks:
        return f"{_FORK if idea.sure else 'misses '}{better.san}, which hits king and {man}"
    return f"misses the skewer {better.san}: the king must step aside, and the {man} falls"


def _in_two(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether the better move mates in two."""
    return facts.worth.best_moves == _BOTH and facts.worth.exact_before and not better.cost.moves_lost


def step_as_good(facts: MoveFacts, better: MoveFacts) -> MoveFacts | None:
    """Return a step of the king as good as the promotion that a slip puts off; None without."""
    if not better.man.promoted or facts.man.promoted or facts.cost.mistake is Mistake.OUTCOME or facts.cost.loses:
        return None
    return next((one for one in best_ones(facts) if one.man.piece == "king" and not one.man.captured), None)


def _puts_off(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the pawn could have promoted, or that the king stands where it would.

    Where a step of the king is as good, it was not to put it off that cost the time.
    """
    if facts.man.piece == "king" and before_pawn(facts, stands(better)):
        return in_way(facts)
    if (step := step_as_good(facts, better)) is not None:
        return f"{time_lost(facts, best_ones(facts))}: better is {better.san} or {step.san}"
    return f"puts off {better.san}"


def time_lost(facts: MoveFacts, best: list[MoveFacts]) -> str:
    """Say that a move loses time: of the king, that it walks away from the other, where no move as good does."""
    away = walks_away(facts) and not any(map(walks_away, best))
    return f"walks away from {rival_king(facts)}" if away else "loses time"


def _makes(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that another man should have been made; that it is too little where no new man is needed."""
    makers = [other for other in best_ones(facts) if other.man.promoted]
    if facts.man.promoted == "queen" and facts.cost.mistake is not Mistake.OUTCOME:
        return ""  # nobody need make less than a queen
    won = facts.worth.outcome_after > 0
    if (won or len(makers) < len(best_ones(facts))) and not _too_weak(facts):
        return f"makes only a {facts.man.promoted}"
    needed = _listed_new(makers) or better.man.promoted
    return f"makes a {facts.man.promoted} where a {needed} is needed{_too_weak(facts)}"


def underpromoted(facts: MoveFacts) -> str:
    """Say that the same pawn should have become another man, which keeps what is lost; nothing where none does."""
    needed = _listed_new(_same_pawn(facts))
    return f"makes a {facts.man.promoted} where a {needed} is needed{_too_weak(facts)}" if needed else ""


def _listed_new(makers: Iterable[MoveFacts]) -> str:
    """Return the men that may be made instead, the strongest first: ``queen or rook``."""
    made = {other.man.promoted for other in makers}
    return listed([kind for kind in _STRONGEST if kind in made], "or")


def needed_man(facts: MoveFacts) -> str:
    """Return the strongest man that the same pawn should have become; "" where none would have been better."""
    return min((other.man.promoted or "" for other in _same_pawn(facts)), key=_STRONGEST.index, default="")


def _same_pawn(facts: MoveFacts) -> list[MoveFacts]:
    return [other for other in facts.held_against if other.man.promoted and other.move[:4] == facts.move[:4]]


#: The pieces that a pawn may become, the strongest first.
_STRONGEST = ("queen", "rook", "bishop", "knight")


def _ran(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the pawn could have run."""
    alone = facts.men.attacker_men == ("pawn",) and not facts.men.defender_men
    if alone and facts.cost.mistake is Mistake.OUTCOME and not facts.worth.outcome_after:
        return f"gives {rival_king(facts)} time to catch the pawn: {better.san} at once outruns it"
    if edge_left(facts):
        return ""  # that is the main fault
    if reply := at_pawn(facts):
        return f"lets {rival_king(facts)} attack the pawn by {reply}: {better.san} at once outruns the king"
    return f"loses time: {better.san} at once outruns the king"


def _too_weak(facts: MoveFacts) -> str:
    """Say why the man made does not win against what is left to the other side."""
    mine, theirs = facts.men.attacker_men, facts.men.defender_men
    if facts.worth.outcome_after or len(mine) > 1 or len(theirs) > 1:
        return ""
    if theirs:
        return f": {mine[0]} against {theirs[0]} only draws"
    return f": a {mine[0]} alone cannot mate" if mine[0] in ("bishop", "knight") else ""


def mate_in_two(idea: Prepares, better: MoveFacts) -> str:
    """Say how the better move mates by force with the next."""
    if idea.does is not Next.MATE or not idea.forced:
        return ""
    reply, mate = (better.seen.name_after(*moves) for moves in ((idea.reply,), (idea.reply, idea.move)))
    return f": {better.san} leaves only {reply}, then {mate}"


def _mate_after(better: MoveFacts) -> str:
    """Say how it goes on from the better move to mate, by the reply that leaves least choice."""
    line = better.then.ahead
    if len(line) == _BOTH:
        return f": {better.san}, and if {line[0]}, {line[1]}"
    return f", beginning with {better.san}"


def _helped(better: MoveFacts) -> str:
    """Say how the other men help to mate."""
    mates = better.seen.idea(Mates)
    helpers = () if mates is None else tuple(holder for holder in mates.holders if not holder.checks)
    came = stands(better)
    guard = next((holder for holder in helpers if came in holder.squares), None)
    if guard is not None:
        return f", guarded by the {man_name(guard.man)}"
    if len(helpers) == 1 and len(helpers[0].squares) <= _FEW:
        return f", with {squares(helpers[0].squares)} held by the {man_name(helpers[0].man)}"
    return ""


def mate_in_two_maxim(better: MoveFacts) -> str:
    """Return what a mate missed teaches: the pattern of the kings face to face, or where to look for mates."""
    faced = of(Prepares, _face_to_face)(better)
    return faced or ("" if from_edge(parse_square(better.room.king)) else maxims.MATE_FIRST)


def _face_to_face(idea: Prepares, better: MoveFacts) -> str:
    """Return the pattern where a rook or queen mates along the edge, with the kings two apart across it."""
    if not idea.forced:
        return ""
    mine = stands(better) if better.man.piece == "king" else own_king(better)
    his, rook = idea.reply.to_square, idea.move.to_square
    files, ranks = abs(mine % 8 - his % 8), abs(mine // 8 - his // 8)
    along = (files, ranks) == (0, 2) and rook // 8 == his // 8 in (0, 7)
    up = (files, ranks) == (2, 0) and rook % 8 == his % 8 in (0, 7)
    return maxims.FACE_TO_FACE if along or up else ""

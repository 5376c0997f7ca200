"""What a slip broke: only what the better move would not have broken as well."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.facts.slip_kind import stage_lost
from matebot.facts.time_given import Gain
from matebot.ideas.blame import Lapse
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.guards import Guards
from matebot.ideas.holes import Holes
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.narrows import Narrows
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.out_of_corner import OutOfCorner
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.terms import Mistake
from matebot.wording import kings, maxims
from matebot.wording.attack import exception
from matebot.wording.lapses import (
    Rule,
    attacked,
    best_ones,
    blamed,
    hit,
    in_reach,
    in_way,
    led,
    left_open,
    let_go,
    man_out,
    replied,
    told_from,
    unguarded,
)
from matebot.wording.phrases import be, counted, line_name, listed
from matebot.wording.said import (
    before,
    by_minors,
    goal_of,
    own_king,
    own_man,
    own_men,
    promotion_square,
    rivals_men,
    squares,
    stands,
    stood,
)
from matebot.wording.undone import undone, undone_teaches

_FEW = 3
#: A king with at most so many squares is held; with more there is nothing to chase it out of.
_HELD = 32
#: A smaller box is a part of one line, where the box has done its work.
_BOX = 8


def cause(facts: MoveFacts, better: MoveFacts) -> str:
    """Return what a move broke and the better one would not have; nothing where that is not seen."""
    return caused(facts, better)[0]


def caused(facts: MoveFacts, better: MoveFacts) -> tuple[str, str]:
    """Return the same with what a pupil can take along; both "" where nothing is seen.

    What one of the best moves broke as well is no cause; what no clearly better move broke comes first.
    """
    falls = facts.cost.mistake is Mistake.OUTCOME
    good = facts.held_against if falls else best_ones(facts)
    if (text := _in_the_way(facts, better)) and all(_in_the_way(facts, other) for other in good):
        return text, maxims.OWN_WAY
    won = falls and facts.worth.outcome_before > 0  # any move that wins will do
    if text := next((text for other in facts.held_against if won and (text := _in_the_way(facts, other))), ""):
        return text, maxims.OWN_WAY
    rules = _ATTACK if facts.by_attacker else tuple((rule, "") for rule in _DEFENCE)
    for others in (facts.held_against,) if falls else (facts.held_against, best_ones(facts)):
        for rule, general in rules:
            text = rule(facts, better)
            if text and told_from(rule, facts, others) and not _shown_by_worse(rule, text, facts, better):
                return text, general
    return "", ""


def lets_in(facts: MoveFacts, better: MoveFacts) -> str:
    """Return what a move lets in by the best reply, where that is the reason; nothing where it is not."""
    if not facts.by_attacker:
        return ""
    found = ((rule, rule(facts, better)) for rule, _ in _BY_REPLY)
    return next((text for rule, text in found if text and told_from(rule, facts, facts.held_against)), "")


def _shown_by_worse(rule: Rule, text: str, facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether what is told is not the reason: another move of the same man comes to no more without it.

    Where the outcome is gone there is more to look at than what a move does by the way.
    """
    if rule not in _FEATURES:
        return False
    if rule in _OF_A_MAN and all(stood(other) != stood(facts) for other in facts.held_against):
        return True  # wherever the man goes, it costs as much
    return facts.cost.mistake is Mistake.OUTCOME or any(
        _bare(rule(other, better)) != _bare(text) for other in facts.no_better
    )


def _bare(text: str) -> str:
    """Return a text as far as it does not depend on the move: without numbers and what follows."""
    return "".join(sign for sign in text.partition(":")[0] if not sign.isdigit())


def _out_of_corner(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(OutOfCorner)
    if idea is None or better.seen.idea(OutOfCorner) is not None or facts.men.defender_men or not by_minors(facts):
        return ""  # a rook or queen mates on any edge
    return f"drives the king out of {square_name(idea.corner)}, where it should be mated"


def _leaves_w(facts: MoveFacts, better: MoveFacts) -> str:
    idea, other = facts.seen.idea(KnightsW), better.seen.idea(KnightsW)
    if idea is None or idea.state is not WState.LEAVES or (other is not None and other.state is WState.LEAVES):
        return ""
    if facts.man.piece != "knight":
        return f"breaks off the W: the {facts.man.piece} leaves its square"
    if other is not None and other.state is WState.STEP:
        return f"breaks off the W: the knight's next square is {square_name(stands(better))}"
    if better.man.piece == "knight":
        return ""  # the better move breaks it off as well
    guards, at = facts.seen.idea(Guards), square_name(stood(facts))
    if guards is not None and 0 < len(guards.let_go) <= _FEW:
        return f"breaks off the W: from {at} the knight held {squares(guards.let_go)}"
    return f"breaks off the W: the knight belongs on {at} for now"


def _chases(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(ChasingCheck)
    if facts.men.defender_men or idea is None or idea.size_before > _HELD or better.seen.idea(ChasingCheck) is not None:
        return ""
    holes = facts.seen.idea(Holes)
    if holes is not None and holes.left:
        return f"checks while the king has a way out: {squares(holes.left)} {be(holes.left)} open"
    if {square_name(square) for square in idea.way_out} == set(facts.room.flights):
        return f"checks too soon: it only chases the king out, to {squares(idea.way_out, 'or')}"
    return "checks too soon: it only chases the king out"


def opens(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that a move opens the cage, and where the king gets out; nothing where it does not."""
    if reached(facts):
        return ""  # the king gets out by taking a man only
    # Where the king has a man beside it, there is more to look at than the king's room.
    if facts.men.defender_men or not _cage(facts, CageChange.OPENS) or _cage(better, CageChange.OPENS):
        return ""
    guards = facts.seen.idea(Guards)
    for square in () if guards is None else guards.let_go:
        man = own_man(facts, square)
        if man and square not in (stands(facts), stood(better)):
            return f"takes the guard from the {man} on {square_name(square)}, which shut the cage"
    run = facts.seen.idea(Refutation)
    if run is None or run.reply is None:
        return "opens the cage"
    name, new = facts.seen.name_after(run.reply), run.reply.uci() in facts.reproach.new_replies
    leads = led(run.leads, run.target, facts, run.reply.from_square)
    if not leads and run.reply.to_square in run.squares:
        leads = "gets out"
    if leads and goal_of(name) not in facts.room.squares_given:
        return ""  # The king could go there before.
    if new and leads:
        return f"opens the cage: {name} {leads}"
    blame = facts.seen.blame
    # What else the move lets in says more than that the cage is open.
    return "" if blame is not None and blame.leads is None else "opens the cage"


def reached(facts: MoveFacts) -> str:
    """Say that a man goes where the king attacks it, the only way out of its cage, and would not where it stood."""
    cage, hit = facts.seen.idea(Cage), facts.seen.idea(Refutation)
    if cage is None or hit is None or hit.reply is None or hit.means is not Means.ATTACK:
        return ""
    moved = facts.man.piece != "king" and hit.squares == cage.loose == (stands(facts),)
    step, king = hit.reply.to_square, own_king(facts)
    else_at = (stood(facts), *(stands(one) for one in best_ones(facts) if stood(one) == stood(facts)))
    loose_else = any(king_steps(step, at) == 1 < king_steps(king, at) for at in else_at)
    if facts.men.defender_men or not moved or loose_else:
        return ""
    return in_reach(f"the {facts.man.piece}", f"{facts.seen.name_after(hit.reply)} attacks it", facts)


def _cage(facts: MoveFacts, change: CageChange) -> bool:
    idea = facts.seen.idea(Cage)
    return idea is not None and idea.change is change


def _widens(facts: MoveFacts, better: MoveFacts) -> str:
    idea, other = facts.seen.idea(Cage), better.seen.idea(Cage)
    if idea is None or idea.change is not CageChange.WIDENS:
        return ""
    if other is not None and other.size_after >= idea.size_after:
        return ""
    return f"lets the cage grow from {idea.size_before} to {counted(idea.size_after, 'square')}"


def _stage(facts: MoveFacts, better: MoveFacts) -> str:
    return _condition(facts, better) if stage_lost(facts) else ""


def _condition(facts: MoveFacts, better: MoveFacts) -> str:
    text = undone(facts)
    return "" if text == undone(better) else text


def _to_edge(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that a man goes to the edge, where the better move takes none."""
    if (
        facts.man.piece not in ("king", "knight", "bishop")
        or facts.man.rim_after
        or not min(facts.man.rim_before, better.man.rim_after)
    ):
        return ""
    if "pawn" in facts.men.defender_men:
        return ""  # what matters there is the pawn
    if any(map(from_edge, _goals_as_bad(facts, better))):
        return ""
    does = "does little" if facts.man.piece == "king" else "guards few squares"
    return f"takes the {facts.man.piece} to the edge, where it {does}"


def _goals_as_bad(facts: MoveFacts, better: MoveFacts) -> list[int]:
    """Return where the other moves of the same man go that cost at least half as much."""
    as_bad = (move for move, _ in better.seen.slower_moves.half_as_bad(facts.seen.move))
    return [move.to_square for move in as_bad if move.from_square == stood(facts)]


def _no_bishop_to_edge(facts: MoveFacts, better: MoveFacts) -> str:
    return "" if facts.man.piece == "bishop" or "pawn" in facts.men.attacker_men else _to_edge(facts, better)


def _from_pawn(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the king goes away from its only pawn, where no better move of the king does."""
    board = own_men(facts, "pawn")
    if facts.man.piece != "king" or len(board) != 1 or len(facts.men.attacker_men) != 1:
        return ""
    was, now = (king_steps(square, board[0]) for square in (stood(facts), stands(facts)))
    kept = better.man.piece != "king" or king_steps(stands(better), board[0]) <= was
    if now <= was or not kept or better.race.runs_alone:
        return ""
    if any(king_steps(goal, board[0]) <= was for goal in _goals_as_bad(facts, better)):
        return ""
    return "takes the king away from its pawn"


def _from_keys(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the king goes away from the key squares of its lone pawn, where the better move does not."""
    was, now = facts.keys.key_steps_before, facts.keys.key_steps_after
    if facts.man.piece != "king" or was is None or now is None or now <= was or better.race.runs_alone:
        return ""
    if any(before(pawn, facts.turn) == promotion_square(pawn, facts.turn) for pawn in own_men(facts, "pawn")):
        return ""  # it promotes next
    kept = better.man.piece == "king" and (better.keys.key_steps_after or 0) <= was
    return f"takes the king farther from the key squares {listed(facts.keys.key_squares)}" if kept else ""


def _box(facts: MoveFacts, better: MoveFacts) -> str:
    idea, left, best = facts.seen.idea(Box), facts.box.box_after, better.box.box_after
    if idea is None or idea.change is not BoxChange.WIDENS or facts.seen.idea(Narrows) is not None:
        return ""
    if facts.given.gains is Gain.HIT and facts.given.by_king:
        return ""  # it is the man that is attacked, which must leave the line
    rook = "rook" in facts.men.attacker_men  # a queen guards more than its lines
    assert idea.before is not None
    assert left is not None  # a lone man has one, whatever it does
    assert best is not None
    return "lets the box grow" if rook and idea.before >= _BOX and best < left else ""


def cut(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that a move gives up the line that cut the king off, where the better move keeps it."""
    idea, other = facts.seen.idea(CutOff), better.seen.idea(CutOff)
    if idea is None or idea.change is not CutChange.GIVES_UP or other is None or other.change is not CutChange.KEEPS:
        return ""
    if facts.man.piece == "king":
        return f"steps before its own {facts.men.attacker_men[0]}, which cut the king off along {line_name(idea.line)}"
    return f"gives up {line_name(idea.line)}, which cut the king off"


def _in_the_way(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that a man stands before its own pawn, which would otherwise go on."""
    pushes = better.man.piece == "pawn" != facts.man.piece and not better.man.captured
    if not pushes or facts.man.captured or stands(facts) != stands(better):
        return ""
    return in_way(facts)


def _astray(facts: MoveFacts, better: MoveFacts) -> str:
    apart = facts.kings.kings_after
    steps = facts.man.piece == better.man.piece == "king"
    if not steps or apart <= max(facts.kings.kings_before, better.kings.kings_after):
        return ""
    if "pawn" in (*facts.men.attacker_men, *facts.men.defender_men) or _nears_a_man(facts):
        return ""  # what matters there is the pawn or the man
    return f"takes the king away: {kings.alone(facts)}"


def _nears_a_man(facts: MoveFacts) -> bool:
    """Whether a man of the other side beside its king is nearer to where a man went than to where it stood."""
    was, now = stood(facts), stands(facts)
    return any(king_steps(now, man) < king_steps(was, man) for man in rivals_men(facts))


def _hunts(facts: MoveFacts, better: MoveFacts) -> str:
    idea = better.seen.idea(NearsMan)
    queen = "queen" in facts.men.attacker_men  # it hunts a man by itself
    if idea is None or queen or _goes_for_man(facts) or idea.inside is not None or idea.from_king < _FEW:
        return ""
    return f"leaves the {man_name(idea.man)} in peace: {better.san} goes after it, far from its king"


def _goes_for_man(facts: MoveFacts) -> bool:
    """Whether a move brings its king nearer to the other side's man, or attacks it."""
    attacks = facts.seen.idea(Threatens)
    return facts.seen.idea(NearsMan) is not None or (attacks is not None and attacks.threat is Threat.CAPTURE)


def _exception(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(MinorLost)
    return "" if idea is None or facts.cost.mistake is not Mistake.OUTCOME else f"loses because {exception(idea)}"


def _edge(facts: MoveFacts, better: MoveFacts) -> str:
    if facts.man.piece == "king" and facts.man.rim_after < facts.man.rim_before:
        if better.man.piece == "king" and better.man.rim_after <= facts.man.rim_after:
            return ""  # the better step does so too
        return f"goes {'to' if facts.man.rim_after == 0 else 'towards'} the edge of its own accord"
    before, after = facts.corner.corner_steps_before, facts.corner.corner_steps_after
    if after is None:
        return ""  # there is no bishop, or no knight
    assert before is not None
    if after < before <= _FEW:
        return f"goes nearer to {facts.corner.right_corner or 'a right corner'}, where mate is forced"
    return ""


#: What a move lets in, told by the best reply; the most telling first, with what a pupil can take along.
_BY_REPLY: tuple[tuple[Rule, str], ...] = (
    (attacked, maxims.NO_LOOSE_MAN),
    (blamed(Lapse.UNGUARDED, unguarded), maxims.NO_LOOSE_MAN),
    (blamed(Lapse.HIT, hit), maxims.SEE_WHAT_HITS),
    (blamed(Lapse.MAN_OUT, man_out), ""),
    (replied, ""),
)
#: Which idea a move of the attacker broke, the most telling first, and what a pupil can take along.
_ATTACK: tuple[tuple[Rule, str], ...] = (
    *_BY_REPLY,
    (_out_of_corner, ""),
    (_leaves_w, ""),
    (blamed(Lapse.LET_GO, let_go), maxims.HOLD_THE_LINE),
    (lambda facts, _: reached(facts), maxims.NO_LOOSE_MAN),
    (opens, maxims.KEEP_IT_SHUT),
    (_chases, maxims.NO_CHECK),
    (blamed(Lapse.LEFT_OPEN, left_open), maxims.WAY_FIRST),
    (_hunts, maxims.HUNTED),
    (_stage, ""),
    (_widens, ""),
    (_box, ""),
    (cut, ""),
    (_from_keys, maxims.KING_FIRST),
    (_from_pawn, maxims.TOGETHER),
    (_astray, ""),
    (_no_bishop_to_edge, ""),
    (_condition, ""),
)
#: What is taught by a cause that is told as it stands, and by a condition of a stage that holds no more.
_TAUGHT: tuple[tuple[Rule, str], ...] = (
    (_widens, maxims.ONLY_SMALLER.format(room="the cage")),
    (_box, maxims.ONLY_SMALLER.format(room="the box")),
    (cut, maxims.HOLD_THE_LINE),
    (_astray, maxims.ATTACK_TOGETHER),
    (_no_bishop_to_edge, maxims.IN_THE_MIDDLE),
    (blamed(Lapse.MAN_OUT, man_out), maxims.FLIGHTS_FIRST),
)


def taught(facts: MoveFacts, better: MoveFacts, text: str) -> str:
    """Return what a cause told teaches where its rule alone says it; "" where nothing."""
    found = (general for rule, general in _TAUGHT if rule(facts, better) == text)
    return next(found, "") or undone_teaches(facts, text)


#: What a move may show by the way: no reason where another move of its man does as badly without it.
_FEATURES: tuple[Rule, ...] = (opens, _chases, _stage, _widens, _box, cut, _astray, _no_bishop_to_edge, _condition)
#: Those of them that say where a man went: no reason where no move of the man is clearly better.
_OF_A_MAN: tuple[Rule, ...] = (_box, _astray, _no_bishop_to_edge)
_DEFENCE: tuple[Rule, ...] = (_exception, _edge)
